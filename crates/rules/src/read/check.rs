//! What must hold between the fields of one rule set.

use super::node::Problems;
use crate::error::Fault;
use crate::lookup::largest_print;
use crate::model::{Distance, Row, RuleSet};
use crate::words::{Purpose, TableCurrent};

/// Notes everything in the rule set that contradicts itself.
pub(super) fn rule_set(rule: &RuleSet, path: &str, problems: &Problems) {
    if rule.work.is_empty() == (rule.purpose == Purpose::Limit) {
        problems.note(&format!("{path}.work"), Fault::WorkAndPurpose);
    }
    if rule.source.is_empty() {
        problems.note(&format!("{path}.source"), Fault::Empty);
    }
    unknown_voltage(rule, path, problems);
    for (i, row) in rule.rows.iter().enumerate() {
        let note = |fault| problems.note(&format!("{path}.rows[{i}]"), fault);
        one_row(row).into_iter().for_each(note);
        let earlier = if rule.purpose == Purpose::Limit { &rule.rows[..i] } else { &[] };
        earlier.iter().enumerate().filter_map(|(j, earlier)| pair(row, j, earlier)).for_each(note);
    }
}

fn unknown_voltage(rule: &RuleSet, path: &str, problems: &Problems) {
    let defaults = &rule.unknown_voltage.defaults;
    let given = defaults.iter().filter(|default| default.not_above_kv.is_none()).count();
    if !defaults.is_empty() && given != 1 {
        problems.note(&format!("{path}.unknown_voltage.defaults"), Fault::OpenDefault { given });
    }
}

fn one_row(row: &Row) -> Vec<Fault> {
    let (lower_kv, upper_kv) = (row.lower_kv(), row.upper_kv());
    let both = |edge: Option<crate::model::Edge>| edge.is_some_and(|edge| edge.inclusive);
    let empty = lower_kv > upper_kv || (lower_kv == upper_kv && !(both(row.lower) && both(row.upper)));
    let mut faults = Vec::new();
    if empty {
        faults.push(Fault::EmptyRow { lower_kv, upper_kv });
    }
    if let Distance::PerKv(formula) = &row.distance
        && formula.above_kv != lower_kv
    {
        faults.push(Fault::FormulaStart { above_kv: formula.above_kv, lower_kv });
    }
    faults
}

/// Compares two rows that hold under the same facts.
fn pair(row: &Row, other: usize, earlier: &Row) -> Option<Fault> {
    let same_facts =
        row.condition.is_none() && earlier.condition.is_none() && currents_meet(row.current, earlier.current);
    if !same_facts {
        return None;
    }
    let shared = row.upper_kv().min(earlier.upper_kv()) - row.lower_kv().max(earlier.lower_kv());
    let twin = row.is_point() && earlier.is_point() && row.lower_kv() == earlier.lower_kv();
    if shared > 0.0 || twin {
        return Some(Fault::Overlap { other });
    }
    falls(row, other, earlier)
}

fn falls(row: &Row, other: usize, earlier: &Row) -> Option<Fault> {
    let (length_m, other_length_m) = (largest_print(row)?.length_m, largest_print(earlier)?.length_m);
    let above = row.lower_kv() >= earlier.upper_kv();
    let wrong = if above { length_m < other_length_m } else { length_m > other_length_m };
    wrong.then_some(Fault::Falls { length_m, other, other_length_m })
}

fn currents_meet(a: TableCurrent, b: TableCurrent) -> bool {
    a == b || a == TableCurrent::Any || b == TableCurrent::Any
}
