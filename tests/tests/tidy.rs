//! The shape of the workspace: which crate may depend on which, and what no file may hold.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use cargo_metadata::MetadataCommand;

/// For each crate, the crates of the workspace that it may use.
const LAYERS: [(&str, &[&str]); 8] = [
    ("wideberth-physics", &[]),
    ("wideberth-rules", &[]),
    ("wideberth-scenario", &["wideberth-physics", "wideberth-rules"]),
    ("wideberth-plan", &["wideberth-physics", "wideberth-rules", "wideberth-scenario"]),
    ("wideberth-report", &["wideberth-physics", "wideberth-rules", "wideberth-scenario", "wideberth-plan"]),
    ("wideberth-cli", BELOW_PROGRAMS),
    ("wideberth-viewer", BELOW_PROGRAMS),
    (
        "wideberth-tests",
        &[
            "wideberth-physics",
            "wideberth-rules",
            "wideberth-scenario",
            "wideberth-plan",
            "wideberth-report",
            "wideberth-cli",
        ],
    ),
];

/// What the two programs may use; neither uses the other.
const BELOW_PROGRAMS: &[&str] =
    &["wideberth-physics", "wideberth-rules", "wideberth-scenario", "wideberth-plan", "wideberth-report"];

/// External crates that a layer must never see.
const FORBIDDEN: [(&str, &[&str]); 4] = [
    ("wideberth-physics", &["serde", "serde_json", "csv", "clap", "bevy", "rand", "jsonc-parser", "log", "tracing"]),
    ("wideberth-rules", &["clap", "bevy", "nalgebra", "csv"]),
    ("wideberth-scenario", &["clap", "bevy", "anstyle"]),
    ("wideberth-plan", &["clap", "bevy", "anstyle"]),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace holds this package").to_path_buf()
}

/// Normal and build dependencies of each crate of the workspace.
fn dependencies() -> BTreeMap<String, Vec<String>> {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()
        .expect("cargo metadata answers");
    let used = |package: &cargo_metadata::Package| {
        let kinds = package.dependencies.iter().filter(|d| d.kind != cargo_metadata::DependencyKind::Development);
        kinds.map(|d| d.name.clone()).collect()
    };
    metadata.packages.iter().map(|package| (package.name.to_string(), used(package))).collect()
}

#[test]
fn every_crate_uses_only_the_layers_below_it() {
    let all = dependencies();
    for (name, used) in &all {
        let allowed = LAYERS.iter().find(|(layer, _)| layer == name).map(|(_, allowed)| *allowed);
        let allowed = allowed.unwrap_or_else(|| panic!("{name} has no place in the layers: add it to LAYERS"));
        for dependency in used.iter().filter(|d| all.contains_key(*d)) {
            assert!(allowed.contains(&dependency.as_str()), "{name} must not depend on {dependency}");
        }
    }
}

#[test]
fn no_layer_sees_what_it_must_not() {
    let all = dependencies();
    for (name, forbidden) in FORBIDDEN {
        for dependency in &all[name] {
            assert!(!forbidden.contains(&dependency.as_str()), "{name} must not depend on {dependency}");
        }
    }
}

#[test]
fn the_layer_check_can_fail() {
    // The same rule, asked of an edge that must not be.
    let (_, allowed) = LAYERS[0];
    assert!(!allowed.contains(&"wideberth-scenario"));
    assert!(dependencies()["wideberth-cli"].iter().any(|d| d == "clap"), "the reader of dependencies sees them");
}

/// Files that git tracks.
fn tracked() -> Vec<PathBuf> {
    let output = Command::new("git").arg("ls-files").current_dir(root()).output().expect("git lists the files");
    String::from_utf8_lossy(&output.stdout).lines().map(|line| root().join(line)).filter(|p| p.is_file()).collect()
}

#[test]
fn no_source_is_unfinished() {
    let marks = ["todo!(", "unimplemented!(", "dbg!(", "#[ignore"];
    for path in tracked().iter().filter(|p| p.extension().is_some_and(|e| e == "rs") && !p.ends_with("tidy.rs")) {
        let text = std::fs::read_to_string(path).expect("a tracked source is readable");
        for mark in marks {
            assert!(!text.contains(mark), "{} holds {mark}", path.display());
        }
    }
}

#[test]
fn no_file_is_too_long_to_read() {
    for path in tracked().iter().filter(|p| p.extension().is_some_and(|e| e == "rs")) {
        let lines = std::fs::read_to_string(path).expect("a tracked source is readable").lines().count();
        assert!(lines <= 600, "{} has {lines} lines: split it", path.display());
    }
}
