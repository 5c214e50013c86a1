//! Every invalid scenario is refused with its code at its place, all valid ones are read, and no text makes the reader
//! panic.

use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use wideberth_scenario::source::{self, Source};
use wideberth_scenario::{Code, Context, Job, Problems};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name)
}

/// The scenarios of a folder, by name.
fn scenarios(name: &str) -> Vec<(String, String)> {
    let entries = fs::read_dir(folder(name)).expect("the folder exists");
    let paths = entries.map(|entry| entry.expect("readable").path());
    let mut files: Vec<_> = paths
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .map(|path| {
            (path.file_name().expect("named").to_string_lossy().into_owned(), fs::read_to_string(path).expect("text"))
        })
        .collect();
    files.sort();
    files
}

fn read(text: &str) -> Result<Job, Problems> {
    let files = folder("valid").join("files");
    let context =
        Context::embedded(move |name| fs::read_to_string(files.join(name)).map_err(|error| error.to_string()));
    Job::from_text(text, &context.expect("the built-in catalogue is right"))
}

#[test]
fn valid_scenarios_are_read() {
    let files = scenarios("valid");
    assert!(!files.is_empty());
    for (name, text) in files {
        let job = read(&text).unwrap_or_else(|problems| panic!("{name} is refused:\n{problems}"));
        assert_eq!(job.limits.len(), job.study.pairings.len(), "{name}");
    }
}

/// The code and position that the first line of an invalid file states: `// expect: CODE at LINE:COLUMN`.
fn expected(text: &str) -> (String, usize, usize) {
    let first = text.lines().next().and_then(|line| line.strip_prefix("// expect: ")).expect("states what it expects");
    let (code, place) = first.split_once(" at ").expect("code and place");
    let (line, column) = place.split_once(':').expect("line and column");
    (code.into(), line.parse().expect("line"), column.parse().expect("column"))
}

#[test]
fn each_invalid_scenario_is_refused_for_its_reason_at_its_place() {
    let files = scenarios("invalid");
    assert!(files.len() >= 60, "{} files", files.len());
    let mut failures = Vec::new();
    for (name, text) in files {
        let (code, line, column) = expected(&text);
        match read(&text) {
            Ok(_) => failures.push(format!("{name}: accepted")),
            Err(problems) => {
                let found = problems.iter().any(|p| (p.code.name(), p.line, p.column) == (&code, line, column));
                let alone = problems.iter().all(|p| p.code.name() == code);
                if !found || !alone || problems.iter().any(|p| p.message.is_empty() || p.help.is_empty()) {
                    failures.push(format!("{name}: expected {code} at {line}:{column}, found\n{problems}"));
                }
            }
        }
    }
    assert!(failures.is_empty(), "{}\n{} failures", failures.join("\n"), failures.len());
}

/// Codes that no file of the folder can show, each with the reason.
const WITHOUT_FILE: &[(Code, &str)] = &[
    (Code::TooLarge, "made below, too large to keep"),
    (Code::NotText, "made below, not text"),
    (Code::Machine, "shown by the tests of machine files"),
    (Code::Placement, "the ranges of single quantities are narrower, so that they refuse first"),
    (Code::Structure, "the schema refuses first"),
];

#[test]
fn every_code_has_an_invalid_file() {
    let shown: Vec<String> = scenarios("invalid").iter().map(|(_, text)| expected(text).0).collect();
    let missing: Vec<_> = Code::ALL
        .iter()
        .filter(|code| !shown.iter().any(|name| name == code.name()))
        .filter(|code| !WITHOUT_FILE.iter().any(|(without, _)| without == *code))
        .collect();
    assert!(missing.is_empty(), "no invalid file for {missing:?}");
}

#[test]
fn all_problems_are_reported_at_once_in_the_order_of_the_text() {
    let base = &scenarios("valid")[0].1;
    let text = base
        .replace("\"drag\": 1.0", "\"drag\": 12")
        .replace("\"12.47 kV\"", "12.47")
        .replace("\"work\": \"operate\"", "\"work\": \"lift\"")
        .replace("\"max_cells\": 300000", "\"max_cels\": 300000");
    let problems = read(&text).expect_err("four problems");
    let codes: Vec<_> = problems.iter().map(|p| p.code).collect();
    assert_eq!(codes, [Code::OutOfRange, Code::BareNumber, Code::UnknownWord, Code::UnknownKey]);
    let text = base
        .replace(
            "acsr-penguin-4-0-6-1\",\n          \"attachments\": [\n",
            "acsr-nothing\",\n          \"attachments\": [\n",
        )
        .replace("\"luff\": [\"30 deg\"", "\"luff\": [\"-30 deg\"")
        .replace("us-osha-1408-20ft", "us-osha");
    let problems = read(&text).expect_err("three problems");
    let codes: Vec<_> = problems.iter().map(|p| p.code).collect();
    assert_eq!(codes, [Code::UnknownConductor, Code::JointRange, Code::UnknownRule], "{problems}");
}

