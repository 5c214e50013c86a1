//! Setbacks and heights of routes beside generated lines, against brute force over states and points of the wire.

use nalgebra::{Point2, Point3};
use rayon::prelude::*;
use wideberth_physics::line::{SpanState, Wire};
use wideberth_plan::stand::{Question, Route, clearway, map, setbacks};
use wideberth_scenario::Job;
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::job;
use wideberth_tests::generate::Draw;

use super::closed_form::{LIMIT_M, MAST, scenario};
use super::number;

/// Half of the map along the line, and half of its width, m.
const ALONG_M: f64 = 10.0;
const ACROSS_M: f64 = 25.0;
/// The width of the narrowest piece of the map, m.
const EDGE_M: f64 = 0.25;
/// How much finer the certified search may be than the grid of brute force, m.
const GRID_M: f64 = 0.02;

/// A wire along x over the middle of the span, and a ball on a mast, all drawn.
struct Case {
    job: Job,
    up_m: f64,
    ball_m: f64,
}

fn case(draw: &mut Draw) -> Case {
    let (up_m, ball_m) = (draw.within(5.0, 9.5), draw.within(0.2, 1.2));
    let machine = MAST
        .replace("\"8 m\"", &format!("\"{up_m} m\""))
        .replace(r#""radius": "0.5 m""#, &format!(r#""radius": "{ball_m} m""#));
    let source = Source::read(&scenario(&machine)).expect("JSON");
    let mut value = source.value().clone();
    let tolerance_m = if draw.chance(0.5) { 0.0 } else { draw.within(0.0, 0.2) };
    let lowest_m = up_m + draw.within(0.5, 2.5);
    let end_m = lowest_m + draw.within(0.3, 1.0);
    let ends_m = [end_m, end_m + draw.within(0.0, 1.0)];
    let degc = draw.within(0.0, 20.0);
    value["conditions"] = serde_json::json!({
        "conductor_temperature": [format!("{degc} degC"), format!("{} degC", degc + draw.within(0.0, 50.0))],
        "wind_speed": ["0 m/s", format!("{} m/s", draw.within(0.0, 15.0))],
    });
    let wire = &mut value["lines"][0]["wires"][0];
    wire["attachments"][0]["height"] = format!("{} m", ends_m[0]).into();
    wire["attachments"][1]["height"] = format!("{} m", ends_m[1]).into();
    wire["attachment_tolerance"] = format!("{tolerance_m} m").into();
    wire["known_by"]["height"] = format!("{lowest_m} m").into();
    Case { job: job(&value.to_string()), up_m, ball_m }
}

/// Points of the wire over a grid of its states, each with how far the middle of anything must keep from it, m.
fn points(wire: &Wire) -> Vec<(Point3<f64>, f64)> {
    let span = &wire.spans()[0];
    let states = span.states();
    let mut all = Vec::new();
    for length in 0..=2 {
        for wind in 0..=40 {
            let state = SpanState {
                unstretched_m: states.unstretched_m.at(0.5 * f64::from(length)),
                wind_m_per_s: states.wind_m_per_s.at(f64::from(wind) / 40.0),
                ice_m: states.ice_m.high(),
            };
            let shape = span.shape(&state).expect("a shape");
            let keep_m = LIMIT_M + shape.radius_m + span.margin_m();
            all.extend((0..=1000).map(|k| (span.point(&shape, f64::from(k) / 1000.0), keep_m)));
        }
    }
    all
}

#[test]
fn setbacks_are_those_of_brute_force() {
    let cases = number("WIDEBERTH_CASES", 25);
    (0..cases).into_par_iter().for_each(setback);
    println!("setbacks of {cases} cases compared with brute force");
}

/// Both setbacks of a case; the ball always comes too close to something.
fn setback(seed: u64) {
    let case = case(&mut Draw::new(seed));
    // How far from the chord, to the north and to the south, the middle of the ball is too close to some point.
    let mut reaches_m = [f64::NEG_INFINITY; 2];
    for (point, keep_m) in points(&case.job.study.lines[0].wires[0]) {
        let left_m2 = (keep_m + case.ball_m).powi(2) - (point.z - case.up_m).powi(2);
        if left_m2 > 0.0 && (point.x - 50.0).abs() <= ALONG_M {
            reaches_m[0] = reaches_m[0].max(point.y + left_m2.sqrt());
            reaches_m[1] = reaches_m[1].max(-point.y + left_m2.sqrt());
        }
    }
    let question = Question {
        machine: 0,
        center: Some(Point2::new(50.0, 0.0)),
        size_m: [2.0 * ALONG_M, 2.0 * ACROSS_M],
        resolution_m: EDGE_M,
        any_heading: false,
        support_room_m: Some(0.0),
    };
    let map = map(&case.job, &question).expect("a map");
    let found = setbacks(&case.job, &map);
    assert_eq!(found.len(), 2);
    for side in found {
        let brute_m = if side.left { reaches_m[0] } else { reaches_m[1] };
        let clear_m = side.clear_m.expect("the map is wide enough");
        assert!(clear_m >= brute_m - 1e-6, "case {seed}: clear from {clear_m} m, too close at {brute_m} m");
        assert!(clear_m <= brute_m + EDGE_M + GRID_M + 0.05, "case {seed}: {clear_m} m, brute force {brute_m} m");
        let too_close_m = side.too_close_m.expect("some ground is too close");
        assert!(too_close_m <= brute_m + GRID_M, "case {seed}: too close at {too_close_m} m, {brute_m} m");
    }
}

#[test]
fn heights_of_routes_are_those_of_brute_force() {
    let cases = number("WIDEBERTH_CASES", 25);
    let most_slack_m = (0..cases).into_par_iter().map(route).reduce(|| 0.0, f64::max);
    println!("{cases} routes, at most {most_slack_m:.3} m lower than brute force allows");
}

/// A straight way that crosses the line; how much lower the proven height is than that of brute force, m.
fn route(seed: u64) -> f64 {
    let mut draw = Draw::new(5000 + seed);
    let case = case(&mut draw);
    let (at_m, width_m) = (draw.within(30.0, 70.0), draw.within(2.0, 8.0));
    let bearing_rad: f64 = draw.within(-0.5, 0.5);
    let along = nalgebra::Vector2::new(bearing_rad.sin(), bearing_rad.cos());
    let middle = Point2::new(at_m, 0.0);
    let brute_m =
        points(&case.job.study.lines[0].wires[0]).into_iter().fold(f64::INFINITY, |least_m, (point, keep_m)| {
            let aside_m = (point.xy() - middle).perp(&along).abs() - 0.5 * width_m;
            let left_m2 = keep_m.powi(2) - aside_m.max(0.0).powi(2);
            if left_m2 > 0.0 { least_m.min(point.z - left_m2.sqrt()) } else { least_m }
        });
    let route = Route { machine: 0, along: vec![middle - along * 40.0, middle + along * 40.0], width_m, ground_m: 0.0 };
    let found = clearway(&case.job, &route).expect("a search").expect("something may pass");
    assert!(found.clear_m <= brute_m + 1e-6, "case {seed}: {} m proven, {brute_m} m is too high", found.clear_m);
    assert!(found.clear_m >= brute_m - 0.01 - GRID_M, "case {seed}: {} m, brute force {brute_m} m", found.clear_m);
    assert!(found.not_clear_m.is_some_and(|m| m > brute_m - GRID_M - 0.01), "case {seed}: {found:?}, {brute_m} m");
    brute_m - found.clear_m
}
