//! Another path from a wire's ends, length and load to its shape: followed from its near end in small steps (Runge and Kutta's
//! fourth order) and shot at its far end, as `tests/cross/pieces.py` does with SciPy. It shares no code with the product.

use nalgebra::{Matrix3, Point3, Vector3};

/// A wire in one state.
#[derive(Clone, Debug)]
pub struct FollowedWire {
    /// Near and far end, m.
    pub ends: [Point3<f64>; 2],
    /// Unstretched length, m.
    pub unstretched_m: f64,
    /// Axial stiffness of the whole, N.
    pub stiffness_n: f64,
    /// Axial stiffness of a core, N, and by what share it is shorter.
    pub core: Option<(f64, f64)>,
    /// End of each piece (share of the length) and force on it per unstretched length, N/m.
    pub pieces: Vec<(f64, Vector3<f64>)>,
}

/// Steps along the whole wire, about.
const STEPS: f64 = 400.0;

impl FollowedWire {
    fn stretch(&self, tension_n: f64) -> f64 {
        let whole = 1.0 + tension_n / self.stiffness_n;
        self.core.map_or(whole, |(core_n, shorter)| whole.min((1.0 - shorter) * (1.0 + tension_n / core_n)))
    }

    fn rate(&self, force_n: &Vector3<f64>) -> Vector3<f64> {
        let tension_n = force_n.norm();
        force_n * (self.stretch(tension_n) / tension_n)
    }

    /// Shares of the length and points, from the near end, with a force there.
    fn follow(&self, near_n: Vector3<f64>) -> Vec<(f64, Point3<f64>)> {
        let (mut share, mut point, mut force_n) = (0.0, self.ends[0], near_n);
        let mut points = vec![(share, point)];
        for (to_share, load) in &self.pieces {
            let steps = ((to_share - share) * STEPS).ceil().max(4.0);
            let step_share = (to_share - share) / steps;
            let step_m = step_share * self.unstretched_m;
            for _ in 0..steps as usize {
                let [first, middle, last] = [0.0, 0.5, 1.0].map(|part| self.rate(&(force_n - load * (part * step_m))));
                point += (first + middle * 4.0 + last) * (step_m / 6.0);
                force_n -= load * step_m;
                share += step_share;
                points.push((share.min(*to_share), point));
            }
            share = *to_share;
        }
        points
    }

    fn miss(&self, near_n: Vector3<f64>) -> Vector3<f64> {
        self.follow(near_n).last().map_or_else(Vector3::zeros, |(_, end)| end - self.ends[1])
    }

    /// A force for a parabola under the mean load.
    fn guess_n(&self) -> Vector3<f64> {
        let chord = self.ends[1] - self.ends[0];
        let (length_m, along) = (chord.norm(), chord.normalize());
        let (mut total, mut near, mut start) = (Vector3::zeros(), Vector3::zeros(), 0.0);
        for (to_share, load) in &self.pieces {
            let part = load * ((to_share - start) * self.unstretched_m);
            total += part;
            near += part * (1.0 - 0.5 * (start + to_share));
            start = *to_share;
        }
        let pull_n = (total - along * along.dot(&total)).norm();
        let (mut low, mut high) = (1e-3 * pull_n, 1e3 * pull_n + self.stiffness_n);
        for _ in 0..100 {
            let middle = (low * high).sqrt();
            let needed_m = length_m * (1.0 + (pull_n / middle).powi(2) / 24.0);
            if needed_m > self.unstretched_m * self.stretch(middle) { low = middle } else { high = middle }
        }
        along * low + near
    }

    /// Points along it with their shares of the length; none where no force is found.
    #[must_use]
    pub fn points(&self) -> Option<Vec<(f64, Point3<f64>)>> {
        let mut force_n = self.guess_n();
        let mut miss = self.miss(force_n);
        for _ in 0..80 {
            if miss.norm() < 1e-9 {
                return Some(self.follow(force_n));
            }
            let step_n = 1e-6 * force_n.norm();
            let column = |axis: usize| {
                let aside = Vector3::from_fn(|k, _| if k == axis { step_n } else { 0.0 });
                (self.miss(force_n + aside) - self.miss(force_n - aside)) / (2.0 * step_n)
            };
            let slope = Matrix3::from_columns(&[column(0), column(1), column(2)]);
            let step = slope.lu().solve(&-miss)?;
            let mut share = 1.0;
            while share > 1e-6 && self.miss(force_n + step * share).norm() >= miss.norm() {
                share *= 0.5;
            }
            force_n += step * share;
            miss = self.miss(force_n);
        }
        None
    }
}

/// Three neighbours of a followed wire as a parabola: the point at a share between the outer ones.
#[must_use]
pub fn between(three: [(f64, Point3<f64>); 3], share: f64) -> Point3<f64> {
    let [(a, at_a), (b, at_b), (c, at_c)] = three;
    let of_a = (share - b) * (share - c) / ((a - b) * (a - c));
    let of_b = (share - a) * (share - c) / ((b - a) * (b - c));
    let of_c = (share - a) * (share - b) / ((c - a) * (c - b));
    Point3::from(at_a.coords * of_a + at_b.coords * of_b + at_c.coords * of_c)
}
