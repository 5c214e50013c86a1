//! How high a machine reaches.

use wideberth_physics::machine::{Body, Machine};

/// Values that each joint tries in turn.
const STEPS: u32 = 32;
/// Rounds over all joints at most.
const ROUNDS: usize = 12;

/// Greatest height of any part above the site's zero that a search joint by joint finds, m. It may miss the greatest.
pub(super) fn highest_found_m(machine: &Machine) -> f64 {
    let ranges = machine.ranges();
    [0.0, 0.5, 1.0]
        .into_iter()
        .map(|share| climb(machine, ranges.iter().map(|range| range.at(share)).collect()))
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Moves one joint after the other to its best value until nothing rises.
fn climb(machine: &Machine, mut pose: Vec<f64>) -> f64 {
    let ranges = machine.ranges();
    let mut best_m = height_m(machine, &pose);
    for _ in 0..ROUNDS {
        let before_m = best_m;
        for (joint, range) in ranges.iter().enumerate() {
            for step in 0..=STEPS {
                let old = std::mem::replace(&mut pose[joint], range.at(f64::from(step) / f64::from(STEPS)));
                let height_m = height_m(machine, &pose);
                if height_m > best_m { best_m = height_m } else { pose[joint] = old }
            }
        }
        if best_m <= before_m {
            break;
        }
    }
    best_m
}

/// Height of the highest part in a pose, m.
fn height_m(machine: &Machine, pose: &[f64]) -> f64 {
    let placed = machine.place(pose);
    let top = |body: &Body| {
        let features = body.features.iter().map(|feature| {
            let place = &placed[feature.frame.0];
            // The highest point of a ring lies √(1 − a_z²) of its radius above its centre.
            let ring = feature
                .ring
                .map_or(0.0, |ring| ring.radius_m * (1.0 - (place * ring.axis.into_inner()).z.powi(2)).max(0.0).sqrt());
            (place * feature.at).z + ring
        });
        features.fold(f64::NEG_INFINITY, f64::max) + body.radius_m
    };
    machine.bodies().iter().map(top).fold(f64::NEG_INFINITY, f64::max)
}
