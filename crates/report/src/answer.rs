//! The whole way from the text of a scenario to its answer.

use thiserror::Error;
use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Event, assess};
use wideberth_scenario::{Context, Job, Problems};

use crate::contributions::{Contribution, contributions};
use crate::document::ResultDocument;

/// A scenario that was assessed.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What was asked.
    pub job: Job,
    /// What the search found.
    pub assessment: Assessment,
    /// What contributes to the worst finding.
    pub contributions: Vec<Contribution>,
}

/// Why a scenario has no answer.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum AnswerError {
    /// The scenario is refused.
    #[error("{0}")]
    Refused(Problems),
    /// The search could not run.
    #[error(transparent)]
    Search(#[from] ApproachError),
}

impl Answer {
    /// The answer as a document.
    #[must_use]
    pub fn document(&self) -> ResultDocument {
        ResultDocument::of(self)
    }
}

/// Reads, checks and assesses the text of a scenario.
///
/// # Errors
/// Everything that is wrong with the scenario, or why the search could not run.
pub fn answer(text: &str, context: &Context<'_>, listen: &(dyn Fn(Event) + Sync)) -> Result<Answer, AnswerError> {
    let job = Job::from_text(text, context).map_err(AnswerError::Refused)?;
    let assessment = assess(&job.study, &job.options, listen)?;
    let contributions = contributions(text, context, &job, &assessment);
    Ok(Answer { job, assessment, contributions })
}
