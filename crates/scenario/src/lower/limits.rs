//! The limit of each pairing: the rule's distance, or a larger one stated in writing.

use wideberth_rules::{Crew, LimitChoice, LimitError, Measured, Query, RuleBook, TableErrors, Voltage, Work};

use crate::code::Code;
use crate::context::Context;
use crate::here::Here;
use crate::job::{Limit, LimitBasis};
use crate::nearest::list;
use crate::problem::{Problem, Problems};
use crate::raw::{RawRule, RawStatedLimit};

/// A rule with the book that it is looked up in.
pub(super) struct Rule<'a> {
    raw: &'a RawRule,
    here: Here<'a>,
    book: RuleBook,
}

impl<'a> Rule<'a> {
    /// The rule that the scenario or a machine names.
    pub fn open(raw: &'a RawRule, here: Here<'a>, context: &Context<'_>) -> Result<Self, Problems> {
        let book = match &raw.file {
            None => context.rules.clone(),
            Some(name) => user_tables(name, &here, context)?,
        };
        let rule = Self { raw, here, book };
        rule.check_name()?;
        Ok(rule)
    }

    fn name(&self) -> &'a str {
        self.raw.id.as_deref().or(self.raw.place.as_deref()).unwrap_or_default()
    }

    /// An id must be that of a rule, a place must not be one.
    fn check_name(&self) -> Result<(), Problems> {
        let is_id = self.book.rule_set(self.name()).is_ok();
        let (key, message, help) = match (&self.raw.id, is_id) {
            (Some(id), false) => ("id", format!("there is no rule \"{id}\""), self.nearest()),
            (None, true) => {
                let name = self.name();
                ("place", format!("\"{name}\" is the id of a rule, not a place"), format!("write \"id\": \"{name}\""))
            }
            _ => return Ok(()),
        };
        Err(self.here.key(key).problem(Code::UnknownRule, message, help).into())
    }

    fn nearest(&self) -> String {
        match self.book.rule_set(self.name()) {
            Err(LimitError::UnknownName { nearest, .. }) if !nearest.is_empty() => {
                format!("did you mean {}?", list(nearest.iter().map(String::as_str)))
            }
            _ => "`wideberth limit` lists the ids and places".into(),
        }
    }

    fn ask(&self, question: &Question<'_>) -> Result<LimitChoice, LimitError> {
        let structure_height_m = self.raw.structure_height.as_ref().map(|height| height.si);
        self.book.select(&Query {
            name: self.name().into(),
            voltage: question.voltage.clone(),
            work: question.work,
            crew: question.crew,
            confirmed: self.raw.confirmed.clone(),
            structure_height_m,
        })
    }

    /// Notes on other general rules of the place whose distance is not the straight one.
    fn measured_otherwise_beside(&self, choice: &LimitChoice) -> Vec<String> {
        let general = choice.others.iter().filter(|other| other.general && other.distance_m.is_some());
        general
            .filter_map(|other| self.book.rule_set(&other.rule_id).ok())
            .filter(|rule| rule.measured != Measured::AnyDirection)
            .map(|rule| {
                format!(
                    "\"{}\" also holds here and is measured as \"{}\", which is not checked",
                    rule.id, rule.measured
                )
            })
            .collect()
    }

    fn refusal(&self, error: &LimitError) -> Problem {
        let key = if self.raw.id.is_some() { "id" } else { "place" };
        let here = self.here.key(key);
        let (code, help) = match error {
            LimitError::UnknownName { name, .. } => {
                return here.problem(Code::UnknownRule, format!("no place \"{name}\" is known"), self.nearest());
            }
            LimitError::QualifiedOnly { .. } => {
                (Code::QualifiedOnly, "use the rule of the place, or say \"crew\": \"qualified\" if that is so")
            }
            _ => {
                (Code::LimitRefused, "use a rule that covers the case, or a distance that the owner states in writing")
            }
        };
        here.problem(code, error.to_string(), help)
    }
}

fn user_tables(name: &str, here: &Here<'_>, context: &Context<'_>) -> Result<RuleBook, Problems> {
    let here = here.key("file");
    let text = context.read(name).map_err(|why| {
        let message = format!("the file of rules \"{name}\" cannot be read: {why}");
        here.problem(Code::File, message, "check the name, relative to the scenario's folder")
    })?;
    context.rules.clone().with_user_tables(&text).map_err(|errors| {
        let problem = |message: String| here.problem(Code::RuleTable, format!("{name}: {message}"), "mend the table");
        match errors {
            TableErrors::Problems(problems) => problems.iter().map(|p| problem(p.to_string())).collect(),
            other => problem(other.to_string()).into(),
        }
    })
}

/// What is asked for one pairing.
#[derive(Clone, Copy)]
pub(super) struct Question<'a> {
    pub voltage: &'a Voltage,
    pub work: Work,
    pub crew: Crew,
    pub stated: Option<&'a RawStatedLimit>,
}

