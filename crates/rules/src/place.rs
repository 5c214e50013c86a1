//! A place with several rules: which apply, and the largest of them.

use crate::book::{RuleBook, same};
use crate::choice::{LimitChoice, OtherRule, Resolution};
use crate::error::LimitError;
use crate::model::RuleSet;
use crate::places;
use crate::query::Query;
use crate::select::{self, WorkFit, usable, work_fit};
use crate::words::{Crew, Scope, Work};

/// A rule that may apply at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate<'a> {
    /// The rule.
    pub rule: &'a RuleSet,
    /// How it fits the work.
    pub fit: Fit,
}

/// How a rule fits the work at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It has rows for this work and is taken into account.
    Direct,
    /// It has none; its operating limit, which is stricter, is taken into account.
    OperatingLimit,
    /// It is for a special trade, site or structure; it counts only when named by its id.
    OnlyByName,
}

impl RuleBook {
    /// The rules that may apply at a place for a kind of work and an ordinary crew, those of the place itself before
    /// those of the larger place it lies in. Only the rules of the first two fits are used by [`RuleBook::select`].
    ///
    /// # Errors
    /// [`LimitError::UnknownName`] for a name that is no place.
    pub fn for_place(&self, place: &str, work: Work) -> Result<Vec<Candidate<'_>>, LimitError> {
        Ok(self.levels(place)?.iter().flat_map(|level| candidates(level, work)).collect())
    }

    /// The rules of the place, then those of each larger place.
    fn levels(&self, place: &str) -> Result<Vec<Vec<&RuleSet>>, LimitError> {
        if !self.is_place(place) {
            return Err(self.unknown_name(place));
        }
        let of = |name: &str| self.rule_sets().iter().filter(|rule| is_at(rule, name)).collect::<Vec<_>>();
        let own = of(place);
        let mut within: Vec<&str> = own.iter().flat_map(|rule| &rule.within).map(String::as_str).collect();
        within.sort_unstable();
        within.dedup();
        let larger = within.into_iter().map(of).collect::<Vec<_>>();
        Ok(std::iter::once(own).chain(larger).collect())
    }

    /// The limit at a place, whether or not it has a table of its own. A name like a known one is refused, since it may be
    /// mistyped; `elsewhere` is the name of any other place.
    pub(crate) fn select_named_place(&self, query: &Query) -> Result<LimitChoice, LimitError> {
        self.check_place(&query.name)?;
        if !self.is_place(&query.name) {
            return self.stand_in(query);
        }
        match self.select_place(query) {
            Err(nothing @ LimitError::NothingForPlace { .. }) => self.stand_in(query).map_err(|_| nothing),
            answer => answer,
        }
    }

    /// Whether a name can be that of a place.
    ///
    /// # Errors
    /// [`LimitError::UnknownName`] for the id of a rule set and for a name that is like a known one.
    pub fn check_place(&self, name: &str) -> Result<(), LimitError> {
        let known = self.is_place(name) || places::names().any(|known| same(known, name));
        if self.by_id(name).is_some() || !known && !self.nearest_names(name).is_empty() {
            return Err(self.unknown_name(name));
        }
        Ok(())
    }

    pub(crate) fn select_place(&self, query: &Query) -> Result<LimitChoice, LimitError> {
        let levels = self.levels(&query.name)?;
        let levels: Vec<Vec<Candidate<'_>>> = levels.iter().map(|level| candidates(level, query.work)).collect();
        conditions_known(&levels, query)?;
        let mut answers = Vec::new();
        for level in &levels {
            answers.extend(self.level_answers(level, query)?);
        }
        let special = levels.iter().flatten().filter(|candidate| candidate.fit == Fit::OnlyByName);
        let others: Vec<OtherRule> = special.map(|candidate| self.special(candidate.rule, query)).collect();
        largest(answers, others).ok_or_else(|| self.nothing_for(query, &levels))
    }

    /// The answers of one level. A rule that sets no number refuses for the whole place, and so does a level without
    /// any number: another rule's smaller distance must not stand in for it.
    fn level_answers<'a>(&self, level: &[Candidate<'a>], query: &Query) -> Result<Vec<Answer<'a>>, LimitError> {
        let general = level.iter().filter(|candidate| candidate.fit != Fit::OnlyByName);
        let answers: Vec<Answer<'a>> =
            general.map(|candidate| (candidate.rule, self.ask(candidate.rule, query))).collect();
        let refusals = || answers.iter().filter_map(|(_, answer)| answer.as_ref().err().cloned());
        let dominant = refusals()
            .any(|error| matches!(error, LimitError::NoNumber { .. } | LimitError::NeedsStructureHeight { .. }));
        let none = !answers.is_empty() && answers.iter().all(|(_, answer)| answer.is_err());
        if dominant || none {
            return Err(LimitError::PlaceRefused { place: query.name.clone(), refusals: refusals().collect() });
        }
        Ok(answers)
    }

    /// Asks one rule of the place, with the conditions that it knows.
    fn ask(&self, rule: &RuleSet, query: &Query) -> Result<LimitChoice, LimitError> {
        let mut own = query.clone();
        own.confirmed.retain(|name| knows(rule, name));
        self.select_rule(rule, &own)
    }

    fn special(&self, rule: &RuleSet, query: &Query) -> OtherRule {
        other(rule, &self.ask(rule, query), false)
    }

    fn nothing_for(&self, query: &Query, levels: &[Vec<Candidate<'_>>]) -> LimitError {
        let special = levels.iter().flatten().map(|candidate| candidate.rule.id.clone());
        let inside = self.rule_sets().iter().filter(|rule| rule.within.iter().any(|name| same(name, &query.name)));
        let mut by_name: Vec<String> = special.chain(inside.map(|rule| rule.place.clone())).collect();
        by_name.sort();
        by_name.dedup();
        LimitError::NothingForPlace { place: query.name.clone(), work: query.work, by_name }
    }
}

