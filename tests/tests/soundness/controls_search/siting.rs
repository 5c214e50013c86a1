//! Siting rules and figures of practice (`data/siting.csv`) against what the map, the height of a route and the machines say
//! for the same geometry.

use approx::assert_abs_diff_eq;
use nalgebra::Point2;
use serde::Deserialize;
use wideberth_physics::approach::Options;
use wideberth_plan::on_the_map::on_the_map;
use wideberth_plan::stand::{Question, Route, clearway, map, setbacks};
use wideberth_rules::{Query, RuleBook, Voltage, VoltageBasis, Work};
use wideberth_tests::demonstrations::job;

use super::closed_form::{HEIGHT_M, LIMIT_M, MAST, WIRE_M, scenario};

const FOOT_M: f64 = 0.3048;

#[derive(Debug, Deserialize)]
struct Row {
    what: String,
    size: f64,
    printed: f64,
    unit: String,
    tag: String,
    source: String,
}

impl Row {
    fn printed_m(&self) -> f64 {
        match self.unit.as_str() {
            "ft" => self.printed * FOOT_M,
            unit => {
                assert_eq!(unit, "m");
                self.printed
            }
        }
    }
}

fn rows(what: &str) -> Vec<Row> {
    let text = include_str!("../../../data/siting.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    let all: Vec<Row> = reader.deserialize().collect::<Result<_, _>>().expect("the table is whole");
    assert!(all.iter().all(|row| ["seen", "from memory", "computed"].contains(&row.tag.as_str())));
    assert!(all.iter().all(|row| !row.source.is_empty()));
    let own: Vec<Row> = all.into_iter().filter(|row| row.what == what).collect();
    assert!(!own.is_empty(), "{what}");
    own
}

/// The ground and air that the rule for a bin with a portable auger keeps free of wires: 18 ft over its highest port, level
/// to as far out as that height, then down by 1 in 1.5, to the 18 ft at which a wire may hang.
fn bin_m(height_ft: f64) -> [f64; 3] {
    [height_ft + 18.0, 2.5 * height_ft + 18.0, 18.0].map(|ft| ft * FOOT_M)
}

#[test]
fn the_table_for_bins_is_the_foot_of_its_slope() {
    for row in rows("bin distance") {
        let [top_m, foot_m, wire_m] = bin_m(row.size);
        // From the edge of the level part down by 1 in 1.5 to where a wire may hang.
        assert_abs_diff_eq!(top_m + 1.5 * (top_m - wire_m), foot_m, epsilon = 1e-9);
        assert_abs_diff_eq!(row.printed_m(), foot_m, epsilon = 1e-9);
        let voltage = Voltage::ac(12.47, VoltageBasis::PhaseToPhase);
        let mut query = Query::named("us-nesc-bin-portable", voltage, Work::SiteStructure);
        query.structure_height_m = Some(row.size * FOOT_M);
        let choice = RuleBook::embedded().select(&query).expect("a distance");
        assert_abs_diff_eq!(choice.distance_m, row.printed_m(), epsilon = 1e-3);
    }
    // Prints that disagree: the flat one is enough for the smallest bin of the table only, and the tool takes the formula.
    let short_m = |row: &Row| bin_m(row.size)[1] - row.printed_m();
    let flat = rows("bin distance flat");
    assert!(short_m(&flat[0]) < 0.2 && short_m(&flat[1]) > 15.0, "{flat:?}");
}

#[test]
fn the_map_finds_the_distance_for_bins() {
    let row = &rows("bin distance")[0];
    let [top_m, foot_m, _] = bin_m(row.size);
    // The free space as a solid, so high that the wire of the scenario hangs at the foot of its slope; the wire must not enter
    // it, and the map keeps the limit of the rule besides.
    let sunk_m = HEIGHT_M - WIRE_M - 18.0 * FOOT_M;
    let space = format!(
        r#"{{
          "name": "the bin", "position": ["50 m", "-30 m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
          "machine": {{"id": "bin", "title": "Space about a bin", "bodies": [{{"name": "slope", "frustum": {{
            "from": ["0 m", "0 m", "{} m"], "from_radius": "{foot_m} m", "to": ["0 m", "0 m", "{} m"], "to_radius": "{top_m} m"}}}}]}}
        }}"#,
        18.0 * FOOT_M + sunk_m,
        top_m + sunk_m,
    );
    let job = job(&scenario(&space));
    let question = Question {
        machine: 0,
        center: Some(Point2::new(50.0, 0.0)),
        size_m: [4.0, 80.0],
        resolution_m: 0.25,
        any_heading: false,
        support_room_m: Some(0.0),
    };
    let map = map(&job, &question).expect("a map");
    for side in setbacks(&job, &map) {
        let (clear_m, too_close_m) = (side.clear_m.expect("wide enough"), side.too_close_m.expect("some is too close"));
        let wanted_m = foot_m + LIMIT_M;
        // Beside the foot of the slope the nearest point of the solid lies level with the wire, less what it sags.
        assert!(clear_m >= wanted_m - 0.05 && clear_m <= wanted_m + 0.5, "{clear_m} {wanted_m}");
        assert!(too_close_m <= wanted_m + 0.05 && too_close_m >= wanted_m - 0.5, "{too_close_m} {wanted_m}");
    }
}

