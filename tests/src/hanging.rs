//! A wire in one state, written down as points, and how close a posed body comes to it: found without any code of the search.

use nalgebra::{Isometry3, Point3, Vector3};
use wideberth_physics::line::{SpanState, StateShape, WireSpan};
use wideberth_physics::machine::{Body, Machine};

use crate::oracle::{Posed, Solid, golden};

/// Pieces between the points of a wire.
const PIECES: usize = 32;
/// Steps that find a minimum roughly, and how far it may then be off, m.
const STEPS: usize = 8;
const ROUGH_M: f64 = 1e-3;
/// Golden sections that then find it.
const FINE_STEPS: usize = 28;

/// A span in one state.
#[derive(Clone, Debug)]
pub struct Hanging<'w> {
    wire: &'w WireSpan,
    shape: StateShape,
    points: Vec<Point3<f64>>,
    /// The chord, halfway down to the greatest sag: from where, and along.
    middle: (Point3<f64>, Vector3<f64>),
    half_sag_m: f64,
    /// No point of the wire is farther from one of the points, m.
    half_gap_m: f64,
    /// From the wire's middle line to where a body's surface touches all that is allowed for, m.
    thickness_m: f64,
    /// Index of the span.
    pub span: usize,
    /// Its own state.
    pub state: SpanState,
    /// The numbers that make the state, in the order of the cover's ranges.
    pub values: Vec<f64>,
}

impl<'w> Hanging<'w> {
    /// A span in the state with these numbers.
    ///
    /// # Panics
    /// When that state has no shape.
    #[must_use]
    pub fn new(wire: &'w WireSpan, span: usize, values: Vec<f64>) -> Self {
        let placed = wire.placed(&values).expect("a shape in every state");
        let at = |k: usize| wire.point(&placed.shape, k as f64 / PIECES as f64);
        let points: Vec<_> = (0..=PIECES).map(at).collect();
        let gaps = points.windows(2).map(|ends| (ends[1] - ends[0]).norm());
        // An arc over so small a part of the span is hardly longer than its chord.
        let half_gap_m = 0.5 * 1.05 * gaps.fold(0.0, f64::max);
        let shape = placed.shape;
        let half_sag_m = 0.5 * shape.catenary.greatest_sag_m();
        let middle = (shape.span.point(0.0, half_sag_m, shape.swing_rad), shape.span.chord());
        let thickness_m = shape.radius_m + wire.margin_m();
        let state = placed.state;
        Self { wire, shape, points, middle, half_sag_m, half_gap_m, thickness_m, span, state, values }
    }

    /// How close a part comes, m, and the fraction of the chord; none where that is no less than `interest_m`.
    ///
    /// A sphere about the part leaves out most of the wire, mostly all of it. The least distance about
    /// the nearest point that is left is found roughly, and exactly where it could be of interest.
    #[must_use]
    pub fn nearer(&self, solid: &Solid, part: &Part, interest_m: f64) -> Option<(f64, f64)> {
        let within_m = interest_m + part.around_m + self.thickness_m;
        if self.beside_m(&part.middle) > within_m {
            return None;
        }
        let within_m2 = (within_m + self.half_gap_m).max(0.0).powi(2);
        let thickness_m = part.radius_m + self.thickness_m;
        let near = |k: &usize| (self.points[*k] - part.middle).norm_squared() <= within_m2;
        let at_point = |k: usize| solid.distance_m(&part.posed, &self.points[k]);
        let first = (0..self.points.len()).filter(near).map(|k| (at_point(k), k)).min_by(|a, b| a.0.total_cmp(&b.0))?;
        if first.0 - thickness_m - self.half_gap_m >= interest_m {
            return None;
        }
        let at = |t: f64| solid.distance_m(&part.posed, &self.wire.point(&self.shape, t));
        let step = 1.0 / PIECES as f64;
        let middle = first.1.clamp(1, PIECES - 1);
        let three = [middle - 1, middle, middle + 1].map(|k| (k as f64 * step, at_point(k)));
        let [low, rough, high] = bracketed(&at, three);
        let rough = if rough.1 < first.0 { rough } else { (first.1 as f64 * step, first.0) };
        if rough.1 - thickness_m >= interest_m + ROUGH_M {
            return None;
        }
        let fine = golden(&at, low.0, high.0, FINE_STEPS);
        let (least_m, t) = if fine.0 < rough.1 { fine } else { (rough.1, rough.0) };
        (least_m - thickness_m < interest_m).then_some((least_m - thickness_m, t))
    }

    /// The wire is no closer to a point than this, m: it lies between its chord and its greatest sag along the load.
    fn beside_m(&self, point: &Point3<f64>) -> f64 {
        let from = self.middle.0 - point;
        let share = (-from.dot(&self.middle.1) / self.middle.1.norm_squared()).clamp(0.0, 1.0);
        (from + self.middle.1 * share).norm() - self.half_sag_m
    }
}

