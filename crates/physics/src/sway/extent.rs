//! How far a swaying wire leaves the region that steady winds sweep.

use std::ops::Range;

use nalgebra::Vector3;

use super::{Cable, CableState, SwayError};
use crate::interval::Interval;

/// Where each inner node rests under every steady wind of a range.
#[derive(Clone, Debug)]
pub struct StillRegion {
    /// For each inner node, its rests from the least to the greatest wind.
    arcs_m: Vec<Vec<Vector3<f64>>>,
}

/// Steps from one wind to another.
const STEPS: i32 = 48;

impl StillRegion {
    /// The region of the winds across the span of a range, m/s, positive to the left; `calm` is the rest without wind.
    ///
    /// # Errors
    /// When a rest is not found.
    pub fn new(cable: &Cable, calm: &CableState, wind_m_per_s: Interval) -> Result<Self, SwayError> {
        let (low, high) = (force(wind_m_per_s.low()), force(wind_m_per_s.high()));
        let least = walk(cable, calm, (0.0, low))?.pop().unwrap_or_else(|| calm.clone());
        let mut rests = vec![least.clone()];
        rests.extend(walk(cable, &least, (low, high))?);
        let arc = |node: usize| rests.iter().map(|rest| rest.places_m[node]).collect();
        Ok(Self { arcs_m: (0..cable.nodes()).map(arc).collect() })
    }

    /// How far the node that has left most is from its own rests, m: at least as far as from the whole region.
    #[must_use]
    pub fn outside_m(&self, state: &CableState) -> f64 {
        self.outside_among_m(state, 0..self.arcs_m.len())
    }

    /// The same among some nodes.
    #[must_use]
    pub fn outside_among_m(&self, state: &CableState, nodes: Range<usize>) -> f64 {
        let nodes = self.arcs_m.iter().zip(&state.places_m).take(nodes.end).skip(nodes.start);
        nodes.map(|(arc, place)| distance_m(arc, place)).fold(0.0, f64::max)
    }

    /// The same, but never less than a distance that is known, m: most nodes are seen to be nearer at a glance.
    #[must_use]
    pub fn outside_at_least_m(&self, state: &CableState, nodes: Range<usize>, known_m: f64) -> f64 {
        let nodes = self.arcs_m.iter().zip(&state.places_m).take(nodes.end).skip(nodes.start);
        let (mut greatest_m, mut nearest) = (known_m, 0);
        for (arc, place) in nodes {
            let glance_m;
            (nearest, glance_m) = near_m(arc, place, nearest);
            if glance_m > greatest_m {
                greatest_m = greatest_m.max(distance_m(arc, place));
            }
        }
        greatest_m
    }

    /// The greatest distance of a rest of some nodes from the vertical plane of the chord, m.
    #[must_use]
    pub fn reach_m(&self, cable: &Cable, nodes: Range<usize>) -> f64 {
        self.arcs_m
            .iter()
            .take(nodes.end)
            .skip(nodes.start)
            .flatten()
            .map(|place| cable.aside_m(place).abs())
            .fold(0.0, f64::max)
    }
}

impl Cable {
    /// How far a place lies across the span from the vertical plane of the chord, m, positive to the left.
    #[must_use]
    pub fn aside_m(&self, place_m: &Vector3<f64>) -> f64 {
        place_m.dot(&self.lateral)
    }
}

/// Wind force grows with the square of the speed; even steps of it are about even steps of swing.
fn force(wind_m_per_s: f64) -> f64 {
    wind_m_per_s * wind_m_per_s.abs()
}

/// Rests on the way from one wind to another, the first one left out: each is close to the one before.
fn walk(cable: &Cable, from: &CableState, (start, end): (f64, f64)) -> Result<Vec<CableState>, SwayError> {
    let mut rests: Vec<CableState> = Vec::new();
    for index in 1..=STEPS {
        let push = start + (end - start) * f64::from(index) / f64::from(STEPS);
        let near = rests.last().unwrap_or(from);
        let rest = cable.rest(&near.places_m, push.abs().sqrt().copysign(push))?;
        rests.push(rest);
    }
    Ok(rests)
}

impl Cable {
    /// The rest in a wind across the span, m/s, found in small steps from the rest without wind.
    ///
    /// # Errors
    /// [`SwayError::Rest`] when one of them does not settle.
    pub fn rest_from_calm(&self, calm: &CableState, wind_m_per_s: f64) -> Result<CableState, SwayError> {
        Ok(walk(self, calm, (0.0, force(wind_m_per_s)))?.pop().unwrap_or_else(|| calm.clone()))
    }
}

/// Distance of a place from a broken line, m.
fn distance_m(line: &[Vector3<f64>], place: &Vector3<f64>) -> f64 {
    line.windows(2).map(|ends| segment_distance_m(&ends[0], &ends[1], place)).fold(f64::INFINITY, f64::min)
}

/// A piece of a broken line near a place, sought from one of its pieces on while it comes nearer, and its distance, m.
fn near_m(line: &[Vector3<f64>], place: &Vector3<f64>, start: usize) -> (usize, f64) {
    let distance_m = |k: usize| segment_distance_m(&line[k], &line[k + 1], place);
    let mut best = (start, distance_m(start));
    for onward in [true, false] {
        while let Some(k) = if onward { Some(best.0 + 1) } else { best.0.checked_sub(1) } {
            if k + 1 >= line.len() || distance_m(k) >= best.1 {
                break;
            }
            best = (k, distance_m(k));
        }
    }
    best
}

fn segment_distance_m(from: &Vector3<f64>, to: &Vector3<f64>, place: &Vector3<f64>) -> f64 {
    let (way, away) = (to - from, place - from);
    let square = way.norm_squared();
    let t = if square > 0.0 { (away.dot(&way) / square).clamp(0.0, 1.0) } else { 0.0 };
    (away - way * t).norm()
}
