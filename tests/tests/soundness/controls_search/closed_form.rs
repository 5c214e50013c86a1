//! Straight geometry: the lowest point of a level wire, a ball on a mast, a ball on a boom. Each answer is that of a right
//! triangle.

use approx::assert_abs_diff_eq;
use nalgebra::Point2;
use wideberth_physics::assess::assess;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::chart::chart;
use wideberth_plan::fixes::{Control, End, Fix, MachineFixes, Proof, fixes};
use wideberth_plan::stand::{Question, Route, clearway, map, setbacks};
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::{context, job};

/// Radius of the wire, m.
pub const WIRE_M: f64 = 0.005;
/// Limit, m (O. Reg. 213/91, s. 188, 750 V to 150 kV).
pub const LIMIT_M: f64 = 3.0;
/// Height of the wire's lowest point, m.
pub const HEIGHT_M: f64 = 10.0;

/// A wire along x whose lowest point hangs 10 m above (50, 0), known without any doubt, in still air; and a machine.
pub fn scenario(machine: &str) -> String {
    r#"{
      "format": "wideberth-scenario", "version": 1, "title": "Closed form", "rule": {"place": "Ontario"},
      "conditions": {"conductor_temperature": "20 degC", "wind_speed": "0 m/s"},
      "lines": [{
        "name": "the line",
        "voltage": {"value": "12.47 kV", "basis": "phase to phase", "current": "ac"},
        "supports": [{"name": "P1", "position": ["0 m", "0 m"]}, {"name": "P2", "position": ["100 m", "0 m"]}],
        "wires": [{
          "name": "phase",
          "conductor": {"diameter": "10 mm", "mass": "0.2 kg/m", "modulus": "70 GPa", "area": "60 mm2", "expansion": "19e-6 /degC"},
          "attachments": [{"support": "P1", "height": "10.5 m"}, {"support": "P2", "height": "10.5 m"}],
          "attachment_tolerance": "0 m",
          "known_by": {"height": "10 m", "tolerance": "0 m", "conductor_temperature": "20 degC", "between": ["P1", "P2"], "at": "50 m", "ground": "0 m"}
        }]
      }],
      "machines": [MACHINE]
    }"#
    .replace("MACHINE", machine)
}

/// A ball of 0.5 m, 8 m up, 2.5 m south of the wire.
pub const MAST: &str = r#"{
  "name": "the mast", "position": ["50 m", "-2.5 m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
  "machine": {"id": "mast", "title": "Ball on a mast", "bodies": [{"name": "ball", "sphere": {"at": ["0 m", "0 m", "8 m"], "radius": "0.5 m"}}]}
}"#;

/// A ball of 0.5 m at the end of a boom of 6 m that luffs toward the wire, about an axis 6 m up, 8 m south of the wire.
const BOOM: &str = r#"{
  "name": "the boom", "position": ["50 m", "-8 m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
  "working": {"slew": ["-0.5 deg", "0.5 deg"]},
  "machine": {
    "id": "boom", "title": "Ball on a boom",
    "frames": [
      {"name": "slew", "hinge": {"axis": "z", "range": ["-90 deg", "90 deg"]}},
      {"name": "luff", "on": "slew", "at": ["0 m", "0 m", "6 m"], "hinge": {"axis": "x", "range": ["0 deg", "80 deg"]}}
    ],
    "bodies": [{"name": "ball", "sphere": {"frame": "luff", "at": ["0 m", "6 m", "0 m"], "radius": "0.5 m"}}]
  }
}"#;

/// A bar of 12 m that hangs still from a mast 8 m south of the wire, its ends toward and away from it, its top 9 m up.
pub const BAR: &str = r#"{
  "name": "the bar", "position": ["50 m", "-8 m"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
  "machine": {
    "id": "bar", "title": "Bar on a mast", "bodies": [{"name": "mast", "sphere": {"at": ["0 m", "0 m", "8 m"], "radius": "0.5 m"}}],
    "hang_points": [{"name": "hook", "at": ["0 m", "0 m", "12 m"]}]
  },
  "load": {
    "name": "bar", "hangs_from": "hook", "rope": ["3 m", "3 m"], "rope_radius": "0.02 m", "swing": "0 deg", "yaw": ["0 deg", "0 deg"],
    "bodies": [{"name": "bar", "box": {"from": ["-0.1 m", "-6 m", "-0.2 m"], "to": ["0.1 m", "6 m", "0 m"]}}]
  }
}"#;

