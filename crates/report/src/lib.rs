//! What an assessment says to people and programs: the result document, its JSON and CSV, quantities in the units that
//! people read. The facts come from `wideberth_plan::answer`.
//!
//! This crate reads no file and knows no terminal; layout for screens belongs to the command line.

mod build;
pub mod cells;
pub mod chart;
pub mod day;
pub mod document;
pub mod draw;
pub mod drivers;
pub mod fixes;
pub mod holds;
mod notes;
pub mod plan;
pub mod quantity;
pub mod record;
pub mod rows;
pub mod sag;
pub mod stand;
mod state;
pub mod sway;
pub mod words;

pub use document::{Document, ResultDocument};
pub use quantity::Units;
