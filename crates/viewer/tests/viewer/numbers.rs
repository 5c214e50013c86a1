//! The numbers on the screen are those of `wideberth check`, to the printed digit.

use std::fs;

use wideberth_physics::approach::Gap;
use wideberth_report::Units;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::moment::Moment;
use wideberth_viewer::strings::ENGLISH;
use wideberth_viewer::view_model::{self, Standing};

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

#[test]
fn banner_and_table_say_what_the_command_line_prints() {
    for name in names() {
        let (loaded, printed) = (loaded(&name), printed(&name));
        let banner = view_model::banner(&loaded.document, Units::Si, &ENGLISH).expect("there is a worst case");
        assert!(printed.contains(&banner.word), "{name}: {}", banner.word);
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
        assert!((gap.distance_m - worst.closest_approach.upper_m).abs() < 1e-6, "{name}: {gap:?}");
        let pairing = &loaded.job.study.pairings[gaps.least];
        let (line, wire) = (&loaded.job.lines[pairing.line], &loaded.job.study.lines[pairing.line].wires[pairing.wire]);
        let height_m = gap.on_wire.z - view_model::ground_m(line, wire, gap);
        assert!((height_m - worst.witness.wire_above_ground_m).abs() < 1e-3, "{name}: {height_m}");
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
    let told_m = loaded.document.worst().expect("a worst case").witness.wire_above_ground_m;
    assert!((height_m - told_m).abs() < 1e-3, "{height_m} {told_m}");
}

#[test]
fn us_units_are_those_of_the_command_line() {
    let text = fs::read_to_string(file("tests/snapshots/check-us-units.txt")).expect("a snapshot");
    let printed = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let loaded = loaded("grain-auger-turned-in-the-yard");
    let banner = view_model::banner(&loaded.document, Units::Us, &ENGLISH).expect("there is a worst case");
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
