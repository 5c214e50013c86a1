//! Seeded random numbers.

use nalgebra::{Unit, UnitQuaternion, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::interval::Interval;

/// A stream of random numbers; the same seed gives the same stream everywhere.
pub struct Draw(ChaCha8Rng);

impl Draw {
    /// The stream of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Uniform in 0..1.
    pub fn share(&mut self) -> f64 {
        self.0.random()
    }

    /// Uniform in a range.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Uniform in the logarithm.
    pub fn log_within(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.share())
    }

    /// True with a probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.share() < probability
    }

    /// An index below a count.
    pub fn index(&mut self, count: usize) -> usize {
        self.0.random_range(0..count)
    }

    /// About normal: mean 0, variance 1.
    pub fn normal(&mut self) -> f64 {
        let (radius, angle) = ((-2.0 * (1.0 - self.share()).ln()).sqrt(), std::f64::consts::TAU * self.share());
        radius * angle.cos()
    }

    /// Two numbers in order, somewhere in a range; now and then the same.
    pub fn interval(&mut self, low: f64, high: f64) -> Interval {
        let a = self.within(low, high);
        let b = if self.chance(0.15) { a } else { self.within(low, high) };
        ordered(a, b)
    }

    /// A value with a tolerance, mostly none.
    pub fn toleranced(&mut self, value: f64, share: f64) -> Interval {
        let half = if self.chance(0.5) { 0.0 } else { value.abs() * self.within(0.0, share) };
        ordered(value - half, value + half)
    }

    /// A direction; now and then a main axis.
    pub fn direction(&mut self) -> Unit<Vector3<f64>> {
        let axes = [Vector3::x_axis(), Vector3::y_axis(), Vector3::z_axis()];
        if self.chance(0.5) {
            return axes[self.index(3)];
        }
        let vector = Vector3::from_fn(|_, _| self.normal());
        Unit::try_new(vector, 1e-6).unwrap_or(axes[0])
    }

    /// A turn; mostly none.
    pub fn turn(&mut self) -> UnitQuaternion<f64> {
        if self.chance(0.6) {
            return UnitQuaternion::identity();
        }
        let axis = self.direction();
        UnitQuaternion::from_axis_angle(&axis, self.within(-3.0, 3.0))
    }

    /// A vector with components within ±`reach`.
    pub fn vector(&mut self, reach: f64) -> Vector3<f64> {
        Vector3::from_fn(|_, _| self.within(-reach, reach))
    }
}

/// The range between two numbers in either order.
///
/// # Panics
/// When one is not finite.
#[must_use]
pub fn ordered(a: f64, b: f64) -> Interval {
    Interval::new(a.min(b), a.max(b)).expect("finite numbers")
}
