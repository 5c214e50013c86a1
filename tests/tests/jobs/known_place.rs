//! A measured height: where it was measured, and what the tolerance of the attachments does to it.

use serde_json::Value;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{KnownBy, Wire, WireDescription};
use wideberth_scenario::source::Source;
use wideberth_scenario::{Job, Problems};
use wideberth_tests::demonstrations::{context, text};

/// The demonstration of a measured height, changed.
fn changed(change: impl Fn(&mut Value)) -> Result<Job, Problems> {
    let text = text("platform-below-a-measured-span");
    let mut scenario = Source::read(&text).expect("JSON").value().clone();
    change(&mut scenario["lines"][0]);
    Job::from_text(&scenario.to_string(), &context())
}

fn lengths_m(job: &Job) -> Interval {
    job.study.lines[0].wires[0].spans()[0].states().unstretched_m
}

/// The unstretched lengths of the first span if the height was measured at one place of the wire.
fn lengths_at(job: &Job, fraction: f64) -> Interval {
    let info = &job.study.lines[0].wires[0];
    let description = description(job, fraction);
    let wire = Wire::new(description, info.spans()[0].conditions()).expect("a wire");
    wire.spans()[0].states().unstretched_m
}

fn description(job: &Job, fraction: f64) -> WireDescription {
    let known = job.study.lines[0].wires[0].spans()[0].description();
    let KnownBy::Height { span, height_m, temperature_degc, .. } = known.known_by else { panic!("a height") };
    let fraction = Interval::point(fraction).expect("a number");
    WireDescription { known_by: KnownBy::Height { span, fraction, height_m, temperature_degc }, ..known }
}

/// The line bends by 60 deg at N2, and the wire runs 3 m beside the supports. The height was measured 8 m from the corner: along
/// the line of supports, along the wire, or at that share of the wire.
#[test]
fn at_a_bend_all_places_that_may_be_meant_are_held() {
    let bend = |line: &mut Value| {
        line["supports"][2]["position"] = serde_json::json!(["165 m", "95 m"]);
        for k in 0..3 {
            line["wires"][0]["attachments"][k]["offset"] = "3 m".into();
        }
        line["wires"][0]["known_by"]["between"] = serde_json::json!(["N2", "N1"]);
        line["wires"][0]["known_by"]["at"] = "8 m".into();
        line["wires"][0]["known_by"]["height"] = "13.2 m".into();
        line["wires"][0]["known_by"]["ground"] = "1.4 m".into();
        line["wires"][0]["attachment_tolerance"] = "0.02 m".into();
        line["wires"][0]["known_by"]["tolerance"] = "0.05 m".into();
    };
    let job = changed(bend).unwrap_or_else(|problems| panic!("{problems}"));
    let span = job.study.lines[0].wires[0].spans()[0].span();
    let (corner, first) = (nalgebra::Point2::new(110.0, 4.0), nalgebra::Point2::new(0.0, 0.0));
    let line = (first - corner).normalize();
    let wire = span.from().xy() - span.to().xy();
    let share = 8.0 / (first - corner).norm();
    let abeam = (corner + line * 8.0 - span.to().xy()).dot(&line) / wire.dot(&line);
    assert!((abeam - share).abs() > 0.005, "the meanings differ: {share} {abeam}");
    let held = lengths_m(&job);
    for meant in [share, abeam, 8.0 / wire.norm()] {
        let own = lengths_at(&job, 1.0 - meant);
        assert!(held.low() <= own.low() + 1e-9 && own.high() <= held.high() + 1e-9, "{meant}: {held:?} {own:?}");
    }
}

#[test]
fn on_a_straight_line_there_is_one_place() {
    let job = changed(|_| ()).unwrap_or_else(|problems| panic!("{problems}"));
    let run_m = 110.0_f64.hypot(4.0);
    assert_eq!(lengths_m(&job), lengths_at(&job, 52.0 / run_m));
}

#[test]
fn a_refusal_for_the_attachments_says_so() {
    let tight = |stated: bool| {
        changed(move |line| {
            line["wires"][0]["known_by"]["height"] = "13.8 m".into();
            line["wires"][0]["known_by"]["tolerance"] = "0.05 m".into();
            if stated {
                line["wires"][0]["attachment_tolerance"] = "0.5 m".into();
            } else {
                line["wires"][0].as_object_mut().expect("a wire").remove("attachment_tolerance");
            }
        })
    };
    let by_default = tight(false).expect_err("no sag is left").to_string();
    assert!(by_default.contains("attachment tolerance of 0.20 m, the default,"), "{by_default}");
    assert!(by_default.contains("\"attachment_tolerance\""), "{by_default}");
    let stated = tight(true).expect_err("no sag is left").to_string();
    assert!(stated.contains("attachment tolerance of 0.50 m which"), "{stated}");
}
