//! The head of the pipeline: from the text of a scenario to the facts of its answer.
//!
//! Every command, the reports and the viewer take the facts from here, and so judge a job alike. Wording belongs to reports.

use thiserror::Error;
use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Event, Finding, assess};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::{Context, Job, Problems};

use crate::contributions::{Contribution, contributions};
use crate::digging::{GroundFinding, digging};
use crate::readiness::{self, Evidence, Holding, Missing};
use crate::wind::{self, LiftingWind, TopplingWind};

/// The facts of a check.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What was asked.
    pub job: Job,
    /// What the search found; no finding where nothing is live.
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

    /// The finding with the least spare; none where nothing is live.
    #[must_use]
    pub fn worst(&self) -> Option<&Finding> {
        self.assessment.findings.get(self.assessment.worst)
    }

    /// Whether the plan is clear and nothing is missing.
    #[must_use]
    pub fn is_ready(&self) -> bool {
        self.missing.is_empty()
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
    let clear = worst(&assessment, &digging) == Verdict::Clear;
    let holding = if clear { readiness::holding(text, context, &job) } else { Holding::default() };
    let missing = readiness::missing(&Evidence {
        job: &job,
        assessment: &assessment,
        without,
        digging: &digging,
        lifting: &lifting,
        toppling: &toppling,
        holding: &holding,
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

/// How close each machine of a job comes to each wire that is live.
///
/// # Errors
/// When no pose is left below a stop, or a state of a wire has no shape.
pub fn assessed(job: &Job, listen: &(dyn Fn(Event) + Sync)) -> Result<Assessment, ApproachError> {
    if is_nothing_live(job) { Ok(nothing_live()) } else { assess(&job.study, &job.options, listen) }
}

/// Whether every line of a job is switched off and grounded.
#[must_use]
pub fn is_nothing_live(job: &Job) -> bool {
    job.study.pairings.is_empty() && job.lines.iter().all(|line| line.off)
}

/// No finding, and so clear.
fn nothing_live() -> Assessment {
    let far = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
    Assessment { findings: Vec::new(), verdict: Verdict::Clear, distance: far, spare: far, worst: 0 }
}
