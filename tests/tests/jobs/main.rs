//! Whole scenarios, from the file to the answer, and what is refused.

mod controls;
mod day;
mod demonstrations;
mod digging;
mod formats;
mod jobs;
mod known_place;
mod machines;
mod machines_use;
mod names;
mod records;
mod refusals;
