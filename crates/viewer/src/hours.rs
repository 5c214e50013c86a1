//! The hours of the job's weather, asked of the plan crate: how hot each wire is in each, and the proven answer with its witness.

use std::sync::Arc;

use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_plan::day::{self, Day, DayError, HourResult, MOST_EXACT_HOURS, Spell};
use wideberth_report::words::VerdictName;
use wideberth_scenario::Job;

use crate::moment::Moment;

/// An hour of the job's weather.
#[derive(Clone, Debug, PartialEq)]
pub struct HourWeather {
    /// Its number among those of the job.
    pub index: usize,
    /// When it begins and ends by the clock of the place, such as "14:00 to 15:00".
    pub clock: String,
    /// Temperatures of each wire of each line through the hour, °C.
    pub wires_degc: Vec<Vec<Interval>>,
    /// The proven worst case of the hour: pose and weather of its witness.
    worst: Moment,
}

/// The proven answer for an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourAnswer {
    /// Whether the job is clear throughout it.
    pub verdict: VerdictName,
    /// The smallest distance of any machine to any wire, m; its lower end is proven.
    pub distance: Bracket,
}

/// The hours of a job with their answers; none where nothing changes with the hour, or there are more than a day or two of them.
///
/// # Errors
/// When a wire has no temperature or no shape in an hour, or a search cannot run.
pub fn hours(job: &Job) -> Result<(Vec<Arc<HourWeather>>, Vec<HourAnswer>), DayError> {
    let few = job.climate.as_ref().is_some_and(|climate| climate.job_hours().len() <= MOST_EXACT_HOURS);
    if !few {
        return Ok((Vec::new(), Vec::new()));
    }
    match day::verdicts(job, Spell::Job) {
        Ok(day) => {
            let hours = day.hours.iter().enumerate();
            let weather = hours.map(|(index, hour)| Arc::new(hour_weather(job, &day, index, hour))).collect();
            let answer = |hour: &HourResult| HourAnswer { verdict: hour.verdict.into(), distance: hour.distance };
            Ok((weather, day.hours.iter().map(answer).collect()))
        }
        Err(DayError::NoWeather) => Ok((Vec::new(), Vec::new())),
        Err(error) => Err(error),
    }
}

fn hour_weather(job: &Job, day: &Day, index: usize, hour: &HourResult) -> HourWeather {
    let own = |line: usize| {
        let wires = day.wires.iter().zip(&hour.wires_degc).filter(move |(id, _)| id.line == line);
        wires.map(|(_, degc)| *degc).collect()
    };
    HourWeather {
        index,
        clock: clock(job, hour),
        wires_degc: (0..job.study.lines.len()).map(own).collect(),
        worst: hour.worst.as_ref().map_or_else(|| Moment::start(job), |found| Moment::of_other(job, found)),
    }
}

fn clock(job: &Job, hour: &HourResult) -> String {
    let Some(climate) = &job.climate else { return String::new() };
    let at = |instant| climate.offset.to_datetime(instant).strftime("%H:%M").to_string();
    format!("{} to {}", at(hour.weather.from), at(hour.weather.to()))
}

impl HourWeather {
    /// The proven worst case of the hour: what is shown is what was proven for it, not a sample. Wires that it does not concern hang at
    /// their hottest.
    #[must_use]
    pub fn moment(self: &Arc<Self>) -> Moment {
        let mut moment = self.worst.clone();
        moment.weather.hour = Some(Arc::clone(self));
        moment
    }

    /// Temperature of a wire at its hottest, °C.
    #[must_use]
    pub fn hottest_degc(&self, line: usize, wire: usize) -> Option<f64> {
        Some(self.wires_degc.get(line)?.get(wire)?.high())
    }

    /// Temperatures of the coldest and of the hottest wire, each at its hottest, °C.
    #[must_use]
    pub fn range_degc(&self) -> Option<[f64; 2]> {
        let hottest = self.wires_degc.iter().flatten().map(|degc| degc.high());
        hottest.map(|degc| [degc; 2]).reduce(|[low, high], [a, b]| [low.min(a), high.max(b)])
    }
}
