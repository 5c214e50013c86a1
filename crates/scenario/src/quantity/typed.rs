//! Typed quantities of the raw files: their kind is in their type, their value in SI, their text as written.

use std::borrow::Cow;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error};
use serde_json::Value;
use wideberth_physics::interval::Interval;

use super::{Dimension, parse};
use crate::bounds::{Bound, Bounded};

/// One quantity of kind `B`, such as `"62 m"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity<B> {
    /// Value in SI (°C for temperatures).
    pub si: f64,
    /// As the file writes it.
    pub written: String,
    kind: PhantomData<B>,
}

/// A range of kind `B`: `["-10 degC", "75 degC"]`, or one quantity for both ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Span<B> {
    /// The range in SI (°C for temperatures).
    pub si: Interval,
    /// As the file writes it.
    pub written: String,
    kind: PhantomData<B>,
}

/// A quantity of one of two kinds, told apart by its unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Either<A, B> {
    /// Of the first kind.
    First(Quantity<A>),
    /// Of the second kind.
    Second(Quantity<B>),
}

/// A range of one of two kinds, told apart by its unit.
#[derive(Clone, Debug, PartialEq)]
pub enum EitherSpan<A, B> {
    /// Of the first kind.
    First(Span<A>),
    /// Of the second kind.
    Second(Span<B>),
}

/// A plain number of kind `B`, written without unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number<B> {
    /// The number.
    pub value: f64,
    kind: PhantomData<B>,
}

impl<B> Quantity<B> {
    fn new(si: f64, written: &str) -> Self {
        Self { si, written: written.trim().into(), kind: PhantomData }
    }

    /// A quantity that no file writes: one that a control sets.
    pub(crate) fn of(si: f64, written: String) -> Self {
        Self { si, written, kind: PhantomData }
    }
}

impl<B> Span<B> {
    /// A range that no file writes: one that a control narrows.
    pub(crate) fn of(si: Interval, written: String) -> Self {
        Self { si, written, kind: PhantomData }
    }
}

fn one(text: &str, kinds: &[Bound]) -> Result<(f64, Dimension), String> {
    parse(text, kinds).map(|(parsed, _)| (parsed.si, parsed.dimension)).map_err(|e| e.to_string())
}

/// The ends of a range, their common dimension, and the text.
fn ends(value: &Value, kinds: &[Bound]) -> Result<(Interval, Dimension, String), String> {
    let texts: Vec<&str> = match value {
        Value::String(text) => vec![text],
        Value::Array(items) => items.iter().filter_map(Value::as_str).collect(),
        _ => vec![],
    };
    let (low, high) = match texts[..] {
        [single] => (single, single),
        [low, high] => (low, high),
        _ => return Err("a range is one quantity or a list of two".into()),
    };
    let (a, dimension) = one(low, kinds)?;
    let (b, other) = one(high, kinds)?;
    if dimension != other {
        return Err("both ends of a range must measure the same".into());
    }
    let written = if texts.len() == 1 { low.trim().into() } else { format!("{} to {}", low.trim(), high.trim()) };
    Ok((Interval::new(a, b).map_err(|e| e.to_string())?, dimension, written))
}

impl<'de, B: Bounded> Deserialize<'de> for Quantity<B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        one(&text, &[B::BOUND]).map(|(si, _)| Self::new(si, &text)).map_err(D::Error::custom)
    }
}

impl<'de, B: Bounded> Deserialize<'de> for Span<B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(deserializer)?;
        let (si, _, written) = ends(&value, &[B::BOUND]).map_err(D::Error::custom)?;
        Ok(Self { si, written, kind: PhantomData })
    }
}

impl<'de, A: Bounded, B: Bounded> Deserialize<'de> for Either<A, B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let (si, dimension) = one(&text, &[A::BOUND, B::BOUND]).map_err(D::Error::custom)?;
        let first = dimension == A::BOUND.dimension;
        Ok(if first { Self::First(Quantity::new(si, &text)) } else { Self::Second(Quantity::new(si, &text)) })
    }
}

impl<'de, A: Bounded, B: Bounded> Deserialize<'de> for EitherSpan<A, B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = Value::deserialize(deserializer)?;
        let (si, dimension, written) = ends(&value, &[A::BOUND, B::BOUND]).map_err(D::Error::custom)?;
        let first = dimension == A::BOUND.dimension;
        Ok(if first {
            Self::First(Span { si, written, kind: PhantomData })
        } else {
            Self::Second(Span { si, written, kind: PhantomData })
        })
    }
}

impl<'de, B: Bounded> Deserialize<'de> for Number<B> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let value = f64::deserialize(deserializer)?;
        let bound = B::BOUND;
        if (bound.min..=bound.max).contains(&value) {
            Ok(Self { value, kind: PhantomData })
        } else {
            Err(D::Error::custom(format!("{value} is outside {}", bound.range())))
        }
    }
}

/// Schema of one quantity: a text with a number and a unit of its kinds.
fn text_schema(kinds: &[Bound]) -> Schema {
    let words: Vec<_> = kinds.iter().map(|b| format!("{}, {}", b.words, b.range())).collect();
    let names: Vec<_> = kinds.iter().map(|b| b.name).collect();
    let examples: Vec<_> = kinds.iter().map(Bound::example).collect();
    json_schema!({
        "type": "string", "description": words.join("; or "), "examples": examples, "x-quantity": names,
        "pattern": pattern(kinds),
    })
}

/// A pattern for editors: a number and one of the units. What it lets through is still read and checked.
fn pattern(kinds: &[Bound]) -> String {
    let units: Vec<_> = kinds.iter().flat_map(|bound| bound.dimension.units()).collect();
    format!(r"^\s*[-+]?[0-9.]+([eE][-+]?[0-9]+)?\s*({})\s*$", units.join("|"))
}

/// Schema of a range: one quantity, or a list of two.
fn span_schema(kinds: &[Bound]) -> Schema {
    let end = text_schema(kinds);
    let names: Vec<_> = kinds.iter().map(|b| b.name).collect();
    json_schema!({
        "anyOf": [end, { "type": "array", "items": end, "minItems": 2, "maxItems": 2 }],
        "x-quantity": names, "x-range": true,
    })
}

impl<B: Bounded> JsonSchema for Quantity<B> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        B::BOUND.name.into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        text_schema(&[B::BOUND])
    }
}

impl<B: Bounded> JsonSchema for Span<B> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("range of {}", B::BOUND.name).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        span_schema(&[B::BOUND])
    }
}

impl<A: Bounded, B: Bounded> JsonSchema for Either<A, B> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("{} or {}", A::BOUND.name, B::BOUND.name).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        text_schema(&[A::BOUND, B::BOUND])
    }
}

impl<A: Bounded, B: Bounded> JsonSchema for EitherSpan<A, B> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("range of {} or {}", A::BOUND.name, B::BOUND.name).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        span_schema(&[A::BOUND, B::BOUND])
    }
}

impl<B: Bounded> JsonSchema for Number<B> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        B::BOUND.name.into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let bound = B::BOUND;
        json_schema!({
            "type": "number", "minimum": bound.min, "maximum": bound.max,
            "description": format!("{}, {}", bound.words, bound.range()), "x-number": bound.name,
        })
    }
}
