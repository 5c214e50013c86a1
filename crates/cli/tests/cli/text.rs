//! The text of answers, compared with what is committed: run with WIDEBERTH_BLESS=1 to accept a change, and read it.

use crate::generated::{compare_or_bless, repository_root};
use crate::run::{run, run_with, scenario};

/// Rows of a small screen.
const SCREEN: usize = 24;

fn snapshot(name: &str, arguments: &[&str]) -> String {
    let answer = run(arguments);
    let text = format!("$ wideberth {}\n{}{}(exit {})\n", arguments.join(" "), answer.out, answer.err, answer.code);
    // The day that it is changes every day.
    let text = text.replace(&jiff::ZonedDateTime::now().date().to_string(), "YYYY-MM-DD");
    compare_or_bless(&format!("tests/snapshots/{name}.txt"), &text);
    answer.out
}

#[test]
fn the_demonstration() {
    let text = snapshot("demonstration", &[]);
    assert!(text.contains("Try next:"));
}

#[test]
fn answers_fit_a_screen() {
    for name in [
        "silo-shell-tilts-under-a-farm-line",
        "tipper-on-a-hot-afternoon",
        "platform-below-a-measured-span",
        "tipper-on-a-cool-morning",
    ] {
        let text = snapshot(&format!("check-{name}"), &["check", &scenario(name)]);
        assert!(text.lines().count() <= SCREEN, "{name}: {} rows\n{text}", text.lines().count());
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}: too wide");
    }
}

#[test]
fn every_demonstration_has_its_answer() {
    let files = std::fs::read_dir(repository_root().join("scenarios")).expect("a folder");
    for path in files.map(|file| file.expect("a file").path()) {
        if path.extension().is_some_and(|extension| extension == "json") {
            let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
            snapshot(&format!("check-{name}"), &["check", &scenario(&name)]);
        }
    }
}

#[test]
fn other_answers() {
    snapshot("check-us-units", &["check", "--units", "us", &scenario("grain-auger-turned-in-the-yard")]);
    snapshot("sag", &["sag", &scenario("platform-below-a-measured-span")]);
    snapshot(
        "sag-us-units",
        &["sag", "--units", "us", "--at", "52 m,0 m", "--wind", "20 mph", &scenario("platform-below-a-measured-span")],
    );
    snapshot("limit", &["limit", "--place", "Ontario", "--voltage", "12.47 kV", "--basis", "phase-to-phase"]);
    snapshot("limit-refused", &["limit", "--place", "Ontario", "--voltage", "900 kV", "--basis", "phase-to-phase"]);
    snapshot("new", &["new", "--machine", "mobile-crane"]);
    snapshot("explain", &["explain", "too-close"]);
}

#[test]
fn a_day_fits_a_page() {
    let name = "tipping-before-the-heat-of-the-day";
    let text = snapshot(&format!("day-{name}"), &["day", &scenario(name)]);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}: too wide");
    assert!(text.lines().count() <= 2 * SCREEN, "{} rows", text.lines().count());
    snapshot("day-heights-us-units", &["day", "--heights", "--units", "us", &scenario(name)]);
}

#[test]
fn a_refusal() {
    let text = "{\n  \"format\": \"wideberth-scenario\",\n  \"version\": 1,\n  \"titel\": \"x\",\n  \"conditions\": {\"wind_speed\": 20}\n}\n";
    let refused = run_with(&["check", "-"], text);
    compare_or_bless("tests/snapshots/refusal.txt", &refused.err);
}
