//! Checking quantities, ranges and plain numbers against the table of bounds.

use serde_json::Value;

use crate::bounds::{self, Bound};
use crate::code::Code;
use crate::path::Path;
use crate::problem::{Problem, Problems};
use crate::quantity::{Parsed, parse};
use crate::source::Source;

/// The kinds that a schema names under "x-quantity"; none when it is no quantity.
pub(super) fn kinds(schema: &Value) -> Option<Vec<Bound>> {
    let names = schema.get("x-quantity")?.as_array()?;
    Some(names.iter().filter_map(|name| bounds::find(name.as_str()?)).copied().collect())
}

/// Checks a value that must be a quantity, or a range where the schema allows one.
pub(super) fn check(source: &Source, at: &Path, value: &Value, kinds: &[Bound], range: bool, problems: &mut Problems) {
    match value {
        Value::Array(items) if range => check_range(source, at, items, kinds, problems),
        _ => {
            check_one(source, at, value, kinds, range).map_err(|problem| problems.add(problem)).ok();
        }
    }
}

fn check_range(source: &Source, at: &Path, items: &[Value], kinds: &[Bound], problems: &mut Problems) {
    let [low, high] = items else {
        let message = format!("two entries belong in a range, which here has {}", items.len());
        problems.add(source.problem(Code::WrongLength, at, message, "write [lowest, highest], or one quantity"));
        return;
    };
    let ends = [(0, low), (1, high)].map(|(index, end)| {
        check_one(source, &at.index(index), end, kinds, false).map_err(|problem| problems.add(problem)).ok()
    });
    let [Some(low), Some(high)] = ends else { return };
    if low.dimension != high.dimension {
        let message = format!("the range goes from {} to {}", low.dimension, high.dimension);
        problems.add(source.problem(Code::WrongUnit, at, message, "give both ends in units of the same kind"));
    } else if low.si > high.si {
        let message = format!("the lower end {} lies above the upper end {}", items[0], items[1]);
        problems.add(source.problem(Code::InvertedRange, at, message, "write [lowest, highest], or correct one"));
    }
}

fn check_one(source: &Source, at: &Path, value: &Value, kinds: &[Bound], range: bool) -> Result<Parsed, Problem> {
    let Some(bound) = kinds.first() else {
        return Err(source.problem(Code::Structure, at, "no kind of quantity is known here", "report this"));
    };
    match value {
        Value::String(text) => parse(text, kinds)
            .map(|(parsed, _)| parsed)
            .map_err(|error| source.problem(error.code(), at, error.to_string(), error.help(bound))),
        Value::Number(number) => Err(bare(source, at, &number.to_string(), bound)),
        other => Err(wrong(source, at, other, bound, range)),
    }
}

fn bare(source: &Source, at: &Path, number: &str, bound: &Bound) -> Problem {
    let message = format!("{number} is a number without unit, where {} belongs ({})", bound.dimension, bound.name);
    let unit = bound.dimension.units().next().unwrap_or_default();
    source.problem(
        Code::BareNumber,
        at,
        message,
        format!("write it as text with its unit, such as \"{number} {unit}\""),
    )
}

fn wrong(source: &Source, at: &Path, found: &Value, bound: &Bound, range: bool) -> Problem {
    let message = format!("{} stands where {} belongs ({})", super::walk::kind(found), bound.dimension, bound.name);
    let example = bound.example();
    let help = if range {
        format!("write \"{example}\", or a range [\"lowest\", \"highest\"]")
    } else {
        format!("write it such as \"{example}\"")
    };
    source.problem(Code::WrongType, at, message, help)
}

/// Checks a plain number of a kind in the table.
pub(super) fn check_number(source: &Source, at: &Path, value: &Value, bound: &Bound, problems: &mut Problems) {
    match value.as_f64() {
        Some(number) if (bound.min..=bound.max).contains(&number) => {}
        Some(number) => {
            let message = format!("{number} is outside the range of {}, {}", bound.name, bound.range());
            problems.add(source.problem(Code::OutOfRange, at, message, "check the number"));
        }
        None => {
            let message = format!("{} stands where a plain number belongs ({})", super::walk::kind(value), bound.name);
            let quoted = value.as_str().map(str::trim).filter(|text| text.parse::<f64>().is_ok());
            let help = quoted.map_or_else(
                || "write a number without quotes and unit".into(),
                |text| format!("write it without quotes: {text}"),
            );
            problems.add(source.problem(Code::WrongType, at, message, help));
        }
    }
}
