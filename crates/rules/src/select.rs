//! One rule set, one question, one answer.

use crate::book::{RuleBook, same};
use crate::choice::{Conversion, LimitChoice, Resolution, RowRef, UnknownVoltageBasis};
use crate::error::LimitError;
use crate::lookup::{Hit, Indexed, Manner, Miss, Wanted, find};
use crate::model::{Row, RuleSet, Trigger};
use crate::quantity::{PrintedLength, kv_text};
use crate::query::{Query, Voltage};
use crate::unknown::{HIGHEST_LINE_KV, Known, Unknown, unknown_voltage};
use crate::words::{
    Basis, Crew, Current, Measured, Origin, Provenance, Purpose, Status, TableCurrent, VoltageBasis, Work,
};

/// A voltage that was rounded to three digits may be off by this share; a converted voltage this close to an edge
/// counts as beyond it.
const ROUNDING_SHARE: f64 = 0.005;

/// Whether a rule has rows for the work itself, or its operating limit stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum WorkFit {
    Direct,
    OperatingLimit,
}

impl RuleBook {
    /// The limit of approach for a question: of one rule set when its id is named, else the largest of the place.
    ///
    /// # Errors
    /// [`LimitError`] whenever no safe number exists: unknown names, tables for qualified workers, superseded or
    /// unconfirmed tables, a voltage above the table, direct current in a table for alternating current, rules without
    /// a number, work without a stricter row.
    pub fn select(&self, query: &Query) -> Result<LimitChoice, LimitError> {
        check_query(query)?;
        match self.by_id(&query.name) {
            Some(rule) => self.select_rule(rule, query),
            None => self.select_named_place(query),
        }
    }

    pub(crate) fn select_rule(&self, rule: &RuleSet, query: &Query) -> Result<LimitChoice, LimitError> {
        usable(rule, query.crew)?;
        let fit = work_fit(rule, query.work).ok_or_else(|| self.work_not_covered(rule, query.work))?;
        conditions_known(rule, &query.confirmed)?;
        let mut choice = match &query.voltage {
            Voltage::Known { voltage_kv, basis, current, confirmed_by } => {
                let given = Given { voltage_kv: *voltage_kv, basis: *basis, current: *current };
                known(rule, query, given, confirmed_by.is_some())?
            }
            Voltage::Unknown { not_above_kv } => unknown(rule, query, *not_above_kv)?,
        };
        if fit == WorkFit::OperatingLimit {
            choice.resolutions.push(Resolution::OperatingLimit { work: query.work });
        }
        Ok(choice)
    }

    fn work_not_covered(&self, rule: &RuleSet, work: Work) -> LimitError {
        let fits = |other: &&RuleSet| {
            other.place == rule.place && other.work.contains(&work) && usable(other, Crew::Ordinary).is_ok()
        };
        let instead = self.rule_sets().iter().filter(fits).map(|other| other.id.clone()).collect();
        LimitError::WorkNotCovered { rule: rule.id.clone(), work, covers: rule.work.clone(), instead }
    }
}

fn check_query(query: &Query) -> Result<(), LimitError> {
    let sane = |voltage_kv: f64| voltage_kv > 0.0 && voltage_kv <= 2000.0;
    match query.voltage {
        Voltage::Known { voltage_kv, .. } | Voltage::Unknown { not_above_kv: Some(voltage_kv) }
            if !sane(voltage_kv) =>
        {
            return Err(LimitError::BadVoltage { voltage_kv });
        }
        Voltage::Known { basis, current, .. } if is_dc(basis) != (current == Current::Dc) => {
            return Err(LimitError::BasisMismatch { basis, current });
        }
        _ => {}
    }
    match query.structure_height_m {
        Some(height_m) if !(height_m > 0.0 && height_m <= 500.0) => Err(LimitError::BadStructureHeight { height_m }),
        _ => Ok(()),
    }
}

fn is_dc(basis: VoltageBasis) -> bool {
    matches!(basis, VoltageBasis::PoleToPole | VoltageBasis::PoleToGround)
}

