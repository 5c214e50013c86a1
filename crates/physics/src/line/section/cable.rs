//! An elastic cable in space by the force at its near end, in closed form.
//!
//! Tension T(s) = f − q·s along the unstretched length s, r′ = T/|T| + T/EA (Irvine 1981, section 2.4, in vectors). With
//! σ = s/L and Q = q·L the far end lies at C = L·∫₀¹(T/|T| + T/EA)dσ, T = f − Qσ.

use nalgebra::{Matrix3, Vector3};

/// A cable under its load.
#[derive(Clone, Copy, Debug)]
pub struct Cable {
    /// Tension at the near end, as the pull on the near attachment, N.
    pub force_n: Vector3<f64>,
    /// Total load, N.
    pub total_n: Vector3<f64>,
    /// Unstretched length, m.
    pub unstretched_m: f64,
    /// Axial stiffness, N.
    pub stiffness_n: f64,
}

/// The integrals over σ that far end and derivatives are made of: T = h·n + z·e with z from z₀ to z₀ − |Q|.
struct Integrals {
    along: Vector3<f64>,
    across: Vector3<f64>,
    aside: Vector3<f64>,
    h: f64,
    /// ∫1/|T|
    inverse: f64,
    /// ∫z/|T|
    rise: f64,
    /// ∫h²/|T|³
    flat: f64,
    /// ∫h·z/|T|³
    mixed: f64,
    z0: f64,
    q: f64,
}

impl Cable {
    fn integrals(&self) -> Integrals {
        let q = self.total_n.norm();
        let along = self.total_n / q;
        let z0 = self.force_n.dot(&along);
        let level = self.force_n - along * z0;
        let h = level.norm();
        let across = level / h;
        let z1 = z0 - q;
        let (r0, r1) = (h.hypot(z0), h.hypot(z1));
        Integrals {
            along,
            across,
            aside: across.cross(&along),
            h,
            inverse: ((z0 / h).asinh() - (z1 / h).asinh()) / q,
            rise: (z0 + z1) / (r0 + r1),
            flat: (z0 / r0 - z1 / r1) / q,
            mixed: h * (1.0 / r1 - 1.0 / r0) / q,
            z0,
            q,
        }
    }

    /// From the near to the far end, m.
    pub fn reach_m(&self) -> Vector3<f64> {
        let i = self.integrals();
        let stretch = (self.force_n - 0.5 * self.total_n) / self.stiffness_n;
        self.unstretched_m * (stretch + i.across * (i.h * i.inverse) + i.along * i.rise)
    }

    /// ∂C/∂f = L·∫(1/EA + (1 − t·tᵀ)/|T|)dσ, m/N: symmetric and positive definite.
    pub fn give_m_per_n(&self) -> Matrix3<f64> {
        let i = self.integrals();
        let direct = Matrix3::identity() / self.stiffness_n;
        self.unstretched_m * (direct + i.dyads(i.inverse - i.flat, i.flat, i.mixed, i.inverse))
    }

    /// −∂C/∂Q = L·∫σ·(1/EA + (1 − t·tᵀ)/|T|)dσ, m/N.
    pub fn droop_m_per_n(&self) -> Matrix3<f64> {
        let i = self.integrals();
        let inverse = (i.z0 * i.inverse - i.rise) / i.q;
        let flat = (i.z0 * i.flat - i.h * i.mixed) / i.q;
        let mixed = (i.z0 * i.mixed - i.h * (i.inverse - i.flat)) / i.q;
        let direct = Matrix3::identity() * (0.5 / self.stiffness_n);
        self.unstretched_m * (direct + i.dyads(inverse - flat, flat, mixed, inverse))
    }
}

impl Integrals {
    fn dyads(&self, across: f64, along: f64, mixed: f64, aside: f64) -> Matrix3<f64> {
        let (n, e, b) = (self.across, self.along, self.aside);
        n * n.transpose() * across + e * e.transpose() * along - (n * e.transpose() + e * n.transpose()) * mixed
            + b * b.transpose() * aside
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn cable(force: [f64; 3], total: [f64; 3]) -> Cable {
        Cable {
            force_n: Vector3::from(force),
            total_n: Vector3::from(total),
            unstretched_m: 280.0,
            stiffness_n: 3.1e7,
        }
    }

    /// The far end by summing up short pieces.
    fn summed_m(cable: &Cable) -> Vector3<f64> {
        let steps = 20_000;
        let piece = |k: i32| {
            let t = cable.force_n - cable.total_n * ((f64::from(k) + 0.5) / f64::from(steps));
            t.normalize() + t / cable.stiffness_n
        };
        (0..steps).map(piece).sum::<Vector3<f64>>() * (cable.unstretched_m / f64::from(steps))
    }

    proptest! {
        #[test]
        fn closed_forms_are_the_sum_of_pieces_and_its_derivatives(
            x in 5e3..4e4_f64, y in -5e3..5e3_f64, z in -1e4..1e4_f64, wy in -4e3..4e3_f64, wz in -9e3..-1e3_f64, k in 0..3_usize,
        ) {
            let base = cable([x, y, z], [0.3 * wy, wy, wz]);
            assert_relative_eq!(base.reach_m(), summed_m(&base), epsilon = 1e-5);
            let step = 0.5;
            let shifted = |by: f64, load: bool| {
                let mut moved = base;
                if load { moved.total_n[k] += by } else { moved.force_n[k] += by }
                moved.reach_m()
            };
            let slope = |load| (shifted(step, load) - shifted(-step, load)) / (2.0 * step);
            assert_relative_eq!(base.give_m_per_n().column(k).into_owned(), slope(false), epsilon = 2e-8);
            assert_relative_eq!(-base.droop_m_per_n().column(k).into_owned(), slope(true), epsilon = 2e-8);
        }
    }
}
