//! What heats a wire, and its temperature through hours of weather.
//!
//! Every range is on the safe side: the hottest end takes the strongest sun, the greatest current and the weakest wind along the
//! wire, the coldest end none of the sun, the least current and the strongest wind. `docs/theory/day.md` says why each hour's range holds
//! throughout the hour.

use std::f64::consts::FRAC_PI_2;

use wideberth_physics::interval::Interval;
use wideberth_physics::weather::{Air, HeatBalance, HeatCapacity, HeatError, HeatRanges, HeatStep, Transient};

use crate::climate::{Climate, ClimateHour, hull};

/// The weakest wind that a sheltered wire may have while the weather has more, m/s: 2 ft/s, the common base of ratings.
pub const SHELTERED_WIND_M_PER_S: f64 = 0.61;
/// How much colder than the air a wire may be under a clear night sky, K. The heat balance lets it radiate to surroundings at the
/// temperature of the air, not to the sky (common practice, from memory).
pub const SKY_CHILL_K: f64 = 5.0;
/// Hours before the job through which a wire is followed, so that it may be still warm from them.
const RUN_UP_HOURS: usize = 6;
/// Differences below this do not need the lag, K.
const SETTLED_K: f64 = 0.05;

/// What heats one wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// The heat balance.
    pub balance: HeatBalance,
    /// Heat that a metre stores, at most.
    pub capacity: HeatCapacity,
    /// Current, A.
    pub current_a: Interval,
    /// Height above the sea, m.
    pub elevation_m: f64,
}

/// Wind that is known to blow past a wire.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OpenWind {
    /// Its least speed, m/s.
    pub least_m_per_s: f64,
    /// Its least angle to the wire, rad: 0 along it.
    pub least_angle_rad: f64,
}

impl Heating {
    /// The ranges of an hour. What is known of the wind past the wire itself counts; in the lee it may come from anywhere.
    ///
    /// # Errors
    /// When an end is not finite, which no hour has.
    fn ranges(&self, hour: &ClimateHour, open: &OpenWind) -> Result<HeatRanges, HeatError> {
        let surface = self.balance.surface();
        let weather = &hour.weather;
        let sheltered = weather.wind_m_per_s.low().min(SHELTERED_WIND_M_PER_S);
        let weakest = sheltered.max(open.least_m_per_s);
        let least_angle_rad = if open.least_m_per_s > sheltered { open.least_angle_rad } else { 0.0 };
        let strongest = weather.gust_m_per_s.max(weakest);
        let gain_w_per_m = surface.absorptivity * hour.sun_w_per_m2 * surface.diameter_m;
        Ok(HeatRanges {
            current_a: self.current_a,
            ambient_degc: weather.air_degc,
            wind_m_per_s: range(weakest, strongest)?,
            wind_angle_rad: range(least_angle_rad, FRAC_PI_2)?,
            solar_w_per_m: range(0.0, gain_w_per_m)?,
            elevation_m: self.elevation_m,
        })
    }

    /// Steady temperatures for everything that an hour may bring, °C.
    ///
    /// # Errors
    /// When there is no steady temperature.
    pub fn steady_degc(&self, hour: &ClimateHour, open: &OpenWind) -> Result<Interval, HeatError> {
        let steady = self.balance.temperature_range_degc(&self.ranges(hour, open)?)?;
        range(steady.low() - SKY_CHILL_K, steady.high())
    }

    /// Temperatures through each of some hours, °C, with the lag of a wire that is still warm or cold from the hour before.
    ///
    /// # Errors
    /// When an hour has no steady temperature.
    pub fn through_degc(&self, hours: &[ClimateHour]) -> Result<Vec<Interval>, HeatError> {
        let mut start: Option<Interval> = None;
        let through = |hour: &ClimateHour| {
            let steady = self.steady_degc(hour, &OpenWind::default())?;
            let first = start.unwrap_or(steady);
            start = Some(self.end_degc(first, steady, hour)?);
            Ok(hull(first, steady))
        };
        hours.iter().map(through).collect()
    }

    /// The same for the hours that a job is in, run up from the hours before it.
    ///
    /// # Errors
    /// As for [`Heating::through_degc`].
    pub fn job_degc(&self, climate: &Climate) -> Result<Vec<Interval>, HeatError> {
        let first = climate.job.start.saturating_sub(RUN_UP_HOURS);
        let all = self.through_degc(climate.hours.get(first..climate.job.end).unwrap_or_default())?;
        Ok(all.into_iter().skip(climate.job.start - first).collect())
    }

    /// Where a wire that starts an hour somewhere in a range may be at its end: in the steady range, or on the way to it.
    fn end_degc(&self, start: Interval, steady: Interval, hour: &ClimateHour) -> Result<Interval, HeatError> {
        let (warm, cold) = (start.high() > steady.high() + SETTLED_K, start.low() < steady.low() - SETTLED_K);
        let ranges = self.ranges(hour, &OpenWind::default())?;
        let high =
            if warm { self.after_degc(start.high(), &corner(&ranges, true))? } else { steady.high() + SETTLED_K };
        let low = if cold {
            self.after_degc(start.low() + SKY_CHILL_K, &corner(&ranges, false))? - SKY_CHILL_K
        } else {
            steady.low() - SETTLED_K
        };
        range(low.min(steady.low()), high.max(steady.high()))
    }

    fn after_degc(&self, start_degc: f64, step: &HeatStep) -> Result<f64, HeatError> {
        Transient::new(self.balance, self.capacity).after_degc(start_degc, step)
    }

    /// Temperatures of wires that a wind of some strength swings, for each band of wind up to the strongest gust, °C: the wind that
    /// swings a wire also cools it. The mean wind that cools is at least the gust less the gust factor, at an angle to the wire of at
    /// least that of the hour, rad.
    ///
    /// # Errors
    /// When an hour has no steady temperature.
    pub fn banded_degc(
        &self,
        hours: &[ClimateHour],
        bands: &[Interval],
        gust_factor: f64,
        least_angle_rad: &dyn Fn(&ClimateHour) -> f64,
    ) -> Result<Vec<Interval>, HeatError> {
        let in_band = |band: &Interval| {
            let windy = hours.iter().filter(|hour| hour.weather.gust_m_per_s >= band.low());
            let steady = windy.map(|hour| {
                let least_m_per_s = band.low() / gust_factor;
                self.steady_degc(hour, &OpenWind { least_m_per_s, least_angle_rad: least_angle_rad(hour) })
            });
            steady.reduce(|a, b| Ok(hull(a?, b?))).unwrap_or_else(|| range(0.0, 0.0))
        };
        bands.iter().map(in_band).collect()
    }
}

/// Air, sun and current of the hottest or the coldest hour.
fn corner(ranges: &HeatRanges, hot: bool) -> HeatStep {
    let heating = |range: &Interval| if hot { range.high() } else { range.low() };
    let cooling = |range: &Interval| if hot { range.low() } else { range.high() };
    let air = Air {
        ambient_degc: heating(&ranges.ambient_degc),
        wind_m_per_s: cooling(&ranges.wind_m_per_s),
        wind_angle_rad: cooling(&ranges.wind_angle_rad),
        elevation_m: ranges.elevation_m,
    };
    let (current_a, solar_w_per_m) = (heating(&ranges.current_a), heating(&ranges.solar_w_per_m));
    HeatStep { duration_s: 3600.0, current_a, air, solar_w_per_m }
}

fn range(low: f64, high: f64) -> Result<Interval, HeatError> {
    // Only a temperature that is not finite gets here as no range.
    Interval::new(low, high).map_err(|_| HeatError::NotConverged { near_degc: low })
}
