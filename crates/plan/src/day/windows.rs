//! Spells in which the job is clear, and those in which it is not.

use std::ops::Range;

use wideberth_physics::verdict::Verdict;

use super::{Cause, HourResult, WindLimit};

/// Hours that follow each other and are all clear, or all not.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// Indices of its hours.
    pub hours: Range<usize>,
    /// The worst verdict in it.
    pub verdict: Verdict,
    /// For one that is not clear, right after one that is: what ends the clear one.
    pub cause: Option<Cause>,
    /// For a clear one: the wind up to which it stays clear.
    pub wind: Option<WindLimit>,
}

impl Window {
    /// Whether the job is clear in it.
    #[must_use]
    pub fn clear(&self) -> bool {
        self.verdict == Verdict::Clear
    }
}

/// The spells, in turn.
pub(super) fn windows(hours: &[HourResult]) -> Vec<Window> {
    let mut windows: Vec<Window> = Vec::new();
    for (index, hour) in hours.iter().enumerate() {
        let clear = hour.verdict == Verdict::Clear;
        let follows = index > 0 && hours[index - 1].weather.to() == hour.weather.from;
        match windows.last_mut().filter(|window| follows && window.clear() == clear) {
            Some(window) => {
                window.hours.end = index + 1;
                window.verdict = window.verdict.max(hour.verdict);
            }
            None => windows.push(Window { hours: index..index + 1, verdict: hour.verdict, cause: None, wind: None }),
        }
    }
    windows
}
