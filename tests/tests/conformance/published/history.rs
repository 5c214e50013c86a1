//! Checks of the knee of a steel-cored wire and of the way from its initial to its final state.

use nalgebra::Point3;
use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Catenary, Conditions, Conductor, ConductorProperties, Core, HeaviestLoad, KnownBy, LoadModel, LoadsAlongSpan,
    NewWire, Span, WindDirection, Wire, WireDescription,
};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::root::bisect;

type Outcome = Result<Computed, String>;

fn point(value: f64) -> Interval {
    Interval::point(value).expect("a finite number")
}

fn conductor(inputs: &Inputs) -> Result<Conductor, String> {
    let properties = ConductorProperties {
        diameter_m: inputs.si("diameter"),
        mass_kg_per_m: inputs.si("weight") / GRAVITY_M_PER_S2,
        axial_stiffness_n: inputs.si("modulus") * inputs.si("area"),
        expansion_per_k: inputs.si("expansion"),
        rated_strength_n: None,
    };
    Conductor::new(properties).map_err(|error| error.to_string())
}

fn core(inputs: &Inputs) -> Core {
    Core {
        axial_stiffness_n: inputs.si("core_modulus") * inputs.si("core_area"),
        expansion_per_k: inputs.si("core_expansion"),
        free_degc: point(inputs.si("free_temperature")),
        set: point(inputs.si("set")),
    }
}

fn span(inputs: &Inputs) -> Span {
    let from = Point3::new(0.0, 0.0, 30.0);
    Span::new(from, from + nalgebra::Vector3::new(inputs.si("span"), 0.0, 0.0)).expect("a possible span")
}

/// The mean of horizontal and support tension, H + w·D/2, N, which American tables print.
fn mean_n(shape: &Catenary, load_n_per_m: f64) -> f64 {
    shape.constant_m() * load_n_per_m + 0.5 * load_n_per_m * shape.sag_m(0.5)
}

/// The horizontal tension that goes with a printed mean, N.
fn horizontal_n(inputs: &Inputs, stiffness_n: f64) -> Result<f64, String> {
    let (mean, weight) = (inputs.si("mean_tension"), inputs.si("weight"));
    let chord = span(inputs).chord_in_plane(0.0);
    let gap = |h: f64| {
        Catenary::with_tension(chord, h, weight, stiffness_n).map_or(f64::NAN, |shape| mean_n(&shape, weight) - mean)
    };
    bisect(0.8 * mean, mean, gap).ok_or_else(|| "no tension fits".into())
}

/// Mean tensions at the temperatures, N.
fn hot_n(inputs: &Inputs, conductor: Conductor) -> Result<Vec<f64>, String> {
    let temperatures = inputs.list("temperatures");
    let horizontal_n = horizontal_n(inputs, conductor.properties().axial_stiffness_n)?;
    let description = WireDescription {
        name: "table".into(),
        conductor,
        spans: vec![span(inputs)],
        known_by: KnownBy::Tension {
            horizontal_n: point(horizontal_n),
            temperature_degc: point(inputs.si("temperature")),
        },
        permanent_strain: point(0.0),
        position_tolerance_m: 0.0,
    };
    let conditions = Conditions {
        temperature_degc: Interval::new(temperatures[0], temperatures[temperatures.len() - 1]).expect("rising"),
        wind_m_per_s: point(0.0),
        wind_direction: WindDirection::Any,
        ice_m: point(0.0),
        ice_density_kg_per_m3: 900.0,
        air_density_kg_per_m3: 1.2,
        drag: 1.0,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    };
    let wire = Wire::new(description, &conditions).map_err(|error| error.to_string())?;
    let span = &wire.spans()[0];
    let mean = |degc: &f64| {
        let shape = span.shape(&span.nominal_state(*degc, 0.0, 0.0)).map_err(|error| error.to_string())?;
        Ok(mean_n(&shape.catenary, shape.load_n_per_m))
    };
    temperatures.iter().map(mean).collect()
}

pub fn knee(inputs: &Inputs) -> Outcome {
    let one_piece = conductor(inputs)?;
    let cored = one_piece.with_core(core(inputs)).map_err(|error| error.to_string())?;
    Ok(Computed::default()
        .with_list("mean_tension", hot_n(inputs, cored)?)
        .with_list("mean_tension_of_one_piece", hot_n(inputs, one_piece)?))
}

pub fn initial_line(inputs: &Inputs) -> Outcome {
    let (conductor, span) = (conductor(inputs)?, span(inputs));
    let initial_n = inputs.si("initial_modulus") * inputs.si("area");
    // The heavy load as a weight: ice so dense that a sleeve of 10 mm makes up the difference.
    let bare = LoadModel::new(&conductor, 1.2, 1.0, 1.0);
    let (ice_m, weight) = (0.01, inputs.si("weight"));
    let density = (inputs.si("heavy_weight") - weight) / (bare.down_n_per_m(ice_m) - weight);
    let new = NewWire::new(conductor, initial_n, LoadModel::new(&conductor, 1.2, 1.0, density));
    let new = new.map_err(|error| error.to_string())?;
    let (strung_n, strung_degc) = (horizontal_n(inputs, initial_n)?, inputs.si("temperature"));
    let say = |error: wideberth_physics::line::CatenaryError| error.to_string();
    let under = |temperature_degc: f64, ice_m: f64| {
        let load = HeaviestLoad { temperature_degc, wind_m_per_s: 0.0, ice_m };
        let (shape, horizontal_n) = new.under(&span, strung_n, strung_degc, &load).map_err(say)?;
        Ok::<f64, String>(mean_n(&shape, horizontal_n / shape.constant_m()))
    };
    let heavy = HeaviestLoad { temperature_degc: inputs.si("heavy_temperature"), wind_m_per_s: 0.0, ice_m };
    let strain = new.permanent_strain(&span, strung_n, strung_degc, &heavy).map_err(say)?;
    let final_n = conductor.properties().axial_stiffness_n;
    let chord = span.chord_in_plane(0.0);
    let strung = Catenary::with_tension(chord, strung_n, weight, final_n).map_err(say)?;
    let after = Catenary::with_length(chord, strung.unstretched_m() * (1.0 + strain), weight, final_n).map_err(say)?;
    let cold = inputs.list("temperatures").into_iter().map(|degc| under(degc, 0.0));
    Ok(Computed::default()
        .with("heavy_mean_tension", under(heavy.temperature_degc, ice_m)?)
        .with_list("mean_tension", cold.collect::<Result<_, _>>()?)
        .with("final_mean_tension", mean_n(&after, weight)))
}
