//! How the program ends.

use std::process::ExitCode;

use wideberth_report::ResultDocument;
use wideberth_report::words::VerdictName;

/// How the program ends, from good to bad.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Clear, or done.
    #[default]
    Done,
    /// Clear, but something is missing before work may start.
    NotReady,
    /// Neither clear nor too close could be proven.
    NotProven,
    /// Too close, or contact.
    TooClose,
    /// A scenario or a question is refused.
    Refused,
    /// A file is missing or cannot be read.
    File,
    /// The arguments make no sense.
    Usage,
    /// Something else went wrong.
    Unexpected,
}

impl Outcome {
    /// The exit code.
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Unexpected => 1,
            Self::Usage => 2,
            Self::TooClose => 10,
            Self::NotProven => 11,
            Self::NotReady => 12,
            Self::Refused => 20,
            Self::File => 21,
        }
    }
}

impl From<&ResultDocument> for Outcome {
    fn from(document: &ResultDocument) -> Self {
        match document.verdict.into() {
            Self::Done if !document.ready => Self::NotReady,
            outcome => outcome,
        }
    }
}

impl From<VerdictName> for Outcome {
    fn from(verdict: VerdictName) -> Self {
        match verdict {
            VerdictName::Clear => Self::Done,
            VerdictName::NotProven => Self::NotProven,
            VerdictName::TooClose | VerdictName::Contact => Self::TooClose,
        }
    }
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        Self::from(outcome.code())
    }
}
