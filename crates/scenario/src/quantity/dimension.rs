//! What a quantity measures, and the units library's own type for it.

use std::fmt;

use uom::si::angle::radian;
use uom::si::area::square_meter;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::electrical_resistance::ohm;
use uom::si::f64 as si;
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;
use uom::si::temperature_coefficient::per_kelvin;
use uom::si::thermodynamic_temperature::degree_celsius;
use uom::si::velocity::meter_per_second;

use super::UNITS;

/// What a quantity measures. Values are m, rad, °C, m/s, V, A, Ω/m, N, 1, kg/m, kg, kg/m³, Pa, m², 1/K.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Length, m.
    Length,
    /// Angle, rad.
    Angle,
    /// Temperature, °C.
    Temperature,
    /// Speed, m/s.
    Speed,
    /// Voltage, V.
    Voltage,
    /// Current, A.
    Current,
    /// Resistance per length, Ω/m.
    Resistance,
    /// Force, N.
    Force,
    /// Share, 1.
    Ratio,
    /// Mass per length, kg/m.
    LinearMass,
    /// Mass, kg.
    Mass,
    /// Mass per volume, kg/m³.
    Density,
    /// Force per area, Pa.
    Pressure,
    /// Area, m².
    Area,
    /// Strain per temperature, 1/K.
    Expansion,
    /// A plain number without unit.
    Number,
}

impl Dimension {
    /// The value of `text` (number, blank, the library's unit) in the unit of this dimension.
    pub(super) fn through_library(self, text: &str) -> Option<f64> {
        Some(match self {
            Self::Length => text.parse::<si::Length>().ok()?.get::<meter>(),
            Self::Angle => text.parse::<si::Angle>().ok()?.get::<radian>(),
            Self::Temperature => text.parse::<si::ThermodynamicTemperature>().ok()?.get::<degree_celsius>(),
            Self::Speed => text.parse::<si::Velocity>().ok()?.get::<meter_per_second>(),
            Self::Voltage => text.parse::<si::ElectricPotential>().ok()?.get::<volt>(),
            Self::Current => text.parse::<si::ElectricCurrent>().ok()?.get::<ampere>(),
            // The library has no resistance per length; the length stands in the multiple of the unit.
            Self::Resistance => text.parse::<si::ElectricalResistance>().ok()?.get::<ohm>(),
            Self::Force => text.parse::<si::Force>().ok()?.get::<newton>(),
            Self::Ratio => text.parse::<si::Ratio>().ok()?.get::<ratio>(),
            Self::LinearMass => text.parse::<si::LinearMassDensity>().ok()?.get::<kilogram_per_meter>(),
            Self::Mass => text.parse::<si::Mass>().ok()?.get::<kilogram>(),
            Self::Density => text.parse::<si::MassDensity>().ok()?.get::<kilogram_per_cubic_meter>(),
            Self::Pressure => text.parse::<si::Pressure>().ok()?.get::<pascal>(),
            Self::Area => text.parse::<si::Area>().ok()?.get::<square_meter>(),
            Self::Expansion => text.parse::<si::TemperatureCoefficient>().ok()?.get::<per_kelvin>(),
            Self::Number => return None,
        })
    }

    /// The spellings of its units.
    pub fn units(self) -> impl Iterator<Item = &'static str> + Clone {
        UNITS.iter().filter(move |unit| unit.dimension == self).map(|unit| unit.written)
    }

    /// An example of how to write one.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "62 m",
            Self::Angle => "15 deg",
            Self::Temperature => "24 degC",
            Self::Speed => "20 m/s",
            Self::Voltage => "12.47 kV",
            Self::Current => "150 A",
            Self::Resistance => "0.35 ohm/km",
            Self::Force => "3.9 kN",
            Self::Ratio => "5 %",
            Self::LinearMass => "0.216 kg/m",
            Self::Mass => "2.5 t",
            Self::Density => "1.225 kg/m3",
            Self::Pressure => "79 GPa",
            Self::Area => "62.4 mm2",
            Self::Expansion => "18.9e-6 /degC",
            Self::Number => "1.0",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Temperature => "a temperature",
            Self::Speed => "a speed",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance per length",
            Self::Force => "a force",
            Self::Ratio => "a share",
            Self::LinearMass => "a mass per length",
            Self::Mass => "a mass",
            Self::Density => "a density",
            Self::Pressure => "a modulus or pressure",
            Self::Area => "an area",
            Self::Expansion => "a thermal expansion",
            Self::Number => "a plain number",
        })
    }
}
