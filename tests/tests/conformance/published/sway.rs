//! Checks of frequencies.

use std::f64::consts::PI;

use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::sway::{Cable, Direction, irvine_parameter, swing_period_s, symmetric_frequency_ratio};
use wideberth_tests::swaying::{span, state};

use crate::published::data::Inputs;
use crate::published::judge::Computed;

type Outcome = Result<Computed, String>;

pub fn cable_frequency(inputs: &Inputs) -> Outcome {
    let ratio = symmetric_frequency_ratio(inputs.si("lambda2"));
    Ok(Computed::default().with("ratio", ratio).with("ratio_over_pi", ratio / PI))
}

/// Frequencies by the chain of masses, not by the formulas that the row was made with.
pub fn span_frequencies(inputs: &Inputs) -> Outcome {
    let (run_m, horizontal_n, mass) = (inputs.si("span"), inputs.si("horizontal_tension"), inputs.si("mass"));
    let weight = mass * GRAVITY_M_PER_S2;
    let span = span(run_m, 0.0, horizontal_n);
    let (cable, rest) = Cable::new(span.strand(), &state(&span, 0.0), 96).map_err(|error| error.to_string())?;
    let modes = cable.modes(&rest, 8).map_err(|error| error.to_string())?;
    let first = |direction| {
        let mode = modes.iter().find(|mode| mode.direction == direction);
        mode.map(|mode| mode.frequency_hz).ok_or_else(|| format!("no mode {direction:?}"))
    };
    let sag_m = weight * run_m * run_m / (8.0 * horizontal_n);
    Ok(Computed::default()
        .with("lambda2", irvine_parameter(weight, run_m, horizontal_n, inputs.si("stiffness")))
        .with("symmetric", first(Direction::InPlaneSymmetric)?)
        .with("antisymmetric", first(Direction::InPlaneAntisymmetric)?)
        .with("across", first(Direction::Across)?)
        .with("pendulum", 1.0 / swing_period_s(sag_m)))
}
