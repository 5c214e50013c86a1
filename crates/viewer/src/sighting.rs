//! From which side the gap is seen best: long in the picture, and with nothing before it.

use std::f64::consts::TAU;

use nalgebra::{Point3, Rotation3, Vector3};
use wideberth_physics::approach::{Gap, Pieces, Standing, gap_to_pieces};

/// Sides that are tried.
const SIDES: usize = 16;
/// What hiding each of three points of the gap costs, as a share of its length in the picture.
const HIDDEN: f64 = 0.5;
/// What turning right round from the side that is usual costs.
const UNUSUAL: f64 = 0.25;
/// How thick a line of sight is taken to be, m.
const SIGHT_M: f64 = 0.1;

/// The direction from `target` toward a camera `far_m` away that sees the gap best: the usual one turned about the vertical.
#[must_use]
pub fn clearest(
    machine: &Standing<'_>,
    gap: &Gap,
    (target, far_m): (&Point3<f64>, f64),
    usual: &Vector3<f64>,
) -> Vector3<f64> {
    let usual = usual.normalize();
    let sides =
        (0..SIDES).map(|k| Rotation3::from_axis_angle(&Vector3::z_axis(), TAU * k as f64 / SIDES as f64) * usual);
    let worth = |side: &Vector3<f64>| {
        let eye = target + side * far_m;
        length_seen(gap, side) - HIDDEN * hidden(machine, gap, &eye) as f64 - UNUSUAL * 0.5 * (1.0 - side.dot(&usual))
    };
    sides.max_by(|a, b| worth(a).total_cmp(&worth(b))).unwrap_or(usual)
}

/// Share of the gap's length that is seen from a direction, 0..=1.
pub(crate) fn length_seen(gap: &Gap, direction: &Vector3<f64>) -> f64 {
    let line = (gap.on_wire - gap.on_body).try_normalize(1e-9);
    line.map_or(1.0, |line| line.cross(direction).norm())
}

/// Whether all of the gap is seen from an eye.
#[must_use]
pub fn sees(machine: &Standing<'_>, gap: &Gap, eye: &Point3<f64>) -> bool {
    hidden(machine, gap, eye) == 0
}

/// How many of three points of the gap the machine hides from an eye.
fn hidden(machine: &Standing<'_>, gap: &Gap, eye: &Point3<f64>) -> usize {
    let along = [0.15, 0.5, 1.0].map(|share| gap.on_body + (gap.on_wire - gap.on_body) * share);
    let is_hidden = |point: &&Point3<f64>| {
        // A little before the point, so that what the gap itself touches does not count.
        let off = (eye - **point).normalize() * (2.0 * SIGHT_M);
        let sight = [**point + off, *eye];
        let pieces = Pieces { span: 0, points: &sight, radius_m: SIGHT_M, margin_m: 0.0 };
        gap_to_pieces(machine, &pieces).is_some_and(|found| found.distance_m <= 0.0)
    };
    along.iter().filter(is_hidden).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use wideberth_physics::machine::{Body, FrameId, Machine, Placement};

    /// A wall east of a gap that runs north.
    #[test]
    fn a_gap_is_looked_at_across_and_not_through_the_machine() {
        let placement = Placement::level(Point3::origin());
        let wall = Body::cuboid("wall", FrameId(0), Point3::new(1.0, -20.0, 0.0), Point3::new(2.0, 20.0, 30.0));
        let machine = Machine::new("wall", &placement, placement.frames(), vec![wall]).expect("a machine");
        let (on_body, on_wire) = (Point3::new(0.0, 0.0, 9.0), Point3::new(0.0, 3.0, 9.0));
        let gap = Gap { body: 0, span: 0, fraction: 0.5, on_body, on_wire, distance_m: 3.0 };
        let standing = Standing::new(&machine, &[]);
        for usual in [Vector3::x(), Vector3::y(), -Vector3::y(), Vector3::new(1.0, 1.0, 0.2)] {
            let side = clearest(&standing, &gap, (&on_wire, 40.0), &usual);
            assert!(side.x < -0.5, "{usual} {side}");
            assert!((side.norm() - 1.0).abs() < 1e-9 && (side.z - usual.normalize().z).abs() < 1e-9);
        }
        // Nothing is turned where the usual side is a good one.
        let usual = -Vector3::x();
        assert!((clearest(&standing, &gap, (&on_wire, 40.0), &usual) - usual).norm() < 1e-9);
    }
}
