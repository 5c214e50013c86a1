//! What is drawn of a gap has the proportions of what is said of it.

use nalgebra::{Point3, Vector3};
use wideberth_physics::approach::Gap;
use wideberth_physics::study::{Pairing, Study};

/// What the number of a gap leaves off the way between the surfaces: tolerances of the wire, m.
#[must_use]
pub fn margin_m(gap: &Gap) -> f64 {
    ((gap.on_wire - gap.on_body).norm() - gap.distance_m).max(0.0)
}

/// The end of a gap at the wire: where the wire with its tolerances ends, so that the line to it is as long as the number says.
#[must_use]
pub fn wire_end(gap: &Gap) -> Point3<f64> {
    let toward = (gap.on_body - gap.on_wire).try_normalize(1e-9).unwrap_or_default();
    gap.on_wire + toward * margin_m(gap)
}

/// Circles about a wire, square to it, where a gap meets it. From the first to the second it is as far as the limit, and a gap ends at the
/// first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circles {
    /// The middle of the wire, m.
    pub middle: Point3<f64>,
    /// Directions square to the wire and to each other.
    pub across: [Vector3<f64>; 2],
    /// Radius of the wire with its tolerances, m.
    pub wire_m: f64,
    /// Radius of the limit of approach about that, m.
    pub limit_m: f64,
}

/// The circles of a gap.
#[must_use]
pub fn circles(study: &Study, pairing: &Pairing, gap: &Gap) -> Circles {
    let span = study.lines[pairing.line].wires[pairing.wire].spans().get(gap.span);
    let chord = span.map_or(Vector3::x(), |span| span.span().chord());
    let radius_m = span.map_or(0.0, |span| span.strand().load().radius_m(0.0));
    let aside = chord.cross(&Vector3::z()).normalize();
    let upward = aside.cross(&chord.normalize());
    let toward = (gap.on_body - gap.on_wire).try_normalize(1e-9).unwrap_or(upward);
    let wire_m = radius_m + margin_m(gap);
    let middle = gap.on_wire - toward * radius_m;
    Circles { middle, across: [aside, upward], wire_m, limit_m: wire_m + pairing.limit_m }
}
