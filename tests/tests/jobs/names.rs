//! A name is a label: renaming every joint, body, hang point, line, support, wire and machine changes words only.

use std::collections::BTreeMap;

use serde_json::Value;
use wideberth_physics::assess::assess;
use wideberth_plan::answer::answer;
use wideberth_plan::chart::chart;
use wideberth_plan::drivers::drivers;
use wideberth_plan::fixes::fixes;
use wideberth_plan::stand::{Question, map, setbacks};
use wideberth_report::chart::ChartDocument;
use wideberth_report::drivers::DriversDocument;
use wideberth_report::fixes::FixesDocument;
use wideberth_report::stand::StandDocument;
use wideberth_report::{Document, ResultDocument};
use wideberth_scenario::Job;
use wideberth_scenario::machine::Library;
use wideberth_scenario::source::Source;
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::demonstrations::{text, without_lesson};
use wideberth_tests::generated::repository_root;

/// Keys whose text is a name, or refers to one.
const NAMES: [&str; 12] =
    ["name", "on", "frame", "hangs_from", "joint", "machine", "line", "wire", "support", "between", "body", "bodies"];

/// Objects whose keys are names.
const NAMED: [&str; 3] = ["working", "overrun", "deflection"];

/// A scenario whose machines stand in it, without its lesson.
fn whole(text: &str) -> Value {
    let mut scenario = Source::read(&without_lesson(text)).expect("JSON").value().clone();
    for placed in scenario["machines"].as_array_mut().expect("machines") {
        if let Some(id) = placed["machine"].as_str() {
            let entry = Library::embedded().find(id).expect("a machine of the library");
            placed["machine"] = Source::read(entry.text).expect("JSON").value().clone();
        }
    }
    scenario
}

/// The new name of every part of a scenario: words that once meant something, none of them twice.
fn labels(scenario: &Value) -> BTreeMap<String, String> {
    let words = ["heading error", "cab", "sizes from memory", "rope of the load", "swing of the superstructure"];
    let mut old: Vec<String> = Vec::new();
    let mut all = |list: &Value| {
        let names = list.as_array().into_iter().flatten().filter_map(|each| each["name"].as_str());
        for name in names {
            if !old.iter().any(|known| known == name) {
                old.push(name.into());
            }
        }
    };
    for placed in scenario["machines"].as_array().into_iter().flatten() {
        let machine = &placed["machine"];
        ["frames", "bodies", "hang_points"].iter().for_each(|key| all(&machine[*key]));
        for load in [&machine["load"], &placed["load"]] {
            ["rigging", "bodies"].iter().for_each(|key| all(&load[*key]));
        }
    }
    all(&scenario["machines"]);
    all(&scenario["lines"]);
    for line in scenario["lines"].as_array().into_iter().flatten() {
        ["supports", "wires"].iter().for_each(|key| all(&line[*key]));
    }
    let new = |(index, name): (usize, String)| {
        let word = words[index % words.len()];
        let label = if index == 0 { word.to_string() } else { format!("{word} {index}") };
        (name, label)
    };
    old.into_iter().enumerate().map(new).collect()
}

fn renamed(value: &Value, key: &str, labels: &BTreeMap<String, String>) -> Value {
    match value {
        Value::String(name) if NAMES.contains(&key) => {
            labels.get(name).map_or_else(|| value.clone(), |label| Value::String(label.clone()))
        }
        Value::Array(each) => each.iter().map(|each| renamed(each, key, labels)).collect(),
        Value::Object(object) => {
            let entry = |(inner, value): (&String, &Value)| {
                let label = labels.get(inner).filter(|_| NAMED.contains(&key)).unwrap_or(inner);
                (label.clone(), renamed(value, inner, labels))
            };
            Value::Object(object.iter().map(entry).collect())
        }
        _ => value.clone(),
    }
}

/// A document without its words, but for verdicts.
fn numbers(value: &Value, key: &str) -> Value {
    match value {
        Value::String(word) if key == "verdict" => Value::String(word.clone()),
        Value::String(_) => Value::Null,
        Value::Array(each) => each.iter().map(|each| numbers(each, key)).collect(),
        Value::Object(object) => {
            Value::Object(object.iter().map(|(key, value)| (key.clone(), numbers(value, key))).collect())
        }
        _ => value.clone(),
    }
}

fn read(json: &str) -> Value {
    numbers(&serde_json::from_str(json).expect("JSON"), "")
}

#[test]
fn an_answer_does_not_depend_on_names() {
    let context = demonstration_context();
    let folder = std::fs::read_dir(repository_root().join("scenarios")).expect("the demonstrations");
    let paths = folder.map(|entry| entry.expect("a file").path());
    let mut checked = 0;
    for path in paths.filter(|path| path.extension().is_some_and(|kind| kind == "json")) {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let scenario = whole(&text(&name));
        let other = renamed(&scenario, "", &labels(&scenario));
        assert_ne!(scenario, other, "{name}");
        let [before, after] = [scenario, other].map(|scenario| {
            let answer = answer(&scenario.to_string(), &context, &|_| {});
            let answer = answer.unwrap_or_else(|error| panic!("{name}: {error}"));
            read(&serde_json::to_string(&ResultDocument::of(&answer)).expect("a document"))
        });
        assert_eq!(before, after, "{name}");
        checked += 1;
    }
    assert!(checked > 10, "{checked} demonstrations");
}

/// A crane with a load on its rope, and a machine whose joints all turn about one place.
#[test]
fn maps_controls_charts_and_drivers_do_not_depend_on_names() {
    for name in ["crane-held-by-a-slew-stop", "concrete-boom-beside-a-house-line"] {
        let scenario = whole(&text(name));
        let other = renamed(&scenario, "", &labels(&scenario));
        let [before, after] = [scenario, other].map(|scenario| planned(&scenario.to_string()));
        assert_eq!(before, after, "{name}");
    }
}

/// What planners ask of the first machine.
fn planned(text: &str) -> Vec<Value> {
    let context = demonstration_context();
    let job = Job::from_text(text, &context).unwrap_or_else(|problems| panic!("{problems}"));
    let source = Source::read(text).expect("JSON");
    let assessment = assess(&job.study, &job.options, &|_| {}).expect("an answer");
    let question = Question {
        machine: 0,
        center: None,
        size_m: [60.0, 60.0],
        resolution_m: 8.0,
        any_heading: true,
        support_room_m: None,
    };
    let stand = map(&job, &question).expect("a map");
    let stand = StandDocument::of(&job, &stand, &setbacks(&job, &stand)).to_json();
    let controls = fixes(source.value(), &context, &job, &assessment).expect("controls");
    let controls = FixesDocument::of(&job, assessment.verdict, &controls, &[]).to_json();
    let causes = drivers(source.value(), &context, &job, &assessment).expect("drivers");
    let causes = DriversDocument::of(&job, &assessment, &causes).to_json();
    let sectors = chart(&job, 0, 0.8).ok().map(|found| ChartDocument::of(&job, &found).to_json());
    let documents = [stand, controls, causes].into_iter().chain(sectors);
    documents.map(|json| read(&json.expect("a document"))).collect()
}
