//! The assessment of a job, also where controls leave nothing to assess.

use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Event, assess};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::Job;

/// How close each machine of a job comes to each wire that is live.
///
/// Where every line is switched off and grounded there is no finding, and the job is clear.
///
/// # Errors
/// When a state of a wire has no shape.
pub fn assessed(job: &Job, listen: &(dyn Fn(Event) + Sync)) -> Result<Assessment, ApproachError> {
    if job.study.pairings.is_empty() && job.lines.iter().all(|line| line.off) {
        return Ok(nothing_live());
    }
    assess(&job.study, &job.options, listen)
}

fn nothing_live() -> Assessment {
    let far = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
    Assessment { findings: Vec::new(), verdict: Verdict::Clear, distance: far, spare: far, worst: 0 }
}
