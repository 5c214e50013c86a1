//! How high and how far a machine reaches over all its poses: a seeded search from many starts, for tables and
//! comparisons only. It finds points that are attained, so it can only fall short.

use nalgebra::{Isometry3, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::machine::{Body, Machine};

/// Starts of the search.
const STARTS: usize = 20;
/// Smallest step of a joint, as a share of its range.
const LAST_STEP: f64 = 1e-6;
/// Less than this, m, is no improvement.
const LEAST_GAIN_M: f64 = 1e-7;

/// The greatest height of any body above the ground's zero, m.
#[must_use]
pub fn height_m(machine: &Machine) -> f64 {
    greatest(machine, &|body, placed| support_m(body, placed, &Vector3::z()))
}

/// The greatest horizontal distance of any body from the site's origin, m.
#[must_use]
pub fn reach_m(machine: &Machine) -> f64 {
    greatest(machine, &horizontal_m)
}

/// The support function of a placed body along a unit vector, m.
#[must_use]
pub fn support_m(body: &Body, placed: &[Isometry3<f64>], along: &Vector3<f64>) -> f64 {
    let feature = |feature: &wideberth_physics::machine::Feature| {
        let place = placed[feature.frame.0];
        let ring = feature.ring.map_or(0.0, |ring| {
            let axis = place * ring.axis.into_inner();
            ring.radius_m * axis.cross(along).norm()
        });
        (place * feature.at).coords.dot(along) + ring
    };
    body.features.iter().map(feature).fold(f64::NEG_INFINITY, f64::max) + body.radius_m
}

/// Horizontal distance by trying bearings: toward each feature, and all round for rings.
fn horizontal_m(body: &Body, placed: &[Isometry3<f64>]) -> f64 {
    let toward = body.features.iter().filter_map(|feature| {
        let point = placed[feature.frame.0] * feature.at;
        Vector3::new(point.x, point.y, 0.0).try_normalize(1e-9)
    });
    let round = (0..16).map(|k| {
        let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 16.0).sin_cos();
        Vector3::new(cos, sin, 0.0)
    });
    toward.chain(round).map(|along| support_m(body, placed, &along)).fold(f64::NEG_INFINITY, f64::max)
}

fn greatest(machine: &Machine, value: &dyn Fn(&Body, &[Isometry3<f64>]) -> f64) -> f64 {
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let ranges = machine.ranges();
    let mut best = f64::NEG_INFINITY;
    for body in machine.bodies() {
        let joints = machine.joints_of(body);
        for _ in 0..STARTS {
            let mut pose: Vec<f64> = ranges.iter().map(|range| range.at(random.random())).collect();
            best = best.max(climb(&mut pose, &joints, machine, &|placed| value(body, placed)));
        }
    }
    best
}

/// Pattern search: each joint a step up or down, halving the step when nothing helps.
fn climb(pose: &mut [f64], joints: &[usize], machine: &Machine, value: &dyn Fn(&[Isometry3<f64>]) -> f64) -> f64 {
    let ranges = machine.ranges();
    let mut best = value(&machine.place(pose));
    let mut step = 0.5;
    while step > LAST_STEP {
        let mut better = false;
        for &joint in joints {
            for sign in [-1.0, 1.0] {
                let (was, range) = (pose[joint], ranges[joint]);
                pose[joint] = (was + sign * step * range.width()).clamp(range.low(), range.high());
                let now = value(&machine.place(pose));
                if now > best + LEAST_GAIN_M {
                    (best, better) = (now, true);
                } else {
                    pose[joint] = was;
                }
            }
        }
        if !better {
            step *= 0.5;
        }
    }
    best
}
