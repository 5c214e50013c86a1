//! Loads that differ along a span: how far they can move the wire. Proof: `docs/theory/uneven-loads.md`.

mod influence;
mod loads;
mod premises;
mod reach;
mod reference;
#[cfg(test)]
mod tests;
mod tube;

pub use loads::{LoadSet, WindFan};
pub use premises::{CoreStretch, StretchLaw, UnevenSpan};
pub use tube::{Farthest, Tube};

/// A vector square to the run of a span: down and to the span's left.
pub type Across = nalgebra::Vector2<f64>;

/// Pieces of equal run into which a span is divided.
pub const PIECES: usize = 32;
