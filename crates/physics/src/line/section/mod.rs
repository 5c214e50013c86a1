//! A section: spans between two rigid attachments whose inner supports carry suspension strings.
//!
//! The wire is clamped to the lower ends of the strings, so each span keeps its unstretched length; the strings swing along
//! and across the line until all forces balance. Model and proofs: `docs/theory/strings.md`.

mod balance;
mod cable;
mod enclose;
mod model;
mod piece;
mod shape;
mod spread;
mod state;
mod string;
mod tangent;
mod wind;

pub use model::Section;
pub use piece::Piece;
pub use state::{DIMENSIONS, SectionBox, SectionState, WindNumbers};
pub use string::{SectionError, StringSwing, SuspensionString, ruling_span_m};

pub(super) use piece::Hung;
pub(crate) use piece::{Hints, Sway};
pub(super) use shape::{span_shape, swings};
