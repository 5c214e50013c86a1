//! The elastic catenary in closed form, in the plane of its chord and its load.
//!
//! Source: H. M. Irvine, *Cable Structures*, MIT Press 1981, section 2.4 (elastic catenary, load per unit unstretched
//! length). Written here with the slope p as parameter, which splits the cable into a plain catenary and a parabola:
//!
//! x(p) = a·(asinh p + ε·p),  y(p) = a·(√(1+p²) + ε·p²/2),  a = H/w,  ε = H/(E·A).

use thiserror::Error;

/// Where the two ends lie in the plane of the load: axes across the load and against it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chord {
    /// Distance between the ends across the load direction, m; positive.
    pub run_m: f64,
    /// Height of the far end over the near end, measured against the load direction, m.
    pub rise_m: f64,
}

impl Chord {
    /// Straight distance between the ends, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        (self.run_m * self.run_m + self.rise_m * self.rise_m).sqrt()
    }
}

/// The shape of a loaded wire between two fixed ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Catenary {
    chord: Chord,
    constant_m: f64,
    strain: f64,
    slope_near: f64,
    slope_far: f64,
    /// asinh p + ε·p at the near end.
    arc_near: f64,
}

/// Why no shape was found.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum CatenaryError {
    /// The ends coincide across the load, or a number is not finite or not positive.
    #[error(
        "no wire hangs over run {run_m:.2} m, rise {rise_m:.2} m with load {load_n_per_m:.2} N/m: these must be finite, run and load positive"
    )]
    Impossible {
        /// Distance across the load, m.
        run_m: f64,
        /// Rise, m.
        rise_m: f64,
        /// Load, N/m.
        load_n_per_m: f64,
    },
    /// The iteration did not settle.
    #[error(
        "the wire's shape did not converge for {unstretched_m:.3} m of wire over a chord of {chord_m:.3} m: check length, tension and span"
    )]
    NotConverged {
        /// Unstretched length, m.
        unstretched_m: f64,
        /// Chord, m.
        chord_m: f64,
    },
    /// No length of wire has the catenary constant that was asked for.
    #[error(
        "no length of wire has a catenary constant of {constant_m:.3} m over a chord of {chord_m:.3} m: check tension, load and span"
    )]
    NoLength {
        /// Catenary constant, m.
        constant_m: f64,
        /// Chord, m.
        chord_m: f64,
    },
    /// Steeper or slacker than the model is proven for.
    #[error(
        "the wire would stretch by {strain:.4} or hang at slope {slope:.2}: beyond 0.02 or 3, where this model is not valid; check tension, span and load"
    )]
    OutsideModel {
        /// Strain H/EA.
        strain: f64,
        /// Greatest slope.
        slope: f64,
    },
}

/// Largest strain and slope for which the monotonicity that the bounds rest on is proven (docs/theory/wire-bounds.md).
const STRAIN_MAX: f64 = 0.02;
const SLOPE_MAX: f64 = 3.0;

impl Catenary {
    /// The wire with a given unstretched length (m) under a load (N/m) with axial stiffness E·A (N).
    ///
    /// # Errors
    /// When the input is impossible, the iteration does not settle, or the result leaves the range of the model.
    pub fn with_length(
        chord: Chord,
        unstretched_m: f64,
        load_n_per_m: f64,
        axial_stiffness_n: f64,
    ) -> Result<Self, CatenaryError> {
        check(chord, load_n_per_m)?;
        let a_m = solve_constant(chord, unstretched_m, load_n_per_m / axial_stiffness_n)
            .ok_or(CatenaryError::NotConverged { unstretched_m, chord_m: chord.length_m() })?;
        Self::assemble(chord, a_m, a_m * load_n_per_m / axial_stiffness_n, unstretched_m).in_model()
    }

    /// The wire with a given horizontal tension H (N; the component across the load) under a load (N/m).
    ///
    /// # Errors
    /// As for [`Catenary::with_length`].
    pub fn with_tension(
        chord: Chord,
        tension_n: f64,
        load_n_per_m: f64,
        axial_stiffness_n: f64,
    ) -> Result<Self, CatenaryError> {
        check(chord, load_n_per_m)?;
        Self::with_constant(chord, tension_n / load_n_per_m, tension_n / axial_stiffness_n)
    }

