//! The wire from moment to moment.

use nalgebra::Point3;

use super::step::Stepper;
use super::{Cable, CableState, Gusts, SwayError};

/// Follows a wire through gusts from a state, and shows each state, the first one too: time in s, state.
///
/// # Errors
/// Gusts for another number of nodes, or a step that does not settle.
pub fn run(
    cable: &Cable,
    start: CableState,
    gusts: &Gusts,
    mut see: impl FnMut(f64, &CableState),
) -> Result<CableState, SwayError> {
    if gusts.places() != cable.nodes() {
        return Err(SwayError::Nodes { given: gusts.places(), nodes: cable.nodes() });
    }
    let mut stepper = Stepper::new(cable, gusts.step_s());
    let mut state = start;
    see(0.0, &state);
    for (index, wind) in gusts.steps().enumerate() {
        stepper.advance(&mut state, index as f64 * gusts.step_s(), wind)?;
        see((index + 1) as f64 * gusts.step_s(), &state);
    }
    Ok(state)
}

/// A time (s) and the places of all nodes then, in the site frame, m.
pub type Picture = (f64, Vec<Point3<f64>>);

/// Times (s) and places of all nodes of a swaying wire in the site frame (m), attachments included, every `every` steps: what a
/// picture in motion needs. The cable counts from `origin`.
///
/// # Errors
/// As [`run`].
pub fn node_positions_m(
    cable: &Cable,
    origin: &Point3<f64>,
    start: CableState,
    gusts: &Gusts,
    every: usize,
) -> Result<Vec<Picture>, SwayError> {
    let (mut pictures, mut index) = (Vec::new(), 0_usize);
    run(cable, start, gusts, |time_s, state| {
        if index.is_multiple_of(every.max(1)) {
            let ends = [cable.from_m, cable.to_m];
            let nodes = ends[..1].iter().chain(&state.places_m).chain(&ends[1..]).map(|place| origin + place);
            pictures.push((time_s, nodes.collect()));
        }
        index += 1;
    })?;
    Ok(pictures)
}
