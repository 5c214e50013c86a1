//! A range chart: how far a machine may luff in each sector of its slew, for the settings of a limiter.
//!
//! Each row is proven for its whole sector, overrun of both joints included: with the slew anywhere in the sector and the luff
//! held by the stop, the machine is clear in every pose and state.

use rayon::prelude::*;
use wideberth_physics::approach::Options;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Machine, Motion};
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::Job;
use wideberth_scenario::machine::JointRange;

use crate::boundary::{Boundary, Tried, nested};
use crate::decide::{PlanError, Target, decide, targets};

/// Steps of the charted joint per degree.
const STEPS_PER_DEG: f64 = 10.0;
/// Cells of one search.
const MOST_CELLS: u64 = 60_000;

/// How far a joint may go in each sector of another.
#[derive(Clone, Debug, PartialEq)]
pub struct RangeChart {
    /// Index of the machine.
    pub machine: usize,
    /// Index of the joint that turns about an upright axis.
    pub slew: usize,
    /// Index of the joint that is charted: the next one, about a level axis.
    pub luff: usize,
    /// Working range of that joint, rad.
    pub luff_range_rad: Interval,
    /// Bearing of the machine's forward direction, clockwise from north, rad.
    pub heading_rad: f64,
    /// Each sector in order.
    pub sectors: Vec<Sector>,
}

/// A sector of the slew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sector {
    /// Where it begins and ends, rad, positive to the left.
    pub slew_rad: Interval,
    /// What is proven of the whole working range of the luff.
    pub whole: Verdict,
    /// The greatest stop that is proven clear from the low end of the working range; none where none is.
    pub most: Option<Edge>,
    /// The least stop that is proven clear up to the high end of the working range; none where none is.
    pub least: Option<Edge>,
}

/// A stop and the next one that is not clear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Proven clear, rad.
    pub clear_rad: f64,
    /// A tenth of a degree farther, rad; none where the whole range is clear.
    pub not_clear_rad: Option<f64>,
}

/// The chart of a machine, with sectors of a width (rad).
///
/// # Errors
/// When the machine has no joint about an upright axis with one about a level axis on it, or a search cannot run.
pub fn chart(job: &Job, machine: usize, sector_rad: f64) -> Result<RangeChart, PlanError> {
    if !(1.0_f64.to_radians() - 1e-12..=std::f64::consts::TAU).contains(&sector_rad) {
        return Err(PlanError::Question("a sector must be between 1 and 360 degrees wide".into()));
    }
    let placed = job.study.machines.get(machine).ok_or_else(|| PlanError::NoSuchMachine(machine.to_string()))?;
    let (slew, luff) = joints(job, machine, placed)?;
    let range = |joint| range_of(job, machine, joint);
    let (slew_range, luff_range) = (range(slew)?, range(luff)?);
    let targets = targets(job, machine);
    let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
    let charting = Charting { placed, targets, options, slew: (slew, slew_range), luff: (luff, luff_range) };
    let sectors = sectors(slew_range.working, sector_rad);
    let sectors = sectors.par_iter().map(|sector| charting.sector(*sector)).collect::<Result<_, _>>()?;
    let heading_rad = heading_rad(placed);
    Ok(RangeChart { machine, slew, luff, luff_range_rad: luff_range.working, heading_rad, sectors })
}

fn range_of(job: &Job, machine: usize, joint: usize) -> Result<&JointRange, PlanError> {
    let info = job.machines.get(machine).and_then(|info| info.joints.get(joint));
    info.and_then(|info| info.range.as_ref()).ok_or_else(|| PlanError::NotApplicable("the joint has no range".into()))
}

/// The first joint that people set and that turns about an upright axis, and the next one about a level axis.
fn joints(job: &Job, machine: usize, placed: &Machine) -> Result<(usize, usize), PlanError> {
    let middle: Vec<f64> = placed.ranges().iter().map(Interval::center).collect();
    let frames = placed.place(&middle);
    let upright = |joint: usize| {
        let mover = placed.movers()[joint];
        match placed.frames()[mover.0].motion {
            Motion::Hinge { axis, .. } => Some((frames[mover.0].rotation * axis.into_inner()).z.abs()),
            _ => None,
        }
    };
    let set = |joint: &usize| {
        let info = job.machines.get(machine).and_then(|info| info.joints.get(*joint));
        info.is_some_and(|info| info.range.is_some() && info.role.is_set_by_people())
    };
    let mut own = (0..placed.movers().len()).filter(set);
    let slew = own.by_ref().find(|joint| upright(*joint).is_some_and(|z| z > 0.9));
    let luff = own.find(|joint| upright(*joint).is_some_and(|z| z < 0.5));
    slew.zip(luff).ok_or_else(|| {
        PlanError::NotApplicable(format!(
            "\"{}\" has no joint that turns about an upright axis with one that luffs on it, so there is nothing to chart",
            placed.name()
        ))
    })
}

