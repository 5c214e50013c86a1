//! The whole way from the text of a scenario to its answer.

use thiserror::Error;
use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Event};
use wideberth_physics::verdict::Verdict;
use wideberth_plan::assessed;
use wideberth_plan::digging::{GroundFinding, digging};
use wideberth_plan::readiness::{self, Evidence, Missing};
use wideberth_plan::wind::{self, LiftingWind, TopplingWind};
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
    /// The same job as if no control were in place; none where no control changes anything.
    pub without_controls: Option<WithoutControls>,
    /// What enters the ground, against what is buried.
    pub digging: Vec<GroundFinding>,
    /// The wind in which loads may be lifted.
    pub lifting: Vec<LiftingWind>,
    /// The wind that topples structures.
    pub toppling: Vec<TopplingWind>,
    /// Everything that is missing before the plan is ready.
    pub missing: Vec<Missing>,
}

/// The job as if no control were in place.
#[derive(Clone, Debug)]
pub struct WithoutControls {
    /// What would be asked.
    pub job: Job,
    /// What the search found.
    pub assessment: Assessment,
    /// What enters the ground, against what is buried.
    pub digging: Vec<GroundFinding>,
}

impl WithoutControls {
    /// The worst verdict, above the ground and in it.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        worst(&self.assessment, &self.digging)
    }
}

/// The worst verdict, above the ground and in it.
fn worst(assessment: &Assessment, digging: &[GroundFinding]) -> Verdict {
    digging.iter().map(|finding| finding.verdict).fold(assessment.verdict, Verdict::max)
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
    /// The worst verdict, above the ground and in it.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        worst(&self.assessment, &self.digging)
    }

    /// Whether the plan is clear and nothing is missing.
    #[must_use]
    pub fn is_ready(&self) -> bool {
        self.missing.is_empty()
    }

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
    let answer = answer_alone(text, context, listen)?;
    let contributions = contributions(text, context, &answer.job, &answer.assessment);
    Ok(Answer { contributions, ..answer })
}

/// The same without what contributes to the worst finding, which takes several searches more.
///
/// # Errors
/// As for [`answer`].
pub fn answer_alone(text: &str, context: &Context<'_>, listen: &(dyn Fn(Event) + Sync)) -> Result<Answer, AnswerError> {
    let job = Job::from_text(text, context).map_err(AnswerError::Refused)?;
    let assessment = assessed(&job, listen)?;
    let without_controls = without_controls(text, context, &job)?;
    let (digging, lifting, toppling) = (digging(&job)?, wind::lifting(&job), wind::toppling(&job));
    let without = without_controls
        .as_ref()
        .map_or((&job, &assessment, &digging[..]), |bare| (&bare.job, &bare.assessment, &bare.digging[..]));
    let missing = readiness::missing(&Evidence {
        job: &job,
        assessment: &assessment,
        without,
        digging: &digging,
        lifting: &lifting,
        toppling: &toppling,
    });
    let contributions = Vec::new();
    Ok(Answer { job, assessment, contributions, without_controls, digging, lifting, toppling, missing })
}

fn without_controls(text: &str, context: &Context<'_>, job: &Job) -> Result<Option<WithoutControls>, AnswerError> {
    if !job.is_changed_by_controls() {
        return Ok(None);
    }
    let job = Job::without_controls(text, context).map_err(AnswerError::Refused)?;
    let assessment = assessed(&job, &|_| {})?;
    let digging = digging(&job)?;
    Ok(Some(WithoutControls { job, assessment, digging }))
}
