//! Controls that hold a whole machine, whatever its joints do, inside a simple shell: below a height, within a radius, on one
//! side of an upright plane. The shell takes the machine's place in the search, so what is proven for it holds for every pose
//! that the control allows.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use wideberth_physics::approach::reach_m;
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};

use super::control::Control;
use crate::decide::PlanError;

/// The shell in which a control holds a machine, as a machine without joints.
///
/// # Errors
/// When a number is impossible, or the control is of another kind.
pub fn machine(control: &Control, held: &Machine) -> Result<Machine, PlanError> {
    let reach_m = reach_m(held);
    let disc = |radius_m: f64, top_m: f64| {
        let (bottom, top) = (Point3::new(0.0, 0.0, -reach_m), Point3::new(0.0, 0.0, top_m));
        Body::frustum("everything allowed", FrameId(0), (bottom, radius_m), (top, radius_m))
    };
    let (body, turn_rad) = match control {
        Control::HeightLimit { most_m } => (disc(reach_m, *most_m), 0.0),
        Control::ReachLimit { most_m } => (disc(*most_m, reach_m), 0.0),
        Control::Barrier { from_machine_m, bearing_rad, .. } => {
            let (least, greatest) =
                (Point3::new(-reach_m, -reach_m, -reach_m), Point3::new(reach_m, *from_machine_m, reach_m));
            (Body::cuboid("everything allowed", FrameId(0), least, greatest), *bearing_rad)
        }
        _ => return Err(PlanError::Question("this control holds no shell".into())),
    };
    let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), -turn_rad);
    let offset = Isometry3::from_parts(Translation3::identity(), turn);
    let frame = Frame { name: "shell".into(), role: FrameRole::Part, parent: None, offset, motion: Motion::Fixed };
    let placement = Placement::level(held.position());
    Ok(Machine::new(held.name(), &placement, vec![frame], vec![body])?)
}

/// The least height of the highest part above the reference point, and the least reach of the farthest part from it on the
/// map, among poses spread over the working ranges: a shell tighter than that leaves the machine no pose, m. Found, not
/// proven.
#[must_use]
pub fn smallest_m(held: &Machine) -> (f64, f64) {
    let ranges = held.ranges();
    let foot = held.position();
    let mut least = (f64::INFINITY, f64::INFINITY);
    for index in 0..POSES {
        let pose: Vec<f64> =
            ranges.iter().zip(PRIMES).map(|(range, prime)| range.at(radical_inverse(index, prime))).collect();
        let (height_m, reach_m) = extent_m(held, &pose, &foot);
        least = (least.0.min(height_m), least.1.min(reach_m));
    }
    least
}

/// Poses that are tried.
const POSES: u32 = 500;
const PRIMES: [u32; 16] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53];

/// Greatest height and reach of a pose.
fn extent_m(held: &Machine, pose: &[f64], foot: &Point3<f64>) -> (f64, f64) {
    let frames = held.place(pose);
    let mut most: (f64, f64) = (0.0, 0.0);
    for body in held.bodies() {
        for feature in &body.features {
            let from_foot = frames[feature.frame.0] * feature.at - foot;
            let ring_m = feature.ring.map_or(0.0, |ring| ring.radius_m);
            let round_m = body.radius_m + ring_m;
            most = (most.0.max(from_foot.z + round_m), most.1.max(from_foot.xy().norm() + round_m));
        }
    }
    most
}

/// The digits of a number mirrored behind the point (J. H. Halton, Numerische Mathematik 2, 1960); the ends come first.
fn radical_inverse(index: u32, base: u32) -> f64 {
    if index < 2 {
        return f64::from(index);
    }
    let (mut index, mut share, mut value) = (index - 1, 1.0, 0.0);
    while index > 0 {
        share /= f64::from(base);
        value += share * f64::from(index % base);
        index /= base;
    }
    value
}
