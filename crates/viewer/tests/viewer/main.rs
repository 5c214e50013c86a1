//! The viewer as a whole: numbers, scene, input, pictures, a real window.

mod input;
mod keys;
mod long_line;
mod model;
mod numbers;
mod pictures;
mod ranges;
mod refusals;
mod reload;
mod room;
mod scene;
mod window;

use std::path::{Path, PathBuf};

use wideberth_viewer::loaded::{Loaded, Origin};

/// A file of the repository.
fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(name)
}

/// Where a demonstration lies.
fn demonstration(name: &str) -> PathBuf {
    file("scenarios").join(format!("{name}.json"))
}

/// A demonstration with its answer.
fn loaded(name: &str) -> Loaded {
    Origin::File(demonstration(name)).load().expect("a demonstration has an answer")
}

/// A folder of this test's own.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    folder
}
