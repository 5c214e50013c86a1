//! The files that people write: a scenario (lines, conditions, machines, work) and a machine.
//!
//! Text is read with the position of every value ([`source`]), compared with the JSON Schema of the format
//! ([`structure`]), turned into typed values in SI ([`raw`], [`quantity`]), checked for sense and lowered to a
//! study of the physics crate ([`job`]) with a limit for each machine and wire. Every problem of a step is reported at
//! once, each with a stable code, its place, and what to do ([`problem`]). Nothing is repaired or guessed.
//!
//! This crate opens no file itself: whoever calls it says how a referenced file is read. It does not search for the
//! closest approach, print, or know a terminal.

pub mod bounds;
pub mod catalogue;
mod checks;
pub mod climate;
pub mod code;
pub mod context;
pub mod control;
pub mod days;
pub mod defaults;
pub mod heating;
mod here;
pub mod invisible;
pub mod job;
mod lower;
pub mod machine;
pub mod nearest;
pub mod path;
pub mod problem;
pub mod quantity;
pub mod raw;
pub mod record;
pub mod schema;
pub mod source;
pub mod structure;
pub mod weather;
pub mod wires;

pub use code::Code;
pub use context::Context;
pub use job::Job;
pub use lower::{Counted, FreeEnd};
pub use problem::{Problem, Problems};
