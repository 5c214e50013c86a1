//! A day from its high and its low.
//!
//! Shape: W. J. Parton and J. A. Logan, "A model for diurnal variation in soil and air temperature", Agricultural Meteorology
//! 23 (1981) 205–216 (from memory): a sine by day whose crest lags noon by a = 1.86 h, an exponential decline by night with
//! b = 2.2, the low c = 0.17 h before sunrise; figures for air at 1.5 m.

use std::f64::consts::{E, PI};

use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{Timestamp, ToSpan};

use super::{Sample, Series};

/// Lag of the high behind noon, h.
const LAG_H: f64 = 1.86;
/// Steepness of the nightly decline.
const DECLINE: f64 = 2.2;
/// How long before sunrise the low comes, h.
const EARLY_H: f64 = 0.17;

/// What a forecast says of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayShape {
    /// Highest temperature of the air, °C.
    pub high_degc: f64,
    /// Lowest temperature of the air, °C.
    pub low_degc: f64,
    /// Length of the day, h; nothing of it: a polar night, 24: no night.
    pub day_h: f64,
    /// Solar noon on the clock of the place, h.
    pub noon_h: f64,
}

impl DayShape {
    /// Temperature of the air at an hour of the clock, °C.
    ///
    /// By day T = L + (H − L)·sin(π·m/(Y + 2a)), m hours after the low; by night T = L + (S − L)·(e^(−b·n/Z) − e^(−b))/(1 − e^(−b)),
    /// n hours after sunset at S. The last form, which ends at the low, replaces e^(−b·n/Z).
    #[must_use]
    pub fn air_degc(&self, clock_h: f64) -> f64 {
        let Self { high_degc, low_degc, .. } = *self;
        let day_h = self.day_h;
        if !(1.0..=23.0).contains(&day_h) {
            // Without a sunrise or a sunset the shape has no meaning: every hour spans the whole range.
            return if clock_h.rem_euclid(2.0) < 1.0 { low_degc } else { high_degc };
        }
        let low_at_h = self.noon_h - 0.5 * day_h - EARLY_H;
        let warm_h = day_h + EARLY_H;
        let warming = |since_h: f64| (PI * since_h / (day_h + 2.0 * LAG_H)).sin();
        let since_h = (clock_h - low_at_h).rem_euclid(24.0);
        let rise_k = high_degc - low_degc;
        if since_h <= warm_h {
            return low_degc + rise_k * warming(since_h);
        }
        let share = (since_h - warm_h) / (24.0 - warm_h);
        let floor = E.powf(-DECLINE);
        low_degc + rise_k * warming(warm_h) * (E.powf(-DECLINE * share) - floor) / (1.0 - floor)
    }
}

/// The series of a day: 25 samples from midnight to midnight, wind as given throughout.
///
/// # Errors
/// When the date lies at the end of the calendar.
pub fn day_from_high_and_low(
    shape: &DayShape,
    wind_m_per_s: [f64; 2],
    gust_m_per_s: Option<f64>,
    date: Date,
    offset: Offset,
) -> Result<Series, jiff::Error> {
    let midnight = offset.to_timestamp(date.at(0, 0, 0, 0))?;
    let sample = |hour: i64| {
        let at: Timestamp = midnight + hour.hours();
        let air_degc = shape.air_degc(hour as f64);
        // Every hour lies between one sample of the least and one of the strongest wind.
        let wind_m_per_s = wind_m_per_s[usize::from(hour % 2 == 1)];
        Sample { at, air_degc, wind_m_per_s, gust_m_per_s, wind_from_rad: None, sun_w_per_m2: None, line: 0 }
    };
    let source = format!(
        "a day between {:.0} and {:.0} degC, shaped after Parton and Logan (1981)",
        shape.low_degc, shape.high_degc
    );
    Ok(Series { source, offset, typical_year: None, samples: (0..=24).map(sample).collect() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_reaches_its_high_and_low_and_has_no_step() {
        let shape = DayShape { high_degc: 34.0, low_degc: 18.0, day_h: 15.0, noon_h: 13.2 };
        let values: Vec<f64> = (0..=2400).map(|i| shape.air_degc(f64::from(i) / 100.0)).collect();
        let (low, high) = values.iter().fold((99.0_f64, -99.0_f64), |(l, h), &v| (l.min(v), h.max(v)));
        assert!((high - 34.0).abs() < 0.01 && (low - 18.0).abs() < 0.01, "{low} {high}");
        assert!(values.windows(2).all(|pair| (pair[1] - pair[0]).abs() < 0.1), "a step");
        // The crest comes LAG_H after noon, shifted by half of the early low.
        let crest = (0..=2400).max_by(|&a, &b| values[a].total_cmp(&values[b])).expect("some") as f64 / 100.0;
        assert!((crest - 13.2 - 1.86).abs() < 0.2, "{crest}");
    }

    #[test]
    fn every_hour_of_a_polar_day_spans_the_range() {
        for day_h in [0.0, 24.0] {
            let shape = DayShape { high_degc: 4.0, low_degc: -3.0, day_h, noon_h: 12.0 };
            let pair = |h: u8| [shape.air_degc(f64::from(h)), shape.air_degc(f64::from(h + 1))];
            assert!((0..24).map(pair).all(|pair| pair.contains(&4.0) && pair.contains(&-3.0)));
        }
    }
}
