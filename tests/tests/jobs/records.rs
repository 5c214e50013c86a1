//! What a plan rests on: the table of records is the document, and no value makes a plan ready without the record that the table names.

use std::fmt::Write;
use std::fs;

use serde_json::{Value, json};
use wideberth_plan::answer::{Answer, answer};
use wideberth_plan::readiness::Gap;
use wideberth_report::ResultDocument;
use wideberth_scenario::record::{RecordKind, Topic};
use wideberth_scenario::source::Source;
use wideberth_scenario::{Context, days};
use wideberth_tests::generated::{compare_or_bless, repository_root};

const CRANE: &str = "crane-held-by-a-slew-stop";

fn scenario(name: &str) -> Value {
    let path = repository_root().join("scenarios").join(name).with_extension("json");
    let text = fs::read_to_string(path).expect("the demonstration is there");
    Source::read(&text).expect("JSON").value().clone()
}

fn answered(value: &Value, day: &str) -> Option<Answer> {
    let context = Context::without_files().expect("the catalogue is right").asked_on(days::parse(day));
    answer(&value.to_string(), &context, &|_| {}).ok()
}

fn is_ready(value: &Value, day: &str) -> bool {
    answered(value, day).is_some_and(|answer| answer.is_ready())
}

fn has(value: &Value, day: &str, gap: Gap) -> bool {
    let answer = answered(value, day).expect("accepted");
    answer.missing.iter().any(|missing| missing.gap == gap)
}

#[test]
fn the_page_of_records_is_the_table() {
    let mut page = String::from(
        "# Records\n\nWhat a plan rests on comes from a few records: each with a `kind`, the `role` that answers for it, its `date`, the `evidence` (what \
         shows it, and where that is kept), `valid_until` (a day, or `\"never\"`), and what it `covers`. It may be about one `machine`, `line` or \
         `structure`; else it is about all. A value that makes an answer more favourable than the careful one would, and that no record covers on \
         every day of the work, is assumed: `check` says so (`value-without-record`), and the plan is not ready.\n\n```json\n\"records\": [\n  \
         {\"kind\": \"site survey\", \"role\": \"site surveyor\", \"date\": \"2031-06-05\", \"evidence\": \"survey sheets 1 to 4, site office\", \
         \"valid_until\": \"2031-06-30\",\n    \"covers\": [\"surroundings\", \"supports\", \"attachments\", \"known_by\", \"position\"]}\n]\n```\n\nThis page is \
         made from the table in `crates/scenario/src/record.rs`.\n\n| `covers` | keys | needs a record | kind |\n|---|---|---|---|\n",
    );
    for topic in Topic::ALL {
        let kinds: Vec<&str> = topic.kinds().iter().map(|kind| kind.words()).collect();
        writeln!(page, "| `{}` | {} | {} | {} |", topic.words(), topic.keys(), topic.rests(), kinds.join(" or "))
            .expect("a string takes all");
    }
    compare_or_bless("docs/records.md", &page);
}

#[test]
fn each_kind_of_record_covers_something() {
    for kind in RecordKind::ALL {
        assert!(Topic::ALL.iter().any(|topic| topic.kinds().contains(kind)), "{}", kind.words());
    }
}

#[test]
fn each_topic_of_a_ready_plan_is_needed() {
    let ready = scenario(CRANE);
    let day = "2031-06-10";
    assert!(is_ready(&ready, day), "{:?}", answered(&ready, day).map(|answer| answer.missing));
    let records = ready["records"].as_array().expect("records").len();
    for record in 0..records {
        for topic in 0..ready["records"][record]["covers"].as_array().expect("covers").len() {
            let mut open = ready.clone();
            let covers = open["records"][record]["covers"].as_array_mut().expect("covers");
            let left_out = covers.remove(topic);
            if covers.is_empty() {
                open["records"].as_array_mut().expect("records").remove(record);
            }
            assert!(has(&open, day, Gap::Assumed), "nobody misses {left_out}");
        }
    }
}

/// What a careless planner would change in the ready crane's plan, where, and what is then said.
fn whispers() -> Vec<(&'static str, Value, Gap)> {
    vec![
        ("/machines/0/setting_out_tolerance", json!("0 m"), Gap::Assumed),
        ("/machines/0/heading_tolerance", json!("0 deg"), Gap::Assumed),
        ("/machines/0/overrun", json!({"slew": "0 deg"}), Gap::Assumed),
        ("/machines/0/deflection", json!({"boom": "0 m"}), Gap::Assumed),
        ("/machines/0/crew", json!("qualified"), Gap::Assumed),
        ("/conditions/drag", json!(0.3), Gap::Assumed),
        ("/conditions/air_density", json!("0.5 kg/m3"), Gap::Assumed),
        ("/lines/0/conditions", json!({"conductor_temperature": "20 degC", "wind_speed": "0 m/s"}), Gap::EndFree),
        ("/conditions/wind_speed", json!(["0 m/s", "2 m/s"]), Gap::EndFree),
        ("/conditions/conductor_temperature", json!(["10 degC", "20 degC"]), Gap::EndFree),
        ("/machines/0/working/luff", json!(["74 deg", "75 deg"]), Gap::NotClear),
        ("/work_dates", json!(["2031-06-01", "2031-06-02"]), Gap::OutsideWork),
        ("/briefing/date", json!("2031-06-01"), Gap::BriefingOlder),
        ("/briefing/acknowledged_by", json!(["crane operator", "spotter", "newest hand"]), Gap::NotBriefed),
        ("/controls/2", Value::Null, Gap::PlaceFree),
        ("/controls/1", Value::Null, Gap::EndFree),
    ]
}

