//! Verdicts, exit codes and the forms of an answer.

use std::io::Read;
use std::process::Stdio;

use serde_json::Value;

use crate::run::{demonstration, program, run, run_with, scenario};

const CLEAR: &str = "tipper-on-a-cool-morning";
const CLOSE: &str = "tipper-on-a-hot-afternoon";

#[test]
fn clear_is_0_and_too_close_is_10() {
    let clear = run(&["check", "--on", "2031-05-06", &scenario(CLEAR)]);
    assert_eq!((clear.code, clear.err.as_str()), (0, ""), "{}", clear.out);
    assert!(clear.out.starts_with("CLEAR. "), "{}", clear.out);
    // Before its day, and after it, the same plan is not ready.
    for day in ["2031-05-05", "2031-05-07"] {
        assert_ne!(run(&["check", "--on", day, &scenario(CLEAR)]).code, 0, "{day}");
    }
    let close = run(&["check", &scenario(CLOSE)]);
    assert_eq!((close.code, close.err.as_str()), (10, ""));
    assert!(close.out.starts_with("TOO CLOSE. "), "{}", close.out);
}

#[test]
fn contact_is_10() {
    let touching =
        demonstration(CLOSE).replace(r#""position": ["52 m", "-10.2 m"]"#, r#""position": ["52 m", "-4 m"]"#);
    let contact = run_with(&["check", "-"], &touching);
    assert_eq!(contact.code, 10);
    assert!(contact.out.starts_with("CONTACT. "), "{}", contact.out);
}

#[test]
fn what_a_small_budget_leaves_open_is_11() {
    let hasty = demonstration(CLEAR).replace("\"machines\": [", "\"search\": {\"max_cells\": 1},\n  \"machines\": [");
    let open = run_with(&["check", "-"], &hasty);
    assert_eq!(open.code, 11, "{}{}", open.out, open.err);
    assert!(open.out.starts_with("NOT PROVEN. "), "{}", open.out);
    assert!(open.out.contains("Treat it as too close"), "{}", open.out);
}

#[test]
fn of_several_files_the_worst_counts_and_each_is_answered() {
    let both = run(&["check", &scenario(CLEAR), &scenario(CLOSE)]);
    assert_eq!(both.code, 10);
    assert!(both.out.contains("CLEAR. ") && both.out.contains("TOO CLOSE. "));
    let missing = run(&["check", &scenario(CLOSE), "no-such-file.json", &scenario(CLEAR)]);
    assert_eq!(missing.code, 21);
    assert!(missing.out.contains("CLEAR. ") && missing.out.contains("TOO CLOSE. "));
    assert!(missing.err.contains("no-such-file.json: there is no such file"), "{}", missing.err);
}

#[test]
fn json_follows_its_schema() {
    let schema: Value = serde_json::from_str(&run(&["schema", "result"]).out).expect("a schema");
    let schema = jsonschema::validator_for(&schema).expect("a valid schema");
    for name in [CLEAR, CLOSE, "two-machines-and-two-lines", "line-of-unknown-voltage"] {
        let json: Value =
            serde_json::from_str(&run(&["check", "--format", "json", &scenario(name)]).out).expect("JSON");
        let errors: Vec<String> = schema.iter_errors(&json).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        assert_eq!(json["format"], "wideberth-result");
    }
    let wrong = serde_json::json!({"format": "wideberth-result"});
    assert!(!schema.is_valid(&wrong), "a schema that accepts everything proves nothing");
}

#[test]
fn sag_json_follows_its_schema() {
    let schema: Value = serde_json::from_str(&run(&["schema", "sag"]).out).expect("a schema");
    let schema = jsonschema::validator_for(&schema).expect("a valid schema");
    let sag = run(&["sag", "--format", "json", &scenario("platform-below-a-measured-span")]);
    let json: Value = serde_json::from_str(&sag.out).expect("JSON");
    assert!(schema.is_valid(&json));
    assert!(!schema.is_valid(&serde_json::json!({})));
}

#[test]
fn json_of_several_files_is_a_list_and_same_input_gives_same_bytes() {
    let arguments = ["check", "--format", "json", &scenario(CLEAR), &scenario(CLOSE)];
    let first = run(&arguments);
    let json: Value = serde_json::from_str(&first.out).expect("JSON");
    assert_eq!(json.as_array().map(Vec::len), Some(2));
    let alone = program().args(arguments).env("RAYON_NUM_THREADS", "1").output().expect("runs");
    assert_eq!(first.out.as_bytes(), alone.stdout, "one thread and many differ");
}

#[test]
fn csv_has_one_row_per_finding() {
    let table = run(&["check", "--format", "csv", &scenario("two-machines-and-two-lines")]).out;
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header: Vec<String> = reader.headers().expect("a header").iter().map(String::from).collect();
    let documented: Vec<&str> = wideberth_report::rows::COLUMNS.iter().map(|(name, _)| *name).collect();
    assert_eq!(header, documented);
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("rows");
    assert_eq!(rows.len(), 12, "two machines, six wires");
}

#[test]
fn json_is_si_whatever_the_units_of_text() {
    let si = run(&["check", "--format", "json", &scenario(CLOSE)]);
    let us = run(&["check", "--format", "json", "--units", "us", &scenario(CLOSE)]);
    assert_eq!(si.out, us.out);
    let text = run(&["check", "--units", "us", &scenario(CLOSE)]).out;
    assert!(text.contains("It must stay 10.00 ft away"), "{text}");
    assert!(text.contains("degF") && text.contains("mph") && !text.contains("degC") && !text.contains("m/s"), "{text}");
}

#[test]
fn sway_json_follows_its_schema_and_repeats() {
    let schema: Value = serde_json::from_str(&run(&["schema", "sway"]).out).expect("a schema");
    let validator = jsonschema::validator_for(&schema).expect("a valid schema");
    let file = scenario("platform-below-a-measured-span");
    let arguments = ["sway", "--format", "json", "--gust", "20 m/s", "--duration", "20", "--seeds", "2", &file];
    let sway = run(&arguments);
    assert_eq!(sway.code, 0, "{}", sway.err);
    let json: Value = serde_json::from_str(&sway.out).expect("JSON");
    assert!(validator.is_valid(&json), "{:?}", validator.iter_errors(&json).next());
    assert_eq!(sway.out, run(&arguments).out);
    let spans = json["spans"].as_array().expect("a list");
    let number = |span: &Value, key: &str| span[key].as_f64().expect("a number");
    for span in spans {
        assert!(number(span, "gust_reach_m") > 0.0 && number(span, "mean_m_per_s") < number(span, "gust_m_per_s"));
        assert!(number(span, "allowance_m") >= number(span, "outside_greatest_m"));
        assert!(number(span, "outside_greatest_m") >= number(span, "outside_mean_m"));
        // The slack end of the wire's tolerances swings as a pendulum of four fifths of its sag, within a few percent.
        let ratio = number(span, "swing_period_s") / number(span, "pendulum_period_s");
        assert!((0.9..1.1).contains(&ratio), "{ratio}");
    }
    let csv = run(&["sway", "--format", "csv", "--gust", "20 m/s", "--duration", "20", "--seeds", "2", &file]);
    assert_eq!(csv.out.lines().count(), 1 + spans.len());
}

#[test]
fn sway_refuses_what_it_cannot_follow() {
    let file = scenario("platform-below-a-measured-span");
    for (arguments, word) in [
        (["--gust", "0 m/s", "--seeds", "1"], "no wind"),
        (["--duration", "5", "--seeds", "1"], "duration"),
        (["--duration", "20", "--seeds", "0"], "series"),
    ] {
        let all: Vec<&str> = ["sway"].into_iter().chain(arguments).chain([file.as_str()]).collect();
        let refused = run(&all);
        assert_ne!(refused.code, 0);
        assert!(refused.err.contains(word), "{}", refused.err);
    }
}

#[test]
fn sag_at_a_place_falls_with_heat() {
    let file = scenario("platform-below-a-measured-span");
    let table = run(&[
        "sag",
        "--format",
        "csv",
        "--at",
        "52 m,0 m",
        "--temperature",
        "-20 degC",
        "--temperature",
        "80 degC",
        &file,
    ]);
    assert_eq!(table.code, 0, "{}", table.err);
    let rows: Vec<csv::StringRecord> =
        csv::Reader::from_reader(table.out.as_bytes()).records().map(|r| r.expect("row")).collect();
    let height = |row: &csv::StringRecord| row[9].parse::<f64>().expect("a height");
    assert_eq!(rows.len(), 2);
    assert!(height(&rows[0]) > height(&rows[1]) + 0.5);
    // Measured at 12.4 m ± 0.15 m between 18 and 24 degC at this place: so it must read at 21 degC.
    let measured =
        run(&["sag", "--format", "csv", "--span", "1", "--along", "52 m", "--temperature", "21 degC", &file]);
    let rows: Vec<csv::StringRecord> =
        csv::Reader::from_reader(measured.out.as_bytes()).records().map(|r| r.expect("row")).collect();
    assert!((height(&rows[0]) - 12.4).abs() < 0.02, "{}", measured.out);
}

#[test]
fn colours_only_when_asked_for_and_never_alone() {
    let plain = run(&["check", &scenario(CLOSE)]).out;
    assert!(!plain.contains('\u{1b}'), "no colours into a pipe");
    let colored = run(&["check", "--color", "always", &scenario(CLOSE)]).out;
    assert!(colored.contains('\u{1b}') && colored.contains("TOO CLOSE"));
    assert_eq!(anstream::adapter::strip_str(&colored).to_string(), plain);
}

#[test]
fn a_reader_who_leaves_is_no_failure() {
    let mut child = program()
        .args(["limit", "--list", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    drop(child.stdout.take());
    let mut err = String::new();
    child.stderr.take().expect("a pipe").read_to_string(&mut err).expect("text");
    let status = child.wait().expect("ends");
    assert_eq!((status.code(), err.as_str()), (Some(0), ""));
}

#[test]
fn limit_names_the_distance_and_its_source() {
    let limit = run(&["limit", "--rule", "us-osha-1408-tableA", "--voltage", "12.47 kV", "--basis", "phase-to-phase"]);
    assert_eq!(limit.code, 0, "{}", limit.err);
    assert!(limit.out.starts_with("3.05 m (10 ft as printed)"), "{}", limit.out);
    assert!(limit.out.contains("1926.1408 Table A"));
    let json = run(&["limit", "--place", "Ontario", "--voltage", "unknown", "--format", "json"]);
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    assert!(json["distance_m"].as_f64().is_some_and(|distance_m| distance_m >= 6.0), "{json}");
}

#[test]
fn every_new_scenario_is_accepted() {
    let machines: Vec<String> = run(&["new", "--machine", "list"])
        .out
        .lines()
        .filter_map(|line| line.split(' ').next().map(String::from))
        .collect();
    assert!(machines.len() >= 12);
    for machine in machines {
        for line in ["rural-single-phase", "three-phase-distribution", "sub-transmission"] {
            let scenario = run(&["new", "--machine", &machine, "--line", line]);
            assert_eq!(scenario.code, 0, "{}", scenario.err);
            assert!(scenario.out.contains("TODO"));
            let sag = run_with(&["sag", "-"], &scenario.out);
            assert_eq!(sag.code, 0, "{machine} {line}: {}", sag.err);
        }
    }
    // A scenario to start from is a plan that nobody has made ready yet.
    let checked = run_with(&["check", "-"], &run(&["new", "--machine", "ladder"]).out);
    assert_eq!(checked.code, 12, "{}", checked.err);
}

#[test]
fn clear_but_not_ready_is_12_and_says_what_is_missing() {
    let complete = demonstration(CLEAR);
    let (without, _) = complete.split_once(",\n  \"briefing\"").expect("the briefing comes last");
    let open = run_with(&["check", "-"], &format!("{without}\n}}\n"));
    assert_eq!(open.code, 12, "{}{}", open.out, open.err);
    assert!(open.out.starts_with("CLEAR. ") && open.out.contains("briefing-not-acknowledged"), "{}", open.out);
    let explained = run(&["explain", "briefing-not-acknowledged"]);
    assert!(explained.code == 0 && explained.out.contains("newest hand"), "{}", explained.out);
}

#[test]
fn a_day_after_the_expiry_takes_the_control_away() {
    let held = "crane-held-by-a-slew-stop";
    let on_time = run(&["check", "--on", "2031-06-11", &scenario(held)]);
    assert_eq!(on_time.code, 0, "{}", on_time.out);
    let late = run(&["check", "--on", "2031-07-01", &scenario(held)]);
    assert_eq!(late.code, 10);
    assert!(late.out.contains("slew stop: it expired on 2031-06-30"), "{}", late.out);
    assert_eq!(run(&["check", "--on", "1 July", &scenario(held)]).code, 2);
}

#[test]
fn a_height_below_the_machine_is_refused() {
    let low = r#""controls": [{"name": "low", "kind": "height stop", "state": "in place", "machine": "the tipper", "height": "0.6 m"},"#;
    let refused = run_with(&["check", "-"], &demonstration(CLEAR).replacen("\"controls\": [", low, 1));
    assert_eq!(refused.code, 20, "{}{}", refused.out, refused.err);
    assert!(refused.err.contains("the tipper"), "{}", refused.err);
}

const DAY: &str = "tipping-before-the-heat-of-the-day";

#[test]
fn a_day_with_an_hour_too_close_is_10() {
    let day = run(&["day", &scenario(DAY)]);
    assert_eq!((day.code, day.err.as_str()), (10, ""));
    assert_eq!(run(&["day", "--heights", &scenario(DAY)]).code, 0);
    let refused = run(&["day", &scenario(CLEAR)]);
    assert_eq!(refused.code, 20);
    assert!(refused.err.contains("nothing in this scenario changes with the hour"), "{}", refused.err);
}

#[test]
fn a_day_in_json_follows_its_schema_and_in_csv_has_a_row_for_each_hour() {
    let schema: Value = serde_json::from_str(&run(&["schema", "day"]).out).expect("a schema");
    let schema = jsonschema::validator_for(&schema).expect("a valid schema");
    let json: Value = serde_json::from_str(&run(&["day", "--format", "json", &scenario(DAY)]).out).expect("JSON");
    let errors: Vec<String> = schema.iter_errors(&json).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
    let csv = run(&["day", "--format", "csv", &scenario(DAY)]).out;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let columns = reader.headers().expect("a header").len();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), 24);
    assert!(rows.iter().all(|row| row.len() == columns));
    assert_eq!(json["hours"].as_array().map(Vec::len), Some(24));
}
