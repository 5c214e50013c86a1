//! Finding the row of a table for one voltage, and the length that it prints.

use crate::choice::Resolution;
use crate::model::{Distance, OtherPrint, PerHeight, PerKv, Row};
use crate::quantity::PrintedLength;
use crate::words::{BelowFirstRow, BetweenRows, PartSteps};

/// The row found, its length, and the doubts that were resolved.
#[derive(Clone, Debug)]
pub(crate) struct Hit<'a> {
    pub(crate) index: usize,
    pub(crate) row: &'a Row,
    pub(crate) length: PrintedLength,
    pub(crate) resolutions: Vec<Resolution>,
}

/// Why a table has no length for a voltage.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Miss {
    Empty,
    Words(String),
    NeedsHeight(String),
    Above { top_kv: f64 },
    Below { first_kv: f64 },
}

/// What is looked up: a voltage on the basis of the table, and the height of a structure where it is known.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted {
    pub(crate) voltage_kv: f64,
    pub(crate) height_m: Option<f64>,
}

/// How a table behaves where no row holds the voltage.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Manner {
    pub(crate) between: BetweenRows,
    pub(crate) below: BelowFirstRow,
}

/// A row with its index in the table.
pub(crate) type Indexed<'a> = (usize, &'a Row);

/// Finds the row for a voltage among rows that all hold under the same facts.
pub(crate) fn find<'a>(rows: &[Indexed<'a>], wanted: Wanted, manner: Manner) -> Result<Hit<'a>, Miss> {
    let inside: Vec<Indexed<'a>> = rows.iter().copied().filter(|(_, row)| row.holds(wanted.voltage_kv)).collect();
    match inside.as_slice() {
        [] => outside(rows, wanted, manner),
        [one] => hit(*one, wanted),
        several => largest(several, wanted),
    }
}

/// The length of one row at a voltage.
pub(crate) fn hit<'a>((index, row): Indexed<'a>, wanted: Wanted) -> Result<Hit<'a>, Miss> {
    let (length, resolutions) = match &row.distance {
        Distance::Fixed(length) => larger_print(length, &row.other_prints),
        Distance::PerKv(formula) => (per_kv(formula, wanted.voltage_kv), Vec::new()),
        Distance::PerHeight(formula) => (per_height(formula, wanted.height_m)?, Vec::new()),
        Distance::Words(words) => return Err(Miss::Words(words.clone())),
    };
    Ok(Hit { index, row, length, resolutions })
}

/// The largest of the figures printed for one row, where it prints a plain length.
pub(crate) fn largest_print(row: &Row) -> Option<PrintedLength> {
    match &row.distance {
        Distance::Fixed(length) => Some(larger_print(length, &row.other_prints).0),
        _ => None,
    }
}

/// The larger of a length and its other prints; says so when they differ by more than rounding to a millimetre.
pub(crate) fn larger_print(length: &PrintedLength, others: &[OtherPrint]) -> (PrintedLength, Vec<Resolution>) {
    let mut largest = length.clone();
    let mut resolutions = Vec::new();
    for other in others {
        let (larger, smaller) = if other.distance.length_m > largest.length_m {
            (&other.distance, &largest)
        } else {
            (&largest, &other.distance)
        };
        if larger.length_m - smaller.length_m > 0.001 {
            let (larger, smaller) = (larger.text.clone(), smaller.text.clone());
            resolutions.push(Resolution::TwoPrints { larger, smaller, place_of_print: other.place_of_print.clone() });
        }
        largest = larger.clone();
    }
    (largest, resolutions)
}

fn largest<'a>(several: &[Indexed<'a>], wanted: Wanted) -> Result<Hit<'a>, Miss> {
    let hits = several.iter().map(|row| hit(*row, wanted)).collect::<Result<Vec<_>, _>>()?;
    let smaller_m = hits.iter().map(|hit| hit.length.length_m).fold(f64::INFINITY, f64::min);
    let mut best =
        hits.into_iter().max_by(|a, b| a.length.length_m.total_cmp(&b.length.length_m)).ok_or(Miss::Empty)?;
    best.resolutions.push(Resolution::EdgePrintedTwice { voltage_kv: wanted.voltage_kv, smaller_m });
    Ok(best)
}

