//! What is refused, with which exit code and which words.

use std::path::Path;
use std::process::{Command, Output};

use super::{demonstration, file, folder};

fn view(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("the viewer runs")
}

/// Runs it and looks at its code and words; it prints nothing but its error.
fn refused(arguments: &[&str], code: i32, says: &[&str]) {
    let run = view(arguments);
    let err = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(code), "{arguments:?}: {err}");
    says.iter().for_each(|word| assert!(err.contains(word), "{arguments:?}: {err}"));
    assert!(run.stdout.is_empty(), "{arguments:?}");
}

#[test]
fn wrong_arguments_are_refused() {
    refused(&["--size", "10x10", "--picture", "never.png"], 2, &["10x10 is outside 160x90 to 7680x4320"]);
    refused(&["--size", "wide", "--picture", "never.png"], 2, &["\"wide\" is no size", "1280x720"]);
    refused(&["--rate", "0", "--film", "never"], 2, &["0 is not in 1..=120"]);
    refused(&["--seconds", "-3", "--film", "never"], 2, &["from 0.1 to 600"]);
    refused(&["--seconds", "soon", "--film", "never"], 2, &["\"soon\" is no number"]);
    refused(&["--measure", "0"], 2, &["from 0.1 to 3600"]);
    refused(&["--text-size", "9"], 2, &["from 0.5 to 2"]);
    refused(&["--picture", "never.jpg"], 2, &["let \"never.jpg\" end in .png"]);
    refused(&["--camera", "moon"], 2, &["orbit", "spotter"]);
    refused(&["--play", "dance"], 2, &["work", "sway", "heat"]);
    refused(&["--units", "furlongs"], 2, &["si", "us"]);
    refused(&["--answer"], 2, &["--step"]);
    refused(&["--picture", "never.png", "--film", "never"], 2, &["cannot be used with"]);
    refused(&["--at", "luff", "--picture", "never.png"], 2, &["luff=60 deg"]);
    assert!(!Path::new("never.png").exists() && !Path::new("never").exists());
}

#[test]
fn what_cannot_be_shown_is_refused() {
    let out = folder("refusals").join("never.png");
    let (out, cool) = (out.to_string_lossy(), demonstration("tipper-on-a-cool-morning"));
    let cool = cool.to_string_lossy();
    let small = ["--size", "160x90", "--picture", &out];
    let with = |more: &[&'static str]| [&[&*cool][..], &small, more].concat();
    refused(&[&["absent.json"][..], &small].concat(), 1, &["absent.json"]);
    refused(&with(&["--at", "raize=10 deg"]), 1, &["no machine has a joint \"raize\"", "did you mean \"raise\""]);
    refused(&with(&["--at", "raise=10 m"]), 1, &["the value of \"raise\" cannot be read"]);
    refused(&with(&["--step", "3"]), 1, &["there is no step 3"]);
    let invalid = file("tests/scenarios/invalid").join("unknown-field.json");
    let invalid = first_invalid(&invalid);
    refused(&[&[invalid.as_str()][..], &small].concat(), 1, &["line"]);
    refused(&[&*cool, "--picture", "/absent/folder/out.png", "--size", "160x90"], 1, &["/absent/folder/out.png"]);
    assert!(!Path::new(&*out).exists());
}

/// The file, or the first of its folder.
fn first_invalid(wanted: &Path) -> String {
    let folder = wanted.parent().expect("a folder");
    let mut all: Vec<_> = std::fs::read_dir(folder).expect("a folder").map(|f| f.expect("a file").path()).collect();
    all.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
    all.sort();
    let chosen = if wanted.exists() { wanted.to_path_buf() } else { all.swap_remove(0) };
    chosen.to_string_lossy().into_owned()
}

#[test]
fn without_a_graphics_adapter_it_says_what_to_install() {
    let out = folder("no-adapter").join("never.png");
    let run = Command::new(env!("CARGO_BIN_EXE_wideberth-view"))
        .args(["--size", "160x90", "--picture"])
        .arg(&out)
        .env("VK_DRIVER_FILES", "/absent/driver.json")
        .env("VK_ICD_FILENAMES", "/absent/driver.json")
        .output()
        .expect("the viewer runs");
    let err = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(1), "{err}");
    for word in ["no graphics adapter was found", "mesa-vulkan-drivers", "wideberth check"] {
        assert!(err.contains(word), "{err}");
    }
    assert!(!out.exists());
}
