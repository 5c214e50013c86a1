//! When is the job clear? Hour by hour through a day or a whole file of weather: wire temperatures by the heat balance, heights, the
//! proven closest approach, the windows in which the job is clear, and the wind that ends them.
//!
//! An hour is a range of weather that holds throughout it, so its verdict does too (`docs/theory/day.md`).

mod decide;
mod heights;
mod hours;
mod measure;
mod why;
mod wind;
mod windows;

use thiserror::Error;
use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Finding};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::{Interval, IntervalError};
use wideberth_physics::line::{CatenaryError, KnownError, WireError};
use wideberth_physics::verdict::Verdict;
use wideberth_physics::weather::HeatError;
use wideberth_scenario::Job;
use wideberth_scenario::weather::Hour;

pub use heights::Spot;
pub use hours::WireId;
pub use measure::{MEASURED_TO_M, Measure};
pub use why::Cause;
pub use wind::WindLimit;
pub use windows::Window;

use crate::answer::is_nothing_live;
use hours::Hourly;

/// Most hours whose closest approach is searched one by one; longer spells are decided by ranges of hours.
pub const MOST_EXACT_HOURS: usize = 50;

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Each wire, in the order of `HourResult::wires_degc`.
    pub wires: Vec<WireId>,
    /// Places along wires, in the order of `HourResult::heights_m`.
    pub spots: Vec<Spot>,
    /// Each hour in turn.
    pub hours: Vec<HourResult>,
    /// Index of the worst hour: the least spare, or where spares are not known the worst verdict.
    pub worst: usize,
    /// Spells of the same verdict, clear or not, in turn.
    pub windows: Vec<Window>,
    /// What to measure of wires that nobody knows.
    pub measures: Vec<Measure>,
    /// How many searches it took.
    pub searches: usize,
}

/// What is found for an hour.
#[derive(Clone, Debug, PartialEq)]
pub struct HourResult {
    /// Its weather.
    pub weather: Hour,
    /// The wind that the wires are searched in, m/s.
    pub wind_m_per_s: Interval,
    /// Conductor temperature of each wire, °C.
    pub wires_degc: Vec<Interval>,
    /// Height of each spot above the ground there in still air, m.
    pub heights_m: Vec<Interval>,
    /// Whether the job is clear throughout the hour.
    pub verdict: Verdict,
    /// The smallest spare of any machine to any wire: its lower end is proven for the hour. Its upper end is infinite where the hour was
    /// proven clear together with others.
    pub spare: Bracket,
    /// The smallest distance, likewise.
    pub distance: Bracket,
    /// The finding with the smallest spare, where the hour was searched by itself.
    pub worst: Option<Finding>,
}

/// Why there is no answer.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum DayError {
    /// Nothing changes with the hour.
    #[error(
        "nothing in this scenario changes with the hour: give \"site\", \"date\" and \"weather\", and let \"conductor_temperature\" or \"wind_speed\" be \"from the weather\""
    )]
    NoWeather,
    /// A wire has no steady temperature.
    #[error(transparent)]
    Heat(#[from] HeatError),
    /// A wire has no shape.
    #[error(transparent)]
    Wire(#[from] WireError),
    /// What is known of a wire cannot be so.
    #[error(transparent)]
    Known(#[from] KnownError),
    /// A wire has no shape in a still state.
    #[error(transparent)]
    Shape(#[from] CatenaryError),
    /// A height or temperature is not finite.
    #[error(transparent)]
    Range(#[from] IntervalError),
    /// A search failed.
    #[error(transparent)]
    Search(#[from] ApproachError),
}

/// What is reported while it runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Hours decided.
    pub done: usize,
    /// Hours in all.
    pub total: usize,
}

/// Which hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spell {
    /// Those of the scenario's date; every hour where it states none.
    Job,
    /// Every hour of the weather.
    All,
}

/// Hours, wires and heights without any search.
///
/// # Errors
/// When nothing changes with the hour, or a wire has no temperature or no shape in one of them.
pub fn heights(job: &Job, spell: Spell) -> Result<Day, DayError> {
    let hourly = Hourly::of(job, spell)?;
    outline(job, &hourly)
}

fn outline(job: &Job, hourly: &Hourly<'_>) -> Result<Day, DayError> {
    let (spots, heights_m) = heights::heights(job, hourly)?;
    let none = Bracket { lower_m: f64::NEG_INFINITY, upper_m: f64::INFINITY };
    let hours = hourly.hours.iter().zip(heights_m).enumerate().map(|(index, (hour, heights_m))| HourResult {
        weather: hour.weather,
        wind_m_per_s: hourly.greatest_wind(&[index]),
        wires_degc: hourly.wires_degc(index),
        heights_m,
        verdict: Verdict::NotProven,
        spare: none,
        distance: none,
        worst: None,
    });
    let hours = hours.collect();
    Ok(Day { wires: hourly.ids(), spots, hours, worst: 0, windows: Vec::new(), measures: Vec::new(), searches: 0 })
}

/// Hours and their verdicts: the whole answer without its reasons and without what to measure.
///
/// # Errors
/// As for [`heights`], and when a search cannot run.
pub fn verdicts(job: &Job, spell: Spell) -> Result<Day, DayError> {
    decided(&Hourly::of(job, spell)?, &|_| {})
}

fn decided(hourly: &Hourly<'_>, listen: &(dyn Fn(Progress) + Sync)) -> Result<Day, DayError> {
    let mut day = outline(hourly.job, hourly)?;
    if is_nothing_live(hourly.job) {
        day.hours.iter_mut().for_each(HourResult::nothing_live);
    } else if day.hours.len() <= MOST_EXACT_HOURS {
        decide::each(hourly, &mut day, listen)?;
    } else {
        decide::together(hourly, &mut day, listen)?;
    }
    let spare = |hour: &HourResult| hour.spare.upper_m;
    let order = |a: &HourResult, b: &HourResult| spare(a).total_cmp(&spare(b)).then(b.verdict.cmp(&a.verdict));
    day.worst = (0..day.hours.len()).min_by(|&a, &b| order(&day.hours[a], &day.hours[b])).unwrap_or(0);
    day.windows = windows::windows(&day.hours);
    Ok(day)
}

/// The whole answer.
///
/// # Errors
/// As for [`verdicts`].
pub fn day(job: &Job, spell: Spell, listen: &(dyn Fn(Progress) + Sync)) -> Result<Day, DayError> {
    let hourly = Hourly::of(job, spell)?;
    let mut day = decided(&hourly, listen)?;
    if is_nothing_live(job) {
        return Ok(day);
    }
    why::explain(&hourly, &mut day)?;
    wind::limits(&hourly, &mut day)?;
    if day.hours.len() <= MOST_EXACT_HOURS {
        measure::measures(&hourly, &mut day)?;
    }
    Ok(day)
}

impl HourResult {
    /// Nothing is live, so nothing is close.
    fn nothing_live(&mut self) {
        let far = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
        self.verdict = Verdict::Clear;
        self.spare = far;
        self.distance = far;
    }

    /// Takes over what a search of this hour alone found.
    fn take(&mut self, found: Assessment) {
        self.verdict = found.verdict;
        self.spare = found.spare;
        self.distance = found.distance;
        self.worst = found.findings.into_iter().nth(found.worst);
    }
}
