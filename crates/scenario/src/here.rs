//! A place in a source, to report problems at.

use crate::code::Code;
use crate::path::Path;
use crate::problem::Problem;
use crate::source::Source;

/// A place in a source.
#[derive(Clone, Debug)]
pub(crate) struct Here<'s> {
    /// The source.
    pub source: &'s Source,
    /// The place.
    pub path: Path,
}

impl<'s> Here<'s> {
    /// The whole of a source.
    pub fn root(source: &'s Source) -> Self {
        Self { source, path: Path::root() }
    }

    /// The value of a key.
    pub fn key(&self, key: &str) -> Self {
        Self { source: self.source, path: self.path.key(key) }
    }

    /// An item of a list.
    pub fn index(&self, index: usize) -> Self {
        Self { source: self.source, path: self.path.index(index) }
    }

    /// A problem here.
    pub fn problem(&self, code: Code, message: impl Into<String>, help: impl Into<String>) -> Problem {
        self.source.problem(code, &self.path, message, help)
    }

    /// A problem with a key of a map, at the key itself.
    pub fn key_problem(&self, code: Code, message: impl Into<String>, help: impl Into<String>) -> Problem {
        Problem::new(code, &self.path, self.source.key_position(&self.path), message, help)
    }
}
