//! The heat balance of a bare wire in steady state: what heats it equals what cools it.
//!
//! Source: IEEE Std 738-2012, equation 1a: q_c + q_r = q_s + I²·R(T).

use thiserror::Error;

use super::exchange::Exchange;
use super::{HeatRanges, Losses, Surface};
use crate::interval::Interval;

/// Air around a wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Air temperature, °C.
    pub ambient_degc: f64,
    /// Wind speed, m/s.
    pub wind_m_per_s: f64,
    /// Angle between the wind and the wire, rad; any angle, only its acute part counts.
    pub wind_angle_rad: f64,
    /// Elevation above the sea, m.
    pub elevation_m: f64,
}

/// The heat balance of one wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatBalance {
    surface: Surface,
}

/// Why the heat balance has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum HeatError {
    /// An input that no wire or weather has.
    #[error("{quantity} {value} {unit} is outside {min}..{max} {unit}: check the number and its unit")]
    OutOfRange {
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
    },
    /// The wire would get hotter than any wire is proven for.
    #[error(
        "at {limit_degc} degC the wire still gains {heat_w_per_m:.1} W/m and loses {loss_w_per_m:.1} W/m: it has no steady temperature below that; check current and resistance"
    )]
    NoSteadyTemperature {
        /// Hottest temperature that was looked at, °C.
        limit_degc: f64,
        /// Gain by current and sun there, W/m.
        heat_w_per_m: f64,
        /// Loss there, W/m.
        loss_w_per_m: f64,
    },
    /// A current was asked for at a temperature that the wire has without any.
    #[error(
        "without any current the wire is hotter than {temperature_degc} degC: air and sun alone give {solar_w_per_m:.1} W/m where it loses {loss_w_per_m:.1} W/m"
    )]
    HotWithoutCurrent {
        /// The temperature, °C.
        temperature_degc: f64,
        /// Gain by the sun, W/m.
        solar_w_per_m: f64,
        /// Loss, W/m; not positive in air that is hotter.
        loss_w_per_m: f64,
    },
    /// The iteration did not settle.
    #[error("the wire's temperature did not converge near {near_degc:.3} degC")]
    NotConverged {
        /// Last temperature tried, °C.
        near_degc: f64,
    },
}

/// Hottest wire that is looked for, °C: aluminium has lost its strength long before.
pub const HOTTEST_DEGC: f64 = 250.0;
/// Half-width within which a steady temperature is proven, K.
const PROVEN_K: f64 = 1e-6;
/// Last step of the iteration, K.
const SETTLED_K: f64 = 1e-7;

/// Refuses a value outside a range.
pub(crate) fn within(
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    min: f64,
    max: f64,
) -> Result<(), HeatError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(HeatError::OutOfRange { quantity, value, unit, min, max }) }
}

impl Air {
    /// Refuses what no air is. The limits of temperature are the world's records, rounded outward.
    pub(crate) fn check(&self) -> Result<(), HeatError> {
        within("air temperature", self.ambient_degc, "degC", -90.0, 60.0)?;
        within("wind speed", self.wind_m_per_s, "m/s", 0.0, 100.0)?;
        within("wind angle", self.wind_angle_rad, "rad", -100.0, 100.0)?;
        within("elevation", self.elevation_m, "m", -500.0, 6000.0)
    }
}

impl HeatBalance {
    /// The balance of a wire.
    ///
    /// # Errors
    /// When its diameter, emissivity or absorptivity is none that a wire has.
    pub fn new(surface: Surface) -> Result<Self, HeatError> {
        surface.check()?;
        Ok(Self { surface })
    }

    /// The wire.
    #[must_use]
    pub fn surface(&self) -> &Surface {
        &self.surface
    }

    /// What the wire loses at a temperature, term by term.
    ///
    /// # Errors
    /// When the air is impossible or the wire colder than it.
    pub fn losses(&self, temperature_degc: f64, air: &Air) -> Result<Losses, HeatError> {
        air.check()?;
        within("wire temperature", temperature_degc, "degC", air.ambient_degc, HOTTEST_DEGC)?;
        Ok(self.exchange(air).losses(temperature_degc))
    }

    /// Joule heat I²·R(T) of a current (A) at a temperature, W/m.
    #[must_use]
    pub fn joule_w_per_m(&self, current_a: f64, temperature_degc: f64) -> f64 {
        current_a * current_a * self.surface.resistance.at_ohm_per_m(temperature_degc)
    }

    /// The temperature at which the wire stays under a current (A) and a solar gain (W/m), °C, to 1e-7 K.
    ///
    /// It is the only one between the air's temperature and 250 °C (docs/theory/heat-balance.md).
    ///
    /// # Errors
    /// When an input is impossible or the wire has no steady temperature below 250 °C.
    pub fn steady_temperature_degc(&self, current_a: f64, air: &Air, solar_w_per_m: f64) -> Result<f64, HeatError> {
        check_heat(current_a, solar_w_per_m)?;
        air.check()?;
        self.balance(air, current_a, solar_w_per_m).root()
    }

