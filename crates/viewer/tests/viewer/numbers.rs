//! The numbers on the screen are those of `wideberth check`, to the printed digit.

use std::fs;

use wideberth_physics::approach::Gap;
use wideberth_report::Units;
use wideberth_report::words::VerdictName;
use wideberth_viewer::loaded::{Loaded, Origin};
use wideberth_viewer::moment::Moment;
use wideberth_viewer::panel_model::{self, Ranges};
use wideberth_viewer::posting::{is_safe, swept};
use wideberth_viewer::proportions::{circles, wire_end};
use wideberth_viewer::scene::stage::worst_of;
use wideberth_viewer::sighting::sees;
use wideberth_viewer::strings::ENGLISH;
use wideberth_viewer::theme::Sign;
use wideberth_viewer::view_model::{self, Banner, Scope, Standing};
use wideberth_viewer::views::Sight;

use super::{file, folder, loaded};

/// Every demonstration.
fn names() -> Vec<String> {
    let files = fs::read_dir(file("scenarios")).expect("a folder").map(|entry| entry.expect("a file").path());
    let demonstrations = files.filter(|path| path.extension().is_some_and(|extension| extension == "json"));
    let mut names: Vec<String> =
        demonstrations.map(|path| path.file_stem().expect("a name").to_string_lossy().into_owned()).collect();
    names.sort();
    assert!(names.len() >= 16, "{names:?}");
    names
}

