//! Wires and sections on strings under the whole wind, solved piece by piece: without closed forms, states or spans of the program.

use nalgebra::{DMatrix, DVector, Matrix3, Vector3};
use wideberth_physics::line::SuspensionString;

/// A wire and the air about it.
#[derive(Clone, Copy, Debug)]
pub struct Blown {
    /// Axial stiffness, N.
    pub stiffness_n: f64,
    /// Weight, N/m.
    pub weight_n_per_m: f64,
    /// ½·ρ·C_d·D, N per metre and speed squared.
    pub drag_kg_per_m2: f64,
    /// The same for an area, ½·ρ·C_d, kg/m³.
    pub pressure_kg_per_m3: f64,
    /// The wind, m/s.
    pub wind_m_per_s: Vector3<f64>,
    /// Whether each piece of wire meets the wind by its own direction, not by that of the chord.
    pub follows_wire: bool,
}

/// Pieces of a span.
const PIECES: usize = 400;

/// A solved span: points from its near end, and the pulls on its near and on its far attachment, N.
pub struct Solved {
    /// Points, m.
    pub points: Vec<Vector3<f64>>,
    /// Pulls, N.
    pub pulls_n: [Vector3<f64>; 2],
}

impl Blown {
    fn load(&self, way: &Vector3<f64>) -> Vector3<f64> {
        let normal = self.wind_m_per_s - way * way.dot(&self.wind_m_per_s);
        normal * (self.drag_kg_per_m2 * normal.norm()) - Vector3::z() * self.weight_n_per_m
    }

    /// The wire from its near end, by the pull there and the direction of its chord at rest.
    fn walk(&self, near_n: Vector3<f64>, length_m: f64, rest: &Vector3<f64>) -> (Solved, Matrix3<f64>) {
        let step_m = length_m / PIECES as f64;
        let (mut at, mut give, mut pull) = (Vector3::zeros(), Matrix3::zeros(), near_n);
        let mut points = vec![at];
        for _ in 0..PIECES {
            let guess = (pull - self.load(rest) * (0.5 * step_m)).normalize();
            let load = self.load(if self.follows_wire { &guess } else { rest });
            let middle = pull - load * (0.5 * step_m);
            let (size, way) = (middle.norm(), middle.normalize());
            at += (way + middle / self.stiffness_n) * step_m;
            let square = (Matrix3::identity() - way * way.transpose()) / size;
            give += (square + Matrix3::identity() / self.stiffness_n) * step_m;
            pull -= load * step_m;
            points.push(at);
        }
        (Solved { points, pulls_n: [near_n, -pull] }, give)
    }

    /// The wire of an unstretched length between ends `chord` apart, whose chord at rest has the direction `rest`.
    ///
    /// # Panics
    /// When it does not settle.
    #[must_use]
    pub fn span(&self, chord: Vector3<f64>, length_m: f64, rest: &Vector3<f64>) -> Solved {
        let mut near = chord.normalize() * (4.0 * length_m * self.weight_n_per_m);
        near -= Vector3::z() * (0.5 * length_m * self.weight_n_per_m);
        for _ in 0..400 {
            let (solved, give) = self.walk(near, length_m, rest);
            let miss = chord - solved.points[PIECES];
            if miss.norm() < 1e-9 {
                return solved;
            }
            let change = give.lu().solve(&miss).expect("a wire under tension");
            near += change * (0.2 * near.norm() / change.norm()).min(1.0);
        }
        panic!("the wire did not settle");
    }
}

/// A section on strings: where the wire hangs while the strings are plumb.
pub struct BlownSection<'a> {
    /// The wire and the air.
    pub air: Blown,
    /// Ends of the spans while the strings are plumb, m.
    pub supports_m: &'a [Vector3<f64>],
    /// Unstretched lengths, m.
    pub lengths_m: &'a [f64],
    /// The strings, all alike.
    pub string: SuspensionString,
}

impl BlownSection<'_> {
    /// Lower ends of the strings by the level parts of their directions, dead ends included.
    fn ends(&self, tilts: &DVector<f64>) -> Vec<Vector3<f64>> {
        let last = self.supports_m.len() - 1;
        let end = |(k, rest): (usize, &Vector3<f64>)| {
            if k == 0 || k == last {
                return *rest;
            }
            rest + Vector3::z() * self.string.length_m + self.direction(tilts, k) * self.string.length_m
        };
        self.supports_m.iter().enumerate().map(end).collect()
    }

    fn direction(&self, tilts: &DVector<f64>, support: usize) -> Vector3<f64> {
        let (x, y) = (tilts[2 * support - 2], tilts[2 * support - 1]);
        Vector3::new(x, y, -(1.0 - x * x - y * y).sqrt())
    }

    fn spans(&self, tilts: &DVector<f64>) -> Vec<Solved> {
        let ends = self.ends(tilts);
        let rests = self.supports_m.windows(2).map(|pair| (pair[1] - pair[0]).normalize());
        let chords = ends.windows(2).map(|pair| pair[1] - pair[0]);
        chords
            .zip(rests)
            .zip(self.lengths_m)
            .map(|((chord, rest), length)| self.air.span(chord, *length, &rest))
            .collect()
    }

    /// What turns each string about its fixed point, over its length, N: zero in balance.
    fn turning(&self, tilts: &DVector<f64>) -> DVector<f64> {
        let spans = self.spans(tilts);
        let wind = self.air.wind_m_per_s;
        let own = wind * (self.air.pressure_kg_per_m3 * self.string.wind_area_m2 * wind.norm())
            - Vector3::z() * self.string.weight_n;
        let parts = (1..self.supports_m.len() - 1).flat_map(|support| {
            let way = self.direction(tilts, support);
            // An even link: moments about its top give its lower end half of what acts on it.
            let force = spans[support - 1].pulls_n[1] + spans[support].pulls_n[0] + own * 0.5;
            let turning = force - way * way.dot(&force);
            [turning.x, turning.y]
        });
        DVector::from_iterator(tilts.len(), parts)
    }

    /// The spans in balance, their points from where the near end hangs: Newton's method by differences.
    ///
    /// # Panics
    /// When it does not settle.
    #[must_use]
    pub fn balance(&self) -> Vec<(Vector3<f64>, Vec<Vector3<f64>>)> {
        let mut tilts = DVector::zeros(2 * (self.supports_m.len() - 2));
        for _ in 0..30 {
            let miss = self.turning(&tilts);
            let step = 1e-5;
            let column = |k: usize| {
                let mut moved = tilts.clone();
                moved[k] += step;
                (self.turning(&moved) - &miss) / step
            };
            let columns: Vec<_> = (0..tilts.len()).map(column).collect();
            let change = DMatrix::from_columns(&columns).lu().solve(&miss).expect("strings under load");
            tilts -= &change * (0.3 / change.amax()).min(1.0);
            if change.amax() < 1e-8 {
                let (ends, spans) = (self.ends(&tilts), self.spans(&tilts));
                return ends.into_iter().zip(spans).map(|(end, span)| (end, span.points)).collect();
            }
        }
        panic!("the strings did not settle");
    }
}

/// Distance of a point from a broken line, m.
#[must_use]
pub fn distance_m(line: &[Vector3<f64>], at: &Vector3<f64>) -> f64 {
    let to = |ends: &[Vector3<f64>]| {
        let way = ends[1] - ends[0];
        let t = ((at - ends[0]).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
        (at - ends[0] - way * t).norm()
    };
    line.windows(2).map(to).fold(f64::INFINITY, f64::min)
}