    /// The wire with a given catenary constant a = H/w (m) and strain ε = H/(E·A).
    ///
    /// # Errors
    /// As for [`Catenary::with_length`].
    pub fn with_constant(chord: Chord, constant_m: f64, strain: f64) -> Result<Self, CatenaryError> {
        check(chord, 1.0)?;
        let failed = CatenaryError::NoLength { constant_m, chord_m: chord.length_m() };
        let length_m = length_of(chord, constant_m, strain).ok_or(failed)?;
        Self::assemble(chord, constant_m, strain, length_m).in_model()
    }

    /// Slopes at the ends from the closed form: the plain catenary inside has length L₀ and rise h_c, so its middle
    /// slope angle μ obeys tanh μ = h_c/L₀, and the ends lie at μ ∓ ℓ_c/(2a).
    fn assemble(chord: Chord, constant_m: f64, strain: f64, unstretched_m: f64) -> Self {
        let half = plain_half_width(chord, constant_m, strain, unstretched_m);
        let rise_m = chord.rise_m / (1.0 + strain * mean_secant(constant_m, unstretched_m, half));
        let middle = (rise_m / unstretched_m).atanh();
        let (slope_near, slope_far) = ((middle - half).sinh(), (middle + half).sinh());
        Self { chord, constant_m, strain, slope_near, slope_far, arc_near: middle - half + strain * slope_near }
    }

    fn in_model(self) -> Result<Self, CatenaryError> {
        let slope = self.slope_near.abs().max(self.slope_far.abs());
        if (0.0..=STRAIN_MAX).contains(&self.strain) && slope <= SLOPE_MAX && self.constant_m > 0.0 {
            Ok(self)
        } else {
            Err(CatenaryError::OutsideModel { strain: self.strain, slope })
        }
    }

    /// The chord.
    #[must_use]
    pub fn chord(&self) -> Chord {
        self.chord
    }

    /// Catenary constant a = H/w, m.
    #[must_use]
    pub fn constant_m(&self) -> f64 {
        self.constant_m
    }

    /// Strain H/(E·A).
    #[must_use]
    pub fn strain(&self) -> f64 {
        self.strain
    }

    /// Unstretched length, L₀ = a·(p₂ − p₁), m.
    #[must_use]
    pub fn unstretched_m(&self) -> f64 {
        self.constant_m * (self.slope_far - self.slope_near)
    }

    /// Stretched length, m: L = ∫√(1+p²)dx, with the parabola part in closed form.
    #[must_use]
    pub fn stretched_m(&self) -> f64 {
        let part = |p: f64| p + 0.5 * self.strain * (p * secant(p) + p.asinh());
        self.constant_m * (part(self.slope_far) - part(self.slope_near))
    }

    /// Slopes dy/dx at the near and the far end, against the load direction.
    #[must_use]
    pub fn end_slopes(&self) -> (f64, f64) {
        (self.slope_near, self.slope_far)
    }

    /// Tension at a slope as a multiple of the horizontal tension: T/H = √(1+p²).
    #[must_use]
    pub fn end_tension_ratios(&self) -> (f64, f64) {
        (secant(self.slope_near), secant(self.slope_far))
    }

    /// Slope at fraction `t` of the chord: solves asinh p + ε·p = x/a + const (Newton from the plain catenary).
    #[must_use]
    pub fn slope_at(&self, t: f64) -> f64 {
        let arc = self.arc_near + t * self.chord.run_m / self.constant_m;
        let mut p = (arc / (1.0 + self.strain)).sinh();
        for _ in 0..8 {
            let step = (p.asinh() + self.strain * p - arc) / (1.0 / secant(p) + self.strain);
            p -= step;
            if step.abs() <= 1e-9 * (1.0 + p.abs()) {
                break; // the error squares itself: what is left is below rounding
            }
        }
        p
    }

    /// Sag at fraction `t`, m: distance from the chord to the wire along the load direction.
    #[must_use]
    pub fn sag_m(&self, t: f64) -> f64 {
        self.sag_at_slope(t, self.slope_at(t))
    }

