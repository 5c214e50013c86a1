//! A local search for a pose that is close to a wire: where a new body and span are looked at first. It proves nothing;
//! it gives the first plane its direction and the first trial its pose.

use std::f64::consts::TAU;

use nalgebra::Vector3;

use super::bound::{Candidate, nearest_curve};
use super::hull::PlacedFeature;
use super::posed::{Carried, Joints, Posed};
use super::strand::Pair;
use super::support::{Near, step};
use crate::interval::Interval;
use crate::line::Cover;

/// Rounds of turning each joint on its own.
const ROUNDS: usize = 2;

/// Steps of the local search at most.
const STEPS: usize = 12;

/// The first steps turn hinges no further than this, rad.
const FIRST_STEP_RAD: f64 = 0.5;

/// A step that gains less than this ends the search, m.
const LEAST_GAIN_M: f64 = 1e-5;

/// Tries for the nearest points of wire and body.
const PAIR_TRIES: usize = 20;

/// A pose of a body close to a wire in the state that reaches out to it, and the nearest points. `normal` points about
/// from the wire to the body.
pub fn close_pose(candidate: &Candidate, cover: &Cover, normal: &Vector3<f64>, posed: &mut Posed) -> (Joints, Pair) {
    let descent = Descent { carried: candidate.carried, cover };
    let mut joints = Joints::default();
    joints.iter_mut().zip(candidate.carried.ranges()).for_each(|(joint, range)| *joint = range.center());
    descent.reach_out(&mut joints, normal, posed);
    let pair = descent.settle(&mut joints, normal, posed);
    (joints, pair)
}

struct Descent<'a> {
    carried: &'a Carried<'a>,
    cover: &'a Cover,
}

impl Descent<'_> {
    /// Turns one joint after the other to where the body reaches farthest against `normal`.
    fn reach_out(&self, joints: &mut Joints, normal: &Vector3<f64>, posed: &mut Posed) {
        for _ in 0..ROUNDS {
            for (joint, range) in self.carried.ranges().iter().enumerate() {
                self.carried.pose(joints, posed);
                let Some(foremost) = foremost(posed, normal) else { return };
                joints[joint] = match self.carried.is_hinge(joint) {
                    true => turned_rad(joints[joint], range, posed, (joint, &foremost, normal)),
                    false if posed.axes[joint].dot(normal) > 0.0 => range.low(),
                    false => range.high(),
                };
            }
        }
    }

    /// Newton's steps on the distance within the working ranges, shortened where they fail.
    fn settle(&self, joints: &mut Joints, normal: &Vector3<f64>, posed: &mut Posed) -> Pair {
        let mut pair = self.pair(joints, normal, posed);
        let mut share = 1.0;
        for _ in 0..STEPS {
            let Some(normal) = pair.normal() else { break };
            self.carried.pose(joints, posed);
            let half = self.half(joints, share, &normal, posed);
            let near = Near { distance_m: pair.distance_m(), along: self.cover.span().chord().normalize() };
            let shares = step(self.carried, posed, &half, (&normal, &near));
            let mut moved = *joints;
            for (joint, range) in self.carried.ranges().iter().enumerate() {
                moved[joint] = (joints[joint] + half[joint] * shares[joint]).clamp(range.low(), range.high());
            }
            let found = self.pair(&moved, &normal, posed);
            let gain_m = pair.distance_m() - found.distance_m();
            if gain_m > 0.0 {
                (*joints, pair) = (moved, found);
            } else {
                share *= 0.25;
            }
            if gain_m.abs() < LEAST_GAIN_M {
                break;
            }
        }
        pair
    }

    /// How far each joint may go in one step; not at all where it stands at the end of its range and is pushed beyond.
    fn half(&self, joints: &Joints, share: f64, normal: &Vector3<f64>, posed: &Posed) -> Joints {
        let mut half = Joints::default();
        let Some(foremost) = foremost(posed, normal) else { return half };
        for (joint, range) in self.carried.ranges().iter().enumerate() {
            let hinge = self.carried.is_hinge(joint);
            let axis = posed.axes[joint];
            let velocity = if hinge { axis.cross(&(foremost.at - posed.origins[joint])) } else { axis };
            let rate = normal.dot(&velocity);
            let at_end =
                (joints[joint] <= range.low() && rate >= 0.0) || (joints[joint] >= range.high() && rate <= 0.0);
            let most = if hinge { FIRST_STEP_RAD.min(range.width()) } else { range.width() };
            half[joint] = if at_end { 0.0 } else { share * most };
        }
        half
    }

    fn pair(&self, joints: &Joints, normal: &Vector3<f64>, posed: &mut Posed) -> Pair {
        self.carried.pose(joints, posed);
        nearest_curve(self.cover, normal).close_pair(&posed.features, 0.0, 1.0, PAIR_TRIES)
    }
}

/// The feature that lies farthest against a direction.
fn foremost(posed: &Posed, normal: &Vector3<f64>) -> Option<PlacedFeature> {
    let along = |feature: &&PlacedFeature| normal.dot(&feature.at.coords);
    posed.features.iter().min_by(|a, b| along(a).total_cmp(&along(b))).copied()
}

/// The value of a hinge within its range at which a point reaches farthest against a direction.
fn turned_rad(
    now_rad: f64,
    range: &Interval,
    posed: &Posed,
    (joint, feature, normal): (usize, &PlacedFeature, &Vector3<f64>),
) -> f64 {
    let axis = posed.axes[joint];
    let arm = feature.at - posed.origins[joint];
    let (level, aside) = (arm - axis * axis.dot(&arm), axis.cross(&arm));
    // n·p = n·level·cos θ + n·aside·sin θ + constant, least at θ = atan2(−n·aside, −n·level).
    let best_rad = now_rad + (-normal.dot(&aside)).atan2(-normal.dot(&level));
    let whole = best_rad - TAU * ((best_rad - range.low()) / TAU).floor();
    if whole <= range.high() {
        return whole;
    }
    let off = |end: f64| ((best_rad - end) / TAU - ((best_rad - end) / TAU).round()).abs();
    if off(range.low()) < off(range.high()) { range.low() } else { range.high() }
}
