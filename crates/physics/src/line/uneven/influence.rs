//! The influence line of a place: what a load at another place counts for n·d there.

use super::Across;

/// G(t, ξ)·n with G = min(t, ξ)·(1 − max(t, ξ)), the deflection of a string under a single load.
#[derive(Clone, Copy, Debug)]
pub struct Influence {
    /// The place, as a fraction of the run.
    pub fraction: f64,
    /// n, square to the run.
    pub normal: Across,
}

impl Influence {
    pub fn new(fraction: f64, normal: Across) -> Self {
        Self { fraction, normal }
    }

    /// Its value at a fraction of the run.
    pub fn at(&self, xi: f64) -> Across {
        self.normal * (self.fraction.min(xi) * (1.0 - self.fraction.max(xi)))
    }

    /// ∫G dξ from the near end to a fraction of the run.
    pub fn area(&self, xi: f64) -> f64 {
        let t = self.fraction;
        let near = 0.5 * xi.min(t).powi(2) * (1.0 - t);
        let far = if xi > t { t * ((xi - t) - 0.5 * (xi * xi - t * t)) } else { 0.0 };
        near + far
    }
}
