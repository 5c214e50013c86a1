//! Wrong arguments, wrong files, wrong questions.

use crate::generated::repository_root;
use crate::run::{demonstration, run, run_with, scenario};

#[test]
fn wrong_arguments_are_2() {
    let wrong: &[&[&str]] = &[
        &["chekc"],
        &["check"],
        &["check", "--format", "xml", "-"],
        &["check", "--units", "imperial", "-"],
        &["sag", "x.json", "--temperature", "75"],
        &["sag", "x.json", "--wind", "15 ft"],
        &["sag", "x.json", "--span", "1"],
        &["limit"],
        &["limit", "--place", "Ontario"],
        &["limit", "--place", "Ontario", "--voltage", "12.47 kV"],
        &["limit", "--place", "Ontario", "--voltage", "12470", "--basis", "phase-to-phase"],
        &["limit", "--place", "Ontario", "--rule", "ca-on-188", "--voltage", "unknown"],
        &["new", "--machine", "crain"],
        &["explain", "no-such-code"],
        &["schema", "everything"],
        &["completions", "telepathy"],
    ];
    for arguments in wrong {
        let refused = run(arguments);
        assert_eq!(refused.code, 2, "{arguments:?}: {}{}", refused.out, refused.err);
        assert_eq!(refused.out, "", "{arguments:?}");
        assert!(refused.err.starts_with("error: "), "{arguments:?}: {}", refused.err);
    }
}

#[test]
fn help_and_version_are_answers() {
    for arguments in [["--help"], ["--version"], ["help"]] {
        let answer = run(&arguments);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{arguments:?}");
        assert!(answer.out.contains("wideberth"));
    }
}

#[test]
fn missing_files_and_folders_are_21() {
    for path in ["no-such-file.json", "scenarios"] {
        for command in ["check", "sag"] {
            let refused = run(&[command, path]);
            assert_eq!((refused.code, refused.out.as_str()), (21, ""), "{command} {path}: {}", refused.err);
            assert!(refused.err.contains(path));
        }
    }
}

#[test]
fn what_is_no_scenario_is_20() {
    let large = "/".repeat((4 << 20) + 1);
    for (text, code) in [("", "syntax"), ("{", "syntax"), ("[1]", "wrong"), (large.as_str(), "too-large")] {
        let refused = run_with(&["check", "-"], text);
        assert_eq!((refused.code, refused.out.as_str()), (20, ""), "{code}: {}", refused.err);
        assert!(refused.err.contains(code), "{code}: {}", refused.err);
    }
}

#[test]
fn a_file_that_is_not_text_is_20() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("picture.json");
    std::fs::write(&path, [0xff, 0xd8, 0xff, 0xe0]).expect("written");
    let refused = run(&["check", &path.display().to_string()]);
    assert_eq!(refused.code, 20);
    assert!(refused.err.contains("not-text"), "{}", refused.err);
}

#[test]
fn every_problem_is_shown_with_its_line_and_a_caret() {
    let text = demonstration("tipper-on-a-cool-morning")
        .replace(r#""wind_speed": ["0 m/s", "3 m/s"]"#, r#""wind_speed": 3"#)
        .replace("\"heading\":", "\"headign\":");
    let refused = run_with(&["check", "-"], &text);
    assert_eq!(refused.code, 20);
    for part in [
        "error[bare-number]",
        "error[unknown-key]",
        "error[missing-key]",
        "^^^^",
        "did you mean \"heading\"?",
        "3 problems",
    ] {
        assert!(refused.err.contains(part), "{part}: {}", refused.err);
    }
    let line = 1 + text.lines().position(|line| line.contains("\"wind_speed\": 3")).expect("there");
    assert!(refused.err.contains(&format!("standard input:{line}:")), "{}", refused.err);
}

#[test]
fn every_invalid_scenario_is_20() {
    let folder = repository_root().join("tests/scenarios/invalid");
    let mut paths: Vec<String> = std::fs::read_dir(folder)
        .expect("the folder exists")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .map(|path| path.display().to_string())
        .collect();
    paths.sort();
    assert!(paths.len() >= 60);
    for path in paths {
        let refused = run(&["check", &path]);
        assert_eq!((refused.code, refused.out.as_str()), (20, ""), "{path}: {}", refused.err);
        assert!(refused.err.starts_with("error["), "{path}: {}", refused.err);
    }
}

#[test]
fn a_refused_question_about_a_limit_is_20() {
    let questions: &[(&[&str], &str)] = &[
        (&["--place", "Ontaro", "--voltage", "unknown"], "limit-unknown-name"),
        (&["--rule", "Ontario", "--voltage", "unknown"], "limit-unknown-name"),
        (&["--place", "ca-on-188", "--voltage", "unknown"], "limit-unknown-name"),
    ];
    for (arguments, code) in questions {
        let refused = run(&[&["limit"], *arguments].concat());
        assert_eq!((refused.code, refused.out.as_str()), (20, ""), "{arguments:?}");
        assert!(refused.err.contains(code), "{arguments:?}: {}", refused.err);
    }
}

#[test]
fn a_place_beside_no_span_is_2() {
    let refused = run(&["sag", "--at", "5000 m,0 m", &scenario("tipper-on-a-cool-morning")]);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{}", refused.err);
}

#[test]
fn every_code_is_explained() {
    let codes = run(&["explain", "list"]).out;
    for code in codes.lines() {
        let explained = run(&["explain", code]);
        assert_eq!(explained.code, 0, "{code}");
        assert!(explained.out.len() > code.len() + 60, "{code}");
    }
    for words in [
        vec!["NOT", "PROVEN"],
        vec!["not-proven"],
        vec!["12"],
        vec!["exit", "21"],
        vec!["limit", "of", "approach"],
        vec!["Slew"],
    ] {
        let explained = run(&[&["explain"], &words[..]].concat());
        assert_eq!(explained.code, 0, "{words:?}: {}", explained.err);
    }
    assert!(run(&["explain", "limit", "of", "approach"]).out.contains("minimum clearance distance"));
    assert!(codes.contains("too-close") && codes.contains("bare-number") && codes.contains("limit-above-table"));
}
