//! Nearest point of a wire to a point, and the nearest pair of a wire and a body.

use nalgebra::{Point3, Vector3};

use super::hull::{PlacedFeature, nearest_on_hull};
use crate::line::{Catenary, Span};

/// A wire as a curve: a shape in its plane, tilted by a swing.
#[derive(Clone, Copy)]
pub struct Curve<'a> {
    /// Where it hangs.
    pub span: &'a Span,
    /// Its shape.
    pub catenary: &'a Catenary,
    /// Unit vector along which it sags.
    pub drop: Vector3<f64>,
}

/// A point of a wire and a point of a body.
#[derive(Clone, Copy, Debug)]
pub struct Pair {
    /// Fraction of the chord.
    pub fraction: f64,
    /// Centre line of the wire, m.
    pub on_wire: Point3<f64>,
    /// Hull of the body, m.
    pub on_body: Point3<f64>,
}

impl Pair {
    /// Distance between the two points, m.
    pub fn distance_m(&self) -> f64 {
        (self.on_body - self.on_wire).norm()
    }

    /// Unit vector from the wire to the body; none where they touch.
    pub fn normal(&self) -> Option<Vector3<f64>> {
        (self.on_body - self.on_wire).try_normalize(1e-9)
    }
}

impl<'a> Curve<'a> {
    /// A wire with a shape at a swing angle (rad).
    pub fn new(span: &'a Span, catenary: &'a Catenary, swing_rad: f64) -> Self {
        Self { span, catenary, drop: span.load_direction(swing_rad) }
    }

    /// The pair at a fraction of the chord, and half the derivative of its squared distance by the fraction, m².
    fn pair_at(&self, features: &[PlacedFeature], t: f64) -> (Pair, f64, f64) {
        let chord = self.span.chord();
        let (sag_m, rate_m, _) = self.catenary.sag_with_rates_m(t);
        let on_wire = self.span.from() + chord * t + self.drop * sag_m;
        let on_body = nearest_on_hull(features, &on_wire);
        let velocity = chord + self.drop * rate_m;
        let slope = (on_wire - on_body).dot(&velocity);
        (Pair { fraction: t, on_wire, on_body }, slope, velocity.norm_squared())
    }

    /// A close pair of points of the wire (within `from..=to`) and the hull of a body's features, by at most `tries`
    /// steps of a bracketed secant method on the derivative of the squared distance along the wire.
    ///
    /// Any result is a true pair; more tries bring it nearer to the nearest.
    pub fn close_pair(&self, features: &[PlacedFeature], from: f64, to: f64, tries: usize) -> Pair {
        let chord = self.span.chord();
        let start = (centroid(features) - self.span.from()).dot(&chord) / chord.norm_squared();
        let (mut low, mut high) = (from, to);
        let mut last: Option<(f64, f64)> = None;
        let mut t = start.clamp(from, to);
        let (mut best, mut slope, mut speed) = self.pair_at(features, t);
        for _ in 1..tries {
            if slope.abs() <= SQUARE_ENOUGH * speed.sqrt() * best.distance_m() {
                break;
            }
            if slope > 0.0 {
                high = t
            } else {
                low = t
            }
            let next = next_fraction((t, slope), last, speed, (low, high));
            if next == t {
                break;
            }
            last = Some((t, slope));
            t = next;
            let pair;
            (pair, slope, speed) = self.pair_at(features, t);
            if pair.distance_m() < best.distance_m() {
                best = pair;
            }
        }
        best
    }
}

/// Cosine between the wire and the line to the body below which they count as square to each other.
const SQUARE_ENOUGH: f64 = 1e-6;

/// The secant step through two slopes, or the middle of the bracket where that leaves it. The first step is that for a
/// body that is a point.
fn next_fraction((t, slope): (f64, f64), last: Option<(f64, f64)>, speed: f64, (low, high): (f64, f64)) -> f64 {
    let Some((t0, slope0)) = last else { return (t - slope / speed).clamp(low, high) };
    let next = t - slope * (t - t0) / (slope - slope0);
    if next > low && next < high { next } else { 0.5 * (low + high) }
}

fn centroid(features: &[PlacedFeature]) -> Point3<f64> {
    let sum: Vector3<f64> = features.iter().map(|f| f.at.coords).sum();
    Point3::from(sum / features.len() as f64)
}
