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

    /// The point at a fraction of the chord.
    pub fn point(&self, t: f64) -> Point3<f64> {
        self.span.from() + self.span.chord() * t + self.drop * self.catenary.sag_m(t)
    }

    /// Fraction of the point nearest to `target` within `from..=to`, near the start given: Newton on the derivative of
    /// the squared distance.
    fn nearest(&self, target: &Point3<f64>, start: f64, from: f64, to: f64) -> f64 {
        let chord = self.span.chord();
        let mut t = start;
        for _ in 0..6 {
            let (sag_m, rate_m, curvature_m) = self.catenary.sag_with_rates_m(t);
            let gap = self.span.from() + chord * t + self.drop * sag_m - target;
            let velocity = chord + self.drop * rate_m;
            let slope = gap.dot(&velocity);
            let speed = velocity.norm_squared();
            let bend = speed + gap.dot(&self.drop) * curvature_m;
            let step = slope / if bend > 0.1 * speed { bend } else { speed };
            let next = (t - step).clamp(from, to);
            let moved = (next - t).abs();
            t = next;
            if moved <= 1e-7 {
                break;
            }
        }
        t
    }

    /// A close pair of points of the wire (within `from..=to`) and the hull of a body's features: alternating projection.
    ///
    /// Any result is a true pair; more rounds bring it nearer to the nearest.
    pub fn close_pair(&self, features: &[PlacedFeature], from: f64, to: f64, rounds: usize) -> Pair {
        let chord = self.span.chord();
        let project = |p: &Point3<f64>| ((p - self.span.from()).dot(&chord) / chord.norm_squared()).clamp(from, to);
        let mut t = project(&centroid(features));
        let mut on_wire = self.point(t);
        let mut on_body = nearest_on_hull(features, &on_wire);
        let mut best_m = f64::INFINITY;
        for _ in 0..rounds {
            t = self.nearest(&on_body, t, from, to);
            on_wire = self.point(t);
            on_body = nearest_on_hull(features, &on_wire);
            let distance_m = (on_body - on_wire).norm();
            if distance_m >= best_m * (1.0 - 1e-9) {
                break;
            }
            best_m = distance_m;
        }
        Pair { fraction: t, on_wire, on_body }
    }
}

fn centroid(features: &[PlacedFeature]) -> Point3<f64> {
    let sum: Vector3<f64> = features.iter().map(|f| f.at.coords).sum();
    Point3::from(sum / features.len() as f64)
}
