//! The units that files may use, and what the units library calls them.

use super::Dimension;

/// A unit as written in files.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// How files spell it.
    pub written: &'static str,
    /// What the units library calls it.
    pub(super) library: &'static str,
    /// How many of the library's unit it is; not 1 only where the library lacks a decimal multiple.
    pub(super) multiple: f64,
    /// What it measures.
    pub dimension: Dimension,
}

macro_rules! units {
    ($($dimension:ident: $($written:literal = $library:literal $(* $multiple:literal)?),+;)+) => {
        /// Every unit that files may use.
        pub const UNITS: &[Unit] = &[$($(Unit {
            written: $written, library: $library, multiple: 1.0 $(* $multiple)?, dimension: Dimension::$dimension,
        },)+)+];
    };
}

units! {
    Length: "m" = "m", "cm" = "cm", "mm" = "mm", "km" = "km", "ft" = "ft", "in" = "in", "yd" = "yd";
    Angle: "deg" = "°", "°" = "°", "rad" = "rad";
    Temperature: "degC" = "°C", "°C" = "°C", "degF" = "°F", "°F" = "°F", "K" = "K";
    Speed: "m/s" = "m/s", "km/h" = "km/h", "mph" = "mi/h", "ft/s" = "ft/s", "kn" = "kn";
    Voltage: "V" = "V", "kV" = "kV";
    Current: "A" = "A", "kA" = "kA";
    Resistance: "ohm/km" = "Ω" * 1e-3, "ohm/mi" = "Ω" * 6.213_711_922_373_34e-4;
    Force: "N" = "N", "kN" = "kN", "daN" = "daN", "lbf" = "lbf", "kip" = "kip", "kgf" = "kgf";
    Ratio: "%" = "%";
    LinearMass: "kg/m" = "kg/m", "kg/km" = "kg/m" * 1e-3, "g/m" = "kg/m" * 1e-3, "lb/ft" = "lb/ft", "lb/1000ft" = "lb/ft" * 1e-3;
    Mass: "kg" = "kg", "t" = "t", "lb" = "lb";
    Density: "kg/m3" = "kg/m³", "kg/m³" = "kg/m³", "lb/ft3" = "lb/ft³";
    Pressure: "Pa" = "Pa", "MPa" = "MPa", "GPa" = "GPa", "N/mm2" = "N/mm²", "psi" = "lbf/in²", "ksi" = "kip/in²";
    Area: "mm2" = "mm²", "mm²" = "mm²", "cm2" = "cm²", "in2" = "in²", "m2" = "m²", "m²" = "m²", "ft2" = "ft²", "kcmil" = "cmil" * 1e3;
    Expansion: "/degC" = "K⁻¹", "/°C" = "K⁻¹", "/K" = "K⁻¹", "1/K" = "K⁻¹", "1/degC" = "K⁻¹", "ppm/K" = "ppm/K";
}

/// The unit that is spelled so.
#[must_use]
pub fn find_unit(written: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.written == written)
}