/// Whether the rule may be a limit for this crew at all.
pub(crate) fn usable(rule: &RuleSet, crew: Crew) -> Result<(), LimitError> {
    let (id, instead) = (rule.id.clone(), rule.instead.clone());
    match rule {
        _ if rule.purpose == Purpose::LineHeight => Err(LimitError::NotALimit { rule: id }),
        _ if rule.crew == Crew::Qualified && crew == Crew::Ordinary => Err(LimitError::QualifiedOnly { rule: id }),
        _ if rule.status == Status::Superseded => Err(LimitError::Superseded { rule: id, instead }),
        _ if rule.provenance == Provenance::Unconfirmed => Err(LimitError::Unconfirmed { rule: id, instead }),
        _ => Ok(()),
    }
}

/// Travelling and assembling may fall back on the operating limit, which is never smaller. Nothing else falls back.
pub(crate) fn work_fit(rule: &RuleSet, work: Work) -> Option<WorkFit> {
    let stands_in = matches!(work, Work::TravelUnder | Work::Assemble) && rule.work.contains(&Work::Operate);
    match rule.work.contains(&work) {
        true => Some(WorkFit::Direct),
        false => stands_in.then_some(WorkFit::OperatingLimit),
    }
}

pub(crate) fn conditions_known(rule: &RuleSet, confirmed: &[String]) -> Result<(), LimitError> {
    let conditions = || rule.rows.iter().filter_map(|row| row.condition.as_ref());
    for name in confirmed {
        let Some(condition) = conditions().find(|condition| same(&condition.id, name)) else {
            let known =
                conditions().filter(|condition| condition.confirmable).map(|condition| condition.id.clone()).collect();
            return Err(LimitError::UnknownCondition { rule: rule.id.clone(), condition: name.clone(), known });
        };
        if !condition.confirmable {
            return Err(LimitError::NotConfirmable { rule: rule.id.clone(), condition: name.clone() });
        }
    }
    Ok(())
}

/// The voltage of a question.
#[derive(Clone, Copy)]
struct Given {
    voltage_kv: f64,
    basis: VoltageBasis,
    current: Current,
}

fn known(rule: &RuleSet, query: &Query, given: Given, is_confirmed: bool) -> Result<LimitChoice, LimitError> {
    let rows: Vec<Indexed<'_>> =
        rule.rows.iter().enumerate().filter(|(_, row)| carries(row.current, given.current)).collect();
    if rows.is_empty() && !rule.rows.is_empty() {
        return Err(LimitError::CurrentNotCovered { rule: rule.id.clone(), current: given.current });
    }
    let conversion = convert(rule.basis, given);
    let table_kv = conversion.as_ref().map_or(given.voltage_kv, |conversion| conversion.table_kv);
    let hit = find_converted(rule, &rows, query, table_kv, conversion.is_some())
        .map_err(|miss| refusal(rule, table_kv, miss))?;
    let mut choice = row_answer(rule, query, hit);
    choice.table_voltage_kv = Some(table_kv);
    choice.triggers.retain(|trigger| applies(trigger, table_kv));
    choice.conversions.extend(conversion);
    if !is_confirmed {
        choice
            .warnings
            .push("nobody has confirmed the voltage; ask the owner of the line before relying on this row".into());
    }
    Ok(choice)
}

fn carries(table: TableCurrent, current: Current) -> bool {
    match table {
        TableCurrent::Any => true,
        TableCurrent::Ac => current == Current::Ac,
        TableCurrent::Dc => current == Current::Dc,
    }
}

/// Looks a voltage up; a converted one also just above itself, since it was rounded before.
fn find_converted<'a>(
    rule: &RuleSet,
    rows: &[Indexed<'a>],
    query: &Query,
    voltage_kv: f64,
    converted: bool,
) -> Result<Hit<'a>, Miss> {
    let at = |voltage_kv| find_confirmed(rule, rows, query, voltage_kv);
    let hit = at(voltage_kv)?;
    match at(voltage_kv * (1.0 + ROUNDING_SHARE)) {
        Ok(mut beyond) if converted && beyond.index != hit.index && beyond.length.length_m > hit.length.length_m => {
            beyond.resolutions.push(Resolution::NearEdge { voltage_kv, smaller_m: hit.length.length_m });
            Ok(beyond)
        }
        _ => Ok(hit),
    }
}

