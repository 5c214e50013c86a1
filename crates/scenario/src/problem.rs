//! A problem in a file: what is wrong, where, and what to do; and all the problems of a file together.

use std::fmt;

use crate::code::Code;
use crate::source::Position;

/// One problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What kind of problem.
    pub code: Code,
    /// The referenced file that it stands in; none for the file that was asked for.
    pub file: Option<String>,
    /// Where in the file, such as `lines[0].wires[2].conductor`.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong and why; lower case, with the value found.
    pub message: String,
    /// What to do.
    pub help: String,
}

impl Problem {
    /// A problem at a position.
    #[must_use]
    pub fn new(
        code: Code,
        path: impl fmt::Display,
        at: Position,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let Position { line, column } = at;
        let (path, message, help) = (short(path.to_string()), short(message.into()), short(help.into()));
        Self { code, file: None, path, line, column, message, help }
    }
}

/// Most characters of a message: what a file holds may be of any length.
const MOST_CHARACTERS: usize = 1200;

/// A text of any length without its middle, which nobody reads.
fn short(text: String) -> String {
    let count = if text.len() <= MOST_CHARACTERS { 0 } else { text.chars().count() };
    if count <= MOST_CHARACTERS {
        return text;
    }
    let half = MOST_CHARACTERS / 2;
    let (head, tail): (String, String) = (text.chars().take(half).collect(), text.chars().skip(count - half).collect());
    format!("{head} ... {} characters left out ... {tail}", count - 2 * half)
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { code, file, path, line, column, message, help } = self;
        if let Some(file) = file {
            write!(f, "{file}:")?;
        }
        write!(f, "{line}:{column}: {path}: {message} [{code}]")?;
        if help.is_empty() { Ok(()) } else { write!(f, "; {help}") }
    }
}

/// Everything found wrong with a file, in the order of the text. Never empty when it is an error.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

/// Most problems that are kept; more than these nobody reads, and a hostile file could make millions.
pub const MOST_PROBLEMS: usize = 500;

impl Problems {
    /// Nothing found wrong so far.
    #[must_use]
    pub fn none() -> Self {
        Self::default()
    }

    /// Adds one, unless the same stands there already or there are [`MOST_PROBLEMS`].
    pub fn add(&mut self, problem: Problem) {
        if self.0.len() < MOST_PROBLEMS && !self.0.contains(&problem) {
            self.0.push(problem);
        }
    }

    /// Adds those of another step.
    pub fn extend(&mut self, others: Self) {
        others.0.into_iter().for_each(|problem| self.add(problem));
    }

    /// Keeps the value of a result and adds its problems.
    pub fn collect<T>(&mut self, result: Result<T, Self>) -> Option<T> {
        result.map_err(|problems| self.extend(problems)).ok()
    }

    /// Says of every problem without file that it stands in this referenced file.
    #[must_use]
    pub fn in_file(mut self, name: &str) -> Self {
        for problem in &mut self.0 {
            problem.file.get_or_insert_with(|| name.to_string());
        }
        self
    }

    /// Whether nothing was found wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Each of them, in the order of the text.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// The value, if nothing was found wrong.
    ///
    /// # Errors
    /// The problems, sorted by file and position, when there are any.
    pub fn into_result<T>(mut self, value: T) -> Result<T, Self> {
        if self.0.is_empty() {
            return Ok(value);
        }
        self.0.sort_by(|a, b| (&a.file, a.line, a.column, a.code).cmp(&(&b.file, b.line, b.column, b.code)));
        Err(self)
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl FromIterator<Problem> for Problems {
    fn from_iter<I: IntoIterator<Item = Problem>>(items: I) -> Self {
        let mut problems = Self::none();
        items.into_iter().for_each(|problem| problems.add(problem));
        problems
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}
