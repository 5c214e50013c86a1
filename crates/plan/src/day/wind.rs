//! The wind at which the answer changes, by bisection with proven searches.

use wideberth_physics::interval::Interval;

use super::decide::{clear, close};
use super::hours::Hourly;
use super::{Day, DayError};

/// Strongest wind that is asked about, m/s: no machine works in a storm.
pub const STRONGEST_M_PER_S: f64 = 30.0;
/// How well the wind is found, m/s.
const STEP_M_PER_S: f64 = 0.25;
/// Most spells for which it is found.
const MOST_WINDOWS: usize = 12;

/// The wind up to which hours stay clear, with wires as hot as they may be in them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindLimit {
    /// Proven clear in any gust up to this, m/s.
    pub clear_to_m_per_s: f64,
    /// Not proven clear in gusts up to this, m/s; none where it is clear even in the strongest wind asked about.
    pub not_clear_at_m_per_s: Option<f64>,
    /// Whether a state too close was found there.
    pub too_close: bool,
}

/// The limits of each clear spell.
pub(super) fn limits(hourly: &Hourly<'_>, day: &mut Day) -> Result<(), DayError> {
    let clear: Vec<usize> = (0..day.windows.len()).filter(|&index| day.windows[index].clear()).collect();
    for index in clear.into_iter().take(MOST_WINDOWS) {
        let hours: Vec<usize> = day.windows[index].hours.clone().collect();
        let (limit, searches) = limit(hourly, &hours)?;
        day.windows[index].wind = limit;
        day.searches += searches;
    }
    Ok(())
}

/// The limit for some hours, and how many searches it took; none where they are not clear even in still air.
fn limit(hourly: &Hourly<'_>, hours: &[usize]) -> Result<(Option<WindLimit>, usize), DayError> {
    let options = &hourly.job.options;
    let up_to = |m_per_s: f64| Interval::new(0.0, m_per_s).ok();
    // A wind that tears the wires is none in which the job is clear.
    let is_clear = |m_per_s: f64| match up_to(m_per_s).map(|wind| hourly.in_wind(hours, wind, hours)) {
        Some(Ok(study)) => clear(&study, options),
        Some(Err(DayError::Wire(_))) | None => Ok(false),
        Some(Err(error)) => Err(error),
    };
    let mut searches = 2;
    if !is_clear(0.0)? {
        return Ok((None, searches));
    }
    if is_clear(STRONGEST_M_PER_S)? {
        let limit = WindLimit { clear_to_m_per_s: STRONGEST_M_PER_S, not_clear_at_m_per_s: None, too_close: false };
        return Ok((Some(limit), searches));
    }
    let (mut low, mut high) = (0.0, STRONGEST_M_PER_S);
    while high - low > STEP_M_PER_S {
        let middle = 0.5 * (low + high);
        searches += 1;
        if is_clear(middle)? {
            low = middle;
        } else {
            high = middle;
        }
    }
    let too_close = match up_to(high).map(|wind| hourly.in_wind(hours, wind, hours)) {
        Some(Ok(study)) => close(&study, options)?,
        _ => false,
    };
    Ok((Some(WindLimit { clear_to_m_per_s: low, not_clear_at_m_per_s: Some(high), too_close }), searches + 1))
}
