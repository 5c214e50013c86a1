//! Controls change what they say and nothing else; those that do not count change nothing; what is missing is said.

use std::collections::BTreeSet;
use std::fs;

use wideberth_physics::machine::Machine;
use wideberth_plan::answer::{Answer, answer};
use wideberth_plan::readiness::Gap;
use wideberth_report::{Document, ResultDocument};
use wideberth_rules::ControlKind;
use wideberth_scenario::control::{Standing, WhyNot};
use wideberth_scenario::{Context, Job, days};
use wideberth_tests::generated::repository_root;

fn planned() -> String {
    let path = repository_root().join("tests/scenarios/valid/planned.json");
    fs::read_to_string(path).expect("the scenario is there")
}

fn context() -> Context<'static> {
    Context::without_files().expect("the catalogue is right")
}

fn job(text: &str) -> Job {
    Job::from_text(text, &context()).unwrap_or_else(|problems| panic!("refused:\n{problems}"))
}

fn bare(text: &str) -> Job {
    Job::without_controls(text, &context()).expect("accepted")
}

/// The text with one part replaced, which must be there.
fn with(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "{old}");
    text.replacen(old, new, 1)
}

fn standing(job: &Job, name: &str) -> Standing {
    job.controls.iter().find(|control| control.name == name).expect("a control").standing
}

/// Working range of a joint, degrees or metres.
fn range(machine: &Machine, joint: &str) -> (f64, f64) {
    let index = machine.movers().iter().position(|mover| machine.frames()[mover.0].name == joint).expect("a joint");
    let range = machine.ranges()[index];
    (range.low(), range.high())
}

#[test]
fn each_kind_changes_what_it_says() {
    let (with, without) = (job(&planned()), bare(&planned()));
    // The stop leaves 30 degrees either way; the slew runs on by 3 degrees.
    let overrun_rad = range(&without.study.machines[0], "slew").1 - 60_f64.to_radians();
    let (low, high) = range(&with.study.machines[0], "slew");
    assert!((high - 30_f64.to_radians() - overrun_rad).abs() < 1e-12 && (low + high).abs() < 1e-12);
    assert_eq!(range(&with.study.machines[0], "luff"), range(&without.study.machines[0], "luff"));
    assert_eq!(with.study.machines[0].ceiling_m(), Some(15.0));
    // The excavator only passes below, so that the goal posts hold it down.
    assert_eq!(with.study.machines[1].ceiling_m(), Some(10.5));
    assert_eq!(without.study.machines[0].ceiling_m(), None);
    // Nothing is paired with the line that is off.
    assert!(with.study.pairings.iter().all(|pairing| pairing.line == 0));
    assert!(without.study.pairings.iter().any(|pairing| pairing.line == 1));
    let weather = |job: &Job, line: usize| {
        let conditions = job.lines[line].conditions;
        (conditions.wind_m_per_s.low(), conditions.wind_m_per_s.high(), conditions.temperature_degc.high())
    };
    assert_eq!(weather(&with, 0), (2.0, 8.0, 50.0));
    assert_eq!(weather(&with, 1), (2.0, 8.0, 75.0));
    assert_eq!(weather(&without, 0), (2.0, 20.0, 75.0));
}

