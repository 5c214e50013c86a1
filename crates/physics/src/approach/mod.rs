//! The certified search for the closest approach of one machine to one wire.

mod types;

pub use types::{Approach, ApproachError, Options, StopReason, Witness, closest_approach};
