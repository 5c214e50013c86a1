//! Intervals for tests.

use wideberth_physics::interval::Interval;

/// The range between two numbers in order.
///
/// # Panics
/// When they are not in order.
#[must_use]
pub fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("ordered numbers")
}
