//! Suspension strings and the ruling span.

use std::error::Error;
use std::f64::consts::PI;

use nalgebra::Point3;
use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, SectionState, Span, SuspensionString,
    WindDirection, Wire, WireDescription, ruling_span_m,
};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::root::bisect;

type Outcome = Result<Computed, String>;

pub fn ruling_span(inputs: &Inputs) -> Outcome {
    Ok(Computed::default().with("ruling_span", ruling_span_m(&inputs.list("spans"))))
}

const TENSION_N: f64 = 25e3;
/// So short that the next supports, whose wire does not swing, hardly hold it back.
const STRING_M: f64 = 0.2;
const AIR_KG_PER_M3: f64 = 1.225;

/// Two spans of the wind span each; their middle support is lowered until the weight span is the one given.
pub fn string_swing(inputs: &Inputs) -> Outcome {
    let lowered = |low_m| Lowered::new(inputs, low_m).map_err(|error| error.to_string());
    lowered(0.0)?;
    let excess_m = |low_m| lowered(low_m).map_or(f64::NAN, |l| l.weight_span_m - inputs.si("weight_span"));
    let low_m = bisect(0.0, 20.0, excess_m).ok_or("no height fits")?;
    Ok(Computed::default().with("string_swing", lowered(low_m)?.swing_rad))
}

struct Lowered {
    weight_span_m: f64,
    swing_rad: f64,
}

impl Lowered {
    fn new(inputs: &Inputs, low_m: f64) -> Result<Self, Box<dyn Error>> {
        let (run_m, weight_n_per_m) = (inputs.si("wind_span"), inputs.si("weight"));
        let wind_m_per_s = (2.0 * inputs.si("wind_pressure") / AIR_KG_PER_M3).sqrt();
        let wire = wire(inputs, low_m, wind_m_per_s)?;
        let state = SectionState { clamped_n: TENSION_N, growth: 1.0, wind_m_per_s, wind_from_rad: PI, ice_m: 0.0 };
        let span = &wire.spans()[0];
        let shape = span.placed_in(&state).ok_or("no string")??.shape;
        let chord = shape.span.chord();
        // The pull along the line is the same in both spans; their chords fall toward the string.
        let pull_n = shape.horizontal_n() * chord.x / shape.catenary.chord().run_m;
        let weight_span_m = run_m + 2.0 * pull_n * chord.z / chord.x / weight_n_per_m;
        let [_, far] = span.string_swings(&state)?;
        Ok(Self { weight_span_m, swing_rad: far.ok_or("no string")?.across_rad })
    }
}

fn wire(inputs: &Inputs, low_m: f64, wind_m_per_s: f64) -> Result<Wire, Box<dyn Error>> {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: inputs.si("diameter"),
        mass_kg_per_m: inputs.si("weight") / GRAVITY_M_PER_S2,
        axial_stiffness_n: 3.5e7,
        expansion_per_k: 2e-5,
        rated_strength_n: None,
    })?;
    let at = |k: f64, z: f64| Point3::new(k * inputs.si("wind_span"), 0.0, z);
    let (near, middle, far) = (at(0.0, 40.0), at(1.0, 40.0 - low_m), at(2.0, 40.0));
    let degc = Interval::point(15.0)?;
    let description = WireDescription {
        name: "wire".into(),
        conductor,
        spans: vec![Span::new(near, middle)?, Span::new(middle, far)?],
        known_by: KnownBy::Tension { horizontal_n: Interval::point(TENSION_N)?, temperature_degc: degc },
        permanent_strain: Interval::point(0.0)?,
        position_tolerance_m: 0.0,
    };
    let string = SuspensionString { length_m: STRING_M, weight_n: inputs.si("string_weight"), wind_area_m2: 0.0 };
    let conditions = Conditions {
        temperature_degc: degc,
        wind_m_per_s: Interval::point(wind_m_per_s)?,
        wind_direction: WindDirection::Sector { from_rad: PI, sweep_rad: 0.0 },
        ice_m: Interval::point(0.0)?,
        ice_density_kg_per_m3: 913.0,
        air_density_kg_per_m3: AIR_KG_PER_M3,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    };
    Ok(Wire::with_strings(description, &[None, Some(string), None], &conditions)?)
}
