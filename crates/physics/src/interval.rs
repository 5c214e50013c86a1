//! Closed ranges of real numbers.

use thiserror::Error;

/// A closed range `low..=high`; the unit is that of the quantity it belongs to. No end is ever NaN. One that is stated is finite; where the arithmetic
/// of a bound leaves the numbers, the range is all of them, which proves nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    low: f64,
    high: f64,
}

/// Why two numbers are no range.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum IntervalError {
    /// An end is NaN or infinite.
    #[error("a range needs finite ends, not {low}..{high}")]
    NotFinite {
        /// Lower end as given.
        low: f64,
        /// Upper end as given.
        high: f64,
    },
    /// The ends are in the wrong order.
    #[error("the lower end {low} lies above the upper end {high}: swap them or correct one")]
    Inverted {
        /// Lower end as given.
        low: f64,
        /// Upper end as given.
        high: f64,
    },
}

impl Interval {
    /// The range that holds 0 alone.
    pub const ZERO: Self = Self { low: 0.0, high: 0.0 };

    /// The range from `low` to `high`.
    ///
    /// # Errors
    /// When an end is not finite or `low > high`.
    pub fn new(low: f64, high: f64) -> Result<Self, IntervalError> {
        if !(low.is_finite() && high.is_finite()) {
            return Err(IntervalError::NotFinite { low, high });
        }
        if low > high {
            return Err(IntervalError::Inverted { low, high });
        }
        Ok(Self { low, high })
    }

    /// The range that holds `value` alone.
    ///
    /// # Errors
    /// When `value` is not finite.
    pub fn point(value: f64) -> Result<Self, IntervalError> {
        Self::new(value, value)
    }

    /// Every number: what is known of a value that is none.
    const ALL: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// The smallest range that holds both numbers, in either order; every number where one of them is none.
    pub(crate) fn hull(a: f64, b: f64) -> Self {
        if a <= b {
            Self { low: a, high: b }
        } else if b < a {
            Self { low: b, high: a }
        } else {
            Self::ALL
        }
    }

    /// Lower end.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.low
    }

    /// Upper end.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.high
    }

    /// Midpoint.
    #[must_use]
    pub fn center(&self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// Half of the width.
    #[must_use]
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }

    /// Width; zero for a single value.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// Whether `value` lies inside, ends included.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The range moved outward by `margin` at both ends.
    pub(crate) fn widened(&self, margin: f64) -> Self {
        let (low, high) = (self.low - margin, self.high + margin);
        if low.is_nan() || high.is_nan() { Self::ALL } else { Self { low, high } }
    }

    /// The point at fraction `t` (0 at the lower end, 1 at the upper end).
    #[must_use]
    pub fn at(&self, t: f64) -> f64 {
        self.low + t * (self.high - self.low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_never_becomes_an_end() {
        let one = Interval::hull(1.0, 2.0);
        for range in [Interval::hull(f64::NAN, 1.0), Interval::hull(1.0, f64::NAN), one.widened(f64::NAN)] {
            assert!(range.low() == f64::NEG_INFINITY && range.high() == f64::INFINITY, "{range:?}");
        }
        assert_eq!(Interval::hull(2.0, 1.0), one);
        assert!(Interval::new(f64::NAN, 1.0).is_err() && Interval::point(f64::NAN).is_err());
    }
}
