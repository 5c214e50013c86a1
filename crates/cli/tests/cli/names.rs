//! No text of a file moves the cursor, hides or forges a line, or runs in a spreadsheet.

use proptest::prelude::*;
use serde_json::{Value, json};
use wideberth_scenario::invisible::is_invisible;
use wideberth_scenario::source::Source;

use crate::run::{demonstration, run, run_with};

const CLEAR: &str = "tipper-on-a-cool-morning";

fn scenario_value() -> Value {
    Source::read(&demonstration(CLEAR)).expect("JSON").value().clone()
}

/// Where texts stand in a value.
fn texts(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::String(_) => found.push(at.into()),
        Value::Array(items) => items.iter().enumerate().for_each(|(i, item)| texts(item, &format!("{at}/{i}"), found)),
        Value::Object(object) => object.iter().for_each(|(key, item)| texts(item, &format!("{at}/{key}"), found)),
        _ => {}
    }
}

fn is_safe(told: &str) -> bool {
    told.chars().all(|c| c == '\n' || !is_invisible(c))
}

#[test]
fn a_name_with_what_nobody_sees_is_refused_with_its_place() {
    for (bad, number) in [
        ("tipper\\u001b[2J\\u001b[HCLEAR.", "U+001B"),
        ("a\\rb", "U+000D"),
        ("a\\nb", "U+000A"),
        ("a\\u0000", "U+0000"),
        ("a\u{202e}b", "U+202E"),
        ("a\u{200b}", "U+200B"),
        ("a\u{1b}b", "U+001B"),
    ] {
        let text = demonstration(CLEAR).replacen("\"the tipper\"", &format!("\"{bad}\""), 1);
        let refused = run_with(&["check", "-"], &text);
        assert_eq!((refused.code, refused.out.as_str()), (20, ""), "{bad:?}: {}", refused.err);
        assert!(refused.err.contains("invisible-character") && refused.err.contains(number), "{}", refused.err);
        assert!(is_safe(&refused.err), "{:?}", refused.err);
    }
}

#[test]
fn names_that_look_alike_are_one_name() {
    for twin in ["Phase", "ｐhase", "phase "] {
        let mut value = scenario_value();
        value["lines"][0]["wires"][1]["name"] = json!(twin);
        let refused = run_with(&["check", "-"], &value.to_string());
        assert_eq!(refused.code, 20, "{twin:?}");
        assert!(refused.err.contains("duplicate-name"), "{}", refused.err);
    }
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_text() {
    let mut value = scenario_value();
    value["title"] = json!("=HYPERLINK(\"x\")");
    let table = run_with(&["check", "-", "--format", "csv"], &value.to_string());
    let mut reader = csv::Reader::from_reader(table.out.as_bytes());
    let row = reader.records().next().expect("a row").expect("a row");
    assert_eq!(&row[3], "'=HYPERLINK(\"x\")");
}

#[test]
fn a_file_name_is_shown_harmlessly() {
    let refused = run(&["check", "no\u{1b}[2Jfile.json", "other\rfile.json"]);
    assert_eq!(refused.code, 21);
    assert!(is_safe(&refused.out) && is_safe(&refused.err), "{:?}{:?}", refused.out, refused.err);
}

/// Texts that a hostile file may hold.
fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("\u{1b}[2J".to_string()),
        Just("\u{1b}[8m".to_string()),
        Just("\r".to_string()),
        Just("\u{202e}".to_string()),
        Just("\u{9b}1m".to_string()),
        Just("\u{7f}".to_string()),
        any::<char>().prop_map(String::from),
        "[a-z ]{0,6}".prop_map(String::from),
    ];
    proptest::collection::vec(piece, 1..6).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_unescaped_reaches_the_terminal(text in hostile(), place in 0.0..1.0_f64, json_form in any::<bool>()) {
        let mut value = scenario_value();
        let mut places = Vec::new();
        texts(&value, "", &mut places);
        let at = &places[(place * places.len() as f64) as usize];
        *value.pointer_mut(at).expect("there") = json!(text);
        let format = if json_form { "json" } else { "text" };
        let told = run_with(&["check", "-", "--format", format], &value.to_string());
        prop_assert!(is_safe(&told.out), "{at}: {:?}", told.out);
        prop_assert!(is_safe(&told.err), "{at}: {:?}", told.err);
        prop_assert!([0, 10, 11, 12, 20, 21].contains(&told.code));
    }

    #[test]
    fn nothing_unescaped_reaches_the_terminal_from_a_broken_file(text in hostile(), cut in 0.0..1.0_f64) {
        let whole = demonstration(CLEAR);
        let at = whole.char_indices().map(|(at, _)| at).nth((cut * whole.chars().count() as f64) as usize).unwrap_or(0);
        let told = run_with(&["check", "-"], &format!("{}{text}{}", &whole[..at], &whole[at..]));
        prop_assert!(is_safe(&told.out) && is_safe(&told.err), "{:?}{:?}", told.out, told.err);
    }
}
