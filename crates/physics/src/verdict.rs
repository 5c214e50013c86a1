//! From a bracket and a limit to a verdict.

use crate::bracket::Bracket;

/// Whether a limit is kept. Ordered from good to bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Proven: nothing comes closer than the limit.
    Clear,
    /// Neither proven clear nor shown to be too close.
    NotProven,
    /// A pose and a state were found that come closer than the limit.
    TooClose,
    /// A pose and a state were found that touch the wire.
    Contact,
}

impl Verdict {
    /// The verdict on a distance against a limit (m).
    #[must_use]
    pub fn of(distance: &Bracket, limit_m: f64) -> Self {
        if distance.upper_m <= 0.0 {
            Self::Contact
        } else if distance.upper_m < limit_m {
            Self::TooClose
        } else if distance.lower_m >= limit_m {
            Self::Clear
        } else {
            Self::NotProven
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(lower_m: f64, upper_m: f64) -> Verdict {
        Verdict::of(&Bracket { lower_m, upper_m }, 3.0)
    }

    #[test]
    fn doubt_is_never_clear() {
        assert_eq!(verdict(3.0, 3.01), Verdict::Clear);
        assert_eq!(verdict(2.999, 3.001), Verdict::NotProven);
        assert_eq!(verdict(0.0, f64::INFINITY), Verdict::NotProven);
        assert_eq!(verdict(2.99, 2.999), Verdict::TooClose);
        assert_eq!(verdict(0.0, 0.0), Verdict::Contact);
        assert_eq!(verdict(f64::NAN, f64::NAN), Verdict::NotProven);
    }
}
