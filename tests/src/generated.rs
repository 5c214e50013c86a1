//! Generated documents: compared with what is committed, rewritten on request.

use std::path::{Path, PathBuf};

/// The root of the repository: that of `WIDEBERTH_ROOT` where it is set, for test programs that run elsewhere than where they
/// were built; else the one in which they were built.
#[must_use]
pub fn repository_root() -> PathBuf {
    if let Some(root) = std::env::var_os("WIDEBERTH_ROOT") {
        return PathBuf::from(root);
    }
    let inside = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors();
    inside.into_iter().find(|folder| folder.join("Cargo.lock").is_file()).map(Path::to_path_buf).unwrap_or_default()
}

/// Compares `text` with the committed file at `path` (from the root of the repository); with `WIDEBERTH_BLESS=1` in the
/// environment it writes the file instead.
///
/// # Panics
///
/// When the file is missing or stale, or cannot be written.
pub fn compare_or_bless(path: &str, text: &str) {
    let file = repository_root().join(path);
    if std::env::var_os("WIDEBERTH_BLESS").is_some_and(|value| value == "1") {
        std::fs::write(&file, text).unwrap_or_else(|error| panic!("{path} cannot be written: {error}"));
        return;
    }
    let committed = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(committed == text, "{path} is stale: run the tests once with WIDEBERTH_BLESS=1 and look at the difference");
}
