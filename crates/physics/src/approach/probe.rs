//! Upper bounds: the distance in one pose and one state, and a local search for a closer one.

use std::sync::Arc;

use argmin::core::{CostFunction, Error as SolverError, Executor, State};
use argmin::solver::neldermead::NelderMead;

use super::bound::Candidate;
use super::cell::Cell;
use super::limiter;
use super::posed::Joints;
use super::strand::{Curve, Pair};
use super::types::ApproachError;
use crate::interval::Interval;
use crate::line::{Cover, DIMENSIONS, PlacedState};

/// The numbers that make a state of a wire; those that it does not have are 0.
pub type StateValues = [f64; DIMENSIONS];

/// One pose and one state, and how close they come.
#[derive(Clone, Debug)]
pub struct Trial {
    /// Joint values of the body.
    pub joints: Joints,
    /// The numbers that make the state of the wire, in the order of [`crate::line::Cover::ranges`].
    pub values: StateValues,
    /// The wire in that state.
    pub placed: PlacedState,
    /// Points on the wire's centre line and the body's hull.
    pub pair: Pair,
    /// Distance between the surfaces less margins, m; not positive in contact.
    pub distance_m: f64,
    /// The states from which that of the wire was sought.
    pub near: Arc<Cover>,
}

/// Tries poses and states of one body and one span.
pub struct Probe<'a> {
    candidate: Candidate<'a>,
    /// The states from which others are sought.
    near: Arc<Cover>,
    /// Ranges of the numbers that make a state.
    states: Vec<Interval>,
}

impl<'a> Probe<'a> {
    /// A probe for a body and a span, quickest about some of the span's states.
    pub fn new(candidate: Candidate<'a>, near: Arc<Cover>) -> Self {
        Self { candidate, near, states: candidate.wire.cover().ranges() }
    }

    /// The state of a cell that its bound prefers: most or least sag; the swing end or middle that leans most to the body.
    pub fn preferred_state(&self, cell: &Cell) -> StateValues {
        let mut values = [0.0; DIMENSIONS];
        for ((value, range), share) in values.iter_mut().zip(cell.wire.ranges()).zip(cell.shares) {
            *value = if share == 1.0 { range.high() } else { range.at(share) };
        }
        values
    }

    /// The preferred pose of a cell, brought within what limiters leave where it lies beyond; none where that fails.
    pub fn admitted(&self, cell: &Cell) -> Option<Joints> {
        self.brought_in(cell.preferred, &cell.center, &cell.half)
    }

    /// A pose, brought within what limiters leave, in a box, where it lies beyond; none where that fails.
    fn brought_in(&self, pose: Joints, center: &Joints, half: &Joints) -> Option<Joints> {
        limiter::admitted(self.candidate.limiters, pose, center, half)
    }

    /// The same within the whole working ranges.
    fn brought_in_anywhere(&self, pose: Joints) -> Option<Joints> {
        let (mut center, mut half) = (Joints::default(), Joints::default());
        for (joint, range) in self.candidate.carried.ranges().iter().enumerate() {
            (center[joint], half[joint]) = (range.center(), range.half_width());
        }
        self.brought_in(pose, &center, &half)
    }

    /// The distance in one pose and one state.
    ///
    /// # Errors
    /// When the state has no shape.
    pub fn trial(&self, joints: &Joints, values: &StateValues) -> Result<Trial, ApproachError> {
        let Candidate { carried, wire, .. } = &self.candidate;
        let placed = wire.placed_near(&self.near, values)?;
        let shape = &placed.shape;
        let mut posed = carried.blank();
        carried.pose(joints, &mut posed);
        let curve = Curve::new(&shape.span, &shape.catenary, shape.swing_rad);
        let pair = curve.close_pair(&posed.features, 0.0, 1.0, 30);
        let distance_m = pair.distance_m() - carried.body().radius_m - shape.radius_m - wire.margin_m();
        Ok(Trial { joints: *joints, values: *values, placed, pair, distance_m, near: Arc::clone(&self.near) })
    }

    /// Ranges of all free numbers: joints, then those of the state.
    fn ranges(&self) -> Vec<Interval> {
        let joints = self.candidate.carried.ranges().iter().copied();
        joints.chain(self.states.iter().copied()).collect()
    }

    fn pack(&self, trial: &Trial) -> Vec<f64> {
        let count = self.candidate.carried.joints().len();
        let state = trial.values[..self.states.len()].iter();
        let values = trial.joints[..count].iter().chain(state);
        values.zip(self.ranges()).map(|(v, r)| if r.width() > 0.0 { (v - r.low()) / r.width() } else { 0.0 }).collect()
    }

    /// Pose and state from shares of the ranges; a share beyond 0..1 counts as its nearest end.
    fn unpack(&self, shares: &[f64]) -> (Joints, StateValues) {
        let values: Vec<f64> = self.ranges().iter().zip(shares).map(|(r, s)| r.at(s.clamp(0.0, 1.0))).collect();
        let (joints, state) = values.split_at(values.len() - self.states.len());
        let (mut packed, mut values) = (Joints::default(), StateValues::default());
        packed[..joints.len()].copy_from_slice(joints);
        values[..state.len()].copy_from_slice(state);
        (packed, values)
    }
}

impl CostFunction for &Probe<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    fn cost(&self, shares: &Vec<f64>) -> Result<f64, SolverError> {
        let (joints, values) = self.unpack(shares);
        let Some(joints) = self.brought_in_anywhere(joints) else { return Ok(f64::INFINITY) };
        Ok(self.trial(&joints, &values)?.distance_m)
    }
}

/// A trial at least as close as the one given, by Nelder and Mead's simplex in the shares of the ranges.
///
/// # Errors
/// When a state has no shape.
pub fn polish(probe: &Probe, start: &Trial) -> Result<Trial, ApproachError> {
    let center = probe.pack(start);
    let corners = (0..center.len()).map(|axis| {
        let mut corner = center.clone();
        corner[axis] += if corner[axis] > 0.5 { -0.05 } else { 0.05 };
        corner
    });
    let simplex: Vec<Vec<f64>> = std::iter::once(center.clone()).chain(corners).collect();
    let Ok(solver) = NelderMead::new(simplex).with_sd_tolerance(1e-6) else { return Ok(start.clone()) };
    let run = Executor::new(probe, solver).configure(|state| state.max_iters(30 * center.len() as u64)).run();
    let Ok(result) = run else { return Ok(start.clone()) };
    let Some(shares) = result.state().get_best_param() else { return Ok(start.clone()) };
    let (joints, values) = probe.unpack(shares);
    let Some(joints) = probe.brought_in_anywhere(joints) else { return Ok(start.clone()) };
    let polished = probe.trial(&joints, &values)?;
    Ok(if polished.distance_m < start.distance_m { polished } else { start.clone() })
}