    /// S = t·h − [y(p) − y(p₁)].
    fn sag_at_slope(&self, t: f64, p: f64) -> f64 {
        let p1 = self.slope_near;
        let height = (p * p - p1 * p1) * (1.0 / (secant(p) + secant(p1)) + 0.5 * self.strain);
        t * self.chord.rise_m - self.constant_m * height
    }

    /// Greatest sag over the span, m: where the wire runs parallel to the chord.
    #[must_use]
    pub fn greatest_sag_m(&self) -> f64 {
        self.greatest(0.0, 1.0, 0.0, 1.0).0
    }

    /// Fraction of the chord at which the wire has slope `p`; outside 0..1 where that lies beyond the ends.
    #[must_use]
    pub fn fraction_at_slope(&self, p: f64) -> f64 {
        self.constant_m * (p.asinh() + self.strain * p - self.arc_near) / self.chord.run_m
    }

    /// Derivative of the sag by the fraction, dS/dt = h − ℓ·p, at a slope, m.
    #[must_use]
    pub fn sag_rate_m(&self, slope: f64) -> f64 {
        self.chord.rise_m - self.chord.run_m * slope
    }

    /// Second derivative of the sag by the fraction, d²S/dt² = −ℓ·dp/dt, at a slope, m; negative.
    #[must_use]
    pub fn sag_curvature_m(&self, slope: f64) -> f64 {
        -self.chord.run_m.powi(2) / (self.constant_m * (1.0 / secant(slope) + self.strain))
    }

    /// Sag and its first and second derivative by the fraction, m.
    #[must_use]
    pub fn sag_with_rates_m(&self, t: f64) -> (f64, f64, f64) {
        let slope = self.slope_at(t);
        (self.sag_at_slope(t, slope), self.sag_rate_m(slope), self.sag_curvature_m(slope))
    }

    /// Greatest value of `linear_m`·t + `weight`·S(t) over `from..=to`, and the fraction that attains it.
    ///
    /// S is concave in t, so for a positive weight the greatest value lies at an end or where the slope is
    /// p* = (h + linear/weight)/ℓ; for a negative weight it lies at an end.
    #[must_use]
    pub fn greatest(&self, linear_m: f64, weight: f64, from: f64, to: f64) -> (f64, f64) {
        if weight > 0.0 {
            let slope = (self.chord.rise_m + linear_m / weight) / self.chord.run_m;
            let t = self.fraction_at_slope(slope);
            if t > from && t < to {
                return (linear_m * t + weight * self.sag_at_slope(t, slope), t);
            }
            let end = if t <= from { from } else { to };
            return (linear_m * end + weight * self.end_sag_m(end), end);
        }
        let at = |t: f64| (linear_m * t + weight * self.end_sag_m(t), t);
        let (a, b) = (at(from), at(to));
        if a.0 >= b.0 { a } else { b }
    }

    fn end_sag_m(&self, t: f64) -> f64 {
        if t == 0.0 || t == 1.0 { 0.0 } else { self.sag_m(t) }
    }
}

fn secant(p: f64) -> f64 {
    (1.0 + p * p).sqrt()
}

fn check(chord: Chord, load_n_per_m: f64) -> Result<(), CatenaryError> {
    let Chord { run_m, rise_m } = chord;
    if run_m > 0.0 && run_m.is_finite() && rise_m.is_finite() && load_n_per_m > 0.0 && load_n_per_m.is_finite() {
        Ok(())
    } else {
        Err(CatenaryError::Impossible { run_m, rise_m, load_n_per_m })
    }
}

/// Half of the plain catenary's width over a: y = (ℓ − ε·L₀)/(2a).
fn plain_half_width(chord: Chord, a_m: f64, strain: f64, length_m: f64) -> f64 {
    (chord.run_m - strain * length_m) / (2.0 * a_m)
}

/// Mean of √(1+p²) at the two ends: (L₀/2a)·coth y.
fn mean_secant(a_m: f64, length_m: f64, half: f64) -> f64 {
    length_m / (2.0 * a_m * half.tanh())
}

