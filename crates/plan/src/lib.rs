//! Questions about a job that take many certified searches: when is it clear, where may a machine stand, which controls
//! make it clear, is it ready, and what does its worst spare depend on.
//!
//! Each question is one module that takes a [`wideberth_scenario::Job`] (or the scenario it came from) and answers with
//! proven brackets. This crate opens no file, prints nothing and knows no terminal.

mod assessed;
pub mod boundary;
pub mod chart;
pub mod day;
pub mod decide;
pub mod digging;
pub mod drivers;
pub mod fixes;
pub mod on_the_map;
pub mod readiness;
pub mod stand;
pub mod sway;
pub mod wind;

pub use assessed::assessed;