/// Bearing of the machine's forward direction.
fn heading_rad(placed: &Machine) -> f64 {
    let forward =
        placed.frames().first().map_or(nalgebra::Vector3::y(), |f| f.offset.rotation * nalgebra::Vector3::y());
    forward.x.atan2(forward.y).rem_euclid(std::f64::consts::TAU)
}

/// Sectors at whole multiples of their width that fill a range.
fn sectors(range: Interval, width_rad: f64) -> Vec<Interval> {
    let (first, last) = ((range.low() / width_rad + 1e-9).floor(), (range.high() / width_rad - 1e-9).ceil());
    let count = (last - first).max(1.0) as usize;
    let ends = |index: usize| (first + index as f64) * width_rad;
    (0..count)
        .filter_map(|index| Interval::new(ends(index).max(range.low()), ends(index + 1).min(range.high())).ok())
        .collect()
}

struct Charting<'a> {
    placed: &'a Machine,
    targets: Vec<Target<'a>>,
    options: Options,
    slew: (usize, &'a JointRange),
    luff: (usize, &'a JointRange),
}

impl Charting<'_> {
    fn sector(&self, slew_rad: Interval) -> Result<Sector, PlanError> {
        let (slew, range) = self.slew;
        let held = self.placed.with_range(slew, range.reached(slew_rad))?;
        let working = self.luff.1.working;
        let whole = self.attempt(&held, working)?;
        let low = (working.low().to_degrees() * STEPS_PER_DEG - 1e-6).ceil();
        let high = (working.high().to_degrees() * STEPS_PER_DEG + 1e-6).floor();
        if whole.0 == Verdict::Clear {
            let edge = |clear_rad| Some(Edge { clear_rad, not_clear_rad: None });
            return Ok(Sector { slew_rad, whole: whole.0, most: edge(working.high()), least: edge(working.low()) });
        }
        let at = |steps: f64| (steps / STEPS_PER_DEG).to_radians();
        let most = |setting: u32| at(high + 1.0 - f64::from(setting));
        let least = |setting: u32| at(low - 1.0 + f64::from(setting));
        let strictest = (high - low + 1.0).max(0.0) as u32;
        let overrun = self.luff.1.overrun;
        let found_most = nested(strictest, whole.0, |setting| {
            let (verdict, luff) = self.attempt(&held, upto(working.low(), most(setting))?)?;
            // Every stop that still lets the luff reach the pose that was found is ruled out.
            let rules_out = luff.map(|luff| high + 1.0 - (luff - overrun).to_degrees() * STEPS_PER_DEG);
            Ok(Tried { verdict, rules_out: rules_out.and_then(whole_steps) })
        })?;
        let found_least = nested(strictest, whole.0, |setting| {
            let (verdict, luff) = self.attempt(&held, upto(least(setting), working.high())?)?;
            let rules_out = luff.map(|luff| (luff + overrun).to_degrees() * STEPS_PER_DEG - low + 1.0);
            Ok(Tried { verdict, rules_out: rules_out.and_then(whole_steps) })
        })?;
        let edge = |found: Option<Boundary>, at: &dyn Fn(u32) -> f64| {
            found.map(|f| Edge { clear_rad: at(f.clear), not_clear_rad: Some(at(f.not_clear)) })
        };
        Ok(Sector { slew_rad, whole: whole.0, most: edge(found_most, &most), least: edge(found_least, &least) })
    }

    /// The verdict with the luff held in a range, and the luff of the pose that was found to be too close.
    fn attempt(&self, held: &Machine, working: Interval) -> Result<(Verdict, Option<f64>), PlanError> {
        let (luff, range) = self.luff;
        let machine = held.with_range(luff, range.reached(working))?;
        let decision = decide(&machine, &self.targets, &self.options)?;
        let witness = decision.against.filter(|_| decision.verdict >= Verdict::TooClose);
        Ok((decision.verdict, witness.and_then(|(_, approach)| approach.witness.pose.get(luff).copied())))
    }
}

fn upto(low: f64, high: f64) -> Result<Interval, PlanError> {
    Interval::new(low.min(high), high).map_err(|error| PlanError::Question(error.to_string()))
}

/// Whole steps, with a hundredth of a step for what rounding might tip over; none below zero.
fn whole_steps(steps: f64) -> Option<u32> {
    let whole = (steps - 0.01).floor();
    (whole >= 0.0).then_some(whole as u32)
}
