//! A wire that sways in time: a cable of lumped masses under a wind that changes along the span and from moment to moment.
//!
//! The formulas with their sources stand in `docs/theory/sway.md`. Positions are relative to the span's near attachment, with
//! the axes of the site.

mod cable;
mod chain;
mod extent;
mod gust;
mod irvine;
mod modes;
mod run;
mod step;
mod strung;

pub use cable::{Cable, CableState, SwayError};
pub use extent::StillRegion;
pub use gust::{Gusts, GustsError, Turbulence};
pub use irvine::{irvine_parameter, swing_period_s, symmetric_frequency_ratio};
pub use modes::{Direction, Mode};
pub use run::{Picture, node_positions_m, run};
pub use strung::StrungCable;
