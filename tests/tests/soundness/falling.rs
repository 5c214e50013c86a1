//! Structures that may topple, against plain geometry: how far and how high the fall circle reaches.

use wideberth_physics::machine::Machine;
use wideberth_scenario::{Context, Job};
use wideberth_tests::generated::repository_root;

fn shell(change: (&str, &str)) -> Machine {
    let path = repository_root().join("scenarios/empty-shell-before-it-is-anchored.json");
    let text = std::fs::read_to_string(path).expect("there");
    assert!(text.contains(change.0));
    let context = Context::without_files().expect("the catalogue is right");
    let job = Job::from_text(&text.replace(change.0, change.1), &context).unwrap_or_else(|p| panic!("{p}"));
    let index = job.topples[0].machine.expect("it may fall");
    job.study.machines[index].clone()
}

/// Greatest distance on the map from the middle and greatest height of the shell's rims, m, over a fine grid of poses.
fn reach_m(machine: &Machine) -> (f64, f64) {
    let (body, steps) = (&machine.bodies()[0], 360);
    let foot = machine.place(&[0.0, 0.0])[machine.movers()[0].0].translation.vector;
    let (mut far_m, mut high_m) = (0.0_f64, 0.0_f64);
    for step in 0..=steps {
        let fall = -std::f64::consts::FRAC_PI_2 * f64::from(step) / f64::from(steps);
        let placed = machine.place(&[0.3, fall]);
        for feature in &body.features {
            let (place, ring) = (&placed[feature.frame.0], feature.ring.expect("rims"));
            for k in 0..360 {
                let turn = f64::from(k).to_radians();
                let rim = feature.at + nalgebra::Vector3::new(turn.cos(), turn.sin(), 0.0) * ring.radius_m;
                let at = (place * rim).coords - foot;
                far_m = far_m.max(at.xy().norm());
                high_m = high_m.max(at.z);
            }
        }
    }
    (far_m, high_m)
}

#[test]
fn a_round_shell_reaches_its_height_beyond_its_edge() {
    let machine = shell(("\"4.3 m\"", "\"4.3 m\""));
    let (far_m, high_m) = reach_m(&machine);
    // Lying, the rims stand upright: the foot's rim over the edge of the base, the upper rim h beyond it.
    let (radius_m, height_m) = (2.15_f64, 7.5_f64);
    let lying_m = (radius_m + height_m).hypot(radius_m);
    assert!((radius_m + height_m..=lying_m).contains(&far_m), "{far_m}");
    assert!((high_m - height_m.hypot(2.0 * radius_m)).abs() < 1e-3, "{high_m}");
    // Nothing but the setting-out tolerance thickens it.
    assert!((machine.bodies()[0].radius_m - 0.2).abs() < 1e-12);
}

#[test]
fn a_shell_that_is_not_round_holds_every_fall_over_its_edges() {
    let wide = "\"width\": \"4.3 m\", \"narrow_width\": \"3 m\", \"shape\": \"box\", \"height\": \"7.5 m\"";
    let path = repository_root().join("scenarios/empty-shell-before-it-is-anchored.json");
    let text = std::fs::read_to_string(path).expect("there");
    let text =
        text.replace("\"width\": \"4.3 m\", \"height\": \"7.5 m\"", wide).replace(", \"shape\": \"cylinder\"", "");
    let context = Context::without_files().expect("the catalogue is right");
    let job = Job::from_text(&text, &context).unwrap_or_else(|p| panic!("{p}"));
    let machine = &job.study.machines[job.topples[0].machine.expect("it may fall")];
    let body = &machine.bodies()[0];
    let allowed_m = body.radius_m;
    // The real box, falling over its nearest edge by each angle; its corners lie within the model's hull of that angle.
    for step in 0..=90 {
        let fall = -f64::from(step).to_radians();
        let placed = machine.place(&[0.0, fall]);
        let (frame, edge_m) = (&placed[body.features[0].frame.0], 1.5);
        for (x, y, z) in [(-2.15, -1.5, 0.0), (2.15, -1.5, 7.5), (-2.15, 1.5, 7.5), (2.15, 1.5, 0.0)] {
            let (sin, cos) = fall.sin_cos();
            let (from_edge, up): (f64, f64) = (y - edge_m, z);
            let real = nalgebra::Point3::new(x, edge_m + from_edge * cos - up * sin, from_edge * sin + up * cos);
            let site = real + nalgebra::Vector3::new(40.0, -10.0, 0.0);
            let local = frame.inverse_transform_point(&site);
            let radius_m = 0.5 * 4.3_f64.hypot(3.0);
            let sideways_m = (local.x.hypot(local.y + radius_m) - radius_m).max(0.0);
            let along_m = (-local.z).max(local.z - 7.5).max(0.0);
            assert!(sideways_m.hypot(along_m) <= allowed_m, "{step} deg: {sideways_m}, {along_m}");
        }
    }
}
