//! One step in time: an implicit midpoint rule whose element forces conserve energy exactly (a discrete gradient).

use nalgebra::{Matrix3, Vector3};

use super::cable::{ROUNDS, SETTLED_M, greatest, spread};
use super::chain::Chain;
use super::{Cable, CableState, SwayError};
use crate::GRAVITY_M_PER_S2;

/// A change of place below which the next one is foretold, m.
const NEAR_M: f64 = 1e-4;

/// Room for one step, used again for the next.
pub(super) struct Stepper<'a> {
    cable: &'a Cable,
    step_s: f64,
    ties: Chain,
    change: Vec<Vector3<f64>>,
    middle: Vec<Vector3<f64>>,
    next: Vec<Vector3<f64>>,
}

impl<'a> Stepper<'a> {
    pub fn new(cable: &'a Cable, step_s: f64) -> Self {
        let zeros = || vec![Vector3::zeros(); cable.nodes()];
        Self { cable, step_s, ties: Chain::new(cable.nodes()), change: zeros(), middle: zeros(), next: zeros() }
    }

    /// Moves the state on by one step under the wind across the span at each inner node, m/s, in the middle of the step.
    ///
    /// False when Newton's method does not settle; the state is then as before.
    fn settle(&mut self, state: &CableState, wind_m_per_s: &[f64]) -> bool {
        let h = self.step_s;
        for (next, (x, v)) in self.next.iter_mut().zip(state.places_m.iter().zip(&state.velocities_m_per_s)) {
            *next = x + v * h;
        }
        let mut before_m = f64::INFINITY;
        for _ in 0..ROUNDS {
            self.linearise(state, wind_m_per_s);
            if !self.ties.solve(&mut self.change) {
                return false;
            }
            for (next, change) in self.next.iter_mut().zip(&self.change) {
                *next += change;
            }
            let greatest_m = greatest(&self.change);
            // Newton's changes fall with their squares: this is about the next one.
            let next_m = greatest_m * (greatest_m / before_m).powi(2);
            if greatest_m < SETTLED_M || (greatest_m < NEAR_M && next_m < SETTLED_M) {
                return true;
            }
            before_m = greatest_m;
            if !greatest_m.is_finite() {
                return false;
            }
        }
        false
    }

    /// One step, as [`Self::settle`].
    pub fn advance(&mut self, state: &mut CableState, time_s: f64, wind_m_per_s: &[f64]) -> Result<(), SwayError> {
        if !self.settle(state, wind_m_per_s) {
            return Err(SwayError::Step { time_s, step_s: self.step_s });
        }
        let nodes = state.places_m.iter_mut().zip(&mut state.velocities_m_per_s).zip(&self.next);
        for ((x, v), next) in nodes {
            *v = (next - *x) * (2.0 / self.step_s) - *v;
            *x = *next;
        }
        Ok(())
    }

    /// Forces out of balance into `change`, their derivatives into `ties`.
    ///
    /// m·(v₁ − v₀)/h = f with v₁ − v₀ = 2·(x₁ − x₀)/h − 2·v₀.
    fn linearise(&mut self, state: &CableState, wind_m_per_s: &[f64]) {
        self.ties.clear();
        for (middle, (x, next)) in self.middle.iter_mut().zip(state.places_m.iter().zip(&self.next)) {
            *middle = (x + next) * 0.5;
        }
        for (node, wind_m_per_s) in wind_m_per_s.iter().take(self.cable.nodes()).enumerate() {
            self.load_node(node, state, *wind_m_per_s);
        }
        for element in 0..self.cable.lengths_m.len() {
            self.pull_element(element, state);
        }
        for hanger in &self.cable.hangers {
            let ends = [state.places_m[hanger.node], self.next[hanger.node]].map(|place| hanger.top_m - place);
            if let Some((pull, block)) = pulled(hanger.stiffness_n_per_m(), hanger.length_m, ends) {
                self.change[hanger.node] += pull;
                self.ties.add(hanger.node, &block);
            }
        }
    }

    fn load_node(&mut self, node: usize, state: &CableState, wind_m_per_s: f64) {
        let (h, mass) = (self.step_s, self.cable.masses_kg[node]);
        let moved = self.next[node] - state.places_m[node];
        let felt = self.cable.lateral * wind_m_per_s - moved / h;
        let (drag, across) = self.cable.drag_n(&self.middle, node, felt);
        let inertia = (moved / h - state.velocities_m_per_s[node]) * (2.0 * mass / h);
        self.change[node] = drag - Vector3::z() * (mass * GRAVITY_M_PER_S2) - inertia;
        let speed = across.norm();
        let mut resists = Matrix3::identity() * (2.0 * mass / (h * h));
        if speed > 0.0 {
            let factor = self.cable.drag_kg_per_m(node, speed) / h;
            resists += (Matrix3::identity() * speed + across * across.transpose() / speed) * factor;
        }
        self.ties.add(node, &resists);
    }

    fn pull_element(&mut self, element: usize, state: &CableState) {
        let (length_m, cable) = (self.cable.lengths_m[element], self.cable);
        let ends = [cable.piece(&state.places_m, element), cable.piece(&self.next, element)];
        if let Some((pull, block)) = pulled(cable.stiffness_n / length_m, length_m, ends) {
            spread(&mut self.change, element, pull);
            self.ties.tie(element, &block);
        }
    }
}

/// Pull k·c·(d₀ + d₁)/2 with c = (e₀ + e₁)/(l₀ + l₁)·Δe/Δl, e = max(l − L, 0): its work over the step is exactly the loss
/// of the element's energy ½·k·e². With it how it resists being stretched at the end of the step; none where it is slack.
fn pulled(stiffness: f64, length_m: f64, [start, end]: [Vector3<f64>; 2]) -> Option<(Vector3<f64>, Matrix3<f64>)> {
    let (long0, long1) = (start.norm(), end.norm());
    let (more0, more1) = ((long0 - length_m).max(0.0), (long1 - length_m).max(0.0));
    let sum = long0 + long1;
    let share = match (more0 > 0.0, more1 > 0.0) {
        (true, true) => 1.0,
        (false, false) => return None,
        _ => (more1 - more0) / (long1 - long0),
    };
    let c = share * (more0 + more1) / sum;
    let middle = (start + end) * 0.5;
    let slope = if more1 > 0.0 { share * (sum - more0 - more1) / (sum * sum) } else { 0.0 };
    let along = middle * end.transpose() * (stiffness * slope / long1);
    Some((middle * (stiffness * c), Matrix3::identity() * (0.5 * stiffness * c) + along))
}
