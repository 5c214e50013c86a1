//! Is the plan clear with only what somebody holds? And does each control do anything?
//!
//! What is proven must be what can happen. So the search is repeated with every end that nobody holds set to the machine's and the weather's
//! own. Controls stay: where one holds an end, setting that end free changes nothing.

use wideberth_physics::approach::Options;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::verdict::Verdict;
use wideberth_rules::ControlKind;
use wideberth_scenario::{Context, Counted, FreeEnd, Job};

use crate::answer::assessed;
use crate::decide::{decide, targets};
use crate::digging::digging;

/// Cells that one search may use here: what needs more counts as not clear.
const MOST_CELLS: u64 = 60_000;

/// What the repeated searches found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Holding {
    /// A smallest set of ends that somebody must hold, the cheapest first; empty where the plan is clear without.
    pub ends: Vec<FreeEnd>,
    /// Indices of controls that count and change nothing.
    pub idle: Vec<usize>,
}

/// Repeats the search of a plan that is clear.
///
/// Ends are set free one after the other, the dearest first, as long as the plan stays clear: what is left is a set of which none can be
/// spared.
#[must_use]
pub fn holding(text: &str, context: &Context<'_>, job: &Job) -> Holding {
    let trial = Trial { text, context };
    let ends = trial.ends(job);
    let free: Vec<FreeEnd> = job.free_ends.iter().filter(|end| !ends.contains(end)).cloned().collect();
    let idle = (0..job.controls.len()).filter(|index| trial.is_idle(job, *index, &free)).collect();
    Holding { ends, idle }
}

struct Trial<'a> {
    text: &'a str,
    context: &'a Context<'a>,
}

impl Trial<'_> {
    fn ends(&self, job: &Job) -> Vec<FreeEnd> {
        if job.free_ends.is_empty() || self.is_clear(Counted::Standing, &job.free_ends) {
            return Vec::new();
        }
        let mut all = job.free_ends.clone();
        all.sort_by_key(dearness);
        let (mut free, mut held) = (Vec::new(), Vec::new());
        for end in all.into_iter().rev() {
            free.push(end);
            if !self.is_clear(Counted::Standing, &free) {
                held.extend(free.pop());
            }
        }
        held.reverse();
        held
    }

    /// Whether every machine is proven clear. What cannot be computed is not.
    fn is_clear(&self, counted: Counted, free: &[FreeEnd]) -> bool {
        let Ok(job) = Job::varied(self.text, self.context, counted, free) else { return false };
        let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
        let clear = |(index, machine)| {
            decide(machine, &targets(&job, index), &options).is_ok_and(|decision| decision.is_clear())
        };
        job.study.machines.iter().enumerate().all(clear)
            && digging(&job).is_ok_and(|found| found.iter().all(|finding| finding.verdict == Verdict::Clear))
    }

    /// Whether a control that counts does nothing: the plan is as clear without it, and alone it raises no distance for certain.
    fn is_idle(&self, job: &Job, index: usize, free: &[FreeEnd]) -> bool {
        let control = &job.controls[index];
        if !control.counts() || !control.kind.changes_the_model() {
            return false;
        }
        // Posts are judged against their route, where they have one.
        if control.kind == ControlKind::GoalPosts || !self.is_clear(Counted::Except(index), free) {
            return false;
        }
        let with = self.distances(Counted::Only(index), &job.free_ends);
        let without = self.distances(Counted::None, &job.free_ends);
        match (with, without) {
            (Some(with), Some(without)) => !raises(&with, &without),
            // What cannot be computed shows nothing.
            _ => true,
        }
    }

    /// Every distance of the job, above the ground and in it, by what it is between.
    fn distances(&self, counted: Counted, free: &[FreeEnd]) -> Option<Vec<(String, Bracket)>> {
        let job = Job::varied(self.text, self.context, counted, free).ok()?;
        let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
        let job = Job { options, ..job };
        let assessment = assessed(&job, &|_| {}).ok()?;
        let name = |machine: usize, rest: &str| format!("{}\n{rest}", job.machines[machine].name);
        let above = assessment.findings.iter().map(|found| {
            let pairing = found.pairing;
            (name(pairing.machine, &format!("{} {}", pairing.line, pairing.wire)), found.approach.distance)
        });
        let below = digging(&job).ok()?;
        let below = below.iter().map(|found| (format!("{:?} {}", found.what, found.buried), found.distance));
        Some(above.chain(below).collect())
    }
}

/// Whether any distance is larger for certain, or is no longer there to be kept.
fn raises(with: &[(String, Bracket)], without: &[(String, Bracket)]) -> bool {
    without.iter().any(|(name, bare)| {
        with.iter().find(|(other, _)| other == name).is_none_or(|(_, held)| held.lower_m > bare.upper_m)
    })
}

/// What an end costs to hold: a stop on a joint is set in the machine, a record is asked for, hot wires and gusts end the work.
fn dearness(end: &FreeEnd) -> u8 {
    match end {
        FreeEnd::Joint { .. } => 0,
        FreeEnd::WindFrom => 1,
        FreeEnd::Wind => 2,
        FreeEnd::WireTemperature => 3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(lower_m: f64, upper_m: f64) -> Vec<(String, Bracket)> {
        vec![("a".into(), Bracket { lower_m, upper_m })]
    }

    #[test]
    fn a_distance_is_raised_only_for_certain() {
        assert!(raises(&named(3.2, 3.3), &named(3.0, 3.1)));
        assert!(!raises(&named(3.05, 3.3), &named(3.0, 3.1)));
        assert!(raises(&[], &named(3.0, 3.1)));
        assert!(!raises(&named(3.0, 3.1), &[]));
    }
}
