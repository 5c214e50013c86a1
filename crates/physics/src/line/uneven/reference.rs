//! A shape to which all others are compared: whatever the loads, the tension is at least what this shape says.

use super::premises::Premises;
use super::{Across, PIECES};

/// A unit tangent on each piece of a span, by what follows from its part φ square to the run.
#[derive(Clone, Debug)]
pub struct Reference {
    /// Ψ = ∫(φ − mean φ)dξ at the ends of the pieces.
    pub weights: [Across; PIECES + 1],
    /// C_r = ℓ·mean(φ₀ + φ·m) − c, m; at most 0.
    pub constant_m: f64,
}

impl Reference {
    /// The shape with given slopes off the chord on the pieces.
    pub fn new(premises: &Premises, off: &[Across; PIECES]) -> Self {
        let chord = Across::new(premises.slope, 0.0);
        let ratio = premises.chord_per_run();
        let mut excess = 0.0;
        let tangents = off.map(|off| {
            let slope = chord + off;
            let secant = (1.0 + slope.norm_squared()).sqrt();
            // φ₀ + φ·m − c/ℓ = (1 + p·m − c/ℓ·√(1 + p²))/√(1 + p²)
            excess += (1.0 + slope.dot(&chord)) / secant - ratio;
            slope / secant
        });
        let mean = tangents.iter().sum::<Across>() / PIECES as f64;
        let mut weights = [Across::zeros(); PIECES + 1];
        for (i, tangent) in tangents.iter().enumerate() {
            weights[i + 1] = weights[i] + (tangent - mean) / PIECES as f64;
        }
        weights[PIECES] = Across::zeros();
        Self { weights, constant_m: premises.run_m * excess / PIECES as f64 }
    }

    /// The shape under a load that is the same everywhere, by that load over the horizontal tension, 1/m.
    pub fn uniform(premises: &Premises, bend_per_m: Across) -> Self {
        let off = |i: usize| bend_per_m * (premises.run_m * (0.5 - (i as f64 + 0.5) / PIECES as f64));
        Self::new(premises, &std::array::from_fn(off))
    }

    /// Greatest ±B = ±ℓ²·∫Ψ·k dξ over all loads, N·m.
    pub fn most(&self, premises: &Premises, sign: f64) -> f64 {
        let piece = |i: usize| {
            let ends = [self.weights[i] * sign, self.weights[i + 1] * sign];
            premises.integral(i, &ends).0
        };
        premises.run_m.powi(2) / PIECES as f64 * (0..PIECES).map(piece).sum::<f64>()
    }

    /// Least H with H·(slack(H) − C_r) ≥ B, by a law of slack (m, m/N).
    pub fn tension_n(&self, (slack_m, rate_m_per_n): (f64, f64), moment_nm: f64) -> f64 {
        let slack_m = slack_m - self.constant_m;
        let root = (slack_m * slack_m + 4.0 * rate_m_per_n * moment_nm).max(0.0).sqrt();
        let tension_n =
            if slack_m > 0.0 { 2.0 * moment_nm / (slack_m + root) } else { (root - slack_m) / (2.0 * rate_m_per_n) };
        tension_n.max(0.0)
    }
}

impl Premises {
    /// An upper bound of the mean over a piece of the greatest A·k, where A runs straight from one end's value to the other's;
    /// and about the loads that attain it, at both ends. The bound is exact where one load or two take turns.
    pub fn integral(&self, piece: usize, ends: &[Across; 2]) -> (f64, [Across; 2]) {
        let [near, far] = ends;
        let ((of_near, at_near), (of_far, at_far)) = (self.support(piece, near), self.support(piece, far));
        let straight = 0.5 * (of_near + of_far);
        // Where the lines of the two loads cross the greatest A·k is convex: two straight pieces lie above it.
        let (other_near, other_far) = (at_far.dot(near), at_near.dot(far));
        let (fall, rise) = (of_near - other_near, of_far - other_far);
        if fall + rise <= 0.0 {
            return (straight, [at_near, at_far]);
        }
        let share = fall / (fall + rise);
        let between = near + (far - near) * share;
        let of_between = self.support(piece, &between).0;
        let bent = 0.5 * (share * (of_near + of_between) + (1.0 - share) * (of_between + of_far));
        (bent.min(straight), [at_near, at_far])
    }
}
