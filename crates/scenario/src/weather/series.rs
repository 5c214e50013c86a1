//! Samples of the weather an hour apart, and the hours between them.

use std::f64::consts::TAU;

use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{Timestamp, ToSpan};
use wideberth_physics::interval::{Interval, IntervalError};
use wideberth_physics::line::WindDirection;

/// Seconds of an hour.
pub(super) const HOUR_S: i64 = 3600;

/// The weather at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// When.
    pub at: Timestamp,
    /// Temperature of the air, °C.
    pub air_degc: f64,
    /// Mean wind speed, m/s.
    pub wind_m_per_s: f64,
    /// Gusts, m/s, where the source gives them.
    pub gust_m_per_s: Option<f64>,
    /// Bearing from which the wind blows, rad; none where the source gives none or calls it calm or variable.
    pub wind_from_rad: Option<f64>,
    /// Sunshine on level ground, W/m², where the source gives it. It only serves to find a wrong time zone.
    pub sun_w_per_m2: Option<f64>,
    /// Line of the file, from 1; 0 where there is none.
    pub line: usize,
}

/// How far the true weather may be from what the source says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Allowance {
    /// Air temperature, either way, K.
    pub air_k: f64,
    /// How many times the mean wind a gust may reach, where the source gives no gusts.
    pub gust_factor: f64,
    /// How far the wind may turn from the direction of the source, either way, rad.
    pub turn_rad: f64,
}

/// Below this mean speed the wind has no direction that lasts, m/s: light winds meander (common practice, from memory).
pub const STEADY_M_PER_S: f64 = 2.0;
/// A turn by more than this between two samples may have gone either way round, rad.
const QUARTER_RAD: f64 = std::f64::consts::FRAC_PI_2;

/// Samples an hour apart, in the order of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Where it comes from, in words.
    pub source: String,
    /// Offset of the clock that people at the place read.
    pub offset: Offset,
    /// The year that a typical year was placed in; none where the samples have dates of their own.
    pub typical_year: Option<i16>,
    /// Samples.
    pub samples: Vec<Sample>,
}

/// The weather over one hour, as ranges that hold throughout it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hour {
    /// Its beginning; it ends an hour later.
    pub from: Timestamp,
    /// Temperature of the air, °C.
    pub air_degc: Interval,
    /// Mean wind speed, m/s.
    pub wind_m_per_s: Interval,
    /// Strongest gust, m/s.
    pub gust_m_per_s: f64,
    /// Where the wind comes from.
    pub wind_from: WindDirection,
}

impl Hour {
    /// The weather between two samples: whatever lies between their values, and the allowance.
    fn between(a: &Sample, b: &Sample, allowance: &Allowance) -> Result<Self, IntervalError> {
        let hull = |x: f64, y: f64, margin: f64| Interval::new(x.min(y) - margin, x.max(y) + margin);
        let wind_m_per_s = hull(a.wind_m_per_s, b.wind_m_per_s, 0.0)?;
        let gust = |s: &Sample| s.gust_m_per_s.unwrap_or(allowance.gust_factor * s.wind_m_per_s).max(s.wind_m_per_s);
        let air_degc = hull(a.air_degc, b.air_degc, allowance.air_k)?;
        let gust_m_per_s = gust(a).max(gust(b));
        let wind_from = sector_between(a, b, allowance.turn_rad);
        Ok(Self { from: a.at, air_degc, wind_m_per_s, gust_m_per_s, wind_from })
    }

    /// Its end.
    #[must_use]
    pub fn to(&self) -> Timestamp {
        self.from + HOUR_S.seconds()
    }

    /// The smallest ranges that hold through both hours; it begins with this one.
    ///
    /// # Errors
    /// When an end is not finite, which no hour of a series has.
    pub fn hull(&self, other: &Self) -> Result<Self, IntervalError> {
        let hull = |a: Interval, b: Interval| Interval::new(a.low().min(b.low()), a.high().max(b.high()));
        Ok(Self {
            from: self.from.min(other.from),
            air_degc: hull(self.air_degc, other.air_degc)?,
            wind_m_per_s: hull(self.wind_m_per_s, other.wind_m_per_s)?,
            gust_m_per_s: self.gust_m_per_s.max(other.gust_m_per_s),
            wind_from: self.wind_from.hull(other.wind_from),
        })
    }
}

/// The directions between two samples the short way round, widened; any where one has none, is light, or they differ by more than a
/// quarter turn.
fn sector_between(a: &Sample, b: &Sample, turn_rad: f64) -> WindDirection {
    let steady = |s: &Sample| s.wind_from_rad.filter(|_| s.wind_m_per_s >= STEADY_M_PER_S);
    let (Some(first), Some(last)) = (steady(a), steady(b)) else { return WindDirection::Any };
    let at = |from_rad: f64| WindDirection::Sector { from_rad, sweep_rad: 0.0 };
    match at(first).hull(at(last)) {
        WindDirection::Sector { from_rad, sweep_rad } if sweep_rad <= QUARTER_RAD => {
            let sweep_rad = sweep_rad + 2.0 * turn_rad;
            if sweep_rad < TAU {
                WindDirection::Sector { from_rad: from_rad - turn_rad, sweep_rad }
            } else {
                WindDirection::Any
            }
        }
        _ => WindDirection::Any,
    }
}