/// Unstretched length for a given constant and strain: fixed point of L₀² = h_c² + (2a·sinh y)², contraction ~ε.
fn length_of(chord: Chord, a_m: f64, strain: f64) -> Option<f64> {
    let mut length_m = chord.length_m();
    for _ in 0..60 {
        let half = plain_half_width(chord, a_m, strain, length_m);
        let rise_m = chord.rise_m / (1.0 + strain * mean_secant(a_m, length_m, half));
        let width_m = 2.0 * a_m * half.sinh();
        let next_m = (rise_m * rise_m + width_m * width_m).sqrt();
        let settled = (next_m - length_m).abs() <= 4.0 * f64::EPSILON * next_m;
        length_m = next_m;
        if settled {
            return length_m.is_finite().then_some(length_m);
        }
    }
    None
}

/// Catenary constant for a given unstretched length L₀ and softness k = w/(E·A), by Newton's method on
/// G(a) = (2a·sinh y)² + h_c² − L₀², which falls with a. The start is the root of the parabola's cubic.
fn solve_constant(chord: Chord, length_m: f64, softness_per_m: f64) -> Option<f64> {
    if !(length_m.is_finite() && length_m > 0.0 && softness_per_m > 0.0) {
        return None;
    }
    let (mut low_m, mut high_m) = (0.0, chord.run_m / (softness_per_m * length_m));
    let mut a_m = parabola_constant(chord, length_m, softness_per_m).clamp(1e-3 * chord.run_m, 0.999 * high_m);
    for _ in 0..100 {
        let (g, slope) = length_residual(chord, length_m, softness_per_m, a_m);
        if g > 0.0 {
            low_m = a_m
        } else {
            high_m = a_m
        }
        let newton_m = a_m - g / slope;
        let next_m = if newton_m > low_m && newton_m < high_m { newton_m } else { 0.5 * (low_m + high_m) };
        if (next_m - a_m).abs() <= 1e-14 * a_m || high_m - low_m <= 1e-15 * a_m {
            return next_m.is_finite().then_some(next_m);
        }
        if (next_m - a_m).abs() <= 1e-9 * a_m {
            // Newton's error squares itself: the next step is below rounding.
            let (g, slope) = length_residual(chord, length_m, softness_per_m, next_m);
            return Some(next_m - g / slope).filter(|a| a.is_finite() && *a > 0.0);
        }
        a_m = next_m;
    }
    None
}

/// G and dG/da, scaled by 1/L₀.
fn length_residual(chord: Chord, length_m: f64, softness_per_m: f64, a_m: f64) -> (f64, f64) {
    let half = (chord.run_m / a_m - softness_per_m * length_m) * 0.5;
    let half_slope = -chord.run_m / (2.0 * a_m * a_m);
    let e = half.exp();
    let (sinh, cosh) = (0.5 * (e - 1.0 / e), 0.5 * (e + 1.0 / e));
    let sinh = if half < 0.1 { half.sinh() } else { sinh };
    let width_m = 2.0 * a_m * sinh;
    let width_slope = 2.0 * sinh + 2.0 * a_m * cosh * half_slope;
    let k = 0.5 * softness_per_m * length_m;
    let denominator = 1.0 + k * cosh / sinh;
    let rise_m = chord.rise_m / denominator;
    let rise_slope = rise_m / denominator * k / (sinh * sinh) * half_slope;
    let g = (width_m - length_m) * (width_m + length_m) + rise_m * rise_m;
    (g / length_m, 2.0 * (width_m * width_slope + rise_m * rise_slope) / length_m)
}

/// Root of B·a³ + (L₀ − c)·a² − A = 0, the parabola's change of state, c the chord.
fn parabola_constant(chord: Chord, length_m: f64, softness_per_m: f64) -> f64 {
    let c = chord.length_m();
    let cube = chord.run_m.powi(4) / (24.0 * c);
    let b = length_m * c / chord.run_m * softness_per_m;
    let slack_m = length_m - c;
    let pivot = (cube / b).cbrt();
    let mut a = if slack_m >= 0.0 { pivot.min((cube / slack_m).sqrt()) } else { pivot - slack_m / b };
    for _ in 0..6 {
        a -= (a * a * (b * a + slack_m) - cube) / (a * (3.0 * b * a + 2.0 * slack_m));
    }
    a
}
