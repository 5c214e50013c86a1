//! Whole scenarios, from the file to the answer, and what is refused.

mod controls;
mod day;
mod demonstrations;
mod digging;
mod formats;
mod jobs;
mod machines;
mod machines_use;
mod refusals;
