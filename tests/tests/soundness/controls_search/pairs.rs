//! Two controls together where no single one is enough: generated arms that turn and lengthen level beside the wire.

use rayon::prelude::*;
use wideberth_physics::assess::assess;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::fixes::{Control, End, Fix, Scene, fixes};
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::{context, job};
use wideberth_tests::generate::Draw;

use super::closed_form::{HEIGHT_M, LIMIT_M, WIRE_M, scenario};
use super::number;
use super::samples::attack;

/// What the middle of the ball must keep from the middle of the wire, m.
const KEEP_M: f64 = LIMIT_M + WIRE_M + BALL_M;
const BALL_M: f64 = 0.5;

/// A ball at the end of a level arm, south of the wire.
struct Arm {
    /// How high it is, and how far south of the wire it stands, m.
    up_m: f64,
    aside_m: f64,
    /// The turn either way, degrees.
    turn_deg: f64,
    text: String,
}

/// The shortest arm is too long straight ahead, and the longest too long when turned away as far as it goes; the shortest
/// turned away is clear. No height and no wind changes that.
fn arm(draw: &mut Draw) -> Arm {
    let up_m = draw.within(7.5, 9.5);
    let aside_m = draw.within(8.0, 14.0);
    let north_m = aside_m - (KEEP_M.powi(2) - (HEIGHT_M - up_m).powi(2)).sqrt();
    let turn_deg = draw.within(45.0, 70.0_f64).round();
    let least_m = north_m + draw.within(0.2, 0.8);
    let most_m = (north_m / turn_deg.to_radians().cos() + draw.within(0.3, 2.0)).max(least_m + 0.5);
    let machine = format!(
        r#"{{"name": "the arm", "position": ["50 m", "-{aside_m} m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
          "machine": {{"id": "arm", "title": "Ball on a level arm",
            "frames": [
              {{"name": "turn", "at": ["0 m", "0 m", "{up_m} m"], "hinge": {{"axis": "z", "range": ["-{turn_deg} deg", "{turn_deg} deg"]}}}},
              {{"name": "length", "on": "turn", "slide": {{"axis": "y", "range": ["{least_m} m", "{most_m} m"]}}}}
            ],
            "bodies": [{{"name": "ball", "sphere": {{"frame": "length", "at": ["0 m", "0 m", "0 m"], "radius": "{BALL_M} m"}}}}]}}}}"#
    );
    Arm { up_m, aside_m, turn_deg, text: scenario(&machine) }
}

/// How far beyond where it may be the ball comes with a pair of stops, m: the wire hangs as a parabola, lowest at 50 m.
fn over_m(control: &Control, arm: &Arm) -> f64 {
    let Control::Both(pair) = control else { panic!("{control:?}") };
    let (mut low, mut high) = (-arm.turn_deg.to_radians(), arm.turn_deg.to_radians());
    let mut length_m = f64::NAN;
    for stop in [&pair.0, &pair.1] {
        match *stop {
            Control::Stop { joint: 0, end: End::Least, at, .. } => low = at,
            Control::Stop { joint: 0, end: End::Most, at, .. } => high = at,
            Control::Stop { joint: 1, end: End::Most, at, .. } => length_m = at,
            _ => panic!("{control:?}"),
        }
    }
    let over_m = |turn: f64| {
        let (across_m, north_m) = (length_m * turn.sin(), length_m * turn.cos());
        let wire_m = HEIGHT_M + 0.5 * (across_m / 50.0).powi(2);
        let left_m2 = KEEP_M.powi(2) - (wire_m - arm.up_m).powi(2);
        north_m - (arm.aside_m - left_m2.max(0.0).sqrt())
    };
    (0..=500).map(|k| over_m(low + (high - low) * f64::from(k) / 500.0)).fold(f64::NEG_INFINITY, f64::max)
}

/// The parabola stands for a catenary, m.
const PARABOLA_M: f64 = 2e-3;

/// The pair with one of its stops a step milder.
fn milder(control: &Control) -> [Control; 2] {
    let Control::Both(pair) = control else { panic!("{control:?}") };
    let step = |stop: &Control| match *stop {
        Control::Stop { joint, end, at, shortens } => {
            let step = if joint == 0 { 0.1_f64.to_radians() } else { 0.01 };
            Control::Stop { joint, end, at: if end == End::Most { at + step } else { at - step }, shortens }
        }
        _ => panic!("{stop:?}"),
    };
    [Control::Both(Box::new((step(&pair.0), pair.1.clone()))), Control::Both(Box::new((pair.0.clone(), step(&pair.1))))]
}

/// Looks for pairs of one case; how many there are.
fn look(seed: u64, samples: u64) -> usize {
    let arm = arm(&mut Draw::new(9000 + seed));
    let (job, context) = (job(&arm.text), context());
    let source = Source::read(&arm.text).expect("JSON");
    let assessment = assess(&job.study, &job.options, &|_| {}).expect("an assessment");
    let found = fixes(source.value(), &context, &job, &assessment).expect("controls").remove(0);
    let nested = |fix: &&Fix| fix.is_clear() && fix.control.is_nested();
    let single = found.singles.iter().find(nested);
    assert!(single.is_none(), "case {seed}: one is enough: {single:?}");
    // Turned away to either side, each with a shorter arm.
    assert!(found.pairs.len() >= 2, "case {seed}: {:?}", found.pairs);
    let scene = Scene::new(source.value(), &context, &job, 0, &assessment);
    let verdict = |control: &Control| {
        let variant = scene.with(&[control]).expect("the control fits");
        variant.decide(&scene).expect("a decision").verdict
    };
    for (index, fix) in found.pairs.iter().enumerate() {
        assert!(fix.is_clear(), "case {seed}: {fix:?}");
        assert_eq!(verdict(&fix.control), Verdict::Clear, "case {seed}: {:?}", fix.control);
        let over_m = over_m(&fix.control, &arm);
        assert!(over_m <= PARABOLA_M && over_m > -0.05, "case {seed}: {over_m} m, {:?}", fix.control);
        for milder in milder(&fix.control) {
            assert_ne!(verdict(&milder), Verdict::Clear, "case {seed}: {milder:?} would do");
        }
        attack(&format!("pair of case {seed}"), &scene, fix, index as u64, samples);
    }
    found.pairs.len()
}

#[test]
fn pairs_are_proven_and_no_milder_than_they_may_be() {
    let (cases, samples) = (number("WIDEBERTH_CASES", 25), number("WIDEBERTH_SAMPLES", 50_000) / 20);
    let pairs: usize = (0..cases).into_par_iter().map(|seed| look(seed, samples)).sum();
    println!("{pairs} pairs of {cases} cases in which no single control is enough, {samples} samples each");
}
