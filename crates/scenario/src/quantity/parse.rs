//! Reading one quantity: number, unit, dimension, finite value, allowed range.

use thiserror::Error;

use super::Dimension;
use super::unit::{UNITS, Unit, find_unit};
use crate::bounds::Bound;
use crate::code::Code;
use crate::nearest::nearest;

/// A quantity that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parsed {
    /// Value in the unit of its dimension (m, rad, °C, m/s, V, N, 1, kg/m, kg/m³, Pa, m², 1/K).
    pub si: f64,
    /// What it measures.
    pub dimension: Dimension,
}

/// Why a text is no quantity, or not the one that belongs here.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum QuantityError {
    /// Nothing at all, or no digits.
    #[error("\"{text}\" does not begin with a number that can be read")]
    Number {
        /// The text.
        text: String,
    },
    /// No unit.
    #[error("\"{text}\" has no unit")]
    NoUnit {
        /// The text.
        text: String,
    },
    /// A unit that is not known.
    #[error("\"{unit}\" is not a unit that is read here")]
    UnknownUnit {
        /// The unit.
        unit: String,
        /// Known unit that comes nearest, of the wanted dimension if possible.
        nearest: Option<&'static str>,
    },
    /// A unit of another dimension.
    #[error("\"{text}\" is {found}, where {wanted} belongs")]
    Dimension {
        /// The text.
        text: String,
        /// What it is.
        found: Dimension,
        /// What belongs here.
        wanted: Dimension,
    },
    /// NaN, infinite, or beyond representation.
    #[error("\"{text}\" is not a finite number")]
    NotFinite {
        /// The text.
        text: String,
    },
    /// Outside the range of the table.
    #[error("\"{text}\" is outside the range of {name}, {range}")]
    OutOfRange {
        /// The text.
        text: String,
        /// Name of the quantity.
        name: &'static str,
        /// The range in words.
        range: String,
    },
}

impl QuantityError {
    /// The code of the problem.
    #[must_use]
    pub fn code(&self) -> Code {
        match self {
            Self::Number { .. } => Code::UnreadableNumber,
            Self::NoUnit { .. } => Code::MissingUnit,
            Self::UnknownUnit { .. } => Code::UnknownUnit,
            Self::Dimension { .. } => Code::WrongUnit,
            Self::NotFinite { .. } => Code::NotFinite,
            Self::OutOfRange { .. } => Code::OutOfRange,
        }
    }

    /// What to do, where this quantity belongs.
    #[must_use]
    pub fn help(&self, bound: &Bound) -> String {
        let example = bound.example();
        match self {
            Self::Number { .. } => {
                format!("write digits with a decimal point, a blank and a unit, such as \"{example}\"")
            }
            Self::NoUnit { .. } | Self::Dimension { .. } => format!("write {} such as \"{example}\"", bound.dimension),
            Self::UnknownUnit { nearest: Some(unit), .. } => format!("did you mean \"{unit}\"?"),
            Self::UnknownUnit { nearest: None, .. } => {
                format!("units of {}: {}", bound.dimension, bound.dimension.units().collect::<Vec<_>>().join(", "))
            }
            Self::NotFinite { .. } => format!("write a number, such as \"{example}\""),
            Self::OutOfRange { .. } => "check the number and its unit".into(),
        }
    }
}

/// Reads a quantity that must be one of these kinds; which one, its unit decides.
///
/// # Errors
/// When it is no quantity, of another dimension, not finite, or outside the range of the table.
pub fn parse<'b>(text: &str, kinds: &'b [Bound]) -> Result<(Parsed, &'b Bound), QuantityError> {
    let wanted = kinds.first().map_or(Dimension::Number, |bound| bound.dimension);
    let (number, unit) = split(text, wanted)?;
    let kind = kinds.iter().find(|bound| bound.dimension == unit.dimension);
    let shown = || text.trim().to_string();
    let bound = kind.ok_or_else(|| QuantityError::Dimension { text: shown(), found: unit.dimension, wanted })?;
    let si = convert(number, unit).ok_or_else(|| QuantityError::NotFinite { text: shown() })?;
    if within(si, bound) {
        Ok((Parsed { si, dimension: unit.dimension }, bound))
    } else {
        Err(QuantityError::OutOfRange { text: shown(), name: bound.name, range: bound.range() })
    }
}

/// Reads a quantity of one dimension without a range.
///
/// # Errors
/// When it is no quantity, of another dimension, or not finite.
pub fn to_si(text: &str, wanted: Dimension) -> Result<f64, QuantityError> {
    let (number, unit) = split(text, wanted)?;
    let shown = || text.trim().to_string();
    if unit.dimension != wanted {
        return Err(QuantityError::Dimension { text: shown(), found: unit.dimension, wanted });
    }
    convert(number, unit).ok_or_else(|| QuantityError::NotFinite { text: shown() })
}

