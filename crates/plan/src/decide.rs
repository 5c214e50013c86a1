//! Is a machine clear of its wires? Decided by the proven search, which stops as soon as the answer is known.

use nalgebra::Vector3;
use wideberth_physics::approach::{Approach, ApproachError, Options, closest_approach};
use wideberth_physics::line::Wire;
use wideberth_physics::machine::{Machine, MachineError};
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::Job;

/// A wire that a machine must keep away from.
#[derive(Clone, Copy, Debug)]
pub struct Target<'a> {
    /// Index of the line in the study.
    pub line: usize,
    /// Index of the wire in its line.
    pub wire_index: usize,
    /// The wire.
    pub wire: &'a Wire,
    /// Limit of approach, m.
    pub limit_m: f64,
    /// How far the wire is moved from where the study has it, m.
    pub moved_m: Vector3<f64>,
}

/// What a decision found.
#[derive(Clone, Debug)]
pub struct Decision {
    /// Clear, too close (or contact), or not proven.
    pub verdict: Verdict,
    /// The first wire that is not clear, by its place among the targets, and how close the machine comes to it.
    pub against: Option<(usize, Approach)>,
}

impl Decision {
    /// Whether every wire is proven clear.
    #[must_use]
    pub fn is_clear(&self) -> bool {
        self.verdict == Verdict::Clear
    }
}

/// Why a question could not be answered.
#[derive(Clone, Debug, thiserror::Error, PartialEq)]
pub enum PlanError {
    /// The search could not run.
    #[error(transparent)]
    Search(#[from] ApproachError),
    /// A changed machine cannot be.
    #[error(transparent)]
    Machine(#[from] MachineError),
    /// A changed scenario is refused.
    #[error("the scenario with this change is refused: {0}")]
    Refused(String),
    /// There is no such machine in the scenario.
    #[error("the scenario has no machine \"{0}\"")]
    NoSuchMachine(String),
    /// What was asked does not apply to the scenario's machines.
    #[error("{0}")]
    NotApplicable(String),
    /// A number that was asked for makes no sense.
    #[error("{0}")]
    Question(String),
}

/// The wires that a machine of a job must keep away from, as the study has them.
#[must_use]
pub fn targets(job: &Job, machine: usize) -> Vec<Target<'_>> {
    let own = job.study.pairings.iter().filter(|pairing| pairing.machine == machine);
    own.filter_map(|pairing| {
        let wire = job.study.lines.get(pairing.line)?.wires.get(pairing.wire)?;
        let (line, wire_index, limit_m) = (pairing.line, pairing.wire, pairing.limit_m);
        Some(Target { line, wire_index, wire, limit_m, moved_m: Vector3::zeros() })
    })
    .collect()
}

/// How well a decision must know a distance that lies near the limit, m.
pub const DECIDE_TOLERANCE_M: f64 = 5e-4;

/// Decides whether a machine is clear of every target: proven clear, too close by a pose and state that were found, or not
/// proven. The first target that is not clear ends it.
///
/// # Errors
/// When a search cannot run, or a moved machine is impossible.
pub fn decide(machine: &Machine, targets: &[Target<'_>], options: &Options) -> Result<Decision, PlanError> {
    for (index, target) in targets.iter().enumerate() {
        let approach = approach_to(machine, target, &deciding(target.limit_m, options))?;
        let verdict = Verdict::of(&approach.distance, target.limit_m);
        if verdict != Verdict::Clear {
            return Ok(Decision { verdict, against: Some((index, approach)) });
        }
    }
    Ok(Decision { verdict: Verdict::Clear, against: None })
}

/// How close a machine comes to a target. Moving the wire is moving the machine the other way.
///
/// # Errors
/// As [`decide`].
pub fn approach_to(machine: &Machine, target: &Target<'_>, options: &Options) -> Result<Approach, PlanError> {
    if target.moved_m == Vector3::zeros() {
        return Ok(closest_approach(machine, target.wire, options)?);
    }
    Ok(closest_approach(&machine.moved(&-target.moved_m)?, target.wire, options)?)
}

/// A search that stops as soon as it knows on which side of a limit the distance lies.
fn deciding(limit_m: f64, options: &Options) -> Options {
    let tolerance_m = options.tolerance_m.min(DECIDE_TOLERANCE_M);
    Options { tolerance_m, enough_m: Some(limit_m), found_m: Some(limit_m), ..options.clone() }
}