#[test]
fn nothing_that_helps_goes_without_its_record() {
    let ready = scenario(CRANE);
    for (pointer, value, gap) in whispers().into_iter().filter(|(_, _, gap)| *gap != Gap::NotClear) {
        let mut whispered = ready.clone();
        set(&mut whispered, pointer, value);
        let found = answered(&whispered, "2031-06-10");
        let gaps: Option<Vec<_>> =
            found.map(|answer| answer.missing.iter().map(|missing| missing.gap.name()).collect());
        // What is refused is not ready either.
        assert!(gaps.as_ref().is_none_or(|gaps| gaps.contains(&gap.name())), "{pointer}: {gaps:?}");
    }
}

/// Sets a value; null takes an item out of its list.
fn set(value: &mut Value, pointer: &str, to: Value) {
    let (parent, key) = pointer.rsplit_once('/').expect("a pointer");
    match value.pointer_mut(parent) {
        Some(Value::Object(object)) => {
            object.insert(key.into(), to);
        }
        Some(Value::Array(array)) if to.is_null() => {
            array.remove(key.parse().expect("an index"));
        }
        _ => panic!("{pointer}"),
    }
}

#[test]
fn a_control_that_changes_nothing_is_said() {
    let idle = |control: Value| {
        let mut plan = scenario(CRANE);
        let mut control = control;
        for (key, value) in [
            ("name", json!("new")),
            ("state", json!("in place")),
            ("owner", json!("lift supervisor")),
            ("evidence", json!({"what": "sheet", "date": "2031-06-09"})),
            ("expires", json!("never")),
        ] {
            control.as_object_mut().expect("an object").insert(key.into(), value);
        }
        plan["controls"].as_array_mut().expect("controls").push(control);
        has(&plan, "2031-06-10", Gap::Idle)
    };
    assert!(idle(json!({"kind": "height stop", "machine": "the crane", "height": "90 m"})));
    assert!(idle(json!({"kind": "work moved", "machine": "the crane", "position": ["17.6 m", "40 m"]})));
    assert!(idle(json!({"kind": "line raised", "line": "the Umberlow Hill line", "raised_by": "0 m"})));
    assert!(!idle(json!({"kind": "line raised", "line": "the Umberlow Hill line", "raised_by": "3 m"})));
}

#[test]
fn what_is_due_before_start_is_no_gap_of_today() {
    let context = Context::without_files().expect("the catalogue is right");
    let context = context.on(None, days::parse("2031-06-06"));
    let found = answer(&scenario(CRANE).to_string(), &context, &|_| {}).expect("accepted");
    assert!(!found.is_ready());
    assert!(found.missing.iter().all(|missing| missing.due.is_some()), "{:?}", found.missing);
    let document = ResultDocument::of(&found);
    assert!(document.missing.is_empty() && document.due_before_start.len() >= 4);
    assert_eq!(document.judged_on.as_deref(), Some("2031-06-06"));
    let over = Context::without_files().expect("the catalogue is right").on(None, days::parse("2031-06-13"));
    let over = answer(&scenario(CRANE).to_string(), &over, &|_| {}).expect("accepted");
    assert!(over.missing.iter().any(|missing| missing.gap == Gap::OutsideWork && missing.due.is_none()));
}

/// Every value of the demonstration that is no object, by its pointer.
fn leaves(value: &Value, at: &str, all: &mut Vec<String>) {
    match value {
        Value::Object(object) => object.iter().for_each(|(key, value)| leaves(value, &format!("{at}/{key}"), all)),
        Value::Array(array) => array.iter().enumerate().for_each(|(i, value)| leaves(value, &format!("{at}/{i}"), all)),
        _ => all.push(at.to_string()),
    }
}

/// Values that are sensible or silly for a text.
fn others(text: &str) -> Vec<Value> {
    let unit = text.split_once(' ').map(|(_, unit)| unit);
    match (unit, text.split(' ').next().and_then(|number| number.parse::<f64>().ok())) {
        (Some(unit), Some(number)) => {
            [0.0, number * 0.5, number * 2.0, number + 100.0].map(|value| json!(format!("{value} {unit}"))).to_vec()
        }
        _ => vec![json!("never"), json!("unknown")],
    }
}

#[test]
fn no_single_value_makes_an_open_plan_ready() {
    // The ready plan without one of its records, and without its stop: nothing else may mend that.
    let day = "2031-06-10";
    let ready = scenario(CRANE);
    let mut pointers = Vec::new();
    leaves(&ready, "", &mut pointers);
    for left_out in ["/records/0", "/controls/2"] {
        let mut open = ready.clone();
        set(&mut open, left_out, Value::Null);
        assert!(!is_ready(&open, day));
        let changed =
            pointers.iter().filter(|pointer| !pointer.starts_with("/records") && !pointer.starts_with("/controls"));
        // Names and heights of three wires are alike: the first stands for all.
        for pointer in changed.filter(|pointer| !pointer.contains("/wires/1") && !pointer.contains("/wires/2")) {
            let Some(Value::String(text)) = open.pointer(pointer) else { continue };
            for value in others(text) {
                let mut changed = open.clone();
                if let Some(place) = changed.pointer_mut(pointer) {
                    *place = value.clone();
                }
                assert!(!is_ready(&changed, day), "{pointer} = {value} makes a plan ready without {left_out}");
            }
        }
    }
}
