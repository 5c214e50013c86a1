//! What both kinds of file share: cells with their place, quantities, the order of time.

use ::csv::StringRecord;

use super::Sample;
use super::series::HOUR_S;
use crate::bounds::{Bound, Bounded};
use crate::code::Code;
use crate::problem::Problem;
use crate::quantity::parse;
use crate::source::Position;

/// A row of a table, with its line.
pub(super) struct Row<'a> {
    pub cells: &'a StringRecord,
    pub line: usize,
}

impl<'a> Row<'a> {
    /// A row of a text. The reader counts the line where the row before ends; line ends and empty lines that follow are added.
    pub fn of(cells: &'a StringRecord, text: &str) -> Self {
        let at = cells.position();
        let rest = at.and_then(|at| text.as_bytes().get(at.byte() as usize..)).unwrap_or_default();
        let ends = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).filter(|byte| **byte == b'\n').count();
        Self { cells, line: at.map_or(1, |at| at.line() as usize) + ends }
    }

    /// The text of a cell.
    pub fn text(&self, column: usize) -> &str {
        self.cells.get(column).unwrap_or_default().trim()
    }

    /// Where a cell begins. Quoted cells, which no table of numbers needs, count as if they were not quoted.
    pub fn position(&self, column: usize) -> Position {
        let before = self.cells.iter().take(column).map(|cell| cell.chars().count() + 1);
        Position { line: self.line, column: 1 + before.sum::<usize>() }
    }

    /// A problem with a cell.
    pub fn problem(&self, column: usize, name: &str, code: Code, message: String, help: &str) -> Problem {
        Problem::new(code, name, self.position(column), message, help)
    }

    /// The quantity of kind `B` that a cell gives in a unit, in SI.
    pub fn quantity<B: Bounded>(&self, column: usize, name: &str, unit: &str) -> Result<f64, Problem> {
        let bound: Bound = B::BOUND;
        let text = self.text(column);
        if text.is_empty() {
            let message = format!("there is no {}", bound.name);
            let help = "fill it from the source of the file, or use another file: nothing is filled in here";
            return Err(self.problem(column, name, Code::WeatherGap, message, help));
        }
        let parsed = parse(&format!("{text} {unit}"), &[bound]).map(|(parsed, _)| parsed.si);
        parsed.map_err(|error| {
            let help = "check the number, and whether the column holds what its name and unit say";
            self.problem(column, name, Code::WeatherValue, format!("{error}"), help)
        })
    }
}

/// What is wrong with the time between two samples, in words; none when they are an hour apart.
pub(super) fn step_problem(before: &Sample, next: &Sample) -> Option<(Code, String)> {
    let seconds = next.at.as_second() - before.at.as_second();
    let whole = seconds / HOUR_S;
    match seconds {
        HOUR_S => None,
        0 => Some((Code::WeatherGap, "the same time stands in the row before".into())),
        _ if seconds < 0 => Some((Code::WeatherGap, "the time lies before that of the row before".into())),
        _ if seconds % HOUR_S == 0 => {
            Some((Code::WeatherGap, format!("{} hours are missing before this row", whole - 1)))
        }
        _ => Some((
            Code::WeatherGap,
            format!("{seconds} s lie between this row and the one before, where an hour belongs"),
        )),
    }
}