type Answer<'a> = (&'a RuleSet, Result<LimitChoice, LimitError>);

fn is_at(rule: &RuleSet, name: &str) -> bool {
    same(&rule.place, name) || rule.place_also.iter().any(|also| same(also, name))
}

/// The candidates of one level: rules with rows for the work, or else those whose operating limit stands in.
fn candidates<'a>(level: &[&'a RuleSet], work: Work) -> Vec<Candidate<'a>> {
    let fits: Vec<(&'a RuleSet, WorkFit)> = level
        .iter()
        .copied()
        .filter(|rule| usable(rule, Crew::Ordinary).is_ok())
        .filter_map(|rule| work_fit(rule, work).map(|fit| (rule, fit)))
        .collect();
    let has_direct = fits.iter().any(|(rule, fit)| *fit == WorkFit::Direct && rule.scope == Scope::General);
    let candidate = |(rule, fit): (&'a RuleSet, WorkFit)| match fit {
        _ if rule.scope == Scope::Special => Some(Candidate { rule, fit: Fit::OnlyByName }),
        WorkFit::Direct => Some(Candidate { rule, fit: Fit::Direct }),
        WorkFit::OperatingLimit => (!has_direct).then_some(Candidate { rule, fit: Fit::OperatingLimit }),
    };
    fits.into_iter().filter_map(candidate).collect()
}

fn knows(rule: &RuleSet, condition: &str) -> bool {
    rule.rows.iter().filter_map(|row| row.condition.as_ref()).any(|known| same(&known.id, condition))
}

/// A condition must be known to at least one general rule of the place, and must be none that never counts.
fn conditions_known(levels: &[Vec<Candidate<'_>>], query: &Query) -> Result<(), LimitError> {
    let general = || levels.iter().flatten().filter(|candidate| candidate.fit != Fit::OnlyByName);
    for name in &query.confirmed {
        let Some(candidate) = general().find(|candidate| knows(candidate.rule, name)) else {
            let conditions =
                general().flat_map(|candidate| &candidate.rule.rows).filter_map(|row| row.condition.as_ref());
            let known =
                conditions.filter(|condition| condition.confirmable).map(|condition| condition.id.clone()).collect();
            return Err(LimitError::UnknownCondition { rule: query.name.clone(), condition: name.clone(), known });
        };
        select::conditions_known(candidate.rule, std::slice::from_ref(name))?;
    }
    Ok(())
}

/// The largest answer, the first of equals, with the others named and their triggers and duties taken over.
fn largest(answers: Vec<Answer<'_>>, special: Vec<OtherRule>) -> Option<LimitChoice> {
    let distance_m = |answer: &Answer<'_>| answer.1.as_ref().map_or(f64::NEG_INFINITY, |choice| choice.distance_m);
    let largest_m = answers.iter().map(distance_m).fold(f64::NEG_INFINITY, f64::max);
    let best = answers.iter().position(|answer| answer.1.is_ok() && distance_m(answer) == largest_m)?;
    let mut chosen = answers[best].1.clone().ok()?;
    let count = answers.iter().filter(|(_, answer)| answer.is_ok()).count();
    for (rule, answer) in answers.iter().enumerate().filter(|(i, _)| *i != best).map(|(_, answer)| answer) {
        chosen.others.push(other(rule, answer, true));
        if let Ok(choice) = answer {
            take_over(&mut chosen, choice);
        }
    }
    chosen.others.extend(special);
    if count > 1 {
        chosen.resolutions.push(Resolution::LargestOfSeveral { count });
    }
    Some(chosen)
}

fn take_over(chosen: &mut LimitChoice, other: &LimitChoice) {
    for trigger in
        other.triggers.iter().filter(|trigger| !chosen.triggers.contains(trigger)).cloned().collect::<Vec<_>>()
    {
        chosen.triggers.push(trigger);
    }
    for duty in other.duties.iter().filter(|duty| !chosen.duties.contains(duty)).cloned().collect::<Vec<_>>() {
        chosen.duties.push(duty);
    }
}

fn other(rule: &RuleSet, answer: &Result<LimitChoice, LimitError>, general: bool) -> OtherRule {
    let says = answer.as_ref().map_or_else(ToString::to_string, |choice| choice.printed.clone());
    let distance_m = answer.as_ref().ok().map(|choice| choice.distance_m);
    OtherRule { rule_id: rule.id.clone(), who: rule.who.clone(), distance_m, says, general }
}
