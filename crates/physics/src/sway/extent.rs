//! How far a swaying wire leaves the region that steady winds sweep.

use nalgebra::Vector3;

use super::{Cable, CableState, SwayError};

/// Where each inner node rests under every steady wind up to a speed, from either side.
#[derive(Clone, Debug)]
pub struct StillRegion {
    /// For each inner node, its rests from the strongest wind one way to the strongest the other way.
    arcs_m: Vec<Vec<Vector3<f64>>>,
}

/// Rests on each side of calm.
const SIDE: i32 = 24;

impl StillRegion {
    /// The region of winds across the span from `-wind_m_per_s` to `wind_m_per_s`; `calm` is the wire at rest without wind.
    ///
    /// # Errors
    /// When a rest is not found.
    pub fn new(cable: &Cable, calm: &CableState, wind_m_per_s: f64) -> Result<Self, SwayError> {
        let side = |sign: f64| {
            let mut near = calm.clone();
            (1..=SIDE)
                .map(|index| {
                    // Even steps of wind force, which grows with the square of the speed, leave even steps of swing.
                    let speed = sign * wind_m_per_s * (f64::from(index) / f64::from(SIDE)).sqrt();
                    near = cable.rest(&near.places_m, speed)?;
                    Ok(near.clone())
                })
                .collect::<Result<Vec<_>, SwayError>>()
        };
        let (mut rests, right) = (side(-1.0)?, side(1.0)?);
        rests.reverse();
        rests.push(calm.clone());
        rests.extend(right);
        let arc = |node: usize| rests.iter().map(|rest| rest.places_m[node]).collect();
        Ok(Self { arcs_m: (0..cable.nodes()).map(arc).collect() })
    }

    /// How far the node that has left most is from its own rests, m: at least as far as from the whole region.
    #[must_use]
    pub fn outside_m(&self, state: &CableState) -> f64 {
        let nodes = self.arcs_m.iter().zip(&state.places_m);
        nodes.map(|(arc, place)| distance_m(arc, place)).fold(0.0, f64::max)
    }

    /// The greatest distance across the span of a rest from calm, m, with the lateral direction of the cable.
    #[must_use]
    pub fn reach_m(&self, cable: &Cable) -> f64 {
        self.arcs_m.iter().flatten().map(|place| cable.aside_m(place).abs()).fold(0.0, f64::max)
    }
}

impl Cable {
    /// How far a place lies across the span from the vertical plane of the chord, m, positive to the left.
    #[must_use]
    pub fn aside_m(&self, place_m: &Vector3<f64>) -> f64 {
        place_m.dot(&self.lateral)
    }
}

/// Distance of a place from a broken line, m.
fn distance_m(line: &[Vector3<f64>], place: &Vector3<f64>) -> f64 {
    line.windows(2).map(|ends| segment_distance_m(&ends[0], &ends[1], place)).fold(f64::INFINITY, f64::min)
}

fn segment_distance_m(from: &Vector3<f64>, to: &Vector3<f64>, place: &Vector3<f64>) -> f64 {
    let (way, away) = (to - from, place - from);
    let square = way.norm_squared();
    let t = if square > 0.0 { (away.dot(&way) / square).clamp(0.0, 1.0) } else { 0.0 };
    (away - way * t).norm()
}
