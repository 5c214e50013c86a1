//! Quantities as the tables print them: a number and its unit in one string.

use serde::Serialize;
use thiserror::Error;

/// A unit in which a table prints a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum LengthUnit {
    /// Metre.
    #[serde(rename = "m")]
    Metre,
    /// Centimetre.
    #[serde(rename = "cm")]
    Centimetre,
    /// Millimetre.
    #[serde(rename = "mm")]
    Millimetre,
    /// International foot.
    #[serde(rename = "ft")]
    Foot,
    /// International inch.
    #[serde(rename = "in")]
    Inch,
}

impl LengthUnit {
    const ALL: [Self; 5] = [Self::Metre, Self::Centimetre, Self::Millimetre, Self::Foot, Self::Inch];

    /// The symbol as written behind a number.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Foot => "ft",
            Self::Inch => "in",
        }
    }

    /// The length of one unit, m. Exact by definition (international yard and pound agreement, 1959).
    pub fn in_m(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Centimetre => 0.01,
            Self::Millimetre => 0.001,
            Self::Foot => 0.3048,
            Self::Inch => 0.0254,
        }
    }
}

/// A length with the text that the table prints.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PrintedLength {
    /// The text, such as `10 ft`.
    pub text: String,
    /// The unit of the text.
    pub unit: LengthUnit,
    /// The same length, m.
    pub length_m: f64,
}

impl PrintedLength {
    /// A calculated length, written in `unit` with at most three decimals; the metres stay unrounded.
    pub(crate) fn calculated(length_m: f64, unit: LengthUnit) -> Self {
        let text = format!("{} {}", decimal(length_m / unit.in_m(), 3), unit.symbol());
        Self { text, unit, length_m }
    }
}

/// Why a string is not a quantity of the table.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum QuantityError {
    /// The text is not a number, a space and a known unit.
    #[error("\"{text}\" is not a number with a unit; write for example \"{example}\"")]
    NotAQuantity {
        /// The text found.
        text: String,
        /// A text that would do.
        example: &'static str,
    },
    /// The number lies outside the range that makes sense here.
    #[error("\"{text}\" is outside the allowed range of {range}")]
    OutOfRange {
        /// The text found.
        text: String,
        /// The allowed range in words.
        range: &'static str,
    },
}

/// Reads a length such as `10 ft`, `3.5 m` or `120 mm`.
///
/// # Errors
/// When the text is no number with one of the units m, cm, mm, ft, in, or lies outside 1 mm to 200 m.
pub fn parse_length(text: &str) -> Result<PrintedLength, QuantityError> {
    let bad = || QuantityError::NotAQuantity { text: text.into(), example: "3.5 m" };
    let (value, symbol) = number_and_unit(text).ok_or_else(bad)?;
    let unit = LengthUnit::ALL.into_iter().find(|unit| unit.symbol() == symbol).ok_or_else(bad)?;
    let length_m = value * unit.in_m();
    if !(0.001..=200.0).contains(&length_m) {
        return Err(QuantityError::OutOfRange { text: text.into(), range: "1 mm to 200 m" });
    }
    Ok(PrintedLength { text: text.into(), unit, length_m })
}

/// Reads a voltage such as `50 kV` or `750 V` and returns kV.
///
/// # Errors
/// When the text is no number with V or kV, or lies outside 1 V to 2000 kV.
pub fn parse_voltage_kv(text: &str) -> Result<f64, QuantityError> {
    let bad = || QuantityError::NotAQuantity { text: text.into(), example: "50 kV" };
    let (value, symbol) = number_and_unit(text).ok_or_else(bad)?;
    let voltage_kv = match symbol {
        "kV" => value,
        "V" => value / 1000.0,
        _ => return Err(bad()),
    };
    if !(0.001..=2000.0).contains(&voltage_kv) {
        return Err(QuantityError::OutOfRange { text: text.into(), range: "1 V to 2000 kV" });
    }
    Ok(voltage_kv)
}

fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = text.split_once(' ')?;
    let plain = number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    plain.then(|| number.parse::<f64>().ok()).flatten().map(|value| (value, unit))
}

/// A number with at most `places` decimals and no trailing zeros.
pub(crate) fn decimal(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}

/// A voltage in words, such as `12.47 kV`.
pub(crate) fn kv_text(voltage_kv: f64) -> String {
    format!("{} kV", decimal(voltage_kv, 3))
}
