//! Irvine's theory of the frequencies of a shallow cable, and the swing period of short-circuit practice.
//!
//! H. M. Irvine, T. K. Caughey, "The linear theory of free vibrations of a suspended cable", Proc. R. Soc. Lond. A 341 (1974);
//! H. M. Irvine, Cable Structures (1981), ch. 3 (from memory).

use std::f64::consts::PI;

use crate::GRAVITY_M_PER_S2;

/// Irvine's parameter λ² = (w·ℓ/H)²·ℓ·EA/(H·L_e) with L_e = ℓ·(1 + 8·(b/ℓ)²), b = w·ℓ²/(8·H).
#[must_use]
pub fn irvine_parameter(weight_n_per_m: f64, run_m: f64, horizontal_n: f64, stiffness_n: f64) -> f64 {
    let ratio = weight_n_per_m * run_m / horizontal_n;
    let virtual_m = run_m * (1.0 + ratio * ratio / 8.0);
    ratio * ratio * run_m * stiffness_n / (horizontal_n * virtual_m)
}

/// The first symmetric frequency in the plane of sag as ω·ℓ/√(H/m): root of tan(ω/2) = ω/2 − (4/λ²)·(ω/2)³ in π..3π.
///
/// In the same measure, modes across have n·π and antisymmetric modes in the plane 2·n·π.
#[must_use]
pub fn symmetric_frequency_ratio(lambda2: f64) -> f64 {
    // With u = ω/2 in π/2..3π/2, times cos u: sin u − (u − 4u³/λ²)·cos u has one sign change there and no pole.
    let miss = |u: f64| lambda2 * (u.sin() - u * u.cos()) + 4.0 * u.powi(3) * u.cos();
    let (mut low, mut high) = (0.5 * PI, 1.5 * PI);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if miss(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + high
}

/// Period of the swing of a span with sag b: T = 2π·√(0.8·b/g) (IEC 60865-1, from memory).
#[must_use]
pub fn swing_period_s(sag_m: f64) -> f64 {
    2.0 * PI * (0.8 * sag_m / GRAVITY_M_PER_S2).sqrt()
}
