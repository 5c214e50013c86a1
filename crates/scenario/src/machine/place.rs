//! A place in a file, for checks that walk down it.

use crate::code::Code;
use crate::path::Path;
use crate::problem::Problem;
use crate::source::Source;

/// A path in a file.
#[derive(Clone, Debug)]
pub(super) struct Place<'a> {
    source: &'a Source,
    pub(super) path: Path,
}

impl<'a> Place<'a> {
    pub(super) fn new(source: &'a Source, path: Path) -> Self {
        Self { source, path }
    }

    pub(super) fn key(&self, key: &str) -> Self {
        Self { source: self.source, path: self.path.key(key) }
    }

    pub(super) fn index(&self, index: usize) -> Self {
        Self { source: self.source, path: self.path.index(index) }
    }

    pub(super) fn problem(&self, code: Code, message: impl Into<String>, help: impl Into<String>) -> Problem {
        self.source.problem(code, &self.path, message, help)
    }
}
