//! Random bodies.

use nalgebra::{Point3, Unit, Vector3};
use wideberth_physics::machine::{Body, BodyRole, Feature, FrameId, Ring};

use super::Draw;

/// A body of a random kind in one frame, or between two.
pub fn random_body(draw: &mut Draw, frames: usize) -> Body {
    let (frame, other) = (FrameId(draw.index(frames)), FrameId(draw.index(frames)));
    let at = point(draw, 2.0);
    let radius_m = draw.log_within(0.01, 1.5);
    match draw.index(9) {
        0 => Body::sphere("sphere", frame, at, radius_m),
        1 | 2 => Body::capsule("rod", (frame, at), (other, point(draw, 3.0)), radius_m.min(0.6)),
        3 => box_body(draw, frame, at),
        4 => frustum(draw, frame, at),
        5 => frustum(draw, frame, at).thickened(radius_m.min(0.3)),
        6 => {
            let count = 3 + draw.index(5);
            let points: Vec<_> = (0..count).map(|_| point(draw, 3.0)).collect();
            Body::convex("points", frame, &points).thickened(if draw.chance(0.5) { 0.0 } else { radius_m.min(0.3) })
        }
        7 => mixed_points(draw, frames, radius_m.min(0.3)),
        _ => telescoping_tube(draw, frame, other),
    }
}

fn point(draw: &mut Draw, reach_m: f64) -> Point3<f64> {
    if draw.chance(0.3) { Point3::origin() } else { draw.vector(reach_m).into() }
}

fn box_body(draw: &mut Draw, frame: FrameId, at: Point3<f64>) -> Body {
    let size = Vector3::from_fn(|_, _| draw.log_within(0.05, 5.0));
    Body::cuboid("box", frame, at - 0.5 * size, at + 0.5 * size)
}

fn frustum(draw: &mut Draw, frame: FrameId, at: Point3<f64>) -> Body {
    let along = draw.direction().into_inner() * draw.log_within(0.3, 9.0);
    let near_m = if draw.chance(0.2) { 0.0 } else { draw.log_within(0.1, 3.0) };
    let far_m = if draw.chance(0.2) { 0.0 } else { draw.log_within(0.1, 3.0) };
    Body::frustum("frustum", frame, (at, near_m), (at + along, far_m))
}

fn mixed_points(draw: &mut Draw, frames: usize, radius_m: f64) -> Body {
    let count = 3 + draw.index(3);
    let features =
        (0..count).map(|_| Feature { frame: FrameId(draw.index(frames)), at: point(draw, 2.0), ring: None }).collect();
    Body { name: "mixed points".into(), role: BodyRole::Part, features, radius_m, allowance_m: 0.0 }
}

/// Rings in two frames, each about its own axis.
fn telescoping_tube(draw: &mut Draw, from: FrameId, to: FrameId) -> Body {
    let mut ring = |frame| {
        let axis: Unit<Vector3<f64>> = draw.direction();
        let ring = Ring { axis, radius_m: draw.log_within(0.1, 2.0) };
        Feature { frame, at: point(draw, 2.0), ring: Some(ring) }
    };
    Body {
        name: "tube".into(),
        role: BodyRole::Part,
        features: vec![ring(from), ring(to)],
        radius_m: 0.0,
        allowance_m: 0.0,
    }
}