fn found(text: &str) -> MachineFixes {
    let (job, context) = (job(text), context());
    let source = Source::read(text).expect("JSON");
    let assessment = assess(&job.study, &job.options, &|_| {}).expect("an assessment");
    assert_eq!(assessment.verdict, Verdict::TooClose);
    fixes(source.value(), &context, &job, &assessment).expect("controls").remove(0)
}

fn clear<'f>(found: &'f MachineFixes, key: &str) -> Vec<&'f Fix> {
    found.singles.iter().filter(|fix| fix.is_clear() && fix.control.key() == key).collect()
}

/// What the middle of the ball must keep from the middle of the wire, m.
const KEEP_M: f64 = LIMIT_M + WIRE_M + 0.5;

/// Up to the next centimetre, for what must not be less; a tenth of a millimetre is left to the decision.
fn next_cm(length_m: f64) -> f64 {
    ((length_m + 1e-4) * 100.0).ceil() / 100.0
}

#[test]
fn moving_work_and_line_is_a_right_triangle() {
    let found = found(&scenario(MAST));
    let aside_m = (KEEP_M.powi(2) - (HEIGHT_M - 8.0).powi(2)).sqrt();
    let up_m = (KEEP_M.powi(2) - 2.5_f64.powi(2)).sqrt();
    let moved: Vec<f64> = clear(&found, "stand-elsewhere")
        .iter()
        .map(|fix| match fix.control {
            Control::WorkMoved { by_m, .. } => by_m,
            _ => f64::NAN,
        })
        .collect();
    assert_eq!(moved.len(), 2, "to both sides");
    assert_abs_diff_eq!(moved[0], next_cm(aside_m - 2.5), epsilon = 1e-9);
    assert_abs_diff_eq!(moved[1], next_cm(aside_m + 2.5), epsilon = 1e-9);
    for (key, wanted_m) in [("line-raised", up_m - 2.0), ("line-moved", aside_m - 2.5), ("lower-machine", up_m - 2.0)] {
        let by_m = match clear(&found, key)[0].control {
            Control::LineRaised { by_m, .. } | Control::LineMoved { by_m, .. } | Control::LowerMachine { by_m } => by_m,
            _ => f64::NAN,
        };
        assert_abs_diff_eq!(by_m, next_cm(wanted_m), epsilon = 1e-9);
    }
    for fix in found.singles.iter().filter(|fix| fix.is_clear() && fix.control.key() != "line-off") {
        let Proof::Clear { milder: Some((_, verdict)), .. } = &fix.proof else { panic!("{fix:?}") };
        assert_ne!(*verdict, Verdict::Clear, "{fix:?}");
    }
}

#[test]
fn a_luff_stop_is_a_right_triangle() {
    let text = scenario(BOOM);
    let found = found(&text);
    // Middle of the ball: 8 m less its reach aside of the wire, 4 m less its rise below it.
    let apart_m = |luff_deg: f64| {
        let (sin, cos) = luff_deg.to_radians().sin_cos();
        (8.0 - 6.0 * cos).hypot(4.0 - 6.0 * sin)
    };
    let edge = |degs: &mut dyn Iterator<Item = f64>| degs.take_while(|deg| apart_m(*deg) >= KEEP_M).last();
    let most = edge(&mut (0..800).map(|tenth| f64::from(tenth) / 10.0)).expect("clear when low");
    let least = edge(&mut (0..800).map(|tenth| 80.0 - f64::from(tenth) / 10.0)).expect("clear when high");
    assert!(most > 1.0 && least < 79.0 && least > most, "{most} {least}");
    let mut seen = 0;
    for fix in clear(&found, "stop") {
        if let Control::Stop { end, at, joint: 1, .. } = fix.control {
            let wanted = if end == End::Most { most } else { least };
            assert_abs_diff_eq!(at.to_degrees(), wanted, epsilon = 0.11);
            assert!(apart_m(at.to_degrees()) >= KEEP_M, "never beyond the edge");
            seen += 1;
        }
    }
    assert_eq!(seen, 2);
    let chart = chart(&job(&text), 0, 10.0_f64.to_radians()).expect("a chart");
    let sector = chart.sectors[0];
    assert_abs_diff_eq!(sector.most.expect("clear when low").clear_rad.to_degrees(), most, epsilon = 0.11);
    assert_abs_diff_eq!(sector.least.expect("clear when high").clear_rad.to_degrees(), least, epsilon = 0.11);
}