/// The number and the unit of a text.
fn split(text: &str, wanted: Dimension) -> Result<(f64, &'static Unit), QuantityError> {
    let trimmed = text.trim();
    let (number, unit) = match trimmed.split_once(char::is_whitespace) {
        Some((number, unit)) => (number, unit.trim()),
        None => trimmed.split_at(number_end(trimmed)),
    };
    let value: f64 = number.parse().map_err(|_| QuantityError::Number { text: trimmed.into() })?;
    if unit.is_empty() {
        return Err(QuantityError::NoUnit { text: trimmed.into() });
    }
    let known = find_unit(unit).ok_or_else(|| unknown(unit, wanted))?;
    Ok((value, known))
}

/// Where the longest beginning ends that is a number.
fn number_end(text: &str) -> usize {
    let mut ends = text.char_indices().map(|(at, c)| at + c.len_utf8());
    ends.rfind(|&end| text[..end].parse::<f64>().is_ok()).unwrap_or(0)
}

fn unknown(unit: &str, wanted: Dimension) -> QuantityError {
    let same_case = UNITS.iter().map(|known| known.written).find(|known| known.eq_ignore_ascii_case(unit));
    let near = same_case.or_else(|| nearest(unit, wanted.units()));
    QuantityError::UnknownUnit { unit: unit.into(), nearest: near }
}

/// The value in the unit of its dimension, by the units library; none when it is not finite.
fn convert(number: f64, unit: &Unit) -> Option<f64> {
    let scaled = number * unit.multiple;
    let value = match (unit.dimension, unit.library) {
        // Passed on as it is: by way of kelvins, 75 degC would come back with a rounding error.
        (Dimension::Temperature, "°C") => scaled,
        (dimension, library) => dimension.through_library(&format!("{scaled} {library}"))?,
    };
    value.is_finite().then_some(value)
}

fn within(si: f64, bound: &Bound) -> bool {
    let ends = find_unit(bound.unit).and_then(|unit| Some((convert(bound.min, unit)?, convert(bound.max, unit)?)));
    ends.is_some_and(|(min, max)| (min..=max).contains(&si))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bounds::{self, Bounded};

    fn length(text: &str) -> Result<f64, QuantityError> {
        to_si(text, Dimension::Length)
    }

    #[test]
    fn converts_as_defined() {
        // International foot and inch: exact by definition (1959 agreement).
        assert_eq!(length("10 ft"), Ok(3.048));
        assert_eq!(length("1in"), Ok(0.0254));
        assert_eq!(length("  -1.5e1   m "), Ok(-15.0));
        assert_eq!(to_si("75 degC", Dimension::Temperature), Ok(75.0));
        assert!((to_si("212 degF", Dimension::Temperature).unwrap_or(f64::NAN) - 100.0).abs() < 1e-9);
        assert!((to_si("45 mph", Dimension::Speed).unwrap_or(f64::NAN) - 20.1168).abs() < 1e-12);
        assert_eq!(to_si("12.47 kV", Dimension::Voltage), Ok(12_470.0));
        assert!((to_si("216.1 kg/km", Dimension::LinearMass).unwrap_or(f64::NAN) - 0.2161).abs() < 1e-15);
        assert!((to_si("18.9e-6 /degC", Dimension::Expansion).unwrap_or(f64::NAN) - 18.9e-6).abs() < 1e-18);
        // One circular mil is π/4 · (0.001 in)².
        let kcmil_m2 = std::f64::consts::PI / 4.0 * 0.0254e-3_f64.powi(2) * 1e3;
        assert!((to_si("1 kcmil", Dimension::Area).unwrap_or(f64::NAN) / kcmil_m2 - 1.0).abs() < 1e-6);
    }

    #[test]
    fn every_unit_is_known_to_the_library() {
        for unit in UNITS {
            assert!(convert(1.0, unit).is_some(), "{}", unit.written);
        }
        for bound in bounds::ALL.iter().filter(|bound| bound.dimension != Dimension::Number) {
            assert_eq!(find_unit(bound.unit).map(|u| u.dimension), Some(bound.dimension), "{}", bound.name);
        }
    }

    #[test]
    fn refuses_with_the_right_code() {
        let code = |text: &str| parse(text, &[bounds::WindSpeed::BOUND]).map_err(|e| e.code()).err();
        assert_eq!(code("20 m/s"), None);
        assert_eq!(code("20"), Some(Code::MissingUnit));
        assert_eq!(code("20 m"), Some(Code::WrongUnit));
        assert_eq!(code("20 M/s"), Some(Code::UnknownUnit));
        assert_eq!(code("nan m/s"), Some(Code::NotFinite));
        assert_eq!(code("inf m/s"), Some(Code::NotFinite));
        assert_eq!(code("1e999 m/s"), Some(Code::NotFinite));
        assert_eq!(code("-1 m/s"), Some(Code::OutOfRange));
        assert_eq!(code("fast"), Some(Code::UnreadableNumber));
        assert_eq!(code("1,000 m/s"), Some(Code::UnreadableNumber));
        assert_eq!(code(""), Some(Code::UnreadableNumber));
    }

    #[test]
    fn a_unit_decides_between_kinds() {
        let kinds = [bounds::JointAngle::BOUND, bounds::JointTravel::BOUND];
        assert_eq!(parse("2 m", &kinds).map(|(_, bound)| bound.name), Ok("joint travel"));
        assert_eq!(parse("2 deg", &kinds).map(|(_, bound)| bound.name), Ok("joint angle"));
    }
}
