//! A proven range for a distance.

/// The number is proven to lie in `lower_m..=upper_m`, metres.
///
/// The lower end is a proof: nothing is closer. The upper end is attained by a witness, or infinite while none is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bracket {
    /// Proven lower end, m.
    pub lower_m: f64,
    /// Attained upper end, m.
    pub upper_m: f64,
}

impl Bracket {
    /// Width of the range, m.
    #[must_use]
    pub fn width_m(&self) -> f64 {
        self.upper_m - self.lower_m
    }

    /// The bracket of the smaller of two numbers.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self { lower_m: self.lower_m.min(other.lower_m), upper_m: self.upper_m.min(other.upper_m) }
    }

    /// Both ends moved down by `length_m`: a distance turned into what is left beyond a limit.
    #[must_use]
    pub fn less(self, length_m: f64) -> Self {
        Self { lower_m: self.lower_m - length_m, upper_m: self.upper_m - length_m }
    }
}