/// A narrow bracket about a least value of a function, its best place in the middle: parabolas through the squares of three
/// values and golden sections of the wider side in turn. Each is (place, value).
fn bracketed(at: &impl Fn(f64) -> f64, mut three: [(f64, f64); 3]) -> [(f64, f64); 3] {
    for step in 0..STEPS {
        let [a, b, c] = three;
        let t = if step % 2 == 0 { vertex(three) } else { None }.unwrap_or_else(|| {
            let wider = if b.0 - a.0 > c.0 - b.0 { a.0 } else { c.0 };
            b.0 + 0.382 * (wider - b.0)
        });
        let new = (t, at(t));
        three = match (new.1 < b.1, t < b.0) {
            (true, true) => [a, new, b],
            (true, false) => [b, new, c],
            (false, true) => [new, b, c],
            (false, false) => [a, b, new],
        };
    }
    three
}

/// Where the parabola through the squares of three values has its vertex, if between the outer two and not in the middle one.
fn vertex([a, b, c]: [(f64, f64); 3]) -> Option<f64> {
    let (from_a, from_c) = (b.0 - a.0, b.0 - c.0);
    let (up_a, up_c) = (b.1 * b.1 - a.1 * a.1, b.1 * b.1 - c.1 * c.1);
    let bend = from_a * up_c - from_c * up_a;
    let t = b.0 - 0.5 * (from_a * from_a * up_c - from_c * from_c * up_a) / bend;
    (t > a.0 && t < c.0 && (t - b.0).abs() > 1e-9).then_some(t)
}

/// A body in one pose, with a sphere about it.
pub struct Part {
    posed: Posed,
    middle: Point3<f64>,
    /// No point of its surface is farther from its middle, m.
    around_m: f64,
    radius_m: f64,
}

impl Part {
    fn new(body: &Body, solid: &Solid, frames: &[Isometry3<f64>]) -> Self {
        let at = body.features.iter().map(|feature| frames[feature.frame.0] * feature.at);
        let sum = at.clone().fold(Vector3::zeros(), |sum, at| sum + at.coords);
        let middle = Point3::from(sum / body.features.len() as f64);
        let ends = at
            .zip(&body.features)
            .map(|(at, feature)| (at - middle).norm() + feature.ring.map_or(0.0, |ring| ring.radius_m));
        let around_m = body.radius_m + ends.fold(0.0, f64::max);
        Self { posed: solid.pose(frames), middle, around_m, radius_m: body.radius_m }
    }
}

/// A machine in one pose.
pub struct Stance {
    /// Joint values.
    pub pose: Vec<f64>,
    /// Its bodies.
    pub parts: Vec<Part>,
}

impl Stance {
    /// The machine in a pose; none where a limiter holds it back.
    #[must_use]
    pub fn allowed(machine: &Machine, solids: &[Solid], pose: Vec<f64>) -> Option<Self> {
        let frames = machine.place(&pose);
        if is_held_back(machine, &frames) {
            return None;
        }
        let parts = machine.bodies().iter().zip(solids).map(|(body, solid)| Part::new(body, solid, &frames)).collect();
        Some(Self { pose, parts })
    }
}

/// Whether a limiter leaves a pose out.
fn is_held_back(machine: &Machine, frames: &[Isometry3<f64>]) -> bool {
    is_too_high(machine, frames) || is_too_far(machine, frames)
}

/// Points about a ring that is measured from the reference point.
const RING_POINTS: u32 = 720;

/// Some part, as thin and as near as its allowances let it be, is farther from the reference point than is left to it.
fn is_too_far(machine: &Machine, frames: &[Isometry3<f64>]) -> bool {
    let Some(reach_m) = machine.reach_m() else { return false };
    let foot = machine.position();
    let level_m = |point: Point3<f64>| (point - foot).xy().norm();
    machine.bodies().iter().any(|body| {
        let left_m = reach_m - body.radius_m + 2.0 * body.allowance_m;
        body.features.iter().any(|feature| {
            let frame = &frames[feature.frame.0];
            let Some(ring) = feature.ring else { return level_m(frame * feature.at) > left_m };
            let first = ring.axis.cross(&if ring.axis.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() }).normalize();
            let second = ring.axis.cross(&first);
            (0..RING_POINTS).any(|k| {
                let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / f64::from(RING_POINTS)).sin_cos();
                // Between its points a ring reaches farther by 1e-5 of its radius at most.
                let out_m = level_m(frame * (feature.at + (first * cos + second * sin) * ring.radius_m));
                out_m + 1e-5 * ring.radius_m > left_m
            })
        })
    })
}

/// Some part, as thin and as low as its allowances let it be, is above the height that is left to the machine.
fn is_too_high(machine: &Machine, frames: &[Isometry3<f64>]) -> bool {
    let Some(ceiling_m) = machine.ceiling_m() else { return false };
    machine.bodies().iter().any(|body| {
        let sure_m = body.radius_m - 2.0 * body.allowance_m;
        body.features.iter().any(|feature| {
            let frame = &frames[feature.frame.0];
            let rises_m = feature.ring.map_or(0.0, |ring| {
                let level = (frame * ring.axis.into_inner()).xy().norm();
                ring.radius_m * level
            });
            (frame * feature.at).z + rises_m + sure_m > ceiling_m
        })
    })
}
