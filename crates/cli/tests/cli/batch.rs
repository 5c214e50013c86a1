//! Many files in one command: one record for each, in order, whatever becomes of the others.

use std::process::Stdio;

use serde_json::Value;

use crate::run::{demonstration, program, run, run_with, scenario};

const CLEAR: &str = "tipper-on-a-cool-morning";
const CLOSE: &str = "tipper-on-a-hot-afternoon";
const BAD: &str = "tests/scenarios/invalid/missing-heading.json";

fn asked(format: &str) -> (crate::run::Run, Vec<(String, u64)>) {
    let (close, clear) = (scenario(CLOSE), scenario(CLEAR));
    let found = run(&["check", &close, BAD, "no-such-file.json", &clear, "--format", format]);
    let wanted = [(close, 10), (BAD.into(), 20), ("no-such-file.json".into(), 21), (clear, 0)];
    (found, wanted.into())
}

fn is_record((record, (file, exit)): (&Value, &(String, u64))) {
    assert_eq!((record["file"].as_str(), record["exit"].as_u64()), (Some(file.as_str()), Some(*exit)), "{record}");
    let problems = record["problems"].as_array().expect("a list");
    assert_eq!(problems.is_empty(), *exit < 20, "{record}");
    assert!(problems.iter().all(|problem| problem["message"].is_string()), "{record}");
}

#[test]
fn json_has_a_record_for_every_file() {
    let (found, wanted) = asked("json");
    assert_eq!(found.code, 21);
    let records: Vec<Value> = serde_json::from_str(&found.out).expect("a list");
    assert_eq!(records.len(), wanted.len());
    records.iter().zip(&wanted).for_each(is_record);
    let problem = &records[1]["problems"][0];
    assert!(problem["code"] == "missing-key" && problem["line"].is_u64() && problem["path"].is_string(), "{problem}");
    for (record, kind) in records.iter().zip(["result", "refusal", "refusal", "result"]) {
        let schema: Value = serde_json::from_str(&run(&["schema", kind]).out).expect("a schema");
        let schema = jsonschema::validator_for(&schema).expect("a valid schema");
        let errors: Vec<String> = schema.iter_errors(record).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
}

#[test]
fn json_lines_has_a_line_for_every_file() {
    let (found, wanted) = asked("jsonl");
    let records: Vec<Value> = found.out.lines().map(|line| serde_json::from_str(line).expect("a record")).collect();
    assert_eq!(records.len(), wanted.len());
    records.iter().zip(&wanted).for_each(is_record);
    assert_eq!(found.out, asked("jsonl").0.out, "same input, same bytes");
}

#[test]
fn csv_has_a_row_for_every_file() {
    let (found, wanted) = asked("csv");
    let mut reader = csv::Reader::from_reader(found.out.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    for (file, exit) in &wanted {
        let own: Vec<_> = rows.iter().filter(|row| row[0] == *file).collect();
        assert!(!own.is_empty() && own.iter().all(|row| row[1] == exit.to_string()), "{file}");
        assert!(own.iter().all(|row| row[2].is_empty() == (*exit < 20)), "{file}");
    }
}

#[test]
fn text_names_every_file() {
    let (found, wanted) = asked("text");
    for (file, _) in &wanted {
        assert!(found.out.contains(&format!("== {file}\n")), "{file}: {}", found.out);
    }
    assert!(found.out.contains("NO ANSWER (exit 20)"), "{}", found.out);
}

#[test]
fn where_all_are_refused_the_list_is_whole() {
    let found = run(&["check", BAD, BAD, "--format", "json"]);
    let records: Vec<Value> = serde_json::from_str(&found.out).expect("a list");
    assert_eq!((found.code, records.len()), (20, 2));
    let alone = run(&["check", BAD, "--format", "json"]);
    let record: Value = serde_json::from_str(&alone.out).expect("one record");
    assert_eq!(record, records[0]);
    let other: Value = serde_json::from_str(&run(&["sag", BAD, "--format", "json"]).out).expect("one record");
    assert_eq!(other, record, "every command refuses alike");
}

#[test]
fn time_that_is_spent_is_11_and_every_file_has_a_record() {
    let hard = demonstration(CLOSE).replacen(
        "\"machines\": [",
        "\"search\": {\"tolerance\": \"0.1 mm\", \"max_cells\": 100000000},\n  \"machines\": [",
        1,
    );
    let spent = run_with(&["check", "-", "--budget", "1 ms", "--format", "json"], &hard);
    let record: Value = serde_json::from_str(&spent.out).expect("a record");
    assert!(matches!(spent.code, 10 | 11), "{}: {}", spent.code, spent.out);
    assert_eq!(record["exit"], spent.code);
    let files: Vec<String> = (0..6).map(|_| scenario("crane-beside-a-line-in-wind")).collect();
    let all: Vec<&str> = ["check", "--budget", "1 ms", "--format", "jsonl"]
        .into_iter()
        .chain(files.iter().map(String::as_str))
        .collect();
    let many = run(&all);
    assert!(matches!(many.code, 10 | 11), "{}", many.code);
    assert_eq!(many.out.lines().count(), files.len());
    assert_eq!(run(&["check", "--budget", "0 s", "x.json"]).code, 2);
    assert_eq!(run(&["check", "--budget", "soon", "x.json"]).code, 2);
}

#[cfg(unix)]
#[test]
fn ctrl_c_prints_what_was_done() {
    let file = scenario("crane-beside-a-line-in-wind");
    let mut command = program();
    command.args(["check", "--format", "jsonl"]).args(std::iter::repeat_n(&file, 400));
    let child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("starts");
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let told = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().expect("kill");
    assert!(told.success());
    let output = child.wait_with_output().expect("ends");
    let records: Vec<Value> = String::from_utf8(output.stdout)
        .expect("text")
        .lines()
        .map(|line| serde_json::from_str(line).expect("whole"))
        .collect();
    assert_eq!(records.len(), 400, "every file has its record");
    assert!(records.last().expect("one")["exit"] == 11, "the last ones were not begun");
    assert!(matches!(output.status.code(), Some(10 | 11)), "{:?}", output.status);
}
