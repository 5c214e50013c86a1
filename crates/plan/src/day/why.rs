//! What ends a clear spell: hot wires, wind, or both together.

use super::decide::clear;
use super::hours::Hourly;
use super::{Day, DayError};

/// Most spells that are explained; a file of a year has hundreds, which nobody reads.
const MOST_EXPLAINED: usize = 12;

/// What ends a clear spell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Hotter wires: with the temperatures of the hour before it would still be clear.
    Heat,
    /// Stronger wind: with the wind of the hour before it would still be clear.
    Wind,
    /// Either alone would be clear; both together are not.
    Together,
    /// Each alone ends it.
    Each,
}

/// Explains the first hour of each spell that is not clear, against the clear hour before it.
pub(super) fn explain(hourly: &Hourly<'_>, day: &mut Day) -> Result<(), DayError> {
    let mut explained = 0;
    for index in 1..day.windows.len() {
        let (before, first) = (day.windows[index - 1].hours.end - 1, day.windows[index].hours.start);
        let follows = first == before + 1 && !day.windows[index].clear() && day.windows[index - 1].clear();
        if !follows || explained == MOST_EXPLAINED {
            continue;
        }
        explained += 1;
        let wind = |hour: usize| day.hours[hour].wind_m_per_s;
        let cooler = clear(&hourly.in_wind(&[before], wind(first), &[first])?, &hourly.job.options)?;
        let calmer = clear(&hourly.in_wind(&[first], wind(before), &[before])?, &hourly.job.options)?;
        day.searches += 2;
        day.windows[index].cause = Some(match (cooler, calmer) {
            (true, true) => Cause::Together,
            (true, false) => Cause::Heat,
            (false, true) => Cause::Wind,
            (false, false) => Cause::Each,
        });
    }
    Ok(())
}
