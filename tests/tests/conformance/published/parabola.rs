//! The parabola, for sources that use it. It is no part of the product; it shows that a printed number follows from the
//! printed inputs where the exact curve differs by more than the tolerance.

/// A level span of length L under a load w: H at the low point.
#[derive(Clone, Copy, Debug)]
pub struct Parabola {
    pub span_m: f64,
    pub load_n_per_m: f64,
    pub horizontal_n: f64,
}

impl Parabola {
    /// D = w·L²/(8·H).
    pub fn sag_m(&self) -> f64 {
        self.load_n_per_m * self.span_m.powi(2) / (8.0 * self.horizontal_n)
    }

    /// T = √(H² + (w·L/2)²).
    pub fn greatest_n(&self) -> f64 {
        self.horizontal_n.hypot(0.5 * self.load_n_per_m * self.span_m)
    }

    /// Distance of the low point from the lower support: L/2 − H·h/(w·L).
    pub fn low_point_m(&self, rise_m: f64) -> f64 {
        0.5 * self.span_m - self.horizontal_n * rise_m / (self.load_n_per_m * self.span_m)
    }

    /// Sag below the higher support: w·(L − x)²/(2·H).
    pub fn sag_below_higher_m(&self, rise_m: f64) -> f64 {
        self.load_n_per_m * (self.span_m - self.low_point_m(rise_m)).powi(2) / (2.0 * self.horizontal_n)
    }
}

/// D = √(3·L·(ℓ − L)/8), from the slack of a wire of length ℓ.
pub fn sag_from_length_m(span_m: f64, length_m: f64) -> f64 {
    (3.0 * span_m * (length_m - span_m) / 8.0).sqrt()
}

/// What changes between two states of a level span.
#[derive(Clone, Copy, Debug)]
pub struct Change {
    pub stiffness_n: f64,
    pub thermal_strain: f64,
    pub load_n_per_m: f64,
}

/// H₂ from H₂²·(H₂ − H₁ + w₁²·L²·EA/(24·H₁²) + EA·α·ΔT) = w₂²·L²·EA/24, by bisection.
pub fn tension_after(before: Parabola, change: Change) -> f64 {
    let pull = |load: f64| load.powi(2) * before.span_m.powi(2) * change.stiffness_n / 24.0;
    let shift_n = pull(before.load_n_per_m) / before.horizontal_n.powi(2) - before.horizontal_n
        + change.stiffness_n * change.thermal_strain;
    let gap = |tension_n: f64| tension_n.powi(2) * (tension_n + shift_n) - pull(change.load_n_per_m);
    crate::published::root::bisect(1.0, 1e7, gap).expect("the cubic changes sign once")
}
