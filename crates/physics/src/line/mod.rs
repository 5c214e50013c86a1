//! Overhead wires: conductor, load, shape, state, and bounds on the shape over ranges of states.

mod bimetal;
mod catenary;
mod conditions;
mod conductor;
mod cover;
mod drag;
mod envelope;
mod history;
mod known;
mod load;
mod pieces;
mod real;
mod rise;
mod section;
mod span;
mod stringing;
mod uneven;
mod wire;

pub use bimetal::Core;
pub use catenary::{Catenary, CatenaryError, Chord};
pub use conditions::{Conditions, ConditionsError, LoadsAlongSpan, WindDirection};
pub use conductor::{Conductor, ConductorError, ConductorProperties};
pub use cover::{Cover, CoveredStates, PlacedState, Reach};
pub use drag::WireSurface;
pub use envelope::{Envelope, StateBox};
pub use history::{HeaviestLoad, NewWire};
pub use known::{KnownBy, KnownError, Tautness};
pub use load::{Load, LoadModel};
pub use pieces::{FixedWire, Incidence, LoadPiece, LoadPieces, PieceCurve, PieceForce, SlackCore, StretchLaw};
pub(crate) use real::History;
pub use real::{RealWire, WireHistory};
pub use section::{
    DIMENSIONS, Piece, Section, SectionBox, SectionError, SectionState, StringSwing, SuspensionString, WindNumbers,
    ruling_span_m,
};
pub use span::{Span, SpanError};
pub use stringing::SectionPicture;
pub use wire::{InAnyLoad, SpanState, StateShape, Strand, Wire, WireDescription, WireError, WireMargins, WireSpan};
