//! The gap in one pose and one state: what a picture of a moment shows. No search and no proof, but the true distance.

use nalgebra::Point3;

use super::posed::{Carried, Joints};
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
    features: Vec<super::hull::PlacedFeature>,
    /// A ball that holds the body with its radius: centre and radius, m.
    ball: (Point3<f64>, f64),
}

impl<'a> Standing<'a> {
    /// The machine with joint values (rad or m, in the order of [`Machine::movers`]); missing values count as zero.
    #[must_use]
    pub fn new(machine: &'a Machine, pose: &[f64]) -> Self {
        Self { bodies: machine.bodies().iter().map(|body| StandingBody::new(machine, body, pose)).collect() }
    }
}

impl<'a> StandingBody<'a> {
    fn new(machine: &'a Machine, body: &'a Body, pose: &[f64]) -> Self {
        let carried = Carried::new(machine, body);
        let mut joints = Joints::default();
        for (slot, joint) in joints.iter_mut().zip(carried.joints()) {
            *slot = pose.get(*joint).copied().unwrap_or_default();
        }
        let mut posed = carried.blank();
        carried.pose(&joints, &mut posed);
        let count = posed.features.len() as f64;
        let center = Point3::from(posed.features.iter().map(|f| f.at.coords).sum::<nalgebra::Vector3<f64>>() / count);
        let reach_m = posed.features.iter().map(|f| (f.at - center).norm() + f.ring_m).fold(0.0, f64::max);
        Self { body, features: posed.features, ball: (center, reach_m + body.radius_m) }
    }
}

/// A wire in one state, ready for gaps to many machines.
pub struct Hanging<'a> {
    spans: Vec<(&'a WireSpan, StateShape, f64)>,
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
        let hang = |(index, span): (usize, &'a WireSpan)| {
            let shape = shape(index, span)?;
            Ok((span, shape, shape.catenary.greatest_sag_m()))
        };
        Ok(Self { spans: wire.spans().iter().enumerate().map(hang).collect::<Result<_, ApproachError>>()? })
    }

    /// Each span with its shape.
    pub fn spans(&self) -> impl Iterator<Item = (&'a WireSpan, &StateShape)> + '_ {
        self.spans.iter().map(|(span, shape, _)| (*span, shape))
    }
}

/// The gap between a machine and a wire; none where the machine has no bodies or the wire no spans.
#[must_use]
pub fn gap(machine: &Standing<'_>, wire: &Hanging<'_>) -> Option<Gap> {
    let mut best: Option<Gap> = None;
    for (index, (span, shape, sag_m)) in wire.spans.iter().enumerate() {
        let thickness_m = shape.radius_m + span.margin_m();
        for (number, body) in machine.bodies.iter().enumerate() {
            let far_m = distance_to_chord_m(&shape.span, &body.ball.0) - body.ball.1 - sag_m - thickness_m;
            if best.is_some_and(|known| far_m >= known.distance_m) {
                continue;
            }
            let found = gap_of(body, (number, index), span, shape);
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

fn distance_to_chord_m(span: &Span, point: &Point3<f64>) -> f64 {
    let chord = span.chord();
    let t = ((point - span.from()).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0);
    (span.from() + chord * t - point).norm()
}
