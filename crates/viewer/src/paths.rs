//! What plays: the work along the joints, and the heat of a day. Gusts are in `gusts`.

use std::f64::consts::TAU;
use std::sync::Arc;

use wideberth_physics::interval::Interval;
use wideberth_scenario::Job;

use crate::args::Motion;
use crate::hours::HourWeather;
use crate::moment::{Moment, Tautness, conditions};

/// Everything that a motion runs between.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    start: Moment,
    worst: Moment,
    /// Ends of the joints' ranges that lie beyond the worst pose.
    beyond: Vec<Vec<f64>>,
    temperature_degc: Interval,
    hours: Vec<Arc<HourWeather>>,
}

impl Course {
    /// The course of a job whose worst moment and hours are known.
    #[must_use]
    pub fn new(job: &Job, worst: &Moment, hours: &[Arc<HourWeather>]) -> Self {
        let start = Moment::start(job);
        let ranges = job.study.machines.iter().map(|machine| machine.ranges());
        let beyond = ranges.zip(&start.poses).zip(&worst.poses).map(|((ranges, start), worst)| {
            ranges.iter().zip(start).zip(worst).map(|((range, s), w)| end_beyond(range, *s, *w)).collect()
        });
        Self {
            beyond: beyond.collect(),
            temperature_degc: conditions(job).temperature_degc,
            hours: hours.to_vec(),
            start,
            worst: worst.clone(),
        }
    }

    /// The moment at a share (0..=1) of a motion, that began at `now`. In gusts the moment itself stays: the wires alone move.
    #[must_use]
    pub fn at(&self, motion: Motion, share: f64, now: &Moment) -> Moment {
        match motion {
            Motion::Work => self.work(share),
            Motion::Sway => now.clone(),
            Motion::Heat => self.heat(share, now),
        }
    }

    /// From the start through the worst pose to the far ends, each half eased; the wires as in the worst case.
    fn work(&self, share: f64) -> Moment {
        let (from, to, t) = if share < 0.5 {
            (&self.start.poses, &self.worst.poses, 2.0 * share)
        } else {
            (&self.worst.poses, &self.beyond, 2.0 * share - 1.0)
        };
        let poses = from.iter().zip(to).map(|(a, b)| blend(a, b, ease(t))).collect();
        Moment { poses, weather: self.worst.weather.clone() }
    }

    /// Hour by hour through the day, each as its proven worst case; where the scenario has no hours, from cold to hot and back.
    fn heat(&self, share: f64, now: &Moment) -> Moment {
        let at = share * self.hours.len() as f64;
        if let Some(hour) = self.hours.get((at as usize).min(self.hours.len().saturating_sub(1))) {
            return hour.moment();
        }
        let warmth = 0.5 - 0.5 * (TAU * share).cos();
        let mut moment = now.clone();
        moment.weather.hour = None;
        moment.weather.pinned = None;
        moment.weather.temperature_degc = self.temperature_degc.at(warmth);
        moment.weather.tautness = match now.weather.tautness {
            Tautness::AsStated => Tautness::AsStated,
            Tautness::Share(_) => Tautness::Share(warmth),
        };
        moment
    }
}

fn end_beyond(range: &Interval, start: f64, worst: f64) -> f64 {
    if worst >= start { range.high() } else { range.low() }
}

fn blend(from: &[f64], to: &[f64], t: f64) -> Vec<f64> {
    from.iter().zip(to).map(|(a, b)| a + (b - a) * t).collect()
}

/// Starts and ends at rest: 3t² − 2t³.
#[must_use]
pub fn ease(t: f64) -> f64 {
    t * t * (3.0 - 2.0 * t)
}
