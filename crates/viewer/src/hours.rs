//! The hours of the job's weather, asked of the plan crate: how hot each wire is in each, and how windy it is.

use std::f64::consts::PI;
use std::sync::Arc;

use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_plan::day::{self, Day, DayError, HourResult, MOST_EXACT_HOURS, Spell};
use wideberth_report::words::VerdictName;
use wideberth_scenario::Job;

use crate::moment::{Tautness, Weather};

/// An hour of the job's weather.
#[derive(Clone, Debug, PartialEq)]
pub struct HourWeather {
    /// Its number among those of the job.
    pub index: usize,
    /// When it begins and ends by the clock of the place, such as "14:00 to 15:00".
    pub clock: String,
    /// Temperatures of each wire of each line through the hour, °C.
    pub wires_degc: Vec<Vec<Interval>>,
    /// The wind through the hour, m/s.
    pub wind_m_per_s: Interval,
    /// Whether the wind that swings the wires also cools them: then they are hottest in the least wind.
    pub cooled: bool,
}

/// The certified answer for an hour.
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
        wind_m_per_s: hour.wind_m_per_s,
        cooled: job.wires.iter().flatten().any(|wire| wire.states.coupled),
    }
}

fn clock(job: &Job, hour: &HourResult) -> String {
    let Some(climate) = &job.climate else { return String::new() };
    let at = |instant| climate.offset.to_datetime(instant).strftime("%H:%M").to_string();
    format!("{} to {}", at(hour.weather.from), at(hour.weather.to()))
}

impl HourWeather {
    /// The weather at a share (0..=1) of the hour: every wire at its hottest, the wind rising to its strongest in the middle of the
    /// hour; where it cools the wires, in the least wind. Ice and the bearing of the wind stay.
    #[must_use]
    pub fn weather(self: &Arc<Self>, share: f64, now: &Weather) -> Weather {
        let wind_m_per_s = if self.cooled { 0.0 } else { (PI * share).sin().clamp(0.0, 1.0) };
        Weather {
            temperature_degc: self.range_degc().map_or(now.temperature_degc, |[_, hottest]| hottest),
            wind_m_per_s: self.wind_m_per_s.at(wind_m_per_s),
            tautness: Tautness::AsStated,
            hour: Some(Arc::clone(self)),
            section: None,
            ..now.clone()
        }
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
