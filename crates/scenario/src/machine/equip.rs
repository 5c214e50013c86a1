//! Lowering of a machine for one job: working ranges, overrun, deflection and a load go in; frames and bodies of the
//! physics come out.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::fmt;

use thiserror::Error;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, BodyRole, Frame, FrameRole, Motion};

use super::hung;
use super::model::{HungLoad, Joint, JointKind, MachineModel, Part};
use crate::bounds::{Bounded, Deflection, OverrunTravel};
use crate::code::Code;
use crate::nearest::suggestion;

/// How a machine is used on a job. Angles in rad, lengths in m.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Use {
    /// Working range of each joint; one left out takes the machine's own. Joints of a load count too.
    pub working: BTreeMap<String, Interval>,
    /// Overrun of each joint; one left out takes the machine's own.
    pub overrun: BTreeMap<String, f64>,
    /// Deflection of bodies and hang points, m; one left out takes the machine's own.
    pub deflection: BTreeMap<String, f64>,
    /// What hangs on it; none for what the machine itself brings.
    pub load: Option<HungLoad>,
}

/// A machine ready for the physics.
#[derive(Clone, Debug, PartialEq)]
pub struct Equipped {
    /// Frames with working ranges, overrun included. The first one is the ground.
    pub frames: Vec<Frame>,
    /// Bodies, thickened by their deflection.
    pub bodies: Vec<Body>,
    /// Each joint with its ranges, in the order of a pose.
    pub joints: Vec<JointRange>,
}

/// A joint as it is used: its own range, its working range and its overrun.
#[derive(Clone, Debug, PartialEq)]
pub struct JointRange {
    /// The joint with its own range.
    pub joint: Joint,
    /// Its working range, rad or m.
    pub working: Interval,
    /// How far it may run on when stopped, rad or m.
    pub overrun: f64,
    /// How far past all of that its value goes so that nothing is left out, rad or m: a held load turns a little about a
    /// leaning rope.
    pub beyond: f64,
}

impl JointRange {
    /// Where the joint may be when its stops are set to a working range: the overrun widens it, yet never beyond the stops
    /// of the machine itself. What goes beyond is added last.
    #[must_use]
    pub fn reached(&self, working: Interval) -> Interval {
        let range = widened(&self.joint, working, self.overrun);
        Interval::new(range.low() - self.beyond, range.high() + self.beyond).unwrap_or(range)
    }
}

/// Why a machine cannot be used like that.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum UseError {
    /// A name that the machine does not have.
    #[error("the machine has no {what} \"{name}\"")]
    Unknown {
        /// Joint, body or hang point.
        what: Named,
        /// The name as given.
        name: String,
        /// All that would do.
        known: Vec<String>,
    },
    /// A working range outside the machine's own.
    #[error("the working range {} of \"{joint}\" lies outside the machine's own range {}",
        kind.shown(given), kind.shown(own))]
    OutsideOwnRange {
        /// Joint.
        joint: String,
        /// Hinge or slide.
        kind: JointKind,
        /// The range as given, rad or m.
        given: Interval,
        /// The machine's own range, rad or m.
        own: Interval,
    },
    /// A turn that nobody holds is narrowed.
    #[error("\"{joint}\" narrows the turn of a load that may turn freely, so nothing holds it there")]
    FreeTurn {
        /// Joint.
        joint: String,
    },
    /// An allowance that is negative, not finite or absurdly large.
    #[error("the {what} of \"{name}\" must lie between 0 and {max} {unit}, not {value}")]
    Allowance {
        /// Overrun or deflection.
        what: &'static str,
        /// Joint, body or hang point.
        name: String,
        /// As given, rad or m.
        value: f64,
        /// Largest that is accepted, rad or m.
        max: f64,
        /// Unit of the numbers.
        unit: &'static str,
    },
}

impl UseError {
    /// The code under which a file's problem reports it.
    #[must_use]
    pub fn code(&self) -> Code {
        match self {
            Self::Unknown { what: Named::Joint, .. } => Code::UnknownJoint,
            Self::Unknown { what: Named::HangPoint, .. } => Code::UnknownHangPoint,
            Self::Unknown { what: Named::Body, .. } => Code::UnknownBody,
            Self::OutsideOwnRange { .. } | Self::FreeTurn { .. } => Code::JointRange,
            Self::Allowance { .. } => Code::OutOfRange,
        }
    }

