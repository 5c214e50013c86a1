//! The gap in one pose and one state: what a picture of a moment shows. No search and no proof, but the true distance.

use nalgebra::{Isometry3, Point3, Vector3};

use super::hull::{PlacedFeature, nearest_on_hull};
use super::strand::{Curve, Pair};
use super::types::ApproachError;
use crate::line::{CatenaryError, Span, SpanState, StateShape, Wire, WireSpan};
use crate::machine::{Body, Machine};

/// Tries for the nearest points of a wire and a body; a body parallel to a wire takes the most.
const PAIR_TRIES: usize = 400;

/// The nearest points of a machine in one pose and a wire in one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Index of the body.
    pub body: usize,
    /// Index of the span.
    pub span: usize,
    /// Place on the span's chord, 0..1.
    pub fraction: f64,
    /// Nearest point of the body's surface, m.
    pub on_body: Point3<f64>,
    /// Nearest point of the wire's surface, m.
    pub on_wire: Point3<f64>,
    /// Distance between the surfaces less all margins, m; zero in contact.
    pub distance_m: f64,
}

/// A machine in one pose, ready for gaps to many wires.
pub struct Standing<'a> {
    bodies: Vec<StandingBody<'a>>,
}

struct StandingBody<'a> {
    body: &'a Body,
    features: Vec<PlacedFeature>,
    /// A ball that holds the body with its radius: centre and radius, m.
    ball: (Point3<f64>, f64),
}

impl<'a> Standing<'a> {
    /// The machine with joint values (rad or m, in the order of [`Machine::movers`]); missing values count as zero.
    #[must_use]
    pub fn new(machine: &'a Machine, pose: &[f64]) -> Self {
        let values: Vec<f64> =
            (0..machine.movers().len()).map(|joint| pose.get(joint).copied().unwrap_or_default()).collect();
        let frames = machine.place(&values);
        Self { bodies: machine.bodies().iter().map(|body| StandingBody::new(body, &frames)).collect() }
    }
}

impl<'a> StandingBody<'a> {
    fn new(body: &'a Body, frames: &[Isometry3<f64>]) -> Self {
        let placed = body.features.iter().map(|feature| PlacedFeature::new(feature, &frames[feature.frame.0]));
        let features: Vec<PlacedFeature> = placed.collect();
        let middle = features.iter().map(|f| f.at.coords).sum::<Vector3<f64>>() / features.len() as f64;
        let center = Point3::from(middle);
        let reach_m = features.iter().map(|f| (f.at - center).norm() + f.ring_m).fold(0.0, f64::max);
        Self { body, features, ball: (center, reach_m + body.radius_m) }
    }
}

/// A wire in one state, ready for gaps to many machines.
pub struct Hanging<'a> {
    spans: Vec<HangingSpan<'a>>,
}

struct HangingSpan<'a> {
    /// Place among the spans of the wire.
    place: usize,
    span: &'a WireSpan,
    shape: StateShape,
    sag_m: f64,
}

impl<'a> Hanging<'a> {
    /// The wire with each span in the state that `state` gives it.
    ///
    /// # Errors
    /// When a state has no shape.
    pub fn new(wire: &'a Wire, state: impl Fn(usize, &WireSpan) -> SpanState) -> Result<Self, ApproachError> {
        Self::shaped(wire, |index, span| span.shape(&state(index, span)))
    }

    /// The wire with each span in the shape that `shape` gives it.
    ///
    /// # Errors
    /// When there is no such shape.
    pub fn shaped(
        wire: &'a Wire,
        shape: impl Fn(usize, &WireSpan) -> Result<StateShape, CatenaryError>,
    ) -> Result<Self, ApproachError> {
        let hang = |(place, span): (usize, &'a WireSpan)| {
            let shape = shape(place, span)?;
            Ok(HangingSpan { place, span, shape, sag_m: shape.catenary.greatest_sag_m() })
        };
        Ok(Self { spans: wire.spans().iter().enumerate().map(hang).collect::<Result<_, ApproachError>>()? })
    }

