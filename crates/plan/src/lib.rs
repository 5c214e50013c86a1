//! Questions about a job that take many proven searches, and the answer that all of them start from: when is it clear, where may a machine stand, which controls
//! make it clear, is it ready, and what does its worst spare depend on.
//!
//! Each question is one module that takes a [`wideberth_scenario::Job`] (or the scenario it came from) and answers with
//! proven brackets. This crate opens no file, prints nothing and knows no terminal.

pub mod answer;
pub mod boundary;
pub mod chart;
pub mod contributions;
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