/// Rows whose condition is confirmed come first; rows with an unconfirmed condition never count.
fn find_confirmed<'a>(rule: &RuleSet, rows: &[Indexed<'a>], query: &Query, voltage_kv: f64) -> Result<Hit<'a>, Miss> {
    let wanted = Wanted { voltage_kv, height_m: query.structure_height_m };
    let manner = Manner { between: rule.between_rows, below: rule.below_first_row };
    let confirmed = confirmed_rows(rows, &query.confirmed);
    if confirmed.iter().any(|(_, row)| row.holds(voltage_kv)) {
        return find(&confirmed, wanted, manner);
    }
    find(&plain_rows(rows), wanted, manner)
}

fn confirmed_rows<'a>(rows: &[Indexed<'a>], confirmed: &[String]) -> Vec<Indexed<'a>> {
    let is_confirmed = |row: &Row| {
        row.condition.as_ref().is_some_and(|condition| confirmed.iter().any(|name| same(&condition.id, name)))
    };
    rows.iter().copied().filter(|(_, row)| is_confirmed(row)).collect()
}

fn plain_rows<'a>(rows: &[Indexed<'a>]) -> Vec<Indexed<'a>> {
    rows.iter().copied().filter(|(_, row)| row.condition.is_none()).collect()
}

fn unknown(rule: &RuleSet, query: &Query, not_above_kv: Option<f64>) -> Result<LimitChoice, LimitError> {
    let all: Vec<Indexed<'_>> = rule.rows.iter().enumerate().collect();
    let plain = plain_rows(&all);
    let confirmed = confirmed_rows(&all, &query.confirmed);
    let for_any = !confirmed.is_empty() && confirmed.iter().all(|(_, row)| row.is_for_any_voltage());
    // A condition confirmed for one range of voltages says nothing while the voltage is unknown.
    let all_plain_for_any = plain.iter().all(|(_, row)| row.is_for_any_voltage());
    let rows = if for_any && all_plain_for_any { confirmed } else { plain };
    let known = Known { not_above_kv, height_m: query.structure_height_m };
    let found = unknown_voltage(rule, &rows, known)
        .map_err(|miss| refusal(rule, not_above_kv.unwrap_or(HIGHEST_LINE_KV), miss))?;
    let mut choice = unknown_answer(rule, query, found);
    choice
        .triggers
        .retain(|trigger| trigger.over_kv.is_none_or(|over_kv| not_above_kv.is_none_or(|top_kv| top_kv > over_kv)));
    Ok(choice)
}

fn unknown_answer(rule: &RuleSet, query: &Query, found: Unknown<'_>) -> LimitChoice {
    let basis = found.basis;
    let row = found.row.map(|(index, row)| row_ref(index, row));
    let mut choice = answer(rule, query, &found.length, found.provenance);
    choice.row = row;
    choice.resolutions = found.resolutions;
    choice.unknown_voltage = Some(basis);
    choice.warnings.push(unknown_warning(basis).into());
    choice.warnings.extend(rule.unknown_voltage.note.clone());
    choice.warnings.extend(standing_warnings(&choice));
    choice
}

fn unknown_warning(basis: UnknownVoltageBasis) -> &'static str {
    match basis {
        UnknownVoltageBasis::RuleDefault => {
            "the voltage is unknown; this is the rule's own distance until the owner states it"
        }
        UnknownVoltageBasis::SameForAll => "the voltage is unknown; the rule has the same distance for every voltage",
        UnknownVoltageBasis::CommonPractice => {
            "the voltage is unknown and the rule sets no distance for that; 7 m is common practice, not the rule; ask the owner"
        }
        UnknownVoltageBasis::LargestRow => {
            "the voltage is unknown and the rule sets no distance for that; its largest distance is used; ask the owner"
        }
    }
}

fn refusal(rule: &RuleSet, voltage_kv: f64, miss: Miss) -> LimitError {
    let rule = rule.id.clone();
    match miss {
        Miss::Empty => LimitError::NoNumber { rule, says: None },
        Miss::Words(words) => LimitError::NoNumber { rule, says: Some(words) },
        Miss::NeedsHeight(height) => LimitError::NeedsStructureHeight { rule, height },
        Miss::Above { top_kv } => LimitError::AboveTable { rule, voltage_kv, top_kv },
        Miss::Below { first_kv } => LimitError::BelowTable { rule, voltage_kv, first_kv },
    }
}

