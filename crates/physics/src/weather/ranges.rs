//! Ranges of current, air and sun, and the corners that bound a wire's temperature.

use std::f64::consts::{FRAC_PI_2, PI};

use super::Air;
use super::exchange::folded_rad;
use crate::interval::Interval;

/// Everything that a wire's temperature depends on, as ranges that are independent of each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatRanges {
    /// Current, A.
    pub current_a: Interval,
    /// Air temperature, °C.
    pub ambient_degc: Interval,
    /// Wind speed, m/s.
    pub wind_m_per_s: Interval,
    /// Angle between wind and wire, rad; any angles. Any direction at all is 0..π/2.
    pub wind_angle_rad: Interval,
    /// Solar gain, W/m. From night or full shade to a bright sun is 0..gain.
    pub solar_w_per_m: Interval,
    /// Elevation above the sea, m.
    pub elevation_m: f64,
}

impl HeatRanges {
    /// Current, air and solar gain of the hottest or the coldest state.
    pub(crate) fn corner(&self, hot: bool) -> (f64, Air, f64) {
        let heating = |range: &Interval| if hot { range.high() } else { range.low() };
        let cooling = |range: &Interval| if hot { range.low() } else { range.high() };
        let air = Air {
            ambient_degc: heating(&self.ambient_degc),
            wind_m_per_s: cooling(&self.wind_m_per_s),
            wind_angle_rad: cooling(&acute_range(&self.wind_angle_rad)),
            elevation_m: self.elevation_m,
        };
        (heating(&self.current_a), air, heating(&self.solar_w_per_m))
    }
}

/// The acute angles of a range of angles: 0 where it holds a multiple of π, π/2 where it holds an odd half of one.
pub(crate) fn acute_range(angles: &Interval) -> Interval {
    let holds = |first: f64| first + PI * ((angles.low() - first) / PI).ceil() <= angles.high();
    let ends = Interval::hull(folded_rad(angles.low()), folded_rad(angles.high()));
    let low = if holds(0.0) { 0.0 } else { ends.low() };
    let high = if holds(FRAC_PI_2) { FRAC_PI_2 } else { ends.high() };
    Interval::hull(low, high)
}