#[test]
fn lines_and_machines_move_by_what_is_said() {
    let added = r#""controls": [
        {"name": "a", "kind": "line raised", "state": "in place", "line": "field line", "raised_by": "2 m"},
        {"name": "b", "kind": "line moved", "state": "in place", "line": "road line", "moved_by": ["3 m", "-4 m"]},
        {"name": "c", "kind": "work moved", "state": "in place", "machine": "the crane", "position": ["30 m", "-41 m"], "heading": "10 deg"},"#;
    let text = with(&planned(), r#""controls": ["#, added);
    let (moved, before) = (job(&text), job(&planned()));
    let sag_m = |job: &Job| {
        let span = &job.study.lines[0].wires[0].spans()[0];
        (span.span().from().z, span.envelope().most().greatest_sag_m())
    };
    let ((high_m, high_sag_m), (low_m, low_sag_m)) = (sag_m(&moved), sag_m(&before));
    assert!((high_m - low_m - 2.0).abs() < 1e-12 && (high_sag_m - low_sag_m).abs() < 1e-9);
    let shift = moved.lines[1].supports[0].foot - before.lines[1].supports[0].foot;
    assert!((shift.x - 3.0).abs() < 1e-12 && (shift.y + 4.0).abs() < 1e-12);
    assert!((moved.machines[0].position.x - 30.0).abs() < 1e-12);
}

#[test]
fn another_machine_takes_the_place_of_the_first() {
    let added = r#""controls": [
        {"name": "a", "kind": "other machine", "state": "in place", "machine": "the excavator", "replaced_by": "telehandler"},"#;
    let text = with(&planned(), r#""controls": ["#, added);
    // The digging part is named by the machine that the scenario has; a telehandler has no bucket.
    let problems = Job::from_text(&text, &context()).expect_err("no bucket");
    assert!(problems.iter().all(|problem| problem.code.name() == "unknown-body"), "{problems}");
    let text = with(&text, r#""part": "bucket""#, r#""part": "boom""#);
    assert_eq!(job(&text).machines[1].id, "telehandler");
}

#[test]
fn a_proposed_control_never_counts() {
    let text = planned().replace(r#""verified""#, r#""proposed""#).replace(r#""in place""#, r#""proposed""#);
    let (proposed, without) = (job(&text), bare(&planned()));
    assert!(proposed.controls.iter().all(|control| control.standing == Standing::Not(WhyNot::Proposed)));
    assert_eq!(proposed.study, without.study);
}

#[test]
fn what_only_helps_people_changes_nothing() {
    let without = bare(&planned());
    for kind in ControlKind::ALL.iter().filter(|kind| !kind.changes_the_model()) {
        let hours = if *kind == ControlKind::Hours { r#", "hours": ["06:00", "08:00"]"# } else { "" };
        let added =
            format!(r#""controls": [{{"name": "only this", "kind": "{kind}", "state": "verified"{hours}}}], "x":["#);
        let text = with(&planned(), r#""controls": ["#, &added);
        let (head, tail) = text.split_once(r#", "x":["#).expect("added above");
        let rest = tail.split_once("\n  ],\n").expect("the end of the list").1;
        let helped = job(&format!("{head},\n{rest}"));
        assert_eq!(helped.study, without.study, "{kind}");
        assert!(helped.controls[0].counts(), "{kind}");
    }
}

#[test]
fn what_has_expired_does_not_count() {
    let on = |day: &str| {
        let context = context().asked_on(days::parse(day));
        Job::from_text(&planned(), &context).expect("accepted")
    };
    let late = on("2031-06-15");
    assert!(matches!(standing(&late, "slew stop"), Standing::Not(WhyNot::Expired(_))));
    assert!(matches!(standing(&late, "road line off"), Standing::Not(WhyNot::Expired(_))));
    assert_eq!(standing(&late, "goal posts"), Standing::Counts);
    let early = on("2031-05-01");
    assert!(matches!(standing(&early, "road line off"), Standing::Not(WhyNot::FromTheFuture(_))));
    let undated = with(&planned(), r#""work_dates": ["2031-05-04", "2031-05-06"],"#, "");
    assert_eq!(standing(&job(&undated), "slew stop"), Standing::Not(WhyNot::NoDay));
    // Today stands in where nobody says when the work is.
    let today = context().on(None, days::parse("2031-05-05"));
    let dated = Job::from_text(&undated, &today).expect("accepted");
    assert_eq!(standing(&dated, "slew stop"), Standing::Counts);
}

#[test]
fn a_line_is_off_only_with_confirmation_grounds_and_evidence() {
    let why = |old: &str, new: &str| {
        let changed = job(&with(&planned(), old, new));
        assert!(changed.study.pairings.iter().any(|pairing| pairing.line == 1), "{old}");
        standing(&changed, "road line off")
    };
    let confirmed = r#""confirmed_by": "control room of the line's owner", "owner""#;
    assert_eq!(why(confirmed, r#""owner""#), Standing::Not(WhyNot::NotConfirmed));
    assert_eq!(why(r#""grounded": true"#, r#""grounded": false"#), Standing::Not(WhyNot::NotGrounded));
    let evidence = r#""evidence": {"what": "lock-out 118", "date": "2031-05-04"}, "#;
    assert_eq!(why(evidence, ""), Standing::Not(WhyNot::NoEvidence));
}

#[test]
fn goal_posts_do_not_hold_down_a_machine_that_works() {
    let working = job(&with(&planned(), r#""work": "travel under""#, r#""work": "operate""#));
    assert_eq!(standing(&working, "goal posts"), Standing::Not(WhyNot::NotPassing));
    assert_eq!(working.study.machines[1].ceiling_m(), None);
}

#[test]
fn two_stops_on_one_joint_leave_what_both_leave() {
    let added = r#""controls": [
        {"name": "second", "kind": "joint stop", "state": "in place", "machine": "the crane", "joint": "slew", "range": ["-10 deg", "50 deg"]},"#;
    let (both, one) = (job(&with(&planned(), r#""controls": ["#, added)), job(&planned()));
    let ((low, high), (least, most)) = (range(&both.study.machines[0], "slew"), range(&one.study.machines[0], "slew"));
    assert!((high - most).abs() < 1e-12 && (low - least - 20_f64.to_radians()).abs() < 1e-12);
}

fn answered(text: &str) -> Answer {
    answer(text, &context(), &|_| {}).unwrap_or_else(|error| panic!("{error}"))
}

fn gaps(text: &str) -> BTreeSet<&'static str> {
    answered(text).missing.iter().map(|missing| missing.gap.name()).collect()
}

#[test]
fn every_line_off_is_clear_without_any_finding() {
    let off = with(
        &planned(),
        r#""kind": "line off", "state": "in place", "line": "road line""#,
        r#""kind": "line off", "state": "in place", "line": "field line""#,
    );
    let both = with(
        &off,
        r#""controls": ["#,
        r#""controls": [
    {"name": "other off", "kind": "line off", "state": "in place", "line": "road line", "grounded": true, "confirmed_by": "control room",
     "owner": "the line's owner", "evidence": {"what": "lock-out 119", "date": "2031-05-04"}, "expires": "2031-05-06"},"#,
    );
    let answer = answered(&both);
    assert!(answer.assessment.findings.is_empty());
    let document = ResultDocument::of(&answer);
    assert_eq!(document.closest_approach, None);
    assert!(document.lines.iter().all(|line| line.off));
    assert!(!document.to_json().expect("JSON").contains("null"));
}

/// Each way to leave something out of the ready demonstration, and what is then missing.
const LEFT_OUT: &[(&str, &str, Gap)] = &[
    (
        r#", "owner": "site supervisor", "evidence": {"what": "rota of the week""#,
        r#", "evidence": {"what": "rota of the week""#,
        Gap::NoOwner,
    ),
    (r#""evidence": {"what": "rota of the week", "date": "2031-06-09"}, "#, "", Gap::NoEvidence),
    (r#", "expires": "2031-06-16""#, "", Gap::NoExpiry),
    (r#""expires": "2031-06-16""#, r#""expires": "2031-06-11""#, Gap::NotCounting),
    (r#""kind": "spotter", "state": "in place""#, r#""kind": "spotter", "state": "proposed""#, Gap::Proposed),
    (r#", "confirmed_by": "the line's owner, by letter""#, "", Gap::VoltageUnconfirmed),
    (r#""attachment_tolerance": "0.15 m","#, "", Gap::HeightAssumed),
    (
        r#""given_by": "site supervisor", "date": "2031-06-10""#,
        r#""given_by": "site supervisor", "date": "2031-06-11""#,
        Gap::NoBriefing,
    ),
    (r#", {"role": "newest hand"}"#, "", Gap::NotBriefed),
    (r#""kind": "joint stop", "state": "verified""#, r#""kind": "joint stop", "state": "proposed""#, Gap::NotClear),
    (
        r#""controls": ["#,
        r#""controls": [{"name": "calm", "kind": "wind cut-off", "state": "in place", "wind_speed": "9 m/s"},"#,
        Gap::NotMeasurable,
    ),
    (
        r#""controls": ["#,
        r#""controls": [{"name": "posts", "kind": "exclusion fence", "state": "in place"},"#,
        Gap::NoTicket,
    ),
    (
        r#""controls": ["#,
        r#""ground_work": {"ticket": {"number": "1", "from": "2031-06-01", "until": "2031-06-11"}}, "controls": [{"name": "posts", "kind": "barrier", "state": "in place"},"#,
        Gap::TicketInvalid,
    ),
    (
        r#""setting_out_tolerance": "0.5 m","#,
        r#""setting_out_tolerance": "0.5 m", "lift": {"mass": "2 t", "sail_area": "30 m2", "shape": "cylinder", "chart_wind": "10 m/s"},"#,
        Gap::TooWindyToLift,
    ),
];

#[test]
fn whatever_is_left_out_is_named() {
    let ready = fs::read_to_string(repository_root().join("scenarios/crane-held-by-a-slew-stop.json")).expect("there");
    let ready = ready.replace("\n      \"owner\"", " \"owner\"");
    assert!(gaps(&ready).is_empty(), "{:?}", gaps(&ready));
    for (old, new, gap) in LEFT_OUT {
        let found = gaps(&with(&ready, old, new));
        assert!(found.contains(gap.name()), "{}: {found:?}", gap.name());
    }
}

/// The ready trench, with a place, the day on which its ticket was given, its last day, and the days of the work.
fn ticketed(place: &str, given: &str, work: [&str; 2]) -> Vec<String> {
    let planned = planned();
    let source = wideberth_scenario::source::Source::read(&planned).expect("JSON");
    let mut value = source.value().clone();
    value["work_dates"] = serde_json::json!(work);
    value["ground_work"]["place"] = serde_json::json!(place);
    value["ground_work"]["ticket"] =
        serde_json::json!({"number": "T-1", "given": given, "from": given, "until": "2032-12-31"});
    for buried in value["ground_work"]["buried"].as_array_mut().into_iter().flatten() {
        buried["zone"] = serde_json::json!("1 m");
    }
    let missing = answered(&value.to_string()).missing;
    missing.into_iter().filter(|m| m.gap == Gap::TicketInvalid).map(|m| m.words).collect()
}

#[test]
fn a_ticket_lives_as_long_as_its_place_says() {
    // First day not covered for each printed life, the day of giving counted as the first.
    for (place, given, last, after) in [
        ("Nebraska", "2031-05-01", "2031-05-17", "2031-05-18"),
        ("Illinois", "2031-05-01", "2031-05-28", "2031-05-29"),
        ("Montana", "2031-05-01", "2031-05-30", "2031-05-31"),
        ("Ontario", "2031-05-01", "2031-05-30", "2031-05-31"),
        ("South Carolina", "2031-05-01", "2031-05-21", "2031-05-22"),
    ] {
        assert!(ticketed(place, given, [last, last]).is_empty(), "{place}");
        let found = ticketed(place, given, [last, after]);
        assert!(found.len() == 1 && found[0].contains(last) && found[0].contains(place), "{found:?}");
    }
    // A place that prints no life leaves the ticket's own last day.
    assert!(ticketed("France", "2031-05-01", ["2031-11-01", "2031-11-01"]).is_empty());
    // The work must begin in time as well.
    assert!(ticketed("British Columbia", "2031-05-01", ["2031-05-14", "2031-05-30"]).is_empty());
    let late = ticketed("British Columbia", "2031-05-01", ["2031-05-15", "2031-05-30"]);
    assert!(late.len() == 1 && late[0].contains("had to begin by 2031-05-14"), "{late:?}");
}

#[test]
fn a_planning_distance_asks_for_more_than_people() {
    let ready =
        fs::read_to_string(repository_root().join("scenarios/platform-below-a-measured-span.json")).expect("there");
    // 4.7 m without its stop: clear of the limit, and inside the distance at which this rule asks for a plan.
    let near = with(&ready, r#""rule": {"place": "Ontario"}"#, r#""rule": {"id": "us-osha-1408-tableA"}"#);
    assert!(gaps(&near).is_empty(), "{:?}", gaps(&near));
    let stop = r#""kind": "joint stop", "state": "verified", "machine": "the platform", "joint": "telescope", "range": ["6 m", "18 m"]"#;
    let spotter = r#""kind": "spotter", "state": "in place", "machine": "the platform""#;
    let watched = gaps(&with(&near, stop, spotter));
    assert!(watched.contains(Gap::WeakControl.name()) && watched.contains(Gap::EndFree.name()), "{watched:?}");
}

#[test]
fn a_limit_from_memory_needs_somebody_who_looked_it_up() {
    let ready = fs::read_to_string(repository_root().join("scenarios/tipper-on-a-cool-morning.json")).expect("there");
    let unchecked = with(&ready, r#", "checked_by": "the site engineer, against the printed rule, 2031-04-02""#, "");
    assert_eq!(gaps(&unchecked), BTreeSet::from([Gap::LimitUnchecked.name()]));
    let undated = with(&ready, r#""work_dates": ["2031-05-06", "2031-05-06"],"#, "");
    assert!(gaps(&undated).contains(Gap::NoDay.name()));
}

#[test]
fn a_shell_that_the_wind_can_topple_is_named() {
    let shell =
        fs::read_to_string(repository_root().join("scenarios/empty-shell-before-it-is-anchored.json")).expect("there");
    assert!(gaps(&shell).contains(Gap::TooWindyToStand.name()));
    let calm = with(&shell, r#""wind_speed": ["0 m/s", "24 m/s"]"#, r#""wind_speed": ["0 m/s", "16 m/s"]"#);
    assert!(!gaps(&calm).contains(Gap::TooWindyToStand.name()));
}

/// A table of the user's own with a duty.
const OWN_TABLE: &str = r#"{"format": "wideberth-rules", "version": 1, "title": "Ours", "rule_sets": [{
    "id": "our-yard", "place": "Our yard", "place_also": [], "within": [], "instrument": "site rules", "section": "1", "edition": "2031",
    "force": "contract rule", "status": "current", "scope": "general", "purpose": "limit", "work": ["operate"], "crew": "ordinary",
    "who": "everybody", "basis": "any", "current": "any", "measured": "any direction", "between_rows": "larger",
    "below_first_row": "first row", "provenance": "seen", "rows": [{"distance": "3 m"}], "unknown_voltage": {"defaults": []},
    "duties": [{"who": "planner", "does": "asks the gatekeeper", "when": "the day before", "provenance": "seen"}],
    "notes": [], "source": ["site rules"]}]}"#;

#[test]
fn a_rule_file_adds_duties_of_its_own() {
    let context = || Context::embedded(|_| Ok(OWN_TABLE.to_string())).expect("the catalogue is right");
    let ready =
        fs::read_to_string(repository_root().join("scenarios/platform-below-a-measured-span.json")).expect("there");
    let own = with(&ready, r#""rule": {"place": "Ontario"}"#, r#""rule": {"id": "our-yard", "file": "ours.json"}"#);
    let missing = |text: &str| {
        let answer = answer(text, &context(), &|_| {}).unwrap_or_else(|error| panic!("{error}"));
        answer.missing.iter().map(|missing| missing.gap.name()).collect::<Vec<_>>()
    };
    assert_eq!(missing(&own), [Gap::DutyOpen.name()]);
    let done = with(
        &own,
        r#""briefing""#,
        r#""duties_done": [{"duty": "Asks the gatekeeper", "owner": "planner", "evidence": {"what": "gate book", "date": "2031-05-05"}}], "briefing""#,
    );
    assert!(missing(&done).is_empty());
}

/// A table of the user's own that asks for a plan within 9 m, measured one way or the other.
fn planned_within(measured: &str) -> String {
    let trigger = format!(
        r#""triggers": [{{"distance": "9 m", "measured": "{measured}", "who": "planner", "does": "asks the owner", "provenance": "seen"}}],
           "duties": [],"#
    );
    with(
        OWN_TABLE,
        r#""duties": [{"who": "planner", "does": "asks the gatekeeper", "when": "the day before", "provenance": "seen"}],"#,
        &trigger,
    )
}

#[test]
fn a_planning_distance_on_the_map_is_not_kept_by_height() {
    // A low machine below a wire that hangs 20 m higher: far away straight, none at all on the map.
    let scenario = r#"{
      "format": "wideberth-scenario", "version": 1, "title": "Low below high", "rule": {"id": "our-yard", "file": "ours.json"},
      "conditions": {"conductor_temperature": "20 degC", "wind_speed": "0 m/s"},
      "lines": [{
        "name": "the line", "voltage": {"value": "12.47 kV", "basis": "phase to phase", "current": "ac"},
        "supports": [{"name": "P1", "position": ["0 m", "0 m"]}, {"name": "P2", "position": ["100 m", "0 m"]}],
        "wires": [{
          "name": "phase", "conductor": "acsr-raven-1-0-6-1",
          "attachments": [{"support": "P1", "height": "25 m"}, {"support": "P2", "height": "25 m"}],
          "known_by": {"height": "24 m", "tolerance": "0.1 m", "between": ["P1", "P2"], "at": "50 m", "conductor_temperature": "20 degC"}
        }]
      }],
      "machines": [{
        "name": "the roller", "position": ["50 m", "NORTH"], "heading": "0 deg", "setting_out_tolerance": "0 m", "heading_tolerance": "0 deg",
        "machine": {"id": "roller", "title": "Roller", "bodies": [{"name": "drum", "sphere": {"at": ["0 m", "0 m", "1 m"], "radius": "1 m"}}]}
      }]
    }"#;
    let hazard = |measured: &str, north: &str| {
        let table = planned_within(measured);
        let context = Context::embedded(move |_| Ok(table.clone())).expect("the catalogue is right");
        let answer =
            answer(&scenario.replace("NORTH", north), &context, &|_| {}).unwrap_or_else(|error| panic!("{error}"));
        answer.missing.iter().any(|missing| missing.gap == Gap::NoControl)
    };
    assert!(!hazard("any direction", "-3 m"), "23 m away straight");
    assert!(hazard("horizontal", "-3 m"), "3 m away on the map");
    assert!(hazard("horizontal", "-10.5 m"), "within 9 m of what the machine can reach");
    assert!(!hazard("horizontal", "-12 m"), "beyond it");
}

/// The plan with one more control, in place.
fn and_control(control: &str) -> String {
    let added = format!("\"controls\": [{{\"name\": \"new\", \"state\": \"in place\", {control}}},");
    with(&planned(), r#""controls": ["#, &added)
}

#[test]
fn lower_machines_and_reach_stops_change_the_machine() {
    let before = job(&planned());
    let lower = job(&and_control(r#""kind": "lower machine", "machine": "the crane", "lowered_by": "0.6 m""#));
    let (crane, was) = (&lower.study.machines[0], &before.study.machines[0]);
    assert!((crane.position().z - was.position().z + 0.6).abs() < 1e-12);
    // Where it stands, and the height that a stop leaves above the ground there, stay.
    assert_eq!(lower.machines[0].position, before.machines[0].position);
    assert_eq!(crane.ceiling_m(), was.ceiling_m());
    let near = job(&and_control(r#""kind": "reach stop", "machine": "the crane", "reach": "12.5 m""#));
    assert_eq!((near.study.machines[0].reach_m(), near.machines[0].reach_m), (Some(12.5), Some(12.5)));
    assert_eq!(near.study.machines[1].reach_m(), None);
    let proposed = and_control(r#""kind": "reach stop", "machine": "the crane", "reach": "12.5 m""#).replacen(
        r#""state": "in place""#,
        r#""state": "proposed""#,
        1,
    );
    assert_eq!(job(&proposed).study.machines[0].reach_m(), None);
}

#[test]
fn a_shorter_load_changes_its_length_alone() {
    let load = r#"{"name": "beam", "hangs_from": "hook", "rope": ["4 m", "6 m"], "rope_radius": "0.02 m", "swing": "5 deg",
        "rigging": [{"name": "slings", "box": {"from": ["-0.1 m", "-4 m", "-2 m"], "to": ["0.1 m", "4 m", "-1 m"]}}],
        "bodies": [{"name": "beam", "box": {"from": ["-0.2 m", "-4 m", "-2.5 m"], "to": ["0.2 m", "4 m", "-2 m"]}}]}"#;
    let hung =
        |text: &str| with(text, r#""name": "the crane", "#, &format!(r#""name": "the crane", "load": {load}, "#));
    let shorter = hung(&and_control(r#""kind": "shorter load", "machine": "the crane", "load_length": "5.5 m""#));
    let extent = |job: &Job, name: &str, axis: usize| {
        let bodies = job.study.machines[0].bodies();
        let body = bodies.iter().find(|body| body.name == name).expect("the body");
        let at = body.features.iter().map(|feature| feature.at[axis]);
        at.clone().fold(f64::NEG_INFINITY, f64::max) - at.fold(f64::INFINITY, f64::min)
    };
    let (before, after) = (job(&hung(&planned())), job(&shorter));
    assert!((before.machines[0].load.expect("a load").length_m - 8.0).abs() < 1e-9);
    for (job, length_m) in [(&before, 8.0), (&after, 5.5)] {
        assert!((extent(job, "beam", 1) - length_m).abs() < 1e-9);
        assert!((extent(job, "beam", 0) - 0.4).abs() < 1e-9 && (extent(job, "beam", 2) - 0.5).abs() < 1e-9);
        assert!((extent(job, "slings", 1) - 8.0).abs() < 1e-9, "rigging stays as it is");
    }
}

#[test]
fn goal_posts_are_compared_with_what_is_proven_along_their_route() {
    let posts = |height: &str| {
        let route = format!(
            r#""machine": "the excavator", "height": "{height}", "route": [["30 m", "-20 m"], ["30 m", "20 m"]], "width": "4 m""#
        );
        with(&planned(), r#""machine": "the excavator", "height": "10.5 m""#, &route)
    };
    let words = |text: &str| {
        let missing = answered(text).missing;
        missing.into_iter().find(|missing| missing.gap == Gap::PostsTooHigh).map(|missing| missing.words)
    };
    assert_eq!(words(&planned()), None, "nothing is known without a route");
    let high = words(&posts("9 m")).expect("too high");
    let proven_m: f64 =
        high.split(", ").nth(1).and_then(|t| t.split(' ').next()).expect("a height").parse().expect("m");
    assert!(proven_m > 4.0 && proven_m < 9.0, "{high}");
    // As `stand --route` proves it, to a centimetre.
    assert_eq!(words(&posts(&format!("{proven_m} m"))), None);
    assert!(words(&posts(&format!("{} m", proven_m + 0.01))).is_some());
}
