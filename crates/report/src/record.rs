//! One record for every file that was asked about: its answer, or why there is none.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_scenario::Problem;

use crate::document::{Document, ResultDocument};

/// The answer to a file.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Record {
    /// The file, as it was named.
    pub file: String,
    /// The exit code for this file alone.
    pub exit: u8,
    /// Always empty: the scenario was accepted.
    pub problems: Vec<ProblemResult>,
    /// The answer.
    #[serde(flatten)]
    pub result: ResultDocument,
}

impl Document for Record {}

/// A file without an answer.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Refusal {
    /// The file, as it was named; left out where the question is about none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The exit code for this file alone.
    pub exit: u8,
    /// What is wrong, in the order of the file.
    pub problems: Vec<ProblemResult>,
    /// Always "wideberth-refusal".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: &'static str,
}

impl Document for Refusal {}

impl Refusal {
    /// The refusal of a file.
    #[must_use]
    pub fn new(file: Option<&str>, exit: u8, problems: Vec<ProblemResult>) -> Self {
        let computed_by = concat!("wideberth ", env!("CARGO_PKG_VERSION"));
        Self { file: file.map(String::from), exit, problems, format: "wideberth-refusal", version: 1, computed_by }
    }
}

/// What is wrong, where, and what to do.
#[derive(Clone, Debug, Default, JsonSchema, PartialEq, Serialize)]
pub struct ProblemResult {
    /// Stable name, which `explain` knows.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub code: Option<&'static str>,
    /// The file that is named in the scenario and in which it stands; left out for the scenario itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_file: Option<String>,
    /// Where in the file, such as `lines[0].wires[2].conductor`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<String>,
    /// Line, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column in characters, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
    /// What is wrong and why.
    pub message: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
}

impl ProblemResult {
    /// A problem of a file.
    #[must_use]
    pub fn of(problem: &Problem) -> Self {
        Self {
            code: Some(problem.code.name()),
            in_file: problem.file.clone(),
            path: Some(problem.path.clone()),
            line: Some(problem.line),
            column: Some(problem.column),
            message: problem.message.clone(),
            help: Some(problem.help.clone()).filter(|help| !help.is_empty()),
        }
    }

    /// A problem without a place.
    #[must_use]
    pub fn says(message: impl ToString) -> Self {
        Self { message: message.to_string(), ..Self::default() }
    }
}
