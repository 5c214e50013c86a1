//! How the program ends: one table from what was found, or why nothing was, to an exit code.

use std::process::ExitCode;

use wideberth_physics::approach::ApproachError;
use wideberth_plan::answer::AnswerError;
use wideberth_plan::day::DayError;
use wideberth_plan::decide::PlanError;
use wideberth_plan::sway::SwayStudyError;
use wideberth_report::ResultDocument;
use wideberth_report::day::DayDocument;
use wideberth_report::draw::PictureError;
use wideberth_report::words::VerdictName;
use wideberth_rules::LimitError;
use wideberth_scenario::Problems;

use crate::input::{Input, InputError};

/// How the program ends, from good to bad. Of several the worst counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Clear and ready; or done, for a command that gives no verdict.
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
    /// A file is missing, or cannot be read or written.
    File,
    /// The arguments make no sense.
    Usage,
    /// A defect of the program.
    Unexpected,
}

impl Outcome {
    /// Every outcome, from good to bad.
    pub const ALL: [Self; 8] = [
        Self::Done,
        Self::NotReady,
        Self::NotProven,
        Self::TooClose,
        Self::Refused,
        Self::File,
        Self::Usage,
        Self::Unexpected,
    ];

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

    /// What it means and what to do.
    pub fn explain(self) -> &'static str {
        match self {
            Self::Done => {
                "The plan is proven clear and nothing is missing; or, from a command that gives no verdict (fixes, stand, chart, drivers, sag, sway, \
                 limit and the like), the question is answered. It is not permission to work."
            }
            Self::Unexpected => {
                "A defect of the program: this should not happen with any scenario. Report it with the scenario that did it, and rely on nothing."
            }
            Self::Usage => {
                "The arguments make no sense. Nothing was computed; `wideberth --help` says what is possible."
            }
            Self::TooClose => {
                "A part can come closer than the limit, or touch a wire. The plan cannot stay as it is; `wideberth fixes` proposes controls."
            }
            Self::NotProven => {
                "Neither clear nor too close could be proven, or the work was stopped before. Treat it as too close."
            }
            Self::NotReady => {
                "The plan is proven clear, but something is missing before work may start: a control without owner, a briefing, a measurement. The \
                 answer lists it."
            }
            Self::Refused => {
                "The scenario, or the question about it, is refused: the message says where, why and what to write instead. Nothing was computed."
            }
            Self::File => {
                "A file is missing, or cannot be read or written, or standard output is closed. What was computed is printed all the same where that is \
                 possible."
            }
        }
    }
}

impl From<&ResultDocument> for Outcome {
    fn from(document: &ResultDocument) -> Self {
        judged(document.verdict, document.ready)
    }
}

impl From<&DayDocument> for Outcome {
    /// Where only temperatures and heights are asked for, there is no verdict.
    fn from(document: &DayDocument) -> Self {
        if document.searched { judged(document.verdict, document.ready == Some(true)) } else { Self::Done }
    }
}

/// Clear alone is not enough.
fn judged(verdict: VerdictName, ready: bool) -> Outcome {
    match verdict.into() {
        Outcome::Done if !ready => Outcome::NotReady,
        outcome => outcome,
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

/// Why a command has no answer.
#[derive(Debug)]
pub enum Trouble {
    /// The arguments make no sense.
    Usage(String),
    /// The question cannot be asked of this scenario.
    Refused(String),
    /// What is wrong with a file, place by place.
    Problems(Box<Input>, Problems),
    /// There is no limit for this question.
    Limit(LimitError),
    /// A file is missing, or cannot be read or written.
    File(String),
    /// Its turn did not come before the work was stopped.
    Stopped,
    /// A defect of the program.
    Unexpected(String),
}

impl Trouble {
    /// How the program ends.
    pub fn outcome(&self) -> Outcome {
        match self {
            Self::Usage(_) => Outcome::Usage,
            Self::Refused(_) | Self::Problems(..) | Self::Limit(_) => Outcome::Refused,
            Self::Stopped => Outcome::NotProven,
            Self::File(_) => Outcome::File,
            Self::Unexpected(_) => Outcome::Unexpected,
        }
    }

    /// What the answer of a scenario cannot be, with the text that it was asked of.
    pub fn of_answer(error: AnswerError, input: Input) -> Self {
        match error {
            AnswerError::Refused(problems) => Self::Problems(Box::new(input), problems),
            AnswerError::Search(error) => Self::from(error).about(&input.name),
        }
    }

    /// The same, with the name of the file first.
    pub fn about(self, name: &str) -> Self {
        match self {
            Self::Refused(message) => Self::Refused(format!("{name}: {message}")),
            other => other,
        }
    }

    /// Something that no input should bring about.
    pub fn unexpected(error: impl std::fmt::Display) -> Self {
        Self::Unexpected(error.to_string())
    }
}

impl From<ApproachError> for Trouble {
    fn from(error: ApproachError) -> Self {
        match error {
            ApproachError::NoPose { .. } | ApproachError::Shape(_) | ApproachError::Strings(_) => {
                Self::Refused(error.to_string())
            }
            ApproachError::NothingToAssess | ApproachError::NoSuchPair(_) => Self::unexpected(error),
        }
    }
}

impl From<PlanError> for Trouble {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Search(error) => error.into(),
            PlanError::Refused(_) | PlanError::NotApplicable(_) => Self::Refused(error.to_string()),
            PlanError::NoSuchMachine(_) | PlanError::Question(_) => Self::Usage(error.to_string()),
            PlanError::Machine(_) => Self::unexpected(error),
        }
    }
}

impl From<DayError> for Trouble {
    fn from(error: DayError) -> Self {
        match error {
            DayError::Search(error) => error.into(),
            DayError::NoWeather
            | DayError::Heat(_)
            | DayError::Wire(_)
            | DayError::Known(_)
            | DayError::Shape(_)
            | DayError::Range(_) => Self::Refused(error.to_string()),
        }
    }
}

impl From<SwayStudyError> for Trouble {
    fn from(error: SwayStudyError) -> Self {
        match error {
            SwayStudyError::OutOfRange { .. } => Self::Usage(error.to_string()),
            _ => Self::Refused(error.to_string()),
        }
    }
}

impl From<PictureError> for Trouble {
    fn from(error: PictureError) -> Self {
        match error {
            PictureError::Width(_) => Self::Usage(error.to_string()),
            PictureError::Font(_) | PictureError::Drawing(_) | PictureError::Writing(_) => Self::unexpected(error),
        }
    }
}

impl From<InputError> for Trouble {
    fn from(error: InputError) -> Self {
        match error {
            InputError::File { .. } => Self::File(error.to_string()),
            InputError::Refused { name, problems } => Self::Problems(Box::new(Input::embedded(&name, "")), problems),
        }
    }
}

impl From<serde_json::Error> for Trouble {
    fn from(error: serde_json::Error) -> Self {
        Self::unexpected(error)
    }
}

impl From<csv::Error> for Trouble {
    fn from(error: csv::Error) -> Self {
        Self::unexpected(error)
    }
}