    /// The current that keeps the wire at a temperature, A.
    ///
    /// # Errors
    /// When an input is impossible, or the wire is that hot without any current.
    pub fn ampacity_a(&self, temperature_degc: f64, air: &Air, solar_w_per_m: f64) -> Result<f64, HeatError> {
        check_heat(0.0, solar_w_per_m)?;
        air.check()?;
        within("wire temperature", temperature_degc, "degC", -90.0, HOTTEST_DEGC)?;
        let hotter_than_air = temperature_degc >= air.ambient_degc;
        let loss_w_per_m = if hotter_than_air { self.exchange(air).loss_with_rate(temperature_degc).0 } else { 0.0 };
        if !hotter_than_air || loss_w_per_m < solar_w_per_m {
            return Err(HeatError::HotWithoutCurrent { temperature_degc, solar_w_per_m, loss_w_per_m });
        }
        Ok(((loss_w_per_m - solar_w_per_m) / self.surface.resistance.at_ohm_per_m(temperature_degc)).sqrt())
    }

    /// A range that holds the steady temperature for every current, air and sun of the ranges, °C.
    ///
    /// Proven: the loss at a fixed temperature falls with the air's temperature and rises with wind speed and angle, for
    /// each of the three convection formulas and so for the greatest of them; the gain rises with current and sun. So
    /// the hottest state is one corner and the coldest the opposite one (docs/theory/heat-balance.md).
    ///
    /// # Errors
    /// When a range is impossible or its hottest corner has no steady temperature below 250 °C.
    pub fn temperature_range_degc(&self, ranges: &HeatRanges) -> Result<Interval, HeatError> {
        let end = |hot: bool| {
            let (current_a, air, solar_w_per_m) = ranges.corner(hot);
            check_heat(current_a, solar_w_per_m)?;
            air.check()?;
            self.balance(&air, current_a, solar_w_per_m).proven_root()
        };
        let (low, high) = (end(false)?, end(true)?);
        Ok(Interval::hull(low, high).widened(PROVEN_K))
    }

    pub(crate) fn balance(&self, air: &Air, current_a: f64, solar_w_per_m: f64) -> Balance {
        Balance {
            balance: *self,
            exchange: self.exchange(air),
            ambient_degc: air.ambient_degc,
            current_a,
            solar_w_per_m,
        }
    }

    fn exchange(&self, air: &Air) -> Exchange {
        Exchange::new(&self.surface, air.elevation_m, air)
    }
}

pub(crate) fn check_heat(current_a: f64, solar_w_per_m: f64) -> Result<(), HeatError> {
    within("current", current_a, "A", 0.0, 100_000.0)?;
    within("solar gain", solar_w_per_m, "W/m", 0.0, 500.0)
}

/// One wire in one state of air, current and sun.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Balance {
    balance: HeatBalance,
    exchange: Exchange,
    ambient_degc: f64,
    current_a: f64,
    solar_w_per_m: f64,
}

impl Balance {
    /// Gain less loss at a temperature (W/m) and its rate, W/(m·K).
    pub fn surplus_with_rate(&self, temperature_degc: f64) -> (f64, f64) {
        let (loss, rate) = self.exchange.loss_with_rate(temperature_degc);
        let square = self.current_a * self.current_a;
        let gain = self.gain_w_per_m(temperature_degc);
        (gain - loss, square * self.balance.surface.resistance.rate_ohm_per_mk() - rate)
    }

    fn gain_w_per_m(&self, temperature_degc: f64) -> f64 {
        self.balance.joule_w_per_m(self.current_a, temperature_degc) + self.solar_w_per_m
    }

    /// Newton's method inside a bracket that shrinks at every step.
    pub fn root(&self) -> Result<f64, HeatError> {
        if self.gain_w_per_m(self.ambient_degc) <= 0.0 {
            return Ok(self.ambient_degc);
        }
        let (mut low, mut high) = (self.ambient_degc, HOTTEST_DEGC);
        let mut temperature = self.ambient_degc + START_RISE_K;
        for _ in 0..100 {
            let (surplus, rate) = self.surplus_with_rate(temperature);
            if surplus > 0.0 {
                low = temperature;
            } else {
                high = temperature;
            }
            let newton = temperature - surplus / rate;
            let next = if newton > low && newton < high { newton } else { self.inside(low, high)? };
            if (next - temperature).abs() <= SETTLED_K {
                return Ok(next);
            }
            temperature = next;
        }
        Err(HeatError::NotConverged { near_degc: temperature })
    }

    /// The middle of the bracket, once its upper end is known to lose more than it gains.
    fn inside(&self, low: f64, high: f64) -> Result<f64, HeatError> {
        if high == HOTTEST_DEGC {
            let (surplus, _) = self.surplus_with_rate(high);
            if surplus > 0.0 {
                let heat_w_per_m = self.gain_w_per_m(high);
                let loss_w_per_m = heat_w_per_m - surplus;
                return Err(HeatError::NoSteadyTemperature { limit_degc: high, heat_w_per_m, loss_w_per_m });
            }
        }
        Ok(0.5 * (low + high))
    }

    /// The root, if gain and loss change order within 1e-6 K of it.
    fn proven_root(&self) -> Result<f64, HeatError> {
        let root = self.root()?;
        let below = (root - PROVEN_K).max(self.ambient_degc);
        let gains_below = self.surplus_with_rate(below).0 >= 0.0;
        let loses_above = self.surplus_with_rate(root + PROVEN_K).0 <= 0.0;
        if gains_below && loses_above { Ok(root) } else { Err(HeatError::NotConverged { near_degc: root }) }
    }
}

/// First guess over the air's temperature, K.
const START_RISE_K: f64 = 25.0;