#[test]
fn a_shorter_load_is_a_right_triangle() {
    let found = found(&scenario(BAR));
    let aside_m = ((LIMIT_M + WIRE_M).powi(2) - (HEIGHT_M - 9.0).powi(2)).sqrt();
    let Control::ShorterLoad { most_m } = clear(&found, "shorter-load")[0].control else { panic!("{found:?}") };
    assert_abs_diff_eq!(most_m, ((2.0 * (8.0 - aside_m) - 1e-4) * 100.0).floor() / 100.0, epsilon = 1e-9);
    // A centimetre longer is not clear, and nothing stands in the list twice.
    let Proof::Clear { milder: Some((Control::ShorterLoad { most_m: longer_m }, verdict)), .. } =
        &clear(&found, "shorter-load")[0].proof
    else {
        panic!("{found:?}")
    };
    assert_abs_diff_eq!(*longer_m, most_m + 0.01, epsilon = 1e-9);
    assert_eq!(*verdict, Verdict::TooClose);
    let told: Vec<&str> = found.singles.iter().filter(|fix| fix.is_clear()).map(|fix| fix.control.key()).collect();
    for (stop, limit) in [("height-stop", "height-limit"), ("reach-stop", "reach-limit")] {
        assert!(!(told.contains(&stop) && told.contains(&limit)), "{told:?}");
    }
}

#[test]
fn a_reach_stop_is_a_right_triangle() {
    // An arm as high as the mast's ball, which its stop lets reach to where it is near enough to the wire.
    let arm = BOOM.replace(
        r#"{"name": "luff", "on": "slew", "at": ["0 m", "0 m", "6 m"], "hinge": {"axis": "x", "range": ["0 deg", "80 deg"]}}"#,
        r#"{"name": "luff", "on": "slew", "at": ["0 m", "0 m", "8 m"], "slide": {"axis": "y", "range": ["-5 m", "3 m"]}}"#,
    );
    let found = found(&scenario(&arm));
    let Control::ReachStop { most_m } = clear(&found, "reach-stop")[0].control else { panic!("{found:?}") };
    let aside_m = (KEEP_M.powi(2) - (HEIGHT_M - 8.0).powi(2)).sqrt();
    // The middle of the ball reaches 8 m less that, its surface half a metre more.
    assert_abs_diff_eq!(most_m, ((8.0 - aside_m + 0.5 - 1e-4) * 100.0).floor() / 100.0, epsilon = 1e-9);
}

#[test]
fn the_setback_is_a_right_triangle() {
    let job = job(&scenario(MAST));
    let question = Question {
        machine: 0,
        center: None,
        size_m: [20.0, 20.0],
        resolution_m: 0.25,
        any_heading: false,
        support_room_m: None,
    };
    let map = map(&job, &question).expect("a map");
    let aside_m = (KEEP_M.powi(2) - (HEIGHT_M - 8.0).powi(2)).sqrt();
    let found = setbacks(&job, &map);
    assert_eq!(found.len(), 2);
    for side in found {
        let clear_m = side.clear_m.expect("the map is wide enough");
        assert!(clear_m >= aside_m - 1e-3 && clear_m <= aside_m + 0.26, "{clear_m} {aside_m}");
        let too_close_m = side.too_close_m.expect("some ground is too close");
        assert!(too_close_m <= aside_m && too_close_m >= aside_m - 0.3, "{too_close_m} {aside_m}");
    }
}

#[test]
fn the_height_for_goal_posts_is_a_difference() {
    let job = job(&scenario(MAST));
    let along = vec![Point2::new(50.0, -20.0), Point2::new(50.0, 20.0)];
    let route = Route { machine: 0, along, width_m: 3.0, ground_m: 0.0 };
    let found = clearway(&job, &route).expect("a search").expect("something may pass");
    let wanted_m = HEIGHT_M - WIRE_M - LIMIT_M;
    assert_abs_diff_eq!(found.clear_m, ((wanted_m - 1e-4) * 100.0).floor() / 100.0, epsilon = 1e-9);
    assert_eq!(found.verdict, Some(Verdict::TooClose));
}
