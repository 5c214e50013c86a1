//! What an assessment says to people and programs: the result document, its JSON and CSV, quantities in the units that
//! people read, and what contributes to the closest approach.
//!
//! This crate reads no file and knows no terminal; layout for screens belongs to the command line.

mod answer;
mod build;
pub mod contributions;
pub mod document;
mod notes;
pub mod quantity;
pub mod rows;
pub mod sag;
mod state;
pub mod sway;
pub mod words;

pub use answer::{Answer, AnswerError, answer};
pub use document::ResultDocument;
pub use quantity::Units;