fn outside<'a>(rows: &[Indexed<'a>], wanted: Wanted, manner: Manner) -> Result<Hit<'a>, Miss> {
    let kv = wanted.voltage_kv;
    let under = rows
        .iter()
        .copied()
        .filter(|(_, row)| row.upper_kv() <= kv)
        .max_by(|a, b| a.1.upper_kv().total_cmp(&b.1.upper_kv()));
    let over = rows
        .iter()
        .copied()
        .filter(|(_, row)| row.lower_kv() >= kv)
        .min_by(|a, b| a.1.lower_kv().total_cmp(&b.1.lower_kv()));
    match (under, over) {
        (Some(under), Some(over)) => between(under, over, wanted, manner),
        (Some((_, under)), None) => Err(Miss::Above { top_kv: under.upper_kv() }),
        (None, Some(over)) => below(over, wanted, manner),
        (None, None) => Err(Miss::Empty),
    }
}

fn below<'a>(first: Indexed<'a>, wanted: Wanted, manner: Manner) -> Result<Hit<'a>, Miss> {
    let first_kv = first.1.lower_kv();
    if manner.below == BelowFirstRow::Refuse {
        return Err(Miss::Below { first_kv });
    }
    let mut hit = hit(first, Wanted { voltage_kv: first_kv, ..wanted })?;
    hit.resolutions.push(Resolution::BelowFirstRow { voltage_kv: wanted.voltage_kv, first_kv });
    Ok(hit)
}

fn between<'a>(under: Indexed<'a>, over: Indexed<'a>, wanted: Wanted, manner: Manner) -> Result<Hit<'a>, Miss> {
    let high = hit(over, Wanted { voltage_kv: over.1.lower_kv(), ..wanted })?;
    let low = hit(under, Wanted { voltage_kv: under.1.upper_kv(), ..wanted }).ok();
    let points = under.1.is_point() && over.1.is_point();
    match low {
        Some(low) if points && manner.between == BetweenRows::Interpolate => {
            Ok(interpolated(low, high, wanted.voltage_kv))
        }
        low => Ok(larger_neighbour(low, high, wanted.voltage_kv)),
    }
}

fn larger_neighbour<'a>(low: Option<Hit<'a>>, high: Hit<'a>, voltage_kv: f64) -> Hit<'a> {
    let (mut larger, smaller) = match low {
        Some(low) if low.length.length_m > high.length.length_m => (low, Some(high)),
        low => (high, low),
    };
    let smaller_m = smaller.map(|hit| hit.length.length_m);
    larger.resolutions.push(Resolution::BetweenRows { voltage_kv, smaller_m });
    larger
}

/// `D = D₁ + (D₂ − D₁) · (U − U₁) / (U₂ − U₁)`, between two printed voltages.
fn interpolated<'a>(low: Hit<'a>, mut high: Hit<'a>, voltage_kv: f64) -> Hit<'a> {
    let (lower_kv, upper_kv) = (low.row.lower_kv(), high.row.lower_kv());
    let share = (voltage_kv - lower_kv) / (upper_kv - lower_kv);
    let length_m = low.length.length_m + (high.length.length_m - low.length.length_m) * share;
    high.length = PrintedLength::calculated(length_m, high.length.unit);
    high.resolutions.push(Resolution::Interpolated { voltage_kv, lower_kv, upper_kv });
    high
}

/// `D = base + add · n`, `n = (U − above) / per`, rounded up to whole steps where the rule does not count parts.
fn per_kv(formula: &PerKv, voltage_kv: f64) -> PrintedLength {
    let steps = ((voltage_kv - formula.above_kv) / formula.per_kv).max(0.0);
    let steps = match formula.part_steps {
        PartSteps::InProportion => steps,
        // A step that is whole but for rounding of the voltage must not count as the next one.
        PartSteps::RoundedUp => (steps - 1e-9).ceil().max(0.0),
    };
    PrintedLength::calculated(formula.base.length_m + formula.add.length_m * steps, formula.base.unit)
}

/// `D = times · height + add`.
fn per_height(formula: &PerHeight, height_m: Option<f64>) -> Result<PrintedLength, Miss> {
    let height_m = height_m.ok_or_else(|| Miss::NeedsHeight(formula.height.clone()))?;
    Ok(PrintedLength::calculated(formula.times * height_m + formula.add.length_m, formula.add.unit))
}
