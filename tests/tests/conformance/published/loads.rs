//! Checks of weight, ice, wind, swing, and sags under them.

use std::f64::consts::PI;

use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::line::{Conductor, ConductorProperties, Load, LoadModel};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::parabola::Parabola;
use crate::published::root::bisect;
use crate::published::spans::{hang, level};

type Outcome = Result<Computed, String>;

/// The product's load model of a conductor, with the air so dense that 1 m/s gives 1 Pa: a wind of √p m/s presses p.
fn model(diameter_m: f64, weight_n_per_m: f64, ice_density_kg_per_m3: f64) -> Result<LoadModel, String> {
    let properties = ConductorProperties {
        diameter_m,
        mass_kg_per_m: weight_n_per_m / GRAVITY_M_PER_S2,
        axial_stiffness_n: 1e7,
        expansion_per_k: 2e-5,
        rated_strength_n: None,
    };
    let conductor = Conductor::new(properties).map_err(|error| error.to_string())?;
    Ok(LoadModel::new(&conductor, 2.0, 1.0, ice_density_kg_per_m3))
}

/// The load of a conductor under a wind pressure and a radial ice thickness.
pub fn load_under(
    inputs: &Inputs,
    diameter_m: f64,
    weight_n_per_m: f64,
    pressure_pa: f64,
    ice_m: f64,
) -> Result<Load, String> {
    let model = model(diameter_m, weight_n_per_m, inputs.or("ice_density", 900.0))?;
    Ok(model.load(pressure_pa.sqrt(), ice_m))
}

pub fn district_loads(inputs: &Inputs) -> Outcome {
    let (diameter_m, weight_n_per_m) = (inputs.si("diameter"), inputs.si("weight"));
    let light = load_under(inputs, diameter_m, weight_n_per_m, inputs.si("light_wind"), 0.0)?;
    let heavy = load_under(inputs, diameter_m, weight_n_per_m, inputs.si("heavy_wind"), inputs.si("heavy_ice"))?;
    Ok(Computed::default()
        .with("light_wind_load", light.lateral_n_per_m)
        .with("light_resultant", light.total_n_per_m())
        .with("heavy_vertical", heavy.down_n_per_m)
        .with("heavy_wind_load", heavy.lateral_n_per_m)
        .with("heavy_resultant", heavy.total_n_per_m()))
}

/// Area from the diameter of a solid wire where it is not given, and the other way round.
fn area_m2(inputs: &Inputs) -> f64 {
    inputs.maybe("area").unwrap_or_else(|| PI / 4.0 * inputs.si("diameter").powi(2))
}

fn diameter_m(inputs: &Inputs) -> f64 {
    inputs.maybe("diameter").unwrap_or_else(|| (4.0 / PI * inputs.si("area")).sqrt())
}

fn given_load(inputs: &Inputs) -> Result<Load, String> {
    let from_density = || inputs.si("density") * GRAVITY_M_PER_S2 * area_m2(inputs);
    let weight_n_per_m = inputs.maybe("weight").unwrap_or_else(from_density);
    if let Some(lateral_n_per_m) = inputs.maybe("wind_load") {
        return Ok(Load { down_n_per_m: weight_n_per_m + inputs.or("ice_load", 0.0), lateral_n_per_m });
    }
    let (pressure_pa, ice_m) = (inputs.or("wind_pressure", 0.0), inputs.or("ice", 0.0));
    load_under(inputs, diameter_m(inputs), weight_n_per_m, pressure_pa, ice_m)
}

fn tension_n(inputs: &Inputs) -> f64 {
    let from_stress = || inputs.si("stress") * area_m2(inputs) / inputs.si("safety_factor");
    inputs.maybe("horizontal_tension").unwrap_or_else(from_stress)
}

pub fn loaded_sag(inputs: &Inputs) -> Outcome {
    let (span_m, horizontal_n, load) = (inputs.si("span"), tension_n(inputs), given_load(inputs)?);
    let load_n_per_m = load.total_n_per_m();
    let slant_m = hang(level(span_m), horizontal_n, load_n_per_m)?.sag_m(0.5);
    let parabola_m = Parabola { span_m, load_n_per_m, horizontal_n }.sag_m();
    let upright = load.swing_rad().cos();
    Ok(Computed::default()
        .with("weight", load.down_n_per_m)
        .with("wind_load", load.lateral_n_per_m)
        .with("resultant", load_n_per_m)
        .with("horizontal_tension", horizontal_n)
        .with("swing", load.swing_rad())
        .with("slant_sag", slant_m)
        .with("vertical_sag", slant_m * upright)
        .by_parabola("slant_sag", parabola_m)
        .by_parabola("vertical_sag", parabola_m * upright))
}

pub fn span_for_sag(inputs: &Inputs) -> Outcome {
    let (sag_m, horizontal_n, load) = (inputs.si("sag"), tension_n(inputs), given_load(inputs)?);
    let load_n_per_m = load.total_n_per_m();
    let excess_m =
        |span_m: f64| hang(level(span_m), horizontal_n, load_n_per_m).map_or(f64::NAN, |c| c.sag_m(0.5) - sag_m);
    let span_m = bisect(10.0, 1000.0, excess_m).ok_or("no span fits")?;
    Ok(Computed::default()
        .with("resultant", load_n_per_m)
        .with("span", span_m)
        .by_parabola("span", (8.0 * horizontal_n * sag_m / load_n_per_m).sqrt()))
}

pub fn wind_pressure(inputs: &Inputs) -> Outcome {
    let diameter_m = 0.02;
    let properties = ConductorProperties {
        diameter_m,
        mass_kg_per_m: 1.0,
        axial_stiffness_n: 1e7,
        expansion_per_k: 2e-5,
        rated_strength_n: None,
    };
    let conductor = Conductor::new(properties).map_err(|error| error.to_string())?;
    let model = LoadModel::new(&conductor, 2.0 * inputs.si("half_density"), 1.0, 900.0);
    let divisor = inputs.or("speed_divisor", 1.0);
    let speeds: Vec<f64> = inputs.list("basic_speed").into_iter().map(|speed| speed / divisor).collect();
    let pressures = speeds.iter().map(|speed| model.lateral_n_per_m(*speed, 0.0) / diameter_m).collect();
    Ok(Computed::default().with_list("speed", speeds).with_list("pressure", pressures))
}

/// Force of a span's share of wind and weight; the incidence factor sin²Ω is that of the wind's part across the span.
pub fn tower_load(inputs: &Inputs) -> Outcome {
    let pressure_pa = inputs.si("wind_pressure") * inputs.or("incidence_squared", 1.0);
    let load = load_under(inputs, inputs.si("diameter"), inputs.si("weight"), pressure_pa, 0.0)?;
    Ok(Computed::default()
        .with("wind_force", load.lateral_n_per_m * inputs.si("wind_span"))
        .with("weight_force", load.down_n_per_m * inputs.si("weight_span")))
}

pub fn swing(inputs: &Inputs) -> Outcome {
    let swing_rad = |pressure_pa| {
        load_under(inputs, inputs.si("diameter"), inputs.si("weight"), pressure_pa, 0.0).map(|load| load.swing_rad())
    };
    let angles = inputs.list("wind_pressure").into_iter().map(swing_rad);
    Ok(Computed::default().with_list("swing", angles.collect::<Result<_, String>>()?))
}
