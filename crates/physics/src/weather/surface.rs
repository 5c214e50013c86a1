//! The wire as the heat balance sees it: width, colour and resistance.

use super::heat::{HeatError, within};

/// A bare wire's surface and resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Outside diameter, m.
    pub diameter_m: f64,
    /// Emissivity for heat radiation, 0 to 1.
    pub emissivity: f64,
    /// Absorptivity for sunlight, 0 to 1.
    pub absorptivity: f64,
    /// Resistance by temperature.
    pub resistance: Resistance,
}

/// Resistance of a wire that changes in proportion to its temperature: R = R₂₀·(1 + α·(T − 20)).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistance {
    at_20_ohm_per_m: f64,
    coefficient_per_k: f64,
}

/// Greatest coefficient of resistance for which the steady temperature is proven to be the only one
/// (docs/theory/heat-balance.md); pure metals have 0.0038 to 0.0050.
const COEFFICIENT_MAX_PER_K: f64 = 0.005_5;

impl Resistance {
    /// From the resistance at 20 °C (Ω/m) and its coefficient (1/K).
    ///
    /// # Errors
    /// When the resistance is outside 1 µΩ/m to 1 Ω/m or the coefficient outside 0 to 0.0055 per kelvin.
    pub fn new(at_20_ohm_per_m: f64, coefficient_per_k: f64) -> Result<Self, HeatError> {
        within("resistance at 20 degC", at_20_ohm_per_m, "ohm/m", 1e-6, 1.0)?;
        within("coefficient of resistance", coefficient_per_k, "1/K", 0.0, COEFFICIENT_MAX_PER_K)?;
        Ok(Self { at_20_ohm_per_m, coefficient_per_k })
    }

    /// Through two catalogue values, each a temperature (°C) and a resistance (Ω/m): IEEE Std 738-2012 equation 10.
    ///
    /// # Errors
    /// When the temperatures lie less than 1 K apart or the line through the values is no metal's, as for
    /// [`Resistance::new`].
    pub fn through(first: (f64, f64), second: (f64, f64)) -> Result<Self, HeatError> {
        within("difference of the resistances' temperatures", (second.0 - first.0).abs(), "K", 1.0, 500.0)?;
        let slope = (second.1 - first.1) / (second.0 - first.0);
        let at_20_ohm_per_m = first.1 + slope * (20.0 - first.0);
        Self::new(at_20_ohm_per_m, slope / at_20_ohm_per_m)
    }

    /// Resistance at a temperature, Ω/m.
    #[must_use]
    pub fn at_ohm_per_m(&self, temperature_degc: f64) -> f64 {
        self.at_20_ohm_per_m * (1.0 + self.coefficient_per_k * (temperature_degc - 20.0))
    }

    /// Change of resistance by temperature, Ω/(m·K).
    #[must_use]
    pub fn rate_ohm_per_mk(&self) -> f64 {
        self.at_20_ohm_per_m * self.coefficient_per_k
    }
}

impl Surface {
    /// Refuses what no wire is.
    pub(crate) fn check(&self) -> Result<(), HeatError> {
        within("diameter", self.diameter_m, "m", 0.001, 0.1)?;
        within("emissivity", self.emissivity, "", 0.05, 1.0)?;
        within("absorptivity", self.absorptivity, "", 0.05, 1.0)
    }
}
