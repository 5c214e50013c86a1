//! The search for controls and places: against closed forms, samples and point checks.

#![expect(clippy::print_stdout, reason = "a test says how much it tried")]

mod brute;
mod closed_form;
mod entries;
mod ground;
mod pairs;
mod samples;
mod siting;

/// A number from the environment.
fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}
