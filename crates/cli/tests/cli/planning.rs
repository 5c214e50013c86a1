//! The commands that answer what makes a plan clear: forms, units, exit codes, wrong questions, and the way of a newcomer from
//! "too close" to "ready".

use std::fs;

use serde_json::{Value, json};
use wideberth_scenario::source::Source;

use crate::run::{Run, demonstration, run, run_with, scenario};

const CLOSE: &str = "tipper-on-a-hot-afternoon";
const CRANE: &str = "crane-beside-a-line-in-wind";

fn parsed(run: &Run) -> Value {
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{}", run.out);
    serde_json::from_str(&run.out).expect("JSON")
}

/// Each command on a demonstration, quick enough for every test run.
fn commands() -> [(&'static str, Vec<String>); 4] {
    let words = |text: &str| text.split(' ').map(str::to_string).collect::<Vec<_>>();
    let ask = |command: &str, name: &str, rest: &[&str]| {
        let mut all = words(command);
        all.push(scenario(name));
        all.extend(rest.iter().map(|word| (*word).to_string()));
        all
    };
    [
        ("fixes", ask("fixes", CLOSE, &[])),
        ("stand", ask("stand", CLOSE, &["--size", "30 m,40 m", "--edge", "1 m"])),
        ("chart", ask("chart", CRANE, &["--sector", "60 deg"])),
        ("drivers", ask("drivers", CLOSE, &[])),
    ]
}

fn ask(arguments: &[String], more: &[&str]) -> Run {
    let all: Vec<&str> = arguments.iter().map(String::as_str).chain(more.iter().copied()).collect();
    run(&all)
}

#[test]
fn every_command_answers_in_every_form_and_unit() {
    for (name, arguments) in commands() {
        let text = ask(&arguments, &[]);
        assert_eq!((text.code, text.err.as_str()), (0, ""), "{name}: {}", text.out);
        assert!(text.out.contains("planning aid") || text.out.contains("not permission"), "{name}: {}", text.out);
        let us = ask(&arguments, &["--units", "us"]);
        assert_eq!(us.code, 0, "{name}");
        assert!(name == "chart" || (us.out.contains(" ft") && us.out != text.out), "{name}: {}", us.out);
        let document = parsed(&ask(&arguments, &["--format", "json"]));
        assert_eq!(document["format"], format!("wideberth-{name}"), "{name}");
        // Numbers of documents are SI whatever the screen shows.
        assert_eq!(document, parsed(&ask(&arguments, &["--format", "json", "--units", "us"])), "{name}");
        let schema = parsed(&run(&["schema", name]));
        let schema = jsonschema::validator_for(&schema).expect("a valid schema");
        let errors: Vec<String> = schema.iter_errors(&document).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        let table = ask(&arguments, &["--format", "csv"]);
        assert_eq!((table.code, table.err.as_str()), (0, ""), "{name}");
        let mut lines = table.out.lines();
        let columns = lines.next().expect("a header").split(',').count();
        assert!(columns >= 4 && lines.next().is_some(), "{name}: {}", table.out);
    }
}

#[test]
fn wrong_questions_are_refused_with_what_is_allowed() {
    let close = scenario(CLOSE);
    for (arguments, code, words) in [
        (vec!["stand", &close, "--size", "0.5 m,40 m"], 2, "1 m"),
        (vec!["stand", &close, "--edge", "20 m"], 2, "between 0.05 m and 10 m"),
        (vec!["stand", &close, "--support-room", "200 m"], 2, "between 0 m and 100 m"),
        (vec!["stand", &close, "--route", "0 m,0 m"], 2, "two places or more"),
        (vec!["stand", &close, "--machine", "nobody"], 2, "nobody"),
        (vec!["chart", &close], 2, "nothing to chart"),
        (vec!["chart", &close, "--sector", "0.1 deg"], 2, "deg"),
    ] {
        let refused = run(&arguments);
        assert!(refused.code >= code, "{arguments:?}: {} {}", refused.code, refused.err);
        assert!(
            refused.out.is_empty() && refused.err.contains(words),
            "{arguments:?}: {} {}",
            refused.err,
            refused.code
        );
    }
}

/// The demonstration with a list of controls.
fn with_controls(name: &str, controls: &Value) -> String {
    let text = demonstration(name);
    text.replacen("\"machines\": [", &format!("\"controls\": {controls},\n  \"machines\": ["), 1)
}

#[test]
fn controls_that_cannot_be_are_refused_before_anything_is_computed() {
    let stop = |range: [&str; 2]| json!({"name": format!("stop {}", range[1]), "kind": "joint stop", "state": "in place", "machine": "the crane", "joint": "luff", "range": range});
    for (controls, words) in [
        (json!([stop(["60 deg", "65 deg"]), stop(["68 deg", "75 deg"])]), "no position in common"),
        (json!([stop(["-20 deg", "40 deg"])]), "outside the machine's own range"),
        (
            json!([{"name": "late", "kind": "hours", "state": "in place", "hours": ["11:00", "06:00"]}]),
            "not after it begins",
        ),
        (
            json!([{"name": "low", "kind": "height stop", "state": "in place", "machine": "the crane", "height": "0.5 m"}]),
            "keeps below 0.5 m",
        ),
    ] {
        let refused = run_with(&["check", "-"], &with_controls(CRANE, &controls));
        assert_eq!(refused.code, 20, "{controls}: {}{}", refused.out, refused.err);
        assert!(refused.out.is_empty() && refused.err.contains(words), "{controls}: {}", refused.err);
    }
}

/// The ready demonstration without the slew stop that makes it so.
fn without_its_stop() -> Value {
    let source = Source::read(&demonstration("crane-held-by-a-slew-stop")).expect("JSON");
    let mut value = source.value().clone();
    value["controls"].as_array_mut().expect("controls").retain(|control| control["joint"] != "slew");
    value.as_object_mut().expect("an object").remove("lesson");
    value
}

#[test]
fn a_newcomer_comes_from_too_close_to_ready() {
    let day = "2031-06-10";
    let mut plan = without_its_stop();
    let before = run_with(&["check", "--on", day, "-"], &plan.to_string());
    assert_eq!(before.code, 10, "{}", before.out);
    let found = parsed(&run_with(&["fixes", "--format", "json", "-"], &plan.to_string()));
    let controls = found["machines"][0]["controls"].as_array().expect("controls");
    // A stop of the slew: another one would leave the slew to nobody.
    let holds = |fix: &&Value| fix["check_is_clear"] == true && fix["entries"][0]["joint"] == "slew";
    let fix = controls.iter().find(holds).unwrap_or_else(|| panic!("{controls:#?}"));
    // Pasted as it is: only proposed, so that nothing changes yet, and the answer says so.
    plan["controls"].as_array_mut().expect("controls").push(fix["entries"][0].clone());
    let proposed = run_with(&["check", "--on", day, "-"], &plan.to_string());
    assert_eq!(proposed.code, 10, "{}", proposed.out);
    assert!(proposed.out.contains("only proposed"), "{}", proposed.out);
    // Put in place, with what the answer names.
    let missing = fix["missing"][0].as_str().expect("words");
    assert!(["state", "owner", "evidence", "expires"].iter().all(|key| missing.contains(key)), "{missing}");
    let entry = plan["controls"].as_array_mut().expect("controls").last_mut().expect("pasted");
    entry["state"] = json!("in place");
    entry["owner"] = json!("lift supervisor");
    entry["evidence"] = json!({"what": "test sheet 3", "date": "2031-06-09"});
    entry["expires"] = json!("never");
    let ready = run_with(&["check", "--on", day, "-"], &plan.to_string());
    assert_eq!(ready.code, 0, "{}{}", ready.out, ready.err);
    assert!(ready.out.starts_with("CLEAR"), "{}", ready.out);
    // The record that has expired does not hold it.
    let entry = plan["controls"].as_array_mut().expect("controls").last_mut().expect("pasted");
    entry["expires"] = json!("2031-06-09");
    let late = run_with(&["check", "--on", day, "-"], &plan.to_string());
    assert_eq!(late.code, 10, "{}", late.out);
    assert!(late.out.contains("it expired on 2031-06-09"), "{}", late.out);
}

#[test]
fn pictures_of_the_map_are_the_same_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let draw = |name: &str| {
        let path = |ending: &str| folder.path().join(format!("{name}.{ending}")).display().to_string();
        let (svg, png, geo) = (path("svg"), path("png"), path("geojson"));
        let drawn = run(&[
            "stand",
            &scenario(CLOSE),
            "--size",
            "60 m,60 m",
            "--edge",
            "1 m",
            "--support-room",
            "6 m",
            "--center",
            "30 m,0 m",
            "--svg",
            &svg,
            "--png",
            &png,
            "--geojson",
            &geo,
        ]);
        assert_eq!((drawn.code, drawn.err.matches("written: ").count()), (0, 3), "{}", drawn.err);
        [svg, png, geo].map(|path| fs::read(path).expect("written"))
    };
    let (first, second) = (draw("first"), draw("second"));
    assert!(first == second, "the same question draws the same bytes");
    let [svg, png, geo] = first;
    let svg = String::from_utf8(svg).expect("text");
    assert!(svg.starts_with("<svg") || svg.starts_with("<?xml"));
    assert_eq!(&png[1..4], b"PNG");
    let size = |at: usize| u32::from_be_bytes([png[at], png[at + 1], png[at + 2], png[at + 3]]);
    assert!(size(16) >= 1000 && size(20) >= 700, "{} by {}", size(16), size(20));
    let geo: Value = serde_json::from_slice(&geo).expect("JSON");
    let features = geo["features"].as_array().expect("features");
    let verdicts: Vec<&str> = features.iter().filter_map(|f| f["properties"]["verdict"].as_str()).collect();
    assert_eq!(verdicts, ["clear", "too-close", "not-proven", "left-out"]);
    assert!(features[3]["geometry"]["coordinates"].as_array().is_some_and(|cells| cells.len() > 10));
}