#[test]
fn raised_bodies_reach_the_computed_heights() {
    for row in rows("tipper top") {
        let text = format!(
            r#"{{"name": "the trailer", "position": ["50 m", "-60 m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
              "machine": "end-dump-trailer", "working": {{"raise": ["{0} deg", "{0} deg"]}}, "overrun": {{"raise": "0 deg"}}}}"#,
            row.size
        );
        let job = job(&scenario(&text));
        let machine = &job.study.machines[0];
        let pose: Vec<f64> = machine.ranges().iter().map(|range| range.center()).collect();
        let frames = machine.place(&pose);
        let top = |body: &wideberth_physics::machine::Body| {
            let heights = body.features.iter().map(|feature| (frames[feature.frame.0] * feature.at).z);
            heights.fold(f64::NEG_INFINITY, f64::max) + body.radius_m
        };
        let top_m = machine.bodies().iter().map(top).fold(f64::NEG_INFINITY, f64::max);
        println!("{} deg: {top_m:.2} m, computed in practice {:.2} m", row.size, row.printed_m());
        // The machine's body bends and has boards: it may stand higher than the bare formula, never much lower.
        assert!(top_m >= row.printed_m() - 0.3 && top_m <= row.printed_m() + 1.0, "{top_m} {row:?}");
    }
}

#[test]
fn a_route_is_as_high_as_the_wire_less_the_rule_for_travel() {
    let row = &rows("travel under")[0];
    let text = scenario(MAST)
        .replace(r#""rule": {"place": "Ontario"}"#, r#""rule": {"id": "us-osha-1411-tableT"}"#)
        .replace(r#""heading_tolerance": "0 deg","#, r#""heading_tolerance": "0 deg", "work": "travel under","#);
    let along = vec![Point2::new(50.0, -20.0), Point2::new(50.0, 20.0)];
    let found = clearway(&job(&text), &Route { machine: 0, along, width_m: 3.0, ground_m: 0.0 });
    let clear_m = found.expect("a search").expect("something may pass").clear_m;
    let wanted_m = HEIGHT_M - WIRE_M - row.printed_m();
    assert!(clear_m <= wanted_m && clear_m > wanted_m - 0.0102, "{clear_m} {wanted_m}");
}

#[test]
fn a_distance_on_the_map_does_not_grow_with_height() {
    let least_m = rows("consult")[0].printed_m();
    let mast = |aside_m: f64| MAST.replace("-2.5 m", &format!("-{aside_m} m"));
    let level_m = |aside_m: f64| {
        let job = job(&scenario(&mast(aside_m)));
        on_the_map(&job.study.machines[0], &job.study.lines[0].wires[0], &Options::default()).expect("a distance")
    };
    // The mast is within 8.5 m and a little of its foot in every direction.
    for aside_m in [20.0, 25.0, 40.0] {
        let found = level_m(aside_m);
        assert!(found.lower_m <= aside_m - 8.5 - WIRE_M && found.upper_m >= aside_m - 8.6 - WIRE_M, "{found:?}");
        assert!(found.width_m() < 0.1, "{found:?}");
    }
    assert!(level_m(17.0).lower_m < least_m && level_m(18.0).lower_m > least_m);
    // Right below the wire nothing is left, however high it hangs.
    assert_eq!(level_m(1.0).lower_m, 0.0);
}
