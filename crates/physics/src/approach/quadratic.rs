//! Certified lower bound of a quadratic over a box.

use crate::machine::MAX_JOINTS;

/// A symmetric matrix of the joints' size, rows in order.
pub type Matrix = [[f64; MAX_JOINTS]; MAX_JOINTS];

/// Sweeps of coordinate descent; more would only sharpen the bound.
const SWEEPS: usize = 6;

/// q(u) = g·u + ½·uᵀ·H·u for u in the box −1..1 of `size` dimensions.
pub struct Quadratic {
    /// Dimensions.
    pub size: usize,
    /// g.
    pub linear: [f64; MAX_JOINTS],
    /// H.
    pub matrix: Matrix,
}

/// A number that q does not undercut, and where a convex minorant of q is about smallest.
pub struct Minorant {
    /// The bound.
    pub lower: f64,
    /// The place.
    pub at: [f64; MAX_JOINTS],
    /// What each dimension's lack of convexity costs.
    pub cost: [f64; MAX_JOINTS],
}

impl Quadratic {
    /// A lower bound over the box.
    ///
    /// Dimensions in which q is monotone over the whole box are put at their end, which is exact. On the rest a diagonal
    /// D makes H + D positive semidefinite and costs at most ½·ΣD; the convex q + ½·uᵀDu is above its tangent plane at
    /// any point, whose least value over the box is known.
    pub fn minorant(mut self) -> Minorant {
        let (mut fixed, mut constant) = ([None; MAX_JOINTS], 0.0);
        while let Some((i, end)) = self.monotone(&fixed) {
            constant += end * (self.linear[i] + 0.5 * end * self.matrix[i][i]);
            fixed[i] = Some(end);
            for j in 0..self.size {
                self.linear[j] += end * self.matrix[i][j];
                (self.matrix[i][j], self.matrix[j][i]) = (0.0, 0.0);
            }
            self.linear[i] = 0.0;
        }
        let cost = self.convexify(&fixed);
        let mut at = self.descend();
        let mut lower = constant - cost.iter().sum::<f64>();
        for i in 0..self.size {
            if let Some(end) = fixed[i] {
                at[i] = end;
                continue;
            }
            let pull: f64 = self.matrix[i][..self.size].iter().zip(&at).map(|(h, u)| h * u).sum();
            let slope = self.linear[i] + pull;
            // q(at) = Σ u·(g + ½·H·u); the tangent plane falls by |slope| + slope·u to the nearer end.
            lower += at[i] * (self.linear[i] + 0.5 * pull) - slope.abs() - slope * at[i];
        }
        Minorant { lower, at, cost }
    }

    /// A dimension in which q never turns within the box, and the end where it is smaller.
    fn monotone(&self, fixed: &[Option<f64>; MAX_JOINTS]) -> Option<(usize, f64)> {
        (0..self.size).filter(|&i| fixed[i].is_none()).find_map(|i| {
            let pull: f64 = self.matrix[i][..self.size].iter().map(|h| h.abs()).sum();
            (self.linear[i].abs() > pull).then(|| (i, -self.linear[i].signum()))
        })
    }

    /// Adds the diagonal that makes H positive semidefinite; half of it, which is what it costs.
    ///
    /// Cholesky with the largest remaining diagonal first, each pivot raised to the largest entry of its column: a
    /// positive semidefinite matrix needs no raise.
    fn convexify(&mut self, fixed: &[Option<f64>; MAX_JOINTS]) -> [f64; MAX_JOINTS] {
        let mut rest = self.matrix;
        let mut open = fixed.map(|f| f.is_none());
        let mut cost = [0.0; MAX_JOINTS];
        for _ in 0..self.size {
            let largest = (0..self.size).filter(|&i| open[i]).max_by(|&a, &b| rest[a][a].total_cmp(&rest[b][b]));
            let Some(pivot) = largest else { break };
            open[pivot] = false;
            let column = rest[pivot];
            let greatest = (0..self.size).filter(|&j| open[j]).map(|j| column[j].abs()).fold(0.0, f64::max);
            let raise = (greatest - column[pivot]).max(0.0);
            cost[pivot] = 0.5 * raise;
            self.matrix[pivot][pivot] += raise;
            let value = column[pivot] + raise;
            if value > 0.0 {
                eliminate(&mut rest, &column, value, &open, self.size);
            }
        }
        cost
    }

    fn descend(&self) -> [f64; MAX_JOINTS] {
        let mut u = [0.0; MAX_JOINTS];
        for _ in 0..SWEEPS {
            let mut moved = 0.0_f64;
            for i in 0..self.size {
                let pull: f64 = self.matrix[i][..self.size].iter().zip(&u).map(|(h, u)| h * u).sum();
                let slope = self.linear[i] + pull;
                let curvature = self.matrix[i][i];
                let next = if curvature > 0.0 {
                    (u[i] - slope / curvature).clamp(-1.0, 1.0)
                } else if slope == 0.0 {
                    u[i]
                } else {
                    -slope.signum()
                };
                moved = moved.max((next - u[i]).abs());
                u[i] = next;
            }
            if moved < 1e-3 {
                break;
            }
        }
        u
    }
}

fn eliminate(rest: &mut Matrix, column: &[f64; MAX_JOINTS], pivot: f64, open: &[bool; MAX_JOINTS], size: usize) {
    for j in (0..size).filter(|&j| open[j]) {
        let factor = column[j] / pivot;
        for k in (0..size).filter(|&k| open[k]) {
            rest[j][k] -= factor * column[k];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quadratic(size: usize, linear: &[f64], matrix: &[&[f64]]) -> Quadratic {
        let mut q = Quadratic { size, linear: [0.0; MAX_JOINTS], matrix: [[0.0; MAX_JOINTS]; MAX_JOINTS] };
        q.linear[..size].copy_from_slice(linear);
        for (row, values) in q.matrix.iter_mut().zip(matrix) {
            row[..size].copy_from_slice(values);
        }
        q
    }

    #[test]
    fn a_convex_quadratic_with_its_minimum_inside_is_bounded_tightly() {
        // q = −u + ½·2u² has its minimum −¼ at u = ½.
        let m = quadratic(1, &[-1.0], &[&[2.0]]).minorant();
        assert!((m.lower + 0.25).abs() < 1e-12 && (m.at[0] - 0.5).abs() < 1e-12);
    }

    #[test]
    fn the_bound_is_below_every_sample() {
        let mut seed = 1_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 11) as f64 / (1_u64 << 53) as f64 * 2.0 - 1.0
        };
        for _ in 0..500 {
            let size = 4;
            let mut q = quadratic(size, &[next(), next(), next(), next()], &[]);
            for i in 0..size {
                for j in 0..=i {
                    let value = 2.0 * next();
                    (q.matrix[i][j], q.matrix[j][i]) = (value, value);
                }
            }
            let (linear, matrix) = (q.linear, q.matrix);
            let lower = q.minorant().lower;
            for _ in 0..200 {
                let u: Vec<f64> = (0..size).map(|_| if next() > 0.5 { next().signum() } else { next() }).collect();
                let value: f64 = (0..size)
                    .map(|i| u[i] * (linear[i] + 0.5 * (0..size).map(|j| matrix[i][j] * u[j]).sum::<f64>()))
                    .sum();
                assert!(value >= lower - 1e-12);
            }
        }
    }
}
