//! Bisection to the last bit, for inverse problems that the product does not pose.

/// The place in `low..high` where `f` changes sign; `None` if it has one sign at both ends.
pub fn bisect(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (low, high);
    let rises = f(high) > 0.0;
    if (f(low) > 0.0) == rises {
        return None;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if (f(middle) > 0.0) == rises { high = middle } else { low = middle }
    }
    Some(0.5 * (low + high))
}
