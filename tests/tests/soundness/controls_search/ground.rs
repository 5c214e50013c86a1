//! Ground that the map leaves out: about supports, and inside fences.

use nalgebra::Point2;
use serde_json::json;
use wideberth_plan::stand::{Cell, Question, StandMap, base_m, map};
use wideberth_scenario::Job;
use wideberth_scenario::control::{Standing, WhyNot};
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::{job, text, without_lesson};
use wideberth_tests::generate::Draw;

use super::closed_form::{MAST, scenario};

fn asked(job: &Job, any_heading: bool, support_room_m: Option<f64>) -> StandMap {
    let question = Question {
        machine: 0,
        center: Some(Point2::new(0.0, 0.0)),
        size_m: [40.0, 60.0],
        resolution_m: 0.5,
        any_heading,
        support_room_m,
    };
    map(job, &question).expect("a map")
}

fn cell_at(map: &StandMap, place: &Point2<f64>) -> Cell {
    let step = place - map.area.center;
    let at = [step.dot(&map.area.along), step.dot(&map.area.across())];
    let holds = |cell: &&Cell| (0..2).all(|axis| (at[axis] - cell.at_m[axis]).abs() <= cell.half_m[axis] + 1e-9);
    *map.cells.iter().find(holds).expect("the cells fill the area")
}

/// The closed form with a fence south of the line.
fn fenced(state: &str, at: &str) -> Job {
    let source = Source::read(&scenario(MAST)).expect("JSON");
    let mut value = source.value().clone();
    value["machines"][0]["position"] = json!(["50 m", at]);
    value["controls"] = json!([{
        "name": "fence", "kind": "exclusion fence", "state": state,
        "around": [["-10 m", "-25 m"], ["10 m", "-25 m"], ["10 m", "-15 m"], ["-10 m", "-15 m"]],
    }]);
    job(&value.to_string())
}

#[test]
fn nobody_stands_in_a_support_nor_behind_a_fence() {
    let job = fenced("in place", "-2.5 m");
    let map = asked(&job, false, Some(4.0));
    let mut draw = Draw::new(11);
    let mut seen = [0; 2];
    for _ in 0..3_000 {
        let place = Point2::new(draw.within(-20.0, 20.0), draw.within(-30.0, 30.0));
        let inside = place.x.abs() <= 10.0 && (-25.0..=-15.0).contains(&place.y);
        let cell = cell_at(&map, &place);
        if place.coords.norm() <= 4.0 || inside {
            assert!(cell.left_out, "{place}");
            seen[0] += 1;
        } else if cell.left_out {
            // Only a strip as narrow as the edge is left out beside it.
            let edge_m = place.coords.norm() - 4.0;
            let fence_m = (place.x.abs() - 10.0).max(0.0).hypot((place.y + 20.0).abs().max(5.0) - 5.0);
            assert!(edge_m.min(fence_m) <= 0.5 * 2.0_f64.sqrt() + 1e-9, "{place}");
            seen[1] += 1;
        }
    }
    assert!(seen[0] > 100 && seen[1] > 0, "{seen:?}");
    let filled_m2: f64 = map.cells.iter().map(|cell| 4.0 * cell.half_m[0] * cell.half_m[1]).sum();
    assert!((filled_m2 - 2400.0).abs() < 1e-6);
    // A proposed fence leaves nothing out.
    let proposed = asked(&fenced("proposed", "-2.5 m"), false, Some(4.0));
    assert!(!cell_at(&proposed, &Point2::new(0.0, -20.0)).left_out);
}

#[test]
fn a_fence_with_a_machine_behind_it_does_not_count() {
    let why = |east: &str, north: &str| {
        let source = Source::read(&scenario(MAST)).expect("JSON");
        let mut value = source.value().clone();
        value["machines"][0]["position"] = json!([east, north]);
        value["machines"][0]["setting_out_tolerance"] = json!("0.4 m");
        value["controls"] = json!([{
            "name": "fence", "kind": "barrier", "state": "in place",
            "around": [["40 m", "-25 m"], ["60 m", "-25 m"], ["60 m", "-15 m"], ["40 m", "-15 m"]],
        }]);
        job(&value.to_string()).controls[0].standing
    };
    assert_eq!(why("50 m", "-20 m"), Standing::Not(WhyNot::StandsInside));
    assert_eq!(why("50 m", "-14.7 m"), Standing::Not(WhyNot::StandsInside));
    assert_eq!(why("50 m", "-14.5 m"), Standing::Counts);
    assert_eq!(why("39.5 m", "-20 m"), Standing::Counts);
}

#[test]
fn the_room_is_that_of_the_base_and_any_heading_is_never_more_clear() {
    let crane = job(&without_lesson(&text("crane-beside-a-line-in-wind")));
    // The carrier reaches 7.5 m forward and 1.5 m aside.
    let base_m = base_m(&crane.study.machines[0]);
    let corner_m = 7.5_f64.hypot(1.5);
    assert!(base_m >= corner_m && base_m < corner_m + 2.0, "{base_m}");
    assert!((asked(&job(&scenario(MAST)), false, None).support_room_m - 1.0).abs() < 8.0);
    let beam = MAST.replace(
        r#""sphere": {"at": ["0 m", "0 m", "8 m"], "radius": "0.5 m"}"#,
        r#""box": {"from": ["-0.5 m", "0 m", "7 m"], "to": ["0.5 m", "6 m", "8 m"]}"#,
    );
    let job = job(&scenario(&beam));
    let (one, any) = (asked(&job, false, Some(0.0)), asked(&job, true, Some(0.0)));
    let clear_m2 = |map: &StandMap| -> f64 {
        let own = map.cells.iter().filter(|cell| cell.ground == wideberth_plan::stand::Ground::Clear);
        own.map(|cell| 4.0 * cell.half_m[0] * cell.half_m[1]).sum()
    };
    assert!(clear_m2(&any) < clear_m2(&one) - 10.0, "{} {}", clear_m2(&any), clear_m2(&one));
    let mut draw = Draw::new(3);
    for _ in 0..500 {
        let place = Point2::new(draw.within(-20.0, 20.0), draw.within(-30.0, 30.0));
        let ground = |map: &StandMap| cell_at(map, &place).ground;
        let contradicts = ground(&any) == wideberth_plan::stand::Ground::Clear
            && ground(&one) == wideberth_plan::stand::Ground::TooClose;
        assert!(!contradicts, "{place}");
    }
}