/// What `wideberth check` prints, as one line of words.
fn printed(name: &str) -> String {
    let text = fs::read_to_string(file(&format!("tests/snapshots/check-{name}.txt")));
    let text = text.unwrap_or_else(|error| panic!("{name}: {error}; WIDEBERTH_BLESS=1 cargo test -p wideberth-cli"));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn banner(loaded: &Loaded, units: Units) -> Banner {
    view_model::banner(&loaded.document, &Scope::Stated, units, &ENGLISH).expect("there is a worst case")
}

/// What a banner says in the least room.
fn short(banner: &Banner) -> String {
    banner.lines.iter().map(|line| line.short.as_str()).collect::<Vec<_>>().join("\n")
}

#[test]
fn what_the_answer_rests_on_stands_in_the_banner() {
    let mut seen = [false; 4];
    for name in names() {
        let loaded = loaded(&name);
        let (banner, document) = (banner(&loaded, Units::Si), &loaded.document);
        let full: String = banner.lines.iter().map(|line| line.full.as_str()).collect::<Vec<_>>().join("\n");
        let limit = document.limit_of(document.worst().expect("a worst case")).expect("a limit");
        // That the limit is from memory, what is missing, and the controls that hold it stay in any room.
        assert_eq!(short(&banner).contains("FROM MEMORY"), limit.from_memory, "{name}");
        let rule = limit.source.split([',', '(']).next().expect("a source").trim();
        assert!(full.contains(rule), "{name}: {full}");
        if banner.sign == Sign::NotReady {
            assert!(short(&banner).contains(&format!("Missing {}", document.missing.len())), "{name}");
            assert!(full.contains(&document.missing[0].words), "{name}: {full}");
        }
        for control in document.controls.iter().filter(|control| control.counts && control.changes_the_model) {
            assert!(short(&banner).contains(&control.name), "{name}: {}", control.name);
            seen[2] = true;
        }
        for ground in &document.ground {
            assert!(full.contains(&ground.buried), "{name}: {full}");
            seen[3] = true;
        }
        seen[0] |= limit.from_memory;
        seen[1] |= banner.sign == Sign::NotReady;
    }
    assert_eq!(seen, [true; 4], "each is met in some demonstration");
}

#[test]
fn what_is_drawn_has_the_proportions_of_what_is_said() {
    for name in names() {
        let loaded = loaded(&name);
        let worst = Moment::worst(&loaded.job, &loaded.assessment);
        for moment in [worst, Moment::start(&loaded.job)] {
            let gaps = moment.gaps(&loaded.job.study).expect("gaps");
            for (pairing, gap) in
                loaded.job.study.pairings.iter().zip(&gaps.each).filter(|(_, gap)| gap.distance_m > 0.0)
            {
                let circles = circles(&loaded.job.study, pairing, gap);
                // The line from the machine to the circle of the wire, against the way from that circle to the limit's.
                let line_m = (wire_end(gap) - gap.on_body).norm();
                let ring_m = circles.limit_m - circles.wire_m;
                let said = gap.distance_m / pairing.limit_m;
                assert!((line_m / ring_m - said).abs() < 1e-6, "{name}: {line_m} {ring_m} {said}");
                // The line ends on the circle of the wire, and inside that of the limit exactly where the number is inside.
                let end_m = (wire_end(gap) - circles.middle).norm();
                assert!((end_m - circles.wire_m).abs() < 1e-6, "{name}: {end_m} {circles:?}");
                let body_m = (gap.on_body - circles.middle).norm();
                assert_eq!(body_m < circles.limit_m, gap.distance_m < pairing.limit_m, "{name}");
            }
        }
    }
}

#[test]
fn changed_ranges_say_so_and_judge_what_lies_outside() {
    let loaded = loaded("silo-shell-tilts-under-a-farm-line");
    let tilt = loaded.job.machines[0].joints.iter().position(|joint| joint.name == "tilt").expect("it tilts");
    let own = Ranges::of(&loaded.job);
    let mut low = own.clone();
    low.joints[0][tilt] = [0.0, 3.0_f64.to_radians()];
    let words = low.differences(&own, &loaded.job, Units::Si, &ENGLISH);
    assert_eq!(words, "tilt 0 deg to 3 deg (file: 0 deg to 90 deg)");
    let narrow =
        loaded.origin.answer_quickly(low.rewrite(&loaded.text, &loaded.job).expect("a text")).expect("an answer");
    let scope = Scope::Changed(words.clone());
    let banner = view_model::banner(&narrow.document, &scope, Units::Si, &ENGLISH).expect("a banner");
    // Clear for these ranges is no plan that is ready, and never the large word.
    assert_eq!(narrow.document.verdict, VerdictName::Clear);
    assert_eq!((banner.word.as_str(), banner.sign), ("NOT READY", Sign::NotReady));
    assert!(short(&banner).contains(&words), "{}", short(&banner));
    // The old worst case lies outside what was proven, and says so; it has no tick.
    let moment = Moment::worst(&loaded.job, &loaded.assessment);
    let gaps = moment.gaps(&narrow.job.study).expect("gaps");
    let card = view_model::now_card(&narrow, &gaps, &moment, false, Units::Si, &ENGLISH).expect("a card");
    assert!(
        card.beyond.starts_with("Outside the ranges that were proven: ") && card.beyond.contains("tilt 37 deg"),
        "{card:?}"
    );
    assert_ne!(card.standing, Standing::Outside);
    // While the answer is on its way, and where there is none, no verdict stands there.
    for scope in [Scope::Coming(words.clone()), Scope::Refused(words, "no".into())] {
        let banner = view_model::banner(&loaded.document, &scope, Units::Si, &ENGLISH).expect("a banner");
        assert!(banner.sign == Sign::NoAnswer && banner.figures.is_empty(), "{banner:?}");
        assert!(short(&banner).contains("tilt"), "{banner:?}");
    }
}

#[test]
fn the_panel_lists_the_ranges_that_were_proven() {
    let loaded = loaded("crane-held-by-a-slew-stop");
    let slew = loaded.job.machines[0].joints.iter().position(|joint| joint.name == "slew").expect("it slews");
    let [low, high] = Ranges::of(&loaded.job).joints[0][slew];
    assert!((low.to_degrees() + 90.0).abs() < 1e-6 && (high.to_degrees() - 20.0).abs() < 1e-6, "{low} {high}");
    let moment = Moment::worst(&loaded.job, &loaded.assessment);
    for (_, sliders) in panel_model::joint_sliders(&loaded.job, &moment) {
        assert!(sliders.iter().all(|slider| slider.label != "heading error"), "a tolerance is no slider");
    }
}

#[test]
fn people_stand_outside_all_that_machines_sweep() {
    for name in names() {
        let loaded = loaded(&name);
        let worst = worst_of(&loaded).expect("a worst case");
        let study = &loaded.job.study;
        let circles: Vec<_> = study.machines.iter().zip(&worst.moment.poses).map(|(m, pose)| swept(m, pose)).collect();
        assert!(is_safe(&worst.subject.spotter, &circles), "{name}");
        // Whether the gap is seen is computed, not hoped for.
        let pairing = study.pairings[worst.gaps.least];
        let machine = worst.moment.standing(study).swap_remove(pairing.machine);
        let eye = worst.subject.eye(Sight::Spotter).at;
        assert_eq!(worst.subject.spotter_sees, sees(&machine, &worst.gaps.each[worst.gaps.least], &eye), "{name}");
    }
}

#[test]
fn banner_and_table_say_what_the_command_line_prints() {
    for name in names() {
        let (loaded, printed) = (loaded(&name), printed(&name));
        let banner = banner(&loaded, Units::Si);
        let document = &loaded.document;
        assert!(printed.starts_with(&format!("$ wideberth check scenarios/{name}.json {}.", document.verdict.shout())));
        // A plan that is not ready never shows its clear verdict as the word.
        let ready = printed.contains("Ready YES");
        assert_eq!(ready, document.ready, "{name}");
        match document.verdict {
            VerdictName::Clear if !ready => {
                assert_eq!((banner.word.as_str(), banner.sign), ("NOT READY", Sign::NotReady))
            }
            verdict => assert_eq!(banner.word, verdict.shout(), "{name}"),
        }
        assert_eq!(banner.sign == Sign::Ready, ready, "{name}");
        let [closest, limit, spare] = &banner.figures[..] else { panic!("three figures") };
        assert!(printed.contains(&format!("Closest approach {}", closest.value)), "{name}: {closest:?}\n{printed}");
        assert!(printed.contains(&format!("Limit {}", limit.value)), "{name}: {limit:?}");
        assert!(printed.contains(&spare.value), "{name}: {spare:?}");
        let gaps = Moment::worst(&loaded.job, &loaded.assessment).gaps(&loaded.job.study).expect("gaps");
        let rows = view_model::wire_rows(&loaded.document, &gaps, Units::Si);
        if rows.len() > 1 {
            for row in rows {
                assert!(printed.contains(&format!("{} {} {}", row.closest, row.limit, row.spare)), "{name}: {row:?}");
            }
        }
    }
}

#[test]
fn at_the_worst_case_the_moment_is_the_witness() {
    for name in names() {
        let loaded = loaded(&name);
        let moment = Moment::worst(&loaded.job, &loaded.assessment);
        let gaps = moment.gaps(&loaded.job.study).expect("gaps");
        let worst = loaded.document.worst().expect("a worst case");
        assert_eq!(gaps.least, loaded.document.worst_finding, "{name}");
        let gap = &gaps.each[gaps.least];
        // The moment is that of the search, all margins taken off: never below what is proven, never beyond what was found.
        let witness = &loaded.assessment.findings[gaps.least].approach.witness;
        assert!((gap.distance_m - witness.distance_m).abs() < 1e-6, "{name}: {gap:?}");
        let bracket = &worst.closest_approach;
        assert!(
            bracket.lower_m <= gap.distance_m + 1e-6 && gap.distance_m <= bracket.upper_m + 1e-6,
            "{name}: {gap:?}"
        );
        assert!((gap.on_wire - witness.on_wire).norm() < 1e-3, "{name}: {gap:?}");
    }
}

/// A sloping line of two spans whose conductor nobody knows, so that each span counts once for each that it may be, beside a
/// crane at its second span.
const UNKNOWN: &str = r#"{
  "format": "wideberth-scenario", "version": 1, "title": "Crane at Birch Slope", "rule": {"place": "Ontario"},
  "conditions": {"conductor_temperature": ["0 degC", "60 degC"], "wind_speed": ["0 m/s", "5 m/s"]},
  "lines": [{
    "name": "slope line",
    "voltage": {"value": "12.47 kV", "basis": "phase to phase", "current": "ac"},
    "supports": [
      {"name": "P1", "position": ["0 m", "0 m"], "ground": "0 m"},
      {"name": "P2", "position": ["60 m", "0 m"], "ground": "3 m"},
      {"name": "P3", "position": ["120 m", "0 m"], "ground": "7 m"}
    ],
    "wires": [{
      "name": "only", "conductor": {"class": "rural single-phase"}, "known_by": {"tension": "unknown"},
      "attachments": [
        {"support": "P1", "height": "9 m"}, {"support": "P2", "height": "9 m"}, {"support": "P3", "height": "9 m"}
      ]
    }]
  }],
  "machines": [{"name": "the crane", "machine": "mobile-crane", "position": ["150 m", "-30 m"], "heading": "90 deg", "ground": "8 m"}]
}"#;