    /// Each span with its shape.
    pub fn spans(&self) -> impl Iterator<Item = (&'a WireSpan, &StateShape)> + '_ {
        self.spans.iter().map(|each| (each.span, &each.shape))
    }

    /// Without the spans at some places among those of the wire.
    #[must_use]
    pub fn without(mut self, places: &[usize]) -> Self {
        self.spans.retain(|each| !places.contains(&each.place));
        self
    }
}

/// The gap between a machine and a wire; none where the machine has no bodies or the wire no spans.
#[must_use]
pub fn gap(machine: &Standing<'_>, wire: &Hanging<'_>) -> Option<Gap> {
    let mut best: Option<Gap> = None;
    for HangingSpan { place, span, shape, sag_m } in &wire.spans {
        let thickness_m = shape.radius_m + span.margin_m();
        for (number, body) in machine.bodies.iter().enumerate() {
            let far_m = distance_to_chord_m(&shape.span, &body.ball.0) - body.ball.1 - sag_m - thickness_m;
            if best.is_some_and(|known| far_m >= known.distance_m) {
                continue;
            }
            let found = gap_of(body, (number, *place), span, shape);
            if best.is_none_or(|known| found.distance_m < known.distance_m) {
                best = Some(found);
            }
        }
    }
    best
}

fn gap_of(body: &StandingBody<'_>, (number, index): (usize, usize), span: &WireSpan, shape: &StateShape) -> Gap {
    let curve = Curve::new(&shape.span, &shape.catenary, shape.swing_rad);
    let pair: Pair = curve.close_pair(&body.features, 0.0, 1.0, PAIR_TRIES);
    let toward = pair.normal().unwrap_or_default();
    let radius_m = body.body.radius_m;
    let distance_m = pair.distance_m() - radius_m - shape.radius_m - span.margin_m();
    Gap {
        body: number,
        span: index,
        fraction: pair.fraction,
        on_body: pair.on_body - toward * radius_m.min(pair.distance_m()),
        on_wire: pair.on_wire + toward * shape.radius_m,
        distance_m: distance_m.max(0.0),
    }
}

/// A span as straight pieces between points, such as those of a wire that was followed in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pieces<'a> {
    /// Place of the span among those of its wire.
    pub span: usize,
    /// Points along it from its near attachment, m.
    pub points: &'a [Point3<f64>],
    /// Radius of the wire, m.
    pub radius_m: f64,
    /// Allowance around it, m.
    pub margin_m: f64,
}

/// Steps of the golden section: a place on a piece is found to within 10⁻⁸ of its length.
const SECTIONS: usize = 40;

/// The gap between a machine and a span of straight pieces; none where the machine has no bodies or the span no pieces.
///
/// The piece whose nearest point can be nearest is measured first, and no other than those that may still be nearer.
#[must_use]
pub fn gap_to_pieces(machine: &Standing<'_>, wire: &Pieces<'_>) -> Option<Gap> {
    let thickness_m = wire.radius_m + wire.margin_m;
    let mut order: Vec<(f64, usize, [Point3<f64>; 2])> = Vec::new();
    for (number, body) in machine.bodies.iter().enumerate() {
        let least = |ends: [Point3<f64>; 2]| {
            let middle = nalgebra::center(&ends[0], &ends[1]);
            let far_m = (nearest_on_hull(&body.features, &middle) - middle).norm() - 0.5 * (ends[1] - ends[0]).norm();
            (far_m - body.body.radius_m - thickness_m, number, ends)
        };
        order.extend(wire.points.windows(2).map(|pair| least([pair[0], pair[1]])));
    }
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best: Option<Gap> = None;
    for (least_m, number, ends) in order {
        if best.is_some_and(|known| least_m >= known.distance_m) {
            break;
        }
        let found = gap_to_piece(&machine.bodies[number], number, &ends, wire);
        if best.is_none_or(|known| found.distance_m < known.distance_m) {
            best = Some(found);
        }
    }
    best
}

/// The distance of a body from a point is convex along a straight piece, so the golden section finds its least.
fn gap_to_piece(body: &StandingBody<'_>, number: usize, ends: &[Point3<f64>; 2], wire: &Pieces<'_>) -> Gap {
    let at = |t: f64| ends[0] + (ends[1] - ends[0]) * t;
    let squared = |t: f64| (nearest_on_hull(&body.features, &at(t)) - at(t)).norm_squared();
    let t = golden_section(squared);
    let (on_axis, on_hull) = (at(t), nearest_on_hull(&body.features, &at(t)));
    let apart_m = (on_hull - on_axis).norm();
    let toward = (on_hull - on_axis).try_normalize(1e-9).unwrap_or_default();
    let radius_m = body.body.radius_m;
    let (from, chord) = (wire.points[0], wire.points[wire.points.len() - 1] - wire.points[0]);
    Gap {
        body: number,
        span: wire.span,
        fraction: ((on_axis - from).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0),
        on_body: on_hull - toward * radius_m.min(apart_m),
        on_wire: on_axis + toward * wire.radius_m,
        distance_m: (apart_m - radius_m - wire.radius_m - wire.margin_m).max(0.0),
    }
}

/// Where a convex function is least on 0..=1; an end counts like any place.
fn golden_section(of: impl Fn(f64) -> f64) -> f64 {
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut low, mut high) = (0.0, 1.0);
    let (mut a, mut b) = (high - ratio * (high - low), low + ratio * (high - low));
    let (mut of_a, mut of_b) = (of(a), of(b));
    for _ in 0..SECTIONS {
        if of_a <= of_b {
            (high, b, of_b) = (b, a, of_a);
            a = high - ratio * (high - low);
            of_a = of(a);
        } else {
            (low, a, of_a) = (a, b, of_b);
            b = low + ratio * (high - low);
            of_b = of(b);
        }
    }
    [0.0, 0.5 * (low + high), 1.0].into_iter().min_by(|a, b| of(*a).total_cmp(&of(*b))).unwrap_or(0.0)
}

fn distance_to_chord_m(span: &Span, point: &Point3<f64>) -> f64 {
    let chord = span.chord();
    let t = ((point - span.from()).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0);
    (span.from() + chord * t - point).norm()
}
