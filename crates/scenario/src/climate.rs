//! The weather of a job at its site: hours with the sun that belongs to them.

use std::ops::Range;

use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{Timestamp, ToSpan};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::WindDirection;
use wideberth_physics::weather::{Atmosphere, Place, SunError, SunPosition};

use crate::weather::Hour;

/// The weather of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Climate {
    /// Where the job is.
    pub place: Place,
    /// The clock that people there read.
    pub offset: Offset,
    /// Date of the job, as stated.
    pub date: Option<Date>,
    /// Where the weather comes from, in words.
    pub source: String,
    /// Whether the weather is that of a typical year and not of the date itself.
    pub typical: bool,
    /// How many times the mean wind a gust may reach, where no gusts are given.
    pub gust_factor: f64,
    /// Every hour that is known.
    pub hours: Vec<ClimateHour>,
    /// Which of them the job is in: those of its date, or all.
    pub job: Range<usize>,
}

/// An hour of weather with the sun that belongs to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClimateHour {
    /// The weather.
    pub weather: Hour,
    /// The most that a clear sun may shine on a plane that faces it, W/m².
    pub sun_w_per_m2: f64,
}

/// How far the sun may climb within a quarter of an hour, rad: 15 degrees in an hour at most.
const CLIMB_RAD: f64 = 15.0 / 4.0 * std::f64::consts::PI / 180.0;

impl Climate {
    /// The hours that the job is in.
    #[must_use]
    pub fn job_hours(&self) -> &[ClimateHour] {
        self.hours.get(self.job.clone()).unwrap_or_default()
    }

    /// Whether the wind has a direction in any hour of the job.
    #[must_use]
    pub fn has_directions(&self) -> bool {
        self.job_hours().iter().any(|hour| hour.weather.wind_from != WindDirection::Any)
    }

    /// The hours that hold an instant: one, or two where it is a full hour.
    #[must_use]
    pub fn around(&self, at: Timestamp) -> Range<usize> {
        let first = self.hours.partition_point(|hour| hour.weather.to() < at);
        let last = self.hours.partition_point(|hour| hour.weather.from <= at);
        first..last.max(first)
    }
}

/// Hours with their sun.
///
/// # Errors
/// When the sun's place cannot be told.
pub fn with_sun(hours: Vec<Hour>, place: &Place, sky: Atmosphere) -> Result<Vec<ClimateHour>, SunError> {
    let altitude = |at: Timestamp| SunPosition::at(place, at.as_second() as f64).map(|sun| sun.altitude_rad);
    let mut last: Option<(Timestamp, f64)> = None;
    let mut hour_of = |weather: Hour| {
        let begin = match last {
            Some((at, known)) if at == weather.from => known,
            _ => altitude(weather.from)?,
        };
        let (middle, end) = (altitude(weather.from + 30.minutes())?, altitude(weather.to())?);
        last = Some((weather.to(), end));
        // No moment of the hour is farther than a quarter of an hour from one of the three.
        let highest_rad = (begin.max(middle).max(end) + CLIMB_RAD).min(std::f64::consts::FRAC_PI_2);
        Ok(ClimateHour { weather, sun_w_per_m2: sky.flux_w_per_m2(highest_rad, place.elevation_m) })
    };
    hours.into_iter().map(&mut hour_of).collect()
}

/// The smallest range that holds both.
#[must_use]
pub fn hull(a: Interval, b: Interval) -> Interval {
    // Both are ranges, so the ends are finite and in order.
    Interval::new(a.low().min(b.low()), a.high().max(b.high())).unwrap_or(a)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sun_of_an_hour_is_never_less_than_at_any_moment() {
        let place = Place { latitude_rad: 0.75, longitude_rad: -1.3, elevation_m: 200.0 };
        let range = |low, high| Interval::new(low, high).expect("a range");
        for start in (0..48).map(|h| 1_784_000_000 + h * 3600) {
            let from = Timestamp::from_second(start).expect("a time");
            let weather = Hour {
                from,
                air_degc: range(10.0, 12.0),
                wind_m_per_s: range(0.0, 1.0),
                gust_m_per_s: 2.0,
                wind_from: WindDirection::Any,
            };
            let hour = with_sun(vec![weather], &place, Atmosphere::Clear).expect("a sun")[0];
            for minute in 0..=60 {
                let sun = SunPosition::at(&place, (start + 60 * minute) as f64).expect("a sun");
                assert!(Atmosphere::Clear.flux_w_per_m2(sun.altitude_rad, 200.0) <= hour.sun_w_per_m2);
            }
        }
    }
}
