//! Every demonstration gives the verdict that it is there to show.

use std::collections::BTreeSet;
use std::fs;

use wideberth_physics::verdict::Verdict;
use wideberth_plan::answer::{Answer, answer};
use wideberth_plan::contributions::Cause;
use wideberth_report::ResultDocument;
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::demonstrations::without_lesson;
use wideberth_tests::generated::repository_root;

/// Each demonstration and its verdict.
const EXPECTED: &[(&str, Verdict)] = &[
    ("concrete-boom-beside-a-house-line", Verdict::TooClose),
    ("crane-beside-a-line-in-wind", Verdict::TooClose),
    ("crane-beside-wires-on-strings", Verdict::TooClose),
    ("crane-held-by-a-slew-stop", Verdict::Clear),
    ("empty-shell-before-it-is-anchored", Verdict::TooClose),
    ("excavator-travels-under-a-line", Verdict::Clear),
    ("grain-auger-turned-in-the-yard", Verdict::TooClose),
    ("line-of-unknown-voltage", Verdict::TooClose),
    ("platform-below-a-measured-span", Verdict::Clear),
    ("silo-shell-tilts-under-a-farm-line", Verdict::TooClose),
    ("tipper-on-a-cool-morning", Verdict::Clear),
    ("tipper-on-a-hot-afternoon", Verdict::TooClose),
    ("tipping-before-the-heat-of-the-day", Verdict::TooClose),
    ("trench-beside-a-buried-cable", Verdict::Clear),
    ("two-machines-and-two-lines", Verdict::TooClose),
    ("uphill-span-with-its-low-point-outside", Verdict::Clear),
];

fn text(name: &str) -> String {
    let path = repository_root().join("scenarios").join(name).with_extension("json");
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn answered(name: &str, text: &str) -> Answer {
    let context = demonstration_context();
    answer(text, &context, &|_| {}).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn demonstration(name: &str) -> Answer {
    answered(name, &text(name))
}

#[test]
fn every_demonstration_has_its_verdict() {
    for (name, verdict) in EXPECTED {
        assert_eq!(demonstration(name).verdict(), *verdict, "{name}");
    }
}

/// Demonstrations in which nothing is missing, whatever day it is today.
const READY: &[&str] = &[
    "crane-held-by-a-slew-stop",
    "platform-below-a-measured-span",
    "tipper-on-a-cool-morning",
    "trench-beside-a-buried-cable",
];

#[test]
fn clear_is_not_ready_unless_the_record_is_complete() {
    for (name, _) in EXPECTED {
        let answer = demonstration(name);
        assert_eq!(answer.is_ready(), READY.contains(name), "{name}: {:?}", answer.missing);
    }
}

#[test]
fn the_crane_is_too_close_without_its_stop() {
    let answer = demonstration("crane-held-by-a-slew-stop");
    let without = answer.without_controls.expect("the stop changes what is computed");
    assert_eq!(without.verdict(), Verdict::TooClose);
    let text = text("crane-held-by-a-slew-stop").replace(r#""state": "verified""#, r#""state": "proposed""#);
    assert_eq!(answered("proposed", &text).verdict(), Verdict::TooClose);
}

#[test]
fn the_bucket_reaches_the_cable_without_its_stop() {
    let answer = demonstration("trench-beside-a-buried-cable");
    let without = answer.without_controls.expect("the stop changes what is computed");
    assert!(without.verdict() >= Verdict::TooClose, "{:?}", without.digging);
    assert_eq!(without.assessment.verdict, Verdict::Clear);
}

#[test]
fn bracing_in_place_makes_the_standing_shell_clear_and_ready() {
    let text = text("empty-shell-before-it-is-anchored").replace(r#""state": "proposed""#, r#""state": "in place""#);
    let answer = answered("braced", &text);
    assert_eq!(answer.verdict(), Verdict::Clear);
    assert!(answer.is_ready(), "{:?}", answer.missing);
}

#[test]
fn every_file_is_expected_and_says_for_whom_it_is() {
    let files = fs::read_dir(repository_root().join("scenarios")).expect("the folder exists");
    let names: BTreeSet<String> = files
        .map(|file| file.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .map(|path| path.file_stem().expect("named").to_string_lossy().into_owned())
        .collect();
    let expected: BTreeSet<String> = EXPECTED.iter().map(|(name, _)| (*name).to_string()).collect();
    assert_eq!(names, expected);
    for name in names {
        let first = text(&name).lines().next().map(str::to_string).unwrap_or_default();
        assert!(first.starts_with("// For "), "{name} does not say for whom it is");
    }
}

#[test]
fn the_shell_is_clear_lying_and_standing() {
    let tilting = text("silo-shell-tilts-under-a-farm-line");
    for range in [r#""tilt": ["0 deg", "2 deg"]"#, r#""tilt": ["88 deg", "90 deg"]"#] {
        let still = tilting.replace(r#""tilt": ["0 deg", "90 deg"]"#, range);
        // The comment at the top names both ranges, so a replacement must change more than nothing.
        assert_ne!(still, tilting);
        assert_eq!(answered(range, &without_lesson(&still)).assessment.verdict, Verdict::Clear, "{range}");
    }
}

#[test]
fn with_wires_held_at_the_supports_the_crane_would_keep_the_limit() {
    let hung = text("crane-beside-wires-on-strings");
    let string = r#", "string": {"length": "1.5 m", "weight": "600 N", "wind_area": "0.3 m2"}"#;
    let held = hung.replace(string, "");
    assert_ne!(hung, held);
    assert_eq!(answered("held", &held).assessment.verdict, Verdict::Clear);
    let answer = demonstration("crane-beside-wires-on-strings");
    let witness = &ResultDocument::of(&answer).findings[answer.assessment.worst].witness;
    assert_eq!(witness.strings.len(), 2);
    assert!(witness.strings.iter().all(|string| string.across_rad.abs() > 0.1), "{:?}", witness.strings);
}

#[test]
fn without_wind_the_crane_would_keep_the_limit() {
    let answer = demonstration("crane-beside-a-line-in-wind");
    let limit_m = answer.assessment.findings[answer.assessment.worst].pairing.limit_m;
    let calm = answer.contributions.iter().find(|each| each.cause == Cause::Wind).expect("wind plays a part");
    assert!(calm.without.lower_m > limit_m, "{calm:?}");
}

#[test]
fn leaving_a_cause_out_never_brings_machine_and_wire_together() {
    for (name, _) in EXPECTED {
        let answer = demonstration(name);
        let found = answer.assessment.findings[answer.assessment.worst].approach.distance;
        for each in &answer.contributions {
            assert!(each.without.upper_m >= found.lower_m, "{name}: {each:?}");
        }
        assert!(answer.contributions.iter().any(|each| each.cause == Cause::HotWire), "{name}");
    }
}

#[test]
fn the_uphill_wire_has_no_low_point_inside_its_span() {
    let answer = demonstration("uphill-span-with-its-low-point-outside");
    for wire in &answer.job.study.lines[0].wires {
        let span = &wire.spans()[0];
        let states = span.states();
        let hottest = span.shape(&states.slackest()).expect("a shape");
        let lowest = hottest.catenary.fraction_at_slope(0.0);
        assert!(!(0.0..=1.0).contains(&lowest), "low point at {lowest}");
    }
}