/// The limit for a question. `here` is the machine.
///
/// A rule always holds: where none is named, what holds where no table is known.
pub(super) fn limit(
    rule: Option<&Rule<'_>>,
    question: &Question<'_>,
    book: &RuleBook,
    here: &Here<'_>,
) -> Result<Limit, Problems> {
    let Some(rule) = rule else {
        let stated = question.stated.ok_or_else(|| no_rule(here))?;
        return Ok(match book.select(&elsewhere(question)) {
            Ok(choice) => the_larger(choice, stated),
            Err(error) => not_below_the_floor(book, question, stated, &error),
        });
    };
    match (rule.ask(question), question.stated) {
        (Ok(choice), _) if choice.measured != Measured::AnyDirection => Err(measured_otherwise(&choice, rule)),
        (Ok(choice), stated) => {
            let aside = rule.measured_otherwise_beside(&choice);
            let mut limit = stated.map_or_else(|| by_rule(choice.clone()), |stated| the_larger(choice.clone(), stated));
            limit.notes.extend(aside);
            limit.checked_by.clone_from(&rule.raw.checked_by);
            Ok(limit)
        }
        (Err(error), Some(stated)) if owner_decides(&error) => {
            Ok(not_below_the_floor(&rule.book, question, stated, &error))
        }
        (Err(error), _) => Err(rule.refusal(&error).into()),
    }
}

/// The question for a place of which no table is known.
fn elsewhere(question: &Question<'_>) -> Query {
    Query::named("elsewhere", question.voltage.clone(), question.work).by(question.crew)
}

/// What was stated in writing where the rule gives no number; never less than the least that any known table gives.
fn not_below_the_floor(book: &RuleBook, question: &Question<'_>, stated: &RawStatedLimit, error: &LimitError) -> Limit {
    let mut limit = by_statement(stated, None, format!("the rule itself gives none: {error}"));
    if let Some(floor_m) = book.floor_m(&elsewhere(question)).filter(|floor_m| *floor_m > limit.distance_m) {
        let written = &stated.distance.written;
        limit.distance_m = floor_m;
        limit.notes.push(format!(
            "{written} was stated in writing, which is less than any known table gives for this voltage; the least of those, {floor_m:.2} m, holds"
        ));
    }
    limit
}

fn no_rule(here: &Here<'_>) -> Problems {
    let help = "add \"rule\": {\"place\": \"...\"} to the scenario or to the machine";
    here.problem(Code::NoRule, "neither the scenario nor this machine names a rule for the limit of approach", help)
        .into()
}

fn measured_otherwise(choice: &LimitChoice, rule: &Rule<'_>) -> Problems {
    let message = format!(
        "\"{}\" sets a distance measured as \"{}\", while the approach is the straight distance in space",
        choice.rule_id, choice.measured
    );
    rule.here.problem(Code::MeasuredOtherwise, message, "use a rule that is measured in any direction").into()
}

fn by_rule(choice: LimitChoice) -> Limit {
    let notes = notes_of(&choice);
    Limit { distance_m: choice.distance_m, basis: LimitBasis::Rule(Box::new(choice)), notes, checked_by: None }
}

/// The doubts that the rule's answer resolves, and its warnings.
fn notes_of(choice: &LimitChoice) -> Vec<String> {
    choice.resolutions.iter().map(|r| r.text()).chain(choice.warnings.iter().cloned()).collect()
}

fn by_statement(stated: &RawStatedLimit, rule: Option<Box<LimitChoice>>, note: String) -> Limit {
    let basis = LimitBasis::Stated { stated_by: stated.stated_by.clone(), rule };
    Limit { distance_m: stated.distance.si, basis, notes: vec![note], checked_by: None }
}

fn the_larger(choice: LimitChoice, stated: &RawStatedLimit) -> Limit {
    let written = &stated.distance.written;
    if stated.distance.si >= choice.distance_m {
        let note = format!("{written} was stated in writing; the rule alone asks for {}", choice.printed);
        return by_statement(stated, Some(Box::new(choice)), note);
    }
    let note = format!(
        "{written} was stated in writing ({}), which is less than the rule's {}; the larger distance holds",
        stated.stated_by, choice.printed
    );
    let mut limit = by_rule(choice);
    limit.notes.insert(0, note);
    limit
}

/// Refusals in which the rule leaves the distance to the line's owner, so that the owner's written one may stand alone.
fn owner_decides(error: &LimitError) -> bool {
    match error {
        LimitError::AboveTable { .. }
        | LimitError::BelowTable { .. }
        | LimitError::CurrentNotCovered { .. }
        | LimitError::NoNumber { .. }
        | LimitError::WorkNotCovered { .. }
        | LimitError::NothingForPlace { .. } => true,
        LimitError::PlaceRefused { refusals, .. } => refusals.iter().all(owner_decides),
        _ => false,
    }
}
