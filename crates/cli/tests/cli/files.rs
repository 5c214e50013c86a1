//! Files are written whole or not at all, never onto an input, and an answer that was computed is seen.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::run::{demonstration, program, run, scenario};

const CLOSE: &str = "tipper-on-a-hot-afternoon";
const QUICK: [&str; 4] = ["--size", "10 m,10 m", "--edge", "5 m"];

fn stand(more: &[&str]) -> crate::run::Run {
    let path = scenario(CLOSE);
    let all: Vec<&str> = ["stand", &path].into_iter().chain(QUICK).chain(more.iter().copied()).collect();
    run(&all)
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a name")
}

#[test]
fn an_input_is_never_overwritten_under_any_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let job = folder.path().join("job.json");
    fs::write(&job, demonstration(CLOSE)).expect("written");
    let linked = folder.path().join("linked.svg");
    fs::hard_link(&job, &linked).expect("a link");
    let round = folder.path().join("sub/../job.json");
    fs::create_dir(folder.path().join("sub")).expect("a folder");
    for output in [&job, &linked, &round] {
        for option in ["--svg", "--png", "--geojson"] {
            let refused = run(&["stand", text(&job), option, text(output)]);
            assert_eq!((refused.code, refused.out.as_str()), (2, ""), "{option}: {}", refused.err);
            assert!(refused.err.contains("would overwrite"), "{}", refused.err);
            assert_eq!(fs::read_to_string(&job).expect("there"), demonstration(CLOSE));
        }
    }
}

#[test]
fn a_file_that_the_scenario_names_is_an_input_too() {
    let folder = tempfile::tempdir().expect("a folder");
    let name = "tipping-before-the-heat-of-the-day";
    fs::create_dir(folder.path().join("weather")).expect("a folder");
    let weather = folder.path().join("weather/larkfield-14-july.csv");
    let from = crate::generated::repository_root().join("scenarios/weather/larkfield-14-july.csv");
    fs::copy(from, &weather).expect("copied");
    let job = folder.path().join("job.json");
    fs::write(&job, demonstration(name)).expect("written");
    let before = fs::read(&weather).expect("there");
    let refused = run(&["stand", text(&job), "--svg", text(&weather)]);
    assert_eq!(refused.code, 2, "{}", refused.err);
    assert_eq!(fs::read(&weather).expect("there"), before);
}

#[test]
fn two_outputs_are_two_files_and_a_dash_is_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let one = folder.path().join("one");
    let refused = stand(&["--svg", text(&one), "--png", text(&one)]);
    assert_eq!((refused.code, one.exists()), (2, false), "{}", refused.err);
    assert!(refused.err.contains("--svg and --png"), "{}", refused.err);
    let refused = stand(&["--svg", "-"]);
    assert_eq!((refused.code, Path::new("-").exists()), (2, false), "{}", refused.err);
}

#[test]
fn an_answer_that_was_computed_is_printed_even_if_a_file_cannot_be_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let nowhere = folder.path().join("no-such-folder/map.svg");
    let told = stand(&["--svg", text(&nowhere)]);
    assert_eq!(told.code, 21);
    assert!(told.out.contains("may stand") && told.err.contains("cannot be written"), "{}{}", told.out, told.err);
    let onto_folder = stand(&["--svg", text(folder.path())]);
    assert_eq!(onto_folder.code, 21, "{}", onto_folder.err);
    let good = folder.path().join("map.svg");
    let told = stand(&["--svg", text(&good)]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(fs::read_to_string(&good).expect("there").starts_with("<svg"));
    let left: Vec<_> = fs::read_dir(folder.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "nothing else is left beside it: {left:?}");
}

#[cfg(unix)]
#[test]
fn a_new_file_has_the_permissions_of_any_new_file_and_an_old_one_keeps_its_own() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().expect("a folder");
    let mode = |path: &Path| fs::metadata(path).expect("there").permissions().mode() & 0o777;
    let (plain, made) = (folder.path().join("plain"), folder.path().join("made.svg"));
    fs::write(&plain, "").expect("written");
    assert_eq!(stand(&["--svg", text(&made)]).code, 0);
    assert_eq!(mode(&made), mode(&plain));
    fs::set_permissions(&made, fs::Permissions::from_mode(0o640)).expect("set");
    assert_eq!(stand(&["--svg", text(&made)]).code, 0);
    assert_eq!(mode(&made), 0o640);
    fs::set_permissions(&made, fs::Permissions::from_mode(0o440)).expect("set");
    assert_eq!(stand(&["--svg", text(&made)]).code, 21, "a write-protected file stays");
}

/// Ended at any moment, a writing command leaves the old file or the new one.
#[test]
fn killed_at_any_moment_it_leaves_the_old_file_or_the_new_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let map = folder.path().join("map.png");
    assert_eq!(stand(&["--png", text(&map), "--pixels", "400"]).code, 0);
    let new = fs::read(&map).expect("there");
    let path = scenario(CLOSE);
    for moment in 0..40 {
        fs::write(&map, "old").expect("written");
        let mut child = program()
            .args(["stand", &path])
            .args(QUICK)
            .args(["--png", text(&map), "--pixels", "400"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("starts");
        std::thread::sleep(Duration::from_millis(moment * 7 % 120));
        // It may have ended already.
        let _ = child.kill();
        child.wait().expect("ends");
        let found = fs::read(&map).expect("there");
        assert!(found == b"old" || found == new, "{} bytes at moment {moment}", found.len());
    }
}

#[cfg(target_os = "linux")]
#[test]
fn nobody_sees_the_answer_is_not_0() {
    let shell = |line: &str| {
        let line = line.replace("PROGRAM", env!("CARGO_BIN_EXE_wideberth"));
        let done = Command::new("sh").args(["-c", &line]).current_dir(crate::generated::repository_root()).output();
        done.expect("a shell").status.code()
    };
    let clear = scenario("tipper-on-a-cool-morning");
    for line in
        ["PROGRAM check FILE >&-", "PROGRAM --help >&-", "PROGRAM --help > /dev/full", "PROGRAM check FILE > /dev/full"]
    {
        assert_eq!(shell(&line.replace("FILE", &clear)), Some(21), "{line}");
    }
    // Thrown away on purpose, it was answered all the same.
    assert_eq!(shell(&format!("PROGRAM check {clear} > /dev/null")), Some(0));
}
