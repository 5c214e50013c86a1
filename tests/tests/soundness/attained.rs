//! What is called found exists: the upper end of every finding of every demonstration, computed again from the printed JSON by
//! another path. Frames by transformation matrices alone, the wire followed in small steps, distances by parry3d's shapes and closed
//! forms; only the machine's and the body's sizes come from the study.

use nalgebra::{Isometry3, Point3, Vector3};
use serde_json::Value;
use wideberth_physics::line::WindDirection;
use wideberth_physics::machine::Body;
use wideberth_plan::answer::{Answer, answer};
use wideberth_report::{Document, ResultDocument};
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::followed::{FollowedWire, between};
use wideberth_tests::generated::repository_root;
use wideberth_tests::kinematics::frames;
use wideberth_tests::oracle::{Solid, golden};

/// Distances agree to this, m.
const AGREES_M: f64 = 1e-6;
/// Where the oracle takes a ring as points it comes a little less close.
const OF_RINGS_M: f64 = 0.02;
/// Rounding of what lies at the end of a range, as a share of it.
const ROUNDING: f64 = 1e-9;

fn demonstrations() -> Vec<(String, Answer)> {
    let context = demonstration_context();
    let folder = std::fs::read_dir(repository_root().join("scenarios")).expect("the demonstrations are there");
    let mut files: Vec<_> = folder.map(|file| file.expect("a file").path()).collect();
    files.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
    files.sort();
    let answered = |path: &std::path::PathBuf| {
        let text = std::fs::read_to_string(path).expect("a text");
        answer(&text, &context, &|_| {}).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    };
    files.iter().map(|path| (path.display().to_string(), answered(path))).collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("a number, not {value}"))
}

fn vector(value: &Value) -> Vector3<f64> {
    Vector3::from([0, 1, 2].map(|axis| number(&value[axis])))
}

fn wire(printed: &Value) -> FollowedWire {
    let pieces = printed["pieces"].as_array().expect("pieces").iter();
    FollowedWire {
        ends: [0, 1].map(|end| Point3::from(vector(&printed["ends_m"][end]))),
        unstretched_m: number(&printed["unstretched_m"]),
        stiffness_n: number(&printed["axial_stiffness_n"]),
        core: printed.get("core").map(|core| (number(&core["axial_stiffness_n"]), number(&core["shorter"]))),
        pieces: pieces.map(|piece| (number(&piece["to_share"]), vector(&piece["force_n_per_m"]))).collect(),
    }
}

/// Distance between the surfaces of the wire that is printed and a body, m.
fn distance_m(printed: &Value, body: &Body, frames: &[Isometry3<f64>]) -> f64 {
    let wire = wire(printed);
    let points = wire.points().expect("a wire that hangs");
    let solid = Solid::new(body);
    let posed = solid.pose(frames);
    let pieces = printed["pieces"].as_array().expect("pieces");
    let radius_m = |share: f64| {
        let piece = pieces.iter().find(|piece| share <= number(&piece["to_share"])).expect("a piece");
        0.5 * number(&printed["diameter_m"]) + number(&piece["ice_m"])
    };
    let apart_m = |share: f64, point: &Point3<f64>| solid.distance_m(&posed, point) - body.radius_m - radius_m(share);
    let nearest = (0..points.len())
        .min_by(|a, b| apart_m(points[*a].0, &points[*a].1).total_cmp(&apart_m(points[*b].0, &points[*b].1)))
        .expect("points");
    let middle = nearest.clamp(1, points.len() - 2);
    let three = [points[middle - 1], points[middle], points[middle + 1]];
    let at = |share: f64| apart_m(share, &between(three, share));
    golden(&at, three[0].0, three[2].0, 60).0.min(apart_m(points[nearest].0, &points[nearest].1))
}

fn has_rings_as_points(body: &Body) -> bool {
    matches!(Solid::new(body), Solid::Mixed(_)) && body.features.iter().any(|feature| feature.ring.is_some())
}

