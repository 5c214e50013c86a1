//! Quantities as people write them, a number and a unit, and their value in SI.

mod dimension;
mod parse;
mod typed;
mod unit;

pub use dimension::Dimension;
pub use parse::{Parsed, QuantityError, parse, to_si};
pub use typed::{Either, EitherSpan, Number, Quantity, Span};
pub use unit::{UNITS, Unit, find_unit};