impl Series {
    /// Every hour between two samples.
    ///
    /// # Errors
    /// When a sample is not finite, which no reader lets through.
    pub fn hours(&self, allowance: &Allowance) -> Result<Vec<Hour>, IntervalError> {
        self.samples.windows(2).map(|pair| Hour::between(&pair[0], &pair[1], allowance)).collect()
    }

    /// A date of the job as it lies in this series: that of a typical year takes its year. None where it has no such day.
    #[must_use]
    pub fn placed(&self, date: Date) -> Option<Date> {
        match self.typical_year {
            Some(year) => Date::new(year, date.month(), date.day()).ok(),
            None => Some(date),
        }
    }

    /// First and last instant of a date on the clock of the place.
    ///
    /// # Errors
    /// When the date lies at the end of the calendar.
    pub fn bounds_of(&self, date: Date) -> Result<[Timestamp; 2], jiff::Error> {
        let midnight = |date: Date| self.offset.to_timestamp(date.at(0, 0, 0, 0));
        Ok([midnight(date)?, midnight(date.tomorrow()?)?])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(second: i64, air_degc: f64, wind_m_per_s: f64, gust_m_per_s: Option<f64>) -> Sample {
        let at = Timestamp::from_second(second).expect("a time");
        Sample { at, air_degc, wind_m_per_s, gust_m_per_s, wind_from_rad: None, sun_w_per_m2: None, line: 0 }
    }

    fn hour_between(a: (f64, Option<f64>), b: (f64, Option<f64>)) -> WindDirection {
        let at = |second, (wind, from_deg): (f64, Option<f64>)| Sample {
            wind_from_rad: from_deg.map(f64::to_radians),
            ..sample(second, 10.0, wind, None)
        };
        let (a, b) = (at(0, a), at(3600, b));
        let series = Series { source: "test".into(), offset: Offset::UTC, typical_year: None, samples: vec![a, b] };
        let allowance = Allowance { air_k: 2.0, gust_factor: 2.0, turn_rad: 30_f64.to_radians() };
        series.hours(&allowance).expect("finite")[0].wind_from
    }

    #[test]
    fn directions_go_the_short_way_round_with_their_allowance() {
        let found = hour_between((4.0, Some(350.0)), (5.0, Some(20.0)));
        for (bearing_deg, holds) in
            [(319.0, false), (321.0, true), (0.0, true), (49.0, true), (51.0, false), (180.0, false)]
        {
            assert_eq!(found.holds(f64::to_radians(bearing_deg)), holds, "{bearing_deg}");
        }
    }

    #[test]
    fn calm_variable_and_turning_winds_come_from_anywhere() {
        for (a, b) in [
            ((4.0, None), (5.0, Some(20.0))),
            ((4.0, Some(20.0)), (1.9, Some(20.0))),
            ((0.0, Some(0.0)), (5.0, Some(20.0))),
            ((4.0, Some(20.0)), (5.0, Some(120.0))),
        ] {
            assert_eq!(hour_between(a, b), WindDirection::Any, "{a:?} {b:?}");
        }
    }

    #[test]
    fn an_hour_holds_both_its_samples_and_the_allowance() {
        let (a, b) = (sample(0, 12.0, 3.0, None), sample(3600, 9.0, 5.0, Some(4.0)));
        let series = Series { source: "test".into(), offset: Offset::UTC, typical_year: None, samples: vec![a, b] };
        let hour = series.hours(&Allowance { air_k: 2.0, gust_factor: 2.0, turn_rad: 0.5 }).expect("finite")[0];
        assert_eq!(hour.air_degc, Interval::new(7.0, 14.0).expect("a range"));
        assert_eq!(hour.wind_m_per_s, Interval::new(3.0, 5.0).expect("a range"));
        // 2 × 3 m/s; a gust below the mean wind does not count.
        assert_eq!(hour.gust_m_per_s, 6.0);
        assert_eq!(hour.to(), b.at);
    }

    #[test]
    fn a_typical_year_lacks_the_leap_day() {
        let series = Series { source: String::new(), offset: Offset::UTC, typical_year: Some(2001), samples: vec![] };
        assert_eq!(series.placed(Date::constant(2028, 2, 29)), None);
        assert_eq!(series.placed(Date::constant(2028, 2, 28)), Some(Date::constant(2001, 2, 28)));
    }
}