#[test]
fn a_wire_that_is_one_of_several_is_as_high_as_the_command_line_says() {
    let path = folder("unknown-wire").join("unknown.json");
    fs::write(&path, UNKNOWN).expect("written");
    let loaded = Origin::File(path).load().expect("an answer");
    let spans = loaded.job.study.lines[0].wires[0].spans();
    assert!(spans.len() > 2, "the wire is one of several");
    let gaps = Moment::worst(&loaded.job, &loaded.assessment).gaps(&loaded.job.study).expect("gaps");
    let gap = &gaps.each[gaps.least];
    assert_eq!(spans[gap.span].index(), 1, "the crane stands at the second span");
    let (line, wire) = (&loaded.job.lines[0], &loaded.job.study.lines[0].wires[0]);
    for (place, span) in spans.iter().enumerate() {
        let ground_m = view_model::ground_m(line, wire, &Gap { span: place, fraction: 0.5, ..*gap });
        assert!((ground_m - [1.5, 5.0][span.index()]).abs() < 1e-9, "{place}: {ground_m}");
    }
    let height_m = gap.on_wire.z - view_model::ground_m(line, wire, gap);
    let told = loaded.assessment.findings[gaps.least].approach.witness.on_wire;
    let told_m = told.z - view_model::ground_m(line, wire, gap);
    assert!((height_m - told_m).abs() < 1e-3, "{height_m} {told_m}");
}

