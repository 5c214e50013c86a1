//! Nothing comes closer than the lower end of a bracket: random studies against random, extreme and climbing samples.
//!
//! `WIDEBERTH_LONG=1` runs the long form: 500 studies with a million samples each.

#![expect(clippy::print_stdout, reason = "a test says how much it tried")]

mod attachment;
mod attack;
mod demonstrations;
mod envelope;
mod search;

fn long() -> bool {
    std::env::var_os("WIDEBERTH_LONG").is_some_and(|value| value == "1")
}

/// A number from the environment, or the default.
fn number(name: &str, default: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(default)
}
