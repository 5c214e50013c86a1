//! The distance when nobody knows the voltage.

use crate::choice::{Resolution, UnknownVoltageBasis};
use crate::lookup::{Indexed, Miss, Wanted, hit, larger_print};
use crate::model::{RuleSet, UnknownDefault};
use crate::quantity::{LengthUnit, PrintedLength};
use crate::words::Provenance;

/// The least distance for an unknown voltage where the rule has none of its own, m. Common practice; the same figure as
/// the 7 m that Alberta asks for until the operator of the line verifies the voltage.
pub const COMMON_PRACTICE_UNKNOWN_M: f64 = 7.0;

/// The voltage up to which a growing formula is followed when nothing is known about a line, kV. No embedded table
/// prints a row for a higher voltage.
pub const HIGHEST_LINE_KV: f64 = 1000.0;

/// The distance for an unknown voltage and what it rests on.
pub(crate) struct Unknown<'a> {
    pub(crate) length: PrintedLength,
    pub(crate) basis: UnknownVoltageBasis,
    pub(crate) row: Option<Indexed<'a>>,
    pub(crate) provenance: Provenance,
    pub(crate) resolutions: Vec<Resolution>,
}

/// What is known instead of the voltage.
#[derive(Clone, Copy)]
pub(crate) struct Known {
    pub(crate) not_above_kv: Option<f64>,
    pub(crate) height_m: Option<f64>,
}

/// One distance for all voltages, else the rule's own default, else the larger of common practice and its largest row.
pub(crate) fn unknown_voltage<'a>(rule: &RuleSet, rows: &[Indexed<'a>], known: Known) -> Result<Unknown<'a>, Miss> {
    if rows.is_empty() {
        return Err(Miss::Empty);
    }
    if rows.iter().all(|(_, row)| row.is_for_any_voltage()) {
        return same_for_all(rows, known);
    }
    match own_default(&rule.unknown_voltage.defaults, known.not_above_kv) {
        Some(default) => Ok(from_default(default)),
        None => largest_row(rule, rows, known),
    }
}

fn same_for_all<'a>(rows: &[Indexed<'a>], known: Known) -> Result<Unknown<'a>, Miss> {
    let wanted = Wanted { voltage_kv: HIGHEST_LINE_KV, height_m: known.height_m };
    let hits = rows.iter().map(|row| hit(*row, wanted)).collect::<Result<Vec<_>, _>>()?;
    let best = hits.into_iter().max_by(|a, b| a.length.length_m.total_cmp(&b.length.length_m)).ok_or(Miss::Empty)?;
    let (basis, row) = (UnknownVoltageBasis::SameForAll, Some((best.index, best.row)));
    Ok(Unknown { length: best.length, basis, row, provenance: best.row.provenance, resolutions: best.resolutions })
}

/// The narrowest default that covers what the line is confirmed not to exceed; without such a bound the open one.
fn own_default(defaults: &[UnknownDefault], not_above_kv: Option<f64>) -> Option<&UnknownDefault> {
    let reach_kv = |default: &UnknownDefault| default.not_above_kv.unwrap_or(f64::INFINITY);
    let needed_kv = not_above_kv.unwrap_or(f64::INFINITY);
    defaults.iter().filter(|default| reach_kv(default) >= needed_kv).min_by(|a, b| reach_kv(a).total_cmp(&reach_kv(b)))
}

fn from_default<'a>(default: &UnknownDefault) -> Unknown<'a> {
    let (length, resolutions) = larger_print(&default.distance, &default.other_prints);
    Unknown { length, basis: UnknownVoltageBasis::RuleDefault, row: None, provenance: default.provenance, resolutions }
}

fn largest_row<'a>(rule: &RuleSet, rows: &[Indexed<'a>], known: Known) -> Result<Unknown<'a>, Miss> {
    let top_kv = known.not_above_kv.unwrap_or(HIGHEST_LINE_KV);
    let mut largest =
        PrintedLength { text: "7 m".into(), unit: LengthUnit::Metre, length_m: COMMON_PRACTICE_UNKNOWN_M };
    let (mut basis, mut provenance) = (UnknownVoltageBasis::CommonPractice, rule.provenance);
    for (index, row) in rows.iter().copied().filter(|(_, row)| row.lower_kv() <= top_kv) {
        let wanted = Wanted { voltage_kv: row.upper_kv().min(top_kv), height_m: known.height_m };
        match hit((index, row), wanted) {
            Ok(found) if found.length.length_m > largest.length_m => {
                (largest, basis, provenance) = (found.length, UnknownVoltageBasis::LargestRow, row.provenance);
            }
            Ok(_) | Err(Miss::Words(_)) => {}
            Err(miss) => return Err(miss),
        }
    }
    Ok(Unknown { length: largest, basis, row: None, provenance, resolutions: Vec::new() })
}