#[test]
fn suggestions_name_what_was_meant() {
    let help = |name: &str| {
        let text = fs::read_to_string(folder("invalid").join(name)).expect("exists");
        read(&text).expect_err("refused").iter().map(|p| p.help.clone()).collect::<String>()
    };
    assert!(help("unknown-key-mistyped.json").contains("attachment_tolerance"));
    assert!(help("unknown-conductor.json").contains("acsr-penguin-4-0-6-1"));
    assert!(help("unknown-place.json").contains("Ontario"));
    assert!(help("unknown-machine.json").contains("mobile-crane"));
    assert!(help("unknown-unit-case.json").contains("kV"));
    assert!(help("unknown-word-basis.json").contains("phase to phase"));
    assert!(help("drag-in-quotes.json").contains("without quotes: 1.0"));
    assert!(help("bare-number-temperature.json").contains("15 degC"));
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_without_reading_it() {
    let path = tempfile::NamedTempFile::new().expect("a temporary file");
    path.as_file().set_len(100 << 20).expect("a sparse file");
    let length = path.as_file().metadata().expect("metadata").len();
    let problems = source::check_size(length).expect_err("too large");
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), [Code::TooLarge]);
    // Somebody who reads it all the same is refused before anything is parsed.
    let bytes = fs::read(path.path()).expect("readable");
    let problems = Source::read_bytes(&bytes).expect_err("too large");
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), [Code::TooLarge]);
}

#[test]
fn bytes_that_are_no_text_are_refused() {
    let problems = Source::read_bytes(b"{\"format\": \"\xff\xfe\"}").expect_err("not text");
    assert_eq!(problems.iter().map(|p| p.code).collect::<Vec<_>>(), [Code::NotText]);
}

/// Texts that are put in the place of others.
const SWAPPED: &[&str] = &[
    "null",
    "0",
    "-1",
    "1e308",
    "\"\"",
    "\"nan m\"",
    "\"inf deg\"",
    "\"-0 m\"",
    "\"1e-320 m\"",
    "\"90 deg\"",
    "\"1 m\"",
    "\"0.000001 kN\"",
    "[]",
    "{}",
    "[[]]",
    "\"unknown\"",
    "true",
    "\"P1\"",
    "[\"1 m\", \"1 m\"]",
    "[\"0 deg\", \"1 deg\"]",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn damaged_bytes_never_panic(at in 0.0..1.0_f64, length in 0_usize..40, put in prop::collection::vec(any::<u8>(), 0..12)) {
        let mut bytes = scenarios("valid")[0].1.clone().into_bytes();
        let start = (at * bytes.len() as f64) as usize;
        let end = (start + length).min(bytes.len());
        bytes.splice(start..end, put);
        if let Ok(text) = source::decode(&bytes) {
            let _ = read(text).map_err(|problems| assert!(!problems.is_empty()));
        }
    }

    #[test]
    fn swapped_values_never_panic(places in prop::collection::vec((0.0..1.0_f64, 0..SWAPPED.len()), 1..4)) {
        let mut text = scenarios("valid")[0].1.clone();
        for (at, swapped) in places {
            let values = value_ranges(&text);
            let range = values[(at * values.len() as f64) as usize].clone();
            text.replace_range(range, SWAPPED[swapped]);
        }
        let _ = read(&text).map_err(|problems| assert!(!problems.is_empty()));
    }

    #[test]
    fn changed_numbers_never_panic(at in 0.0..1.0_f64, factor in prop::sample::select(vec![0.0, -1.0, 1e-6, 1e-3, 0.1, 0.5, 2.0, 10.0, 1e3, 1e9])) {
        let mut text = scenarios("valid")[0].1.clone();
        let numbers = number_ranges(&text);
        let range = numbers[(at * numbers.len() as f64) as usize].clone();
        let value: f64 = text[range.clone()].parse().expect("a number");
        text.replace_range(range, &format!("{}", value * factor));
        let _ = read(&text).map_err(|problems| assert!(!problems.is_empty()));
    }
}

/// Where quoted texts and numbers that are values stand.
fn value_ranges(text: &str) -> Vec<std::ops::Range<usize>> {
    let quotes: Vec<_> = text.match_indices('"').map(|(at, _)| at).collect();
    let texts = quotes.chunks_exact(2).map(|pair| pair[0]..pair[1] + 1);
    texts.filter(|range| !text[range.end..].starts_with(':')).collect()
}

/// Where the numbers of quantities stand.
fn number_ranges(text: &str) -> Vec<std::ops::Range<usize>> {
    value_ranges(text)
        .into_iter()
        .filter_map(|range| {
            let start = range.start + 1;
            let length = text[start..range.end].find(' ')?;
            text[start..start + length].parse::<f64>().ok().map(|_| start..start + length)
        })
        .collect()
}

#[test]
fn hostile_files_are_refused_quickly() {
    let keys: String = (0..100_000).map(|i| format!("\"k{i}\": 1, ")).collect();
    let head = "{\"format\": \"wideberth-scenario\", \"version\": 1, ";
    let hostile = [
        format!("{head}{keys}\"title\": \"\"}}"),
        format!("{head}\"lines\": [{}0]}}", "0,".repeat(300_000)),
        format!("{head}\"title\": \"{}\"}}", "x".repeat(4_000_000)),
        format!("{head}\"machines\": [{}{{}}]}}", "{},".repeat(60)),
        "/*".repeat(1_000_000),
        "\"".repeat(1_000_001),
        "{\"a\":".repeat(31),
    ];
    for text in hostile {
        let start = std::time::Instant::now();
        let problems = read(&text).expect_err("hostile");
        assert!(!problems.is_empty() && problems.len() <= wideberth_scenario::problem::MOST_PROBLEMS);
        assert!(start.elapsed().as_secs() < 10, "{} took {:?}", &text[..60], start.elapsed());
    }
}