    /// What to do.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Unknown { name, known, .. } => suggestion(name, known.iter().map(String::as_str)),
            Self::OutsideOwnRange { .. } => "give a range inside the machine's own, or correct the machine".into(),
            Self::FreeTurn { .. } => {
                "state the bearings in which tag lines hold the load as its \"yaw\", or leave this range out".into()
            }
            Self::Allowance { .. } => "check the number and its unit".into(),
        }
    }

    /// The joint, body or hang point that it is about.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Unknown { name, .. } | Self::Allowance { name, .. } => name,
            Self::OutsideOwnRange { joint, .. } | Self::FreeTurn { joint } => joint,
        }
    }
}

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A joint of the machine or of its load.
    Joint,
    /// A body or hang point.
    Body,
    /// A hang point.
    HangPoint,
}

impl fmt::Display for Named {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Joint => "joint",
            Self::Body => "body or hang point",
            Self::HangPoint => "hang point",
        })
    }
}

/// Largest deflection that is accepted, m; the same as in files.
const MAX_DEFLECTION_M: f64 = Deflection::BOUND.max;
/// Largest overrun of a hinge that is accepted, rad.
const MAX_OVERRUN_RAD: f64 = FRAC_PI_2;
/// Largest overrun of a slide that is accepted, m; the same as in files.
const MAX_OVERRUN_M: f64 = OverrunTravel::BOUND.max;

impl MachineModel {
    /// Joints of the machine and of the load that hangs on it in this use, with their own ranges.
    ///
    /// # Errors
    /// When the load's hang point does not exist.
    pub fn joints_in(&self, job: &Use) -> Result<Vec<Joint>, UseError> {
        Ok(self.hung(job)?.0.iter().filter_map(Joint::of).collect())
    }

    /// Frames and bodies for a job. A working range must lie inside the machine's own range; overrun widens it, yet never
    /// beyond the stops of the machine. A hinge that turns all round has no stops.
    ///
    /// # Errors
    /// Every name that the machine does not have, every range outside its own, every impossible allowance.
    pub fn equip(&self, job: &Use) -> Result<Equipped, Vec<UseError>> {
        let (mut frames, parts) = self.hung(job).map_err(|error| vec![error])?;
        let mut problems = self.problems(job, &frames, &parts);
        problems.extend(self.narrowed_free_turn(job, &frames));
        if !problems.is_empty() {
            return Err(problems);
        }
        let load = job.load.as_ref().or(self.load.as_ref());
        let joints: Vec<_> = frames.iter_mut().filter_map(|frame| self.narrow(frame, load, job)).collect();
        let bodies = parts.into_iter().map(|part| part.body.thickened(part.deflection_m)).collect();
        Ok(Equipped { frames, bodies, joints })
    }

    /// Frames with the machine's own ranges, and bodies with the deflections of the job, the load's included.
    fn hung(&self, job: &Use) -> Result<(Vec<Frame>, Vec<Part>), UseError> {
        let mut frames = self.frames.clone();
        let mut parts: Vec<_> = self.parts.iter().map(|part| self.bent(part, job)).collect();
        if let Some(load) = job.load.as_ref().or(self.load.as_ref()) {
            let known = || self.hang_points.iter().map(|point| point.name.clone()).collect::<Vec<_>>();
            let mut point = self
                .hang_point(&load.hangs_from)
                .cloned()
                .ok_or_else(|| unknown(Named::HangPoint, &load.hangs_from, known()))?;
            point.deflection_m = job.deflection.get(&point.name).copied().unwrap_or(point.deflection_m);
            let bent = HungLoad { parts: load.parts.iter().map(|part| self.bent(part, job)).collect(), ..load.clone() };
            let (below, hung) = hung::lowered(&bent, &point, frames.len());
            frames.extend(below);
            parts.extend(hung);
        }
        Ok((frames, parts))
    }

    fn bent(&self, part: &Part, job: &Use) -> Part {
        let deflection_m = job.deflection.get(&part.body.name).copied().unwrap_or(part.deflection_m);
        Part { body: part.body.clone(), deflection_m }
    }

    fn overrun_of(&self, joint: &str, job: &Use) -> f64 {
        let own = || self.overrun.iter().find(|(name, _)| name == joint).map_or(0.0, |(_, value)| *value);
        job.overrun.get(joint).copied().unwrap_or_else(own)
    }

