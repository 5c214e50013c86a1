//! What is generated from the formats is kept fresh: JSON Schemas and the tables of docs/formats.md. With WIDEBERTH_BLESS=1
//! they are written anew.

use std::fs;
use std::path::{Path, PathBuf};

use wideberth_scenario::schema;

fn docs(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs").join(name)
}

/// Compares a file with what it should hold, or writes it where that is asked for.
fn compare(path: &Path, wanted: &str) {
    if std::env::var_os("WIDEBERTH_BLESS").is_some() {
        fs::write(path, wanted).expect("writable");
    }
    let found = fs::read_to_string(path).unwrap_or_default();
    assert!(found == wanted, "{} is stale: run this test with WIDEBERTH_BLESS=1", path.display());
}

#[test]
fn schemas_are_fresh() {
    compare(&docs("scenario.schema.json"), &schema::scenario());
    compare(&docs("machine.schema.json"), &schema::machine());
}

#[test]
fn tables_are_fresh() {
    let path = docs("formats.md");
    let text = fs::read_to_string(&path).expect("exists");
    let parts = [("units", schema::units_table()), ("ranges", schema::bounds_table()), ("codes", schema::codes_list())];
    let wanted = parts.iter().fold(text, |text, (name, part)| with_part(&text, name, part));
    compare(&path, &wanted);
}

/// The text with what stands between the marks of a part replaced.
fn with_part(text: &str, name: &str, part: &str) -> String {
    let mark = format!("<!-- generated: {name} -->\n");
    let start = text.find(&mark).expect("the mark is there") + mark.len();
    let end = start + text[start..].find("<!-- end -->").expect("the end is marked");
    format!("{}{part}{}", &text[..start], &text[end..])
}

#[test]
fn the_example_of_the_docs_is_valid() {
    let text = fs::read_to_string(docs("formats.md")).expect("exists");
    let examples: Vec<&str> = text.split("```json\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(!examples.is_empty());
    for example in examples {
        let context = wideberth_scenario::Context::without_files().expect("the catalogue is right");
        if let Err(problems) = wideberth_scenario::Job::from_text(example, &context) {
            panic!("an example of docs/formats.md is refused:\n{problems}");
        }
    }
}
