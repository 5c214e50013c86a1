//! Each control as an entry of the scenario: pasted and put in place, the scenario itself is clear.

use serde_json::{Value, json};
use wideberth_physics::assess::assess;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::fixes::fixes;
use wideberth_report::fixes::FixesDocument;
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::{context, job, text};

/// A proposal as it stands once somebody has put it in place.
fn in_place(entry: &Value) -> Value {
    let mut entry = entry.clone();
    entry["state"] = json!("in place");
    entry["owner"] = json!("lift supervisor");
    entry["evidence"] = json!({"what": "test sheet", "date": "2031-05-01"});
    entry["expires"] = json!("never");
    match entry["kind"].as_str() {
        Some("line off") => {
            entry["grounded"] = json!(true);
            entry["confirmed_by"] = json!("control room of the line's owner");
        }
        Some("wind cut-off" | "temperature cut-off") => entry["measured_with"] = json!("a meter at the machine"),
        _ => {}
    }
    entry
}

#[test]
fn a_pasted_entry_makes_the_scenario_clear() {
    for name in ["crane-beside-a-line-in-wind", "silo-shell-tilts-under-a-farm-line", "tipper-on-a-hot-afternoon"] {
        let text = text(name);
        let (job_as_is, context) = (job(&text), context());
        let source = Source::read(&text).expect("JSON");
        let assessment = assess(&job_as_is.study, &job_as_is.options, &|_| {}).expect("an assessment");
        let found = fixes(source.value(), &context, &job_as_is, &assessment).expect("controls");
        let document = FixesDocument::of(&job_as_is, assessment.verdict, &found);
        let proven = document.machines.iter().flat_map(|machine| machine.controls.iter().filter(|fix| fix.clear));
        let mut pasted = 0;
        // A barrier is written down but changes nothing that is computed.
        for fix in proven.filter(|fix| !fix.entries.is_empty() && fix.kind != "barrier") {
            let mut scenario = source.value().clone();
            scenario["work_dates"] = json!(["2031-05-04", "2031-05-06"]);
            scenario["controls"] = fix.entries.iter().map(in_place).collect();
            let job = job(&scenario.to_string());
            let verdict = if job.study.pairings.is_empty() {
                Verdict::Clear
            } else {
                assess(&job.study, &job.options, &|_| {}).expect("an assessment").verdict
            };
            assert_eq!(verdict, Verdict::Clear, "{name}: {}", fix.words);
            pasted += 1;
        }
        assert!(pasted >= 5, "{name}: {pasted}");
    }
}