    fn narrow(&self, frame: &mut Frame, load: Option<&HungLoad>, job: &Use) -> Option<JointRange> {
        let joint = Joint::of(frame)?;
        let working = job.working.get(&joint.name).copied().unwrap_or(joint.range);
        let overrun = self.overrun_of(&joint.name, job);
        let turns = load.filter(|_| frame.role == FrameRole::Yaw);
        let used = JointRange { joint, working, overrun, beyond: turns.map_or(0.0, hung::turn_beyond_rad) };
        let range = used.reached(working);
        match &mut frame.motion {
            Motion::Hinge { range_rad, .. } => *range_rad = range,
            Motion::Slide { range_m, .. } => *range_m = range,
            Motion::Fixed | Motion::Plumb => {}
        }
        Some(used)
    }

    /// The bearing of a load that swings in a cone and turns freely is not the value of its last hinge: a narrower range of
    /// that hinge would leave out bearings that nobody holds.
    fn narrowed_free_turn(&self, job: &Use, frames: &[Frame]) -> Option<UseError> {
        let load = job.load.as_ref().or(self.load.as_ref())?;
        let yaw = frames.iter().find(|frame| frame.role == FrameRole::Yaw).and_then(Joint::of)?;
        let given = job.working.get(&yaw.name)?;
        let narrows = !hung::is_held(load) && given.width() < yaw.range.width() - 1e-9;
        narrows.then(|| UseError::FreeTurn { joint: yaw.name.clone() })
    }

    fn problems(&self, job: &Use, frames: &[Frame], parts: &[Part]) -> Vec<UseError> {
        let joints: Vec<_> = frames.iter().filter_map(Joint::of).collect();
        let working = job.working.iter().filter_map(|(name, range)| working_problem(&joints, name, *range));
        let overrun = job.overrun.iter().filter_map(|(name, value)| overrun_problem(&joints, name, *value));
        let known: Vec<_> = parts
            .iter()
            .filter(|part| part.body.role != BodyRole::Rope)
            .map(|part| part.body.name.clone())
            .chain(self.hang_points.iter().map(|point| point.name.clone()))
            .collect();
        let deflection = job.deflection.iter().filter_map(|(name, value)| deflection_problem(&known, name, *value));
        working.chain(overrun).chain(deflection).collect()
    }
}

/// The working range with its overrun, kept inside the stops of the joint.
fn widened(joint: &Joint, working: Interval, overrun: f64) -> Interval {
    let (low, high) = (working.low() - overrun, working.high() + overrun);
    let range = if !joint.turns_all_round() {
        Interval::new(low.max(joint.range.low()), high.min(joint.range.high()))
    } else if high - low >= TAU {
        Interval::new(working.center() - PI, working.center() + PI)
    } else {
        Interval::new(low, high)
    };
    // The working range was checked to lie inside the joint's own; its own range is the safe answer in any case.
    range.unwrap_or(joint.range)
}

fn working_problem(joints: &[Joint], name: &str, given: Interval) -> Option<UseError> {
    let Some(joint) = joints.iter().find(|joint| joint.name == name) else {
        return Some(unknown(Named::Joint, name, names(joints)));
    };
    let own = joint.range;
    (!joint.allows(given)).then(|| UseError::OutsideOwnRange { joint: name.into(), kind: joint.kind, given, own })
}

fn overrun_problem(joints: &[Joint], name: &str, value: f64) -> Option<UseError> {
    let Some(joint) = joints.iter().find(|joint| joint.name == name) else {
        return Some(unknown(Named::Joint, name, names(joints)));
    };
    let (max, unit) = match joint.kind {
        JointKind::Hinge => (MAX_OVERRUN_RAD, "rad"),
        JointKind::Slide => (MAX_OVERRUN_M, "m"),
    };
    let good = (0.0..=max).contains(&value);
    (!good).then(|| UseError::Allowance { what: "overrun", name: name.into(), value, max, unit })
}

fn deflection_problem(known: &[String], name: &str, value: f64) -> Option<UseError> {
    if !known.iter().any(|each| each == name) {
        return Some(unknown(Named::Body, name, known.to_vec()));
    }
    let (what, max, unit) = ("deflection", MAX_DEFLECTION_M, "m");
    let good = (0.0..=max).contains(&value);
    (!good).then(|| UseError::Allowance { what, name: name.into(), value, max, unit })
}

fn names(joints: &[Joint]) -> Vec<String> {
    joints.iter().map(|joint| joint.name.clone()).collect()
}

fn unknown(what: Named, name: &str, known: Vec<String>) -> UseError {
    UseError::Unknown { what, name: name.into(), known }
}
