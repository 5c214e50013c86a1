//! Where people may stand: outside everything that any machine reaches, its load and its fall included, and where a spotter sees the gap.

use std::f64::consts::TAU;

use nalgebra::{Point2, Point3, Rotation3, Vector3};
use wideberth_physics::approach::{Gap, Standing};
use wideberth_physics::machine::Machine;

use crate::sighting::{length_seen, sees};
use crate::views::EYE_HEIGHT_M;

/// Beyond the farthest that a machine reaches, m: nobody stands at its edge.
const AWAY_M: f64 = 3.0;
/// How much farther than that places are tried, m.
const FARTHER_M: [f64; 3] = [0.0, 6.0, 14.0];
/// Directions that are tried.
const SIDES: usize = 32;
/// Joints whose ends and middles are all combined, and those whose ends alone are; of a machine with more the rest stay as they are.
const WITH_MIDDLES: usize = 4;
const MOST_JOINTS: usize = 8;
/// What hiding the gap costs, as a share of its length in the picture.
const HIDDEN: f64 = 2.0;
/// What a metre farther away costs.
const FAR: f64 = 0.01;

/// Ground that machines sweep: a circle on the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swept {
    /// Its middle.
    pub middle: Point2<f64>,
    /// Its radius, m.
    pub radius_m: f64,
}

/// Where somebody stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Post {
    /// The place.
    pub at: Point3<f64>,
    /// Whether the gap is seen from there.
    pub sees: bool,
}

/// The circle about a machine's base that it reaches with any part, whatever its joints do: all ends of their ranges combined, middles
/// too, and the pose that is shown. It is sampled, not proven: people stand a margin outside it.
#[must_use]
pub fn swept(machine: &Machine, pose: &[f64]) -> Swept {
    let base = machine.position();
    let ranges = machine.ranges();
    let free = ranges.len().min(MOST_JOINTS);
    let ways = |joint: usize| if joint < WITH_MIDDLES { 3 } else { 2 };
    let ends: usize = (0..free).map(ways).product();
    let nth = |mut number: usize| -> Vec<f64> {
        let mut values = pose.to_vec();
        for (joint, (range, value)) in ranges.iter().zip(&mut values).take(free).enumerate() {
            let ways = ways(joint);
            *value = range.at((number % ways) as f64 / (ways - 1) as f64);
            number /= ways;
        }
        values
    };
    let poses = std::iter::once(pose.to_vec()).chain((0..ends).map(nth));
    let radius_m = poses.map(|pose| reach_m(machine, &pose, &base)).fold(0.0, f64::max);
    Swept { middle: base.xy(), radius_m }
}

/// How far any part reaches from a place on the map in a pose, m.
fn reach_m(machine: &Machine, pose: &[f64], base: &Point3<f64>) -> f64 {
    let frames = machine.place(pose);
    let parts = machine.bodies().iter().flat_map(|body| body.features.iter().map(move |feature| (body, feature)));
    let far = parts.map(|(body, feature)| {
        let at = frames[feature.frame.0] * feature.at;
        (at - base).xy().norm() + feature.ring.map_or(0.0, |ring| ring.radius_m) + body.radius_m
    });
    far.fold(0.0, f64::max)
}

/// Whether a place lies outside all that machines sweep.
#[must_use]
pub fn is_safe(at: &Point3<f64>, swept: &[Swept]) -> bool {
    swept.iter().all(|circle| (at.xy() - circle.middle).norm() > circle.radius_m)
}

/// Where a spotter stands: outside all that machines sweep, where the gap is seen longest and unhidden; near rather than far, and on
/// the usual side where nothing speaks against it.
#[must_use]
pub fn spotter(machine: &Standing<'_>, gap: &Gap, swept: &[Swept], base: &Point3<f64>, usual: &Vector3<f64>) -> Post {
    let own_m = swept.iter().map(|circle| circle.radius_m).fold(0.0, f64::max);
    let place = |side: usize, farther_m: f64| {
        let way = Rotation3::from_axis_angle(&Vector3::z_axis(), TAU * side as f64 / SIDES as f64) * usual;
        // Outward from the machine until outside every circle.
        let steps = (0..200).map(|step| base + way * (own_m + AWAY_M + farther_m + f64::from(step)));
        let mut safe = steps.filter(|at| is_safe(at, swept));
        safe.next()
    };
    let all = (0..SIDES).flat_map(|side| FARTHER_M.iter().filter_map(move |farther_m| place(side, *farther_m)));
    let post = |at: Point3<f64>| {
        let eye = at + Vector3::z() * EYE_HEIGHT_M;
        Post { at, sees: sees(machine, gap, &eye) }
    };
    let worth = |post: &Post| {
        let look = (post.at - gap.on_wire).normalize();
        let hidden = if post.sees { 0.0 } else { HIDDEN };
        let usual = 0.1 * (post.at - base).normalize().dot(usual);
        length_seen(gap, &look) + usual - hidden - FAR * (post.at - base).norm()
    };
    let best = all.map(post).max_by(|a, b| worth(a).total_cmp(&worth(b)));
    best.unwrap_or_else(|| post(base + usual * (own_m + AWAY_M)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use wideberth_physics::machine::{Body, FrameId, Placement};

    #[test]
    fn a_spotter_stands_outside_the_reach_and_sees_round_the_machine() {
        let placement = Placement::level(Point3::origin());
        // A wall north and south of the machine leaves the gap to be seen from the west alone.
        let wall = Body::cuboid("wall", FrameId(0), Point3::new(1.0, -9.0, 0.0), Point3::new(2.0, 9.0, 30.0));
        let machine = Machine::new("wall", &placement, placement.frames(), vec![wall]).expect("a machine");
        let (on_body, on_wire) = (Point3::new(0.0, 0.0, 9.0), Point3::new(0.0, 3.0, 9.0));
        let gap = Gap { body: 0, span: 0, fraction: 0.5, on_body, on_wire, distance_m: 3.0 };
        let circle = swept(&machine, &[]);
        assert!(circle.radius_m >= 9.0_f64.hypot(2.0) - 1e-9, "{circle:?}");
        for usual in [Vector3::x(), Vector3::y(), -Vector3::x()] {
            let post = spotter(&Standing::new(&machine, &[]), &gap, &[circle], &Point3::origin(), &usual);
            assert!(post.sees && is_safe(&post.at, &[circle]), "{post:?}");
            assert!(post.at.xy().coords.norm() >= circle.radius_m + AWAY_M - 1e-9);
        }
    }
}
