//! The wires of a job in each hour of its weather, and studies of any set of hours.

use rayon::prelude::*;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, Wire};
use wideberth_physics::study::{Line, Study};
use wideberth_scenario::Job;
use wideberth_scenario::climate::{Climate, ClimateHour, hull};
use wideberth_scenario::wires::{WireModel, WireVariant};

use super::{DayError, Spell};

/// Which wire.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WireId {
    /// Index of the line.
    pub line: usize,
    /// Index of the wire in its line.
    pub wire: usize,
    /// Name of the line.
    pub line_name: String,
    /// Name of the wire.
    pub wire_name: String,
}

/// A job in each hour.
pub(super) struct Hourly<'a> {
    pub job: &'a Job,
    pub climate: Climate,
    pub hours: Vec<ClimateHour>,
    /// Each wire, with the temperatures of each of its variants in each hour; none where they are given.
    wires: Vec<HourlyWire>,
}

#[derive(Clone)]
pub(super) struct HourlyWire {
    pub id: WireId,
    pub model: WireModel,
    /// By variant, then by hour, °C.
    pub degc: Vec<Vec<Interval>>,
}

impl<'a> Hourly<'a> {
    pub fn of(job: &'a Job, spell: Spell) -> Result<Self, DayError> {
        let mut climate = job.climate.clone().ok_or(DayError::NoWeather)?;
        if spell == Spell::All {
            climate.job = 0..climate.hours.len();
        }
        let hours = climate.job_hours().to_vec();
        let models = job.wires.iter().enumerate().flat_map(|(line, wires)| {
            let pair = move |(wire, model): (usize, &'a WireModel)| (line, wire, model);
            wires.iter().enumerate().map(pair)
        });
        let models: Vec<_> = models.collect();
        if hours.is_empty() || !models.iter().any(|(.., model)| model.states.follow_weather()) {
            return Err(DayError::NoWeather);
        }
        let wires = models.into_par_iter().map(|(line, wire, model)| {
            let id = WireId { line, wire, line_name: job.lines[line].name.clone(), wire_name: model.name.clone() };
            let degc = model.variants.par_iter().map(|variant| by_hour(variant, model, &climate));
            let degc = degc.collect::<Result<_, DayError>>()?;
            Ok(HourlyWire { id, model: model.clone(), degc })
        });
        let wires = wires.collect::<Result<_, DayError>>()?;
        Ok(Self { job, climate, hours, wires })
    }

    pub fn wires(&self) -> &[HourlyWire] {
        &self.wires
    }

    pub fn ids(&self) -> Vec<WireId> {
        self.wires.iter().map(|wire| wire.id.clone()).collect()
    }

    /// The same job with another wire in the place of one.
    pub fn with_wire(&self, index: usize, wire: HourlyWire) -> Self {
        let mut wires = self.wires.clone();
        wires[index] = wire;
        Self { job: self.job, climate: self.climate.clone(), hours: self.hours.clone(), wires }
    }

    /// Temperature of each wire in an hour, over all that it may be, °C.
    pub fn wires_degc(&self, hour: usize) -> Vec<Interval> {
        let of = |wire: &HourlyWire| {
            let all = wire.degc.iter().filter_map(|hours| hours.get(hour)).copied().reduce(hull);
            all.unwrap_or(wire.model.states.base.temperature_degc)
        };
        self.wires.iter().map(of).collect()
    }

    /// The wind of some hours over all lines, m/s.
    pub fn greatest_wind(&self, hours: &[usize]) -> Interval {
        let picked = self.picked(hours);
        let winds = self.wires.iter().map(|wire| wire.model.states.wind_m_per_s(&picked));
        winds.reduce(hull).unwrap_or(self.job.lines[0].conditions.wind_m_per_s)
    }

    fn picked(&self, hours: &[usize]) -> Vec<ClimateHour> {
        hours.iter().map(|&hour| self.hours[hour]).collect()
    }

    /// The study that covers all of some hours.
    pub fn covering(&self, hours: &[usize]) -> Result<Study, DayError> {
        let picked = self.picked(hours);
        self.study(|wire, variant| {
            let degc: Vec<Interval> = wire.degc[variant]
                .is_empty()
                .then(Vec::new)
                .unwrap_or_else(|| hours.iter().map(|&h| wire.degc[variant][h]).collect());
            Ok(wire.model.variants[variant].conditions(&wire.model.states, &self.climate, &picked, &degc)?)
        })
    }

    /// The study of hours whose temperatures are those of `hot` and whose wind is a given range, from where it comes in `windy`.
    pub fn in_wind(&self, hot: &[usize], wind_m_per_s: Interval, windy: &[usize]) -> Result<Study, DayError> {
        let windy = self.picked(windy);
        self.study(|wire, variant| {
            let degc = hot.iter().filter_map(|&h| wire.degc[variant].get(h)).copied().reduce(hull);
            let base = wire.model.states.base;
            let degc = degc.map(|degc| wire.model.states.worked_degc(degc));
            let temperature_degc = degc.unwrap_or(base.temperature_degc);
            let wind_direction = wire.model.states.wind_direction(&windy);
            Ok(vec![Conditions { temperature_degc, wind_m_per_s, wind_direction, ..base }])
        })
    }

    /// A study of states that every one of some hours holds; none where they have none in common.
    pub fn common(&self, hours: &[usize]) -> Result<Option<Study>, DayError> {
        let least = |values: &mut dyn Iterator<Item = Interval>| {
            let common = values.map(Some).reduce(|a, b| {
                let (a, b) = (a?, b?);
                Interval::new(a.low().max(b.low()), a.high().min(b.high())).ok()
            });
            common.flatten()
        };
        let coupled = self.wires.iter().any(|wire| wire.model.states.coupled);
        let mut whole = !coupled;
        let study = self.study(|wire, variant| {
            let states = &wire.model.states;
            let worked = hours.iter().filter_map(|&h| wire.degc[variant].get(h)).map(|degc| states.worked_degc(*degc));
            let degc = least(&mut worked.into_iter());
            let wind = least(&mut hours.iter().map(|&h| states.wind_m_per_s(&[self.hours[h]])));
            let from = hours.iter().map(|&h| Some(states.wind_direction(&[self.hours[h]])));
            let from = from.reduce(|a, b| a?.common(b?)).flatten();
            whole &= (wire.degc[variant].is_empty() || degc.is_some()) && from.is_some();
            let temperature_degc = degc.unwrap_or(states.base.temperature_degc);
            let wind_m_per_s = wind.unwrap_or(states.base.wind_m_per_s);
            let wind_direction = from.unwrap_or(states.base.wind_direction);
            Ok(vec![Conditions { temperature_degc, wind_m_per_s, wind_direction, ..states.base }])
        })?;
        Ok(whole.then_some(study))
    }

    fn study(
        &self,
        mut conditions: impl FnMut(&HourlyWire, usize) -> Result<Vec<Conditions>, DayError>,
    ) -> Result<Study, DayError> {
        let empty = |line: &Line| Line { name: line.name.clone(), wires: Vec::new() };
        let mut lines: Vec<Line> = self.job.study.lines.iter().map(empty).collect();
        for wire in &self.wires {
            let sets = (0..wire.model.variants.len()).map(|variant| conditions(wire, variant));
            let lowered: Wire = wire.model.under(&sets.collect::<Result<_, DayError>>()?)?;
            lines[wire.id.line].wires.push(lowered);
        }
        let (machines, pairings) = (self.job.study.machines.clone(), self.job.study.pairings.clone());
        Ok(Study { lines, machines, pairings })
    }

    /// How hot and how windy an hour is, to sort by.
    pub fn harshness(&self, hour: usize) -> [f64; 2] {
        let hottest = self.wires.iter().flat_map(|wire| wire.degc.iter().filter_map(move |degc| degc.get(hour)));
        let hottest_degc = hottest.fold(f64::NEG_INFINITY, |most, degc| most.max(degc.high()));
        [if hottest_degc.is_finite() { hottest_degc } else { 0.0 }, self.greatest_wind(&[hour]).high()]
    }
}

/// Temperatures of a variant by hour, °C; none where they do not come from the weather.
fn by_hour(variant: &WireVariant, model: &WireModel, climate: &Climate) -> Result<Vec<Interval>, DayError> {
    match variant.heating.as_ref().filter(|_| model.states.temperature_from_weather) {
        Some(heating) => Ok(heating.job_degc(climate)?),
        None => Ok(Vec::new()),
    }
}
