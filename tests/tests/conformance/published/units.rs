//! Units as the sources print them, and their conversion to SI.
//!
//! Exact by definition: foot 0.3048 m, pound 0.453 592 37 kg, standard gravity 9.806 65 m/s².

use std::f64::consts::PI;

use serde::Deserialize;

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = FOOT_M / 12.0;
const POUND_KG: f64 = 0.453_592_37;
const GRAVITY_M_PER_S2: f64 = 9.806_65;
const POUND_FORCE_N: f64 = POUND_KG * GRAVITY_M_PER_S2;

/// A unit by its symbol.
#[derive(Clone, Debug, Deserialize)]
#[serde(try_from = "String")]
pub struct Unit {
    symbol: String,
    factor: f64,
    offset: f64,
}

impl Unit {
    /// Value in SI (temperatures in °C).
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    /// Value in this unit.
    pub fn of_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }

    pub fn symbol(&self) -> &str {
        if self.symbol == "1" { "" } else { &self.symbol }
    }
}

impl TryFrom<String> for Unit {
    type Error = String;

    fn try_from(symbol: String) -> Result<Self, String> {
        let factor = factor(&symbol).ok_or_else(|| format!("unknown unit {symbol}"))?;
        let offset = if symbol == "degF" { -32.0 / 1.8 } else { 0.0 };
        Ok(Self { symbol, factor, offset })
    }
}

fn factor(symbol: &str) -> Option<f64> {
    length_or_area(symbol).or_else(|| force(symbol)).or_else(|| other(symbol))
}

fn length_or_area(symbol: &str) -> Option<f64> {
    Some(match symbol {
        "m" | "m2" => 1.0,
        "mm" => 1e-3,
        "cm" => 1e-2,
        "ft" => FOOT_M,
        "in" => INCH_M,
        "mm2" => 1e-6,
        "cm2" => 1e-4,
        "in2" => INCH_M * INCH_M,
        _ => return None,
    })
}

fn force(symbol: &str) -> Option<f64> {
    Some(match symbol {
        "N" | "N/m" | "Pa" => 1.0,
        "kN" => 1e3,
        "lbf" => POUND_FORCE_N,
        "kgf" | "kgf/m" | "kgf/m2" => GRAVITY_M_PER_S2,
        "lbf/ft" => POUND_FORCE_N / FOOT_M,
        "lbf/ft2" => POUND_FORCE_N / (FOOT_M * FOOT_M),
        "psi" => POUND_FORCE_N / (INCH_M * INCH_M),
        "kgf/cm2" => GRAVITY_M_PER_S2 * 1e4,
        "kgf/mm2" => GRAVITY_M_PER_S2 * 1e6,
        _ => return None,
    })
}

fn other(symbol: &str) -> Option<f64> {
    Some(match symbol {
        "1" | "1/s" | "kg/m" | "kg/m3" | "m/s" | "m/s2" | "degC" | "1/degC" => 1.0,
        "s" | "A" | "ohm/m" | "W/m" | "W/m2" | "W/m/degC" | "J/m/degC" | "kg/m/s" => 1.0,
        "h" => 3600.0,
        "g/cm3" => 1e3,
        "lb/ft3" => POUND_KG / FOOT_M.powi(3),
        "lb/1000ft" => POUND_KG / (1000.0 * FOOT_M),
        "mile/h" => 5280.0 * FOOT_M / 3600.0,
        "degF" => 1.0 / 1.8,
        "1/degF" => 1.8,
        "deg" => PI / 180.0,
        _ => return None,
    })
}
