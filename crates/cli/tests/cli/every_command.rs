//! Every command with every scenario: a documented code, no panic, nothing unexpected.

use std::fs;

use serde_json::{Value, json};
use wideberth_scenario::source::Source;

use crate::generated::repository_root;
use crate::run::{Run, demonstration, run};

const CLOSE: &str = "tipper-on-a-hot-afternoon";

/// Commands that take a scenario, asked as cheaply as they can be.
const COMMANDS: [&[&str]; 11] = [
    &["check"],
    &["check", "--format", "json"],
    &["check", "--format", "csv"],
    &["fixes"],
    &["stand", "--size", "20 m,20 m", "--edge", "5 m"],
    &["stand", "--route", "0 m,-30 m", "--route", "20 m,-30 m"],
    &["chart", "--sector", "180 deg"],
    &["drivers"],
    &["sag"],
    &["day"],
    &["sway", "--duration", "10", "--seeds", "1"],
];

/// Codes that a command may end with when it is asked about a scenario.
const DOCUMENTED: [i32; 5] = [0, 10, 11, 12, 20];

fn ask(command: &[&str], text: &str) -> Run {
    let folder = tempfile::tempdir().expect("a folder");
    let weather = "weather/larkfield-14-july.csv";
    fs::create_dir(folder.path().join("weather")).expect("a folder");
    fs::copy(repository_root().join("scenarios").join(weather), folder.path().join(weather)).expect("copied");
    let job = folder.path().join("job.json");
    fs::write(&job, text).expect("written");
    let asked: Vec<&str> = command.iter().copied().chain([job.to_str().expect("a name")]).collect();
    let found = run(&asked);
    for told in [&found.out, &found.err] {
        assert!(!told.contains("unexpected:") && !told.contains("panicked"), "{command:?}: {}{}", found.out, found.err);
    }
    assert!(DOCUMENTED.contains(&found.code), "{command:?}: {} {}", found.code, found.err);
    // Refused: words on standard error. Answered: an answer.
    assert_eq!(found.code == 20, !found.err.is_empty(), "{command:?}: {} {}", found.code, found.err);
    found
}

/// A demonstration, changed.
fn changed(name: &str, change: impl FnOnce(&mut Value)) -> String {
    let source = Source::read(&demonstration(name)).expect("JSON");
    let mut value = source.value().clone();
    value.as_object_mut().expect("an object").remove("lesson");
    change(&mut value);
    value.to_string()
}

fn with_control(name: &str, control: Value) -> String {
    changed(name, |value| value["controls"] = json!([control]))
}

/// Every line is switched off and grounded.
fn nothing_live(name: &str) -> String {
    let line = |value: &Value| value["lines"][0]["name"].clone();
    let source = Source::read(&demonstration(name)).expect("JSON");
    let line = line(source.value());
    let off = json!({"name": "off", "kind": "line off", "state": "in place", "line": line, "grounded": true, "owner": "the line's owner",
        "evidence": {"what": "lock-out 7", "date": "2026-01-05"}, "expires": "never", "confirmed_by": "the line's owner"});
    with_control(name, off)
}

fn no_pose() -> String {
    let stop =
        json!({"name": "low", "kind": "height stop", "state": "in place", "machine": "the tipper", "height": "0.6 m"});
    with_control(CLOSE, stop)
}

fn many_machines() -> String {
    changed(CLOSE, |value| {
        let machines = value["machines"].as_array_mut().expect("machines");
        for index in 0..6 {
            let mut other = machines[0].clone();
            other["name"] = json!(format!("tipper {index}"));
            other["position"] = json!([format!("{} m", 60 + 10 * index), "-30 m"]);
            machines.push(other);
        }
    })
}

fn one_wire() -> String {
    changed(CLOSE, |value| value["lines"][0]["wires"].as_array_mut().expect("wires").truncate(1))
}

#[test]
fn every_command_with_odd_scenarios_ends_as_documented() {
    let odd = [("no pose", no_pose()), ("many machines", many_machines()), ("one wire", one_wire())];
    for (name, text) in &odd {
        for command in COMMANDS {
            let found = ask(command, text);
            let says =
                *name == "no pose" && !matches!(command[0], "sag" | "sway") && command[1..].first() != Some(&"--route");
            assert!(!says || found.code == 20, "{name} {command:?}: {}", found.code);
        }
    }
}

#[test]
fn with_nothing_live_every_command_answers_alike() {
    for name in [CLOSE, "tipping-before-the-heat-of-the-day"] {
        let text = nothing_live(name);
        let check = ask(&["check"], &text);
        assert!(check.out.starts_with("CLEAR. ") && check.out.contains("switched off"), "{}{}", check.out, check.err);
        for command in COMMANDS {
            let found = ask(command, &text);
            let refuses = matches!((command[0], name), ("chart", _) | ("day", CLOSE));
            assert_eq!(found.code == 20, refuses, "{name} {command:?}: {} {}", found.code, found.err);
        }
        assert!(ask(&["fixes"], &text).out.contains("nothing to mend"));
        assert!(ask(&["drivers"], &text).out.contains("no live wire"));
    }
    let day = ask(&["day"], &nothing_live("tipping-before-the-heat-of-the-day"));
    assert!(day.out.contains("CLEAR through all"), "{}", day.out);
}

/// Searches that take long are left to `check`.
#[test]
fn every_command_with_every_demonstration_ends_as_documented() {
    let mut names: Vec<String> = fs::read_dir(repository_root().join("scenarios"))
        .expect("the folder")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .filter_map(|path| Some(path.file_stem()?.to_str()?.to_string()))
        .collect();
    names.sort();
    for name in &names {
        for command in COMMANDS.iter().filter(|command| !matches!(command[0], "fixes" | "sway" | "stand")) {
            let path = format!("scenarios/{name}.json");
            let asked: Vec<&str> = command.iter().copied().chain([path.as_str()]).collect();
            let found = run(&asked);
            assert!(DOCUMENTED.contains(&found.code), "{asked:?}: {} {}", found.code, found.err);
            assert_eq!(found.code == 20, !found.err.is_empty(), "{asked:?}: {}", found.err);
        }
    }
}

#[test]
fn a_clear_day_of_a_plan_that_is_not_ready_is_12_as_for_check() {
    let text = changed("tipping-before-the-heat-of-the-day", |value| {
        value["machines"][0]["position"] = json!(["30 m", "-60 m"]);
        value.as_object_mut().expect("an object").remove("briefing");
    });
    let (check, day) = (ask(&["check"], &text), ask(&["day"], &text));
    assert_eq!((check.code, day.code), (12, 12), "{}{}", check.out, day.out);
    assert!(day.out.contains("missing"), "{}", day.out);
}

#[test]
fn what_a_machine_cannot_be_asked_is_20_and_a_wrong_number_is_2() {
    let path = format!("scenarios/{CLOSE}.json");
    let chart = run(&["chart", &path]);
    assert_eq!((chart.code, chart.out.as_str()), (20, ""), "{}", chart.err);
    assert!(chart.err.contains("nothing to chart") && !chart.err.contains("--help"), "{}", chart.err);
    assert_eq!(run(&["chart", &path, "--sector", "0.1 deg"]).code, 2);
    assert_eq!(run(&["sway", &path, "--duration", "5"]).code, 2);
}