#[test]
fn every_upper_end_is_computed_again_from_what_is_printed() {
    let mut compared = 0;
    for (name, answer) in demonstrations() {
        let printed: Value = serde_json::from_str(&ResultDocument::of(&answer).to_json().expect("JSON")).expect("JSON");
        let findings = printed["findings"].as_array().expect("findings");
        for (finding, found) in findings.iter().zip(&answer.assessment.findings) {
            let witness = &finding["witness"];
            let machine = &answer.job.study.machines[found.pairing.machine];
            let joints = witness["joints"].as_array().expect("joints").iter();
            let value = |joint: &Value| number(joint.get("angle_rad").or(joint.get("length_m")).expect("a value"));
            let frames = frames(machine, &joints.map(value).collect::<Vec<_>>());
            let named = machine.bodies().iter().filter(|body| Some(body.name.as_str()) == witness["body"].as_str());
            let each = named.map(|body| (distance_m(&witness["wire"], body, &frames), has_rings_as_points(body)));
            let (again_m, rings) = each.min_by(|a, b| a.0.total_cmp(&b.0)).expect("a body of that name");
            let upper_m = number(&finding["closest_approach"]["upper_m"]);
            let above_m = again_m.max(0.0) - upper_m;
            let most_m = if rings { OF_RINGS_M } else { AGREES_M };
            assert!(
                (-AGREES_M..=most_m).contains(&above_m),
                "{name}, {}: {again_m} m is not {upper_m} m",
                finding["wire"]
            );
            compared += usize::from(!rings);
        }
    }
    assert!(compared > 30, "only {compared} upper ends were compared");
}

#[test]
fn the_state_that_is_found_is_one_of_the_jobs_own() {
    for (name, answer) in demonstrations() {
        for found in &answer.assessment.findings {
            let line = &answer.job.study.lines[found.pairing.line];
            let span = &line.wires[found.pairing.wire].spans()[found.attained.witness.span];
            let (conditions, real) = (span.conditions(), &found.attained.wire);
            let within = |range: wideberth_physics::interval::Interval, value: f64| {
                let slack = ROUNDING * (1.0 + range.high().abs());
                range.low() - slack <= value && value <= range.high() + slack
            };
            assert!(within(conditions.temperature_degc, real.history.temperature_degc), "{name}: temperature");
            assert!(real.shift_m.norm() <= span.position_tolerance_m() + 1e-9, "{name}: shift");
            for (force, wind) in real.forces.iter().zip(&real.winds_m_per_s) {
                assert!(within(conditions.ice_m, force.ice_m), "{name}: ice {}", force.ice_m);
                let most_m_per_s = conditions.wind_m_per_s.high();
                assert!(wind.norm() <= most_m_per_s * (1.0 + ROUNDING), "{name}: {wind} of {most_m_per_s} m/s");
                if !span.is_strung() && wind.norm() > 0.0 {
                    let bearing_rad = (-wind.x).atan2(-wind.y);
                    let held = [-1e-9, 1e-9].iter().any(|turn| conditions.wind_direction.holds(bearing_rad + turn));
                    assert!(held || conditions.wind_direction == WindDirection::Any, "{name}: {wind}");
                    assert!(within(conditions.wind_m_per_s, wind.norm()), "{name}: {wind}");
                }
            }
            let poses = answer.job.study.machines[found.pairing.machine].ranges();
            for (range, value) in poses.iter().zip(&found.attained.witness.pose) {
                assert!(within(*range, *value), "{name}: joint {value}");
            }
        }
    }
}

/// A bracket is as narrow as was asked but for room that is named.
#[test]
fn what_lies_between_the_ends_is_named() {
    for (name, answer) in demonstrations() {
        for found in &answer.assessment.findings {
            let m = &found.margins;
            let named_m = m.attachments_m + m.sway_m + m.rising_m + m.proof_m;
            assert!(found.distance.lower_m <= found.distance.upper_m, "{name}: {:?}", found.distance);
            assert!(found.distance.width_m() <= named_m + 1e-9, "{name}: {:?} {m:?}", found.distance);
        }
    }
}