fn applies(trigger: &Trigger, voltage_kv: f64) -> bool {
    trigger.over_kv.is_none_or(|over_kv| voltage_kv > over_kv)
        && trigger.up_to_kv.is_none_or(|up_to_kv| voltage_kv <= up_to_kv)
}

/// Brings a voltage to the basis of the table: `U_pp = √3 · U_pg` on a three-phase system (IEC 60050-195 terms),
/// `U_pole-pole = 2 · U_pole-ground` on a two-pole line. A table for any voltage or by class needs no conversion up.
fn convert(table: Basis, given: Given) -> Option<Conversion> {
    let sqrt3 = 3.0_f64.sqrt();
    let given_kv = given.voltage_kv;
    let made = |table_kv: f64, note: &str| {
        Some(Conversion {
            given_kv,
            table_kv,
            note: format!("{}: {} becomes {}", note, kv_text(given_kv), kv_text(table_kv)),
        })
    };
    match (table, given.basis) {
        (Basis::Any, _) => None,
        (Basis::PhaseToGround, VoltageBasis::PhaseToPhase) => made(
            given_kv / sqrt3,
            "given between phases, the table counts to ground, divided by √3 (an unearthed system has no such relief)",
        ),
        (Basis::PhaseToPhase | Basis::NominalSystem | Basis::LineClass, VoltageBasis::PhaseToGround) => {
            made(given_kv * sqrt3, "given to ground, the table counts between phases, times √3")
        }
        (Basis::NominalSystem | Basis::LineClass, VoltageBasis::PoleToGround) => {
            made(given_kv * 2.0, "given from pole to ground, the table names the voltage of the line, times 2")
        }
        _ => None,
    }
}

fn row_answer(rule: &RuleSet, query: &Query, hit: Hit<'_>) -> LimitChoice {
    let mut choice = answer(rule, query, &hit.length, hit.row.provenance);
    choice.row = Some(row_ref(hit.index, hit.row));
    choice.resolutions = hit.resolutions;
    choice.warnings = standing_warnings(&choice);
    choice
}

fn row_ref(index: usize, row: &Row) -> RowRef {
    RowRef {
        index,
        range: row.range_text(),
        prints: row.distance.text(),
        label: row.label.clone(),
        condition: row.condition.as_ref().map(|condition| condition.says.clone()),
    }
}

fn standing_warnings(choice: &LimitChoice) -> Vec<String> {
    let memory = "part of this row is from memory, not seen in the source; check it before relying on it";
    let user = "this table was supplied by the user";
    let horizontal = "the rule measures this distance horizontally, from below the outermost wire";
    let holds = [
        (choice.is_from_memory(), memory),
        (choice.origin == Origin::User, user),
        (choice.measured == Measured::Horizontal, horizontal),
    ];
    holds.into_iter().filter(|(holds, _)| *holds).map(|(_, text)| text.to_string()).collect()
}

/// A length with everything that the rule itself says.
fn answer(rule: &RuleSet, query: &Query, length: &PrintedLength, provenance: Provenance) -> LimitChoice {
    LimitChoice {
        distance_m: length.length_m,
        printed: length.text.clone(),
        printed_unit: length.unit,
        measured: rule.measured,
        rule_id: rule.id.clone(),
        place: rule.place.clone(),
        instrument: rule.instrument.clone(),
        section: rule.section.clone(),
        edition: rule.edition.clone(),
        force: rule.force,
        who: rule.who.clone(),
        row: None,
        provenance,
        origin: rule.origin,
        work: query.work,
        table_voltage_kv: None,
        conversions: Vec::new(),
        unknown_voltage: None,
        stand_in: None,
        resolutions: Vec::new(),
        warnings: Vec::new(),
        notes: rule.notes.clone(),
        triggers: rule.triggers.clone(),
        duties: rule.duties.clone(),
        others: Vec::new(),
        source: rule.source.clone(),
    }
}
