//! Each control as an entry of the scenario: pasted and put in place as its answer says, the scenario itself is clear; where
//! it cannot be, the answer says what is missing.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use wideberth_physics::assess::assess;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::decide::{decide, targets};
use wideberth_plan::fixes::fixes;
use wideberth_report::fixes::{FixResult, FixesDocument};
use wideberth_scenario::Job;
use wideberth_scenario::source::Source;
use wideberth_tests::demonstrations::{context, job, text, without_lesson};

use super::closed_form::{BAR, scenario};

/// A proposal as it stands once somebody has put it in place and filled in what the answer names.
fn in_place(entry: &Value, missing: &[&str]) -> Value {
    let names = |key: &str| missing.iter().any(|words| words.contains(&format!("\"{key}\"")));
    let filled = [
        ("state", json!("in place")),
        ("owner", json!("lift supervisor")),
        ("evidence", json!({"what": "test sheet", "date": "2031-05-01"})),
        ("expires", json!("never")),
        ("grounded", json!(true)),
        ("confirmed_by", json!("control room of the line's owner")),
        ("measured_with", json!("a meter at the machine")),
        ("air_temperature", json!("15 degC")),
    ];
    let mut entry = entry.clone();
    for (key, value) in filled.into_iter().filter(|(key, _)| names(key)) {
        entry[key] = value;
    }
    entry
}

/// The scenario with a control in place.
fn pasted(scenario: &Value, fix: &FixResult) -> Job {
    let mut scenario = scenario.clone();
    scenario["work_dates"] = json!(["2031-05-04", "2031-05-06"]);
    let all = scenario["controls"].as_array().cloned().unwrap_or_default();
    let entries = fix.entries.iter().map(|entry| in_place(entry, &fix.missing));
    scenario["controls"] = all.into_iter().chain(entries).collect();
    job(&scenario.to_string())
}

/// Whether a machine of a job is proven clear.
fn is_clear(job: &Job, machine: &str) -> bool {
    let index = job.machines.iter().position(|info| info.name == machine).expect("the machine");
    decide(&job.study.machines[index], &targets(job, index), &job.options).expect("a decision").verdict
        == Verdict::Clear
}

/// A demonstration with a part of its text replaced, without its lesson.
fn changed((name, from, to): (&str, &str, &str)) -> String {
    let text = text(name);
    assert!(text.contains(from), "{name}: {from}");
    without_lesson(&text.replace(from, to))
}

/// Pastes every proven control of a scenario; gives their kinds.
fn paste_all(name: &str, text: &str) -> BTreeSet<&'static str> {
    let (as_is, context) = (job(text), context());
    let source = Source::read(text).expect("JSON");
    let assessment = assess(&as_is.study, &as_is.options, &|_| {}).expect("an assessment");
    let found = fixes(source.value(), &context, &as_is, &assessment).expect("controls");
    let document = FixesDocument::of(&as_is, assessment.verdict, &found, &[]);
    let mut kinds = BTreeSet::new();
    for machine in &document.machines {
        for fix in machine.controls.iter().chain(&machine.pairs).filter(|fix| fix.clear) {
            kinds.insert(fix.kind);
            assert!(!fix.missing.is_empty(), "{name}: {}", fix.words);
            if !fix.check_is_clear {
                let told =
                    fix.missing.iter().any(|words| words.starts_with("no entry") || words.contains("nothing for it"));
                assert!(told, "{name}: {}: {:?}", fix.words, fix.missing);
                continue;
            }
            assert!(!fix.entries.is_empty(), "{name}: {}", fix.words);
            let job = pasted(source.value(), fix);
            assert!(is_clear(&job, &machine.machine), "{name}: {}", fix.words);
            let added = job.controls.iter().rev().take(fix.entries.len());
            for control in added {
                assert!(control.counts() && control.measurable, "{name}: {control:?}");
                let recorded = control.owner.is_some() && control.evidence.is_some() && control.expires.is_some();
                assert!(recorded, "{name}: {control:?}");
            }
        }
    }
    kinds
}

/// Every kind of control that is looked for.
const KINDS: [&str; 16] = [
    "barrier",
    "heat-cut-off",
    "height-stop",
    "hours",
    "line-moved",
    "line-off",
    "line-raised",
    "lower-machine",
    "other-machine",
    "reach-stop",
    "sector",
    "shorter",
    "shorter-load",
    "stand-elsewhere",
    "stop",
    "wind-cut-off",
];

/// The tipper as the demonstration places it.
const TIPPER: &str = r#""machine": "rigid-tipper",
      "position": ["52 m", "-10.2 m"]"#;

#[test]
fn a_pasted_entry_of_every_kind_makes_the_scenario_clear() {
    let trailer = |text: &'static str| ("tipper-on-a-hot-afternoon", TIPPER, text);
    let cases = [
        ("crane-beside-a-line-in-wind", "", ""),
        ("silo-shell-tilts-under-a-farm-line", "", ""),
        ("tipping-before-the-heat-of-the-day", "", ""),
        // A long trailer, for which a shorter tipper of the library does.
        trailer(
            r#""machine": "end-dump-trailer",
      "position": ["52 m", "-17 m"]"#,
        ),
        // An auger that is turned all round.
        ("grain-auger-turned-in-the-yard", r#""turn": ["-180 deg", "0 deg"]"#, r#""turn": ["-180 deg", "180 deg"]"#),
    ];
    let mut seen: BTreeSet<&str> = cases.into_iter().flat_map(|case| paste_all(case.0, &changed(case))).collect();
    seen.extend(paste_all("a bar on a mast", &scenario(BAR)));
    println!("pasted and clear, or said why not: {seen:?}");
    let unseen: Vec<&&str> = KINDS.iter().filter(|kind| !seen.contains(**kind)).collect();
    assert!(unseen.is_empty(), "no demonstration offers {unseen:?}");
}