#[test]
fn us_units_are_those_of_the_command_line() {
    let text = fs::read_to_string(file("tests/snapshots/check-us-units.txt")).expect("a snapshot");
    let printed = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let loaded = loaded("grain-auger-turned-in-the-yard");
    let banner = banner(&loaded, Units::Us);
    for says in banner.figures.iter().map(|figure| &figure.value).chain([&banner.title]) {
        assert!(printed.contains(says), "{says} is not printed:\n{printed}");
    }
    let gap = banner.sentence.trim_end_matches('.');
    assert!(printed.contains(gap), "{gap} is not printed:\n{printed}");
}

#[test]
fn doubt_and_contact_are_told() {
    assert_eq!(view_model::standing(3.0, 3.0), Standing::Outside);
    assert_eq!(view_model::standing(2.999, 3.0), Standing::Inside);
    assert_eq!(view_model::standing(0.0, 3.0), Standing::Touching);
}

#[test]
fn every_demonstration_and_every_step_of_its_lesson_can_be_shown() {
    let mut lessons = 0;
    for name in names() {
        let loaded = loaded(&name);
        let worst = Moment::worst(&loaded.job, &loaded.assessment);
        assert!(Moment::start(&loaded.job).gaps(&loaded.job.study).is_ok(), "{name}");
        for step in loaded.job.lesson.iter().flat_map(|lesson| &lesson.steps) {
            let moment = wideberth_viewer::teaching::moment(&loaded.job, &worst, step);
            assert!(moment.gaps(&loaded.job.study).is_ok(), "{name}: {}", step.caption);
        }
        lessons += usize::from(loaded.job.lesson.is_some());
    }
    assert!(lessons >= 3, "{lessons} lessons");
}
