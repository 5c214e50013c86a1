//! Checks that go from one state to another, or read a tension in an unusual way.

use wideberth_physics::line::{Catenary, CatenaryError, Load};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::loads::load_under;
use crate::published::parabola::{Change, Parabola, sag_from_length_m, tension_after};
use crate::published::root::bisect;
use crate::published::spans::{RIGID_N, hang, level};

type Outcome = Result<Computed, String>;

/// The table prints the mean of horizontal and support tension, H + w·D/2.
pub fn sag_from_mean_tension(inputs: &Inputs) -> Outcome {
    let chord = level(inputs.si("span"));
    let sag = |(load, mean): (f64, f64)| {
        let gap = |horizontal_n: f64| {
            hang(chord, horizontal_n, load).map_or(f64::NAN, |c| horizontal_n + 0.5 * load * c.sag_m(0.5) - mean)
        };
        let horizontal_n = bisect(0.8 * mean, mean, gap).ok_or("no tension fits")?;
        Ok(hang(chord, horizontal_n, load)?.sag_m(0.5))
    };
    let sags = inputs.list("weight").into_iter().zip(inputs.list("mean_tension")).map(sag);
    Ok(Computed::default().with_list("sag", sags.collect::<Result<_, String>>()?))
}

/// Loads before and after.
fn both_loads(inputs: &Inputs) -> Result<(f64, f64), String> {
    let down_n_per_m = inputs.si("weight");
    if let Some(lateral_n_per_m) = inputs.maybe("wind_load_1") {
        return Ok((Load { down_n_per_m, lateral_n_per_m }.total_n_per_m(), down_n_per_m));
    }
    let ice_m = inputs.or("ice_1", 0.0);
    let pressure_pa = inputs.or("wind_pressure_1", 0.0);
    let before = load_under(inputs, inputs.or("diameter", 0.02), down_n_per_m, pressure_pa, ice_m)?;
    Ok((before.total_n_per_m(), down_n_per_m))
}

fn say(error: CatenaryError) -> String {
    error.to_string()
}

pub fn change_of_state(inputs: &Inputs) -> Outcome {
    let (span_m, horizontal_n) = (inputs.si("span"), inputs.si("horizontal_tension_1"));
    let (before, after) = both_loads(inputs)?;
    let area_m2 = inputs.maybe("area");
    let stiffness_n = area_m2.map_or(RIGID_N, |area_m2| inputs.si("modulus") * area_m2);
    let thermal_strain = inputs.si("expansion") * (inputs.si("temperature_2") - inputs.si("temperature_1"));
    let first = Catenary::with_tension(level(span_m), horizontal_n, before, stiffness_n).map_err(say)?;
    let length_m = first.unstretched_m() * (1.0 + thermal_strain);
    let second = Catenary::with_length(level(span_m), length_m, after, stiffness_n).map_err(say)?;
    let tension_n = second.constant_m() * after;
    let start = Parabola { span_m, load_n_per_m: before, horizontal_n };
    let by_cubic_n = tension_after(start, Change { stiffness_n, thermal_strain, load_n_per_m: after });
    let end = Parabola { span_m, load_n_per_m: after, horizontal_n: by_cubic_n };
    let per_area = 1.0 / area_m2.unwrap_or(f64::NAN);
    Ok(Computed::default()
        .with("horizontal_tension", tension_n)
        .with("stress", tension_n * per_area)
        .with("sag", second.sag_m(0.5))
        .with("wire_length", second.stretched_m())
        .by_parabola("horizontal_tension", by_cubic_n)
        .by_parabola("stress", by_cubic_n * per_area)
        .by_parabola("sag", end.sag_m()))
}

/// An inextensible wire of a given length, warmed.
pub fn thermal_elongation(inputs: &Inputs) -> Outcome {
    let (span_m, load_n_per_m) = (inputs.si("span"), inputs.si("weight"));
    let warming_k = inputs.si("temperature_2") - inputs.si("temperature_1");
    let length_m = inputs.si("wire_length_1") * (1.0 + inputs.si("expansion") * warming_k);
    let catenary = Catenary::with_length(level(span_m), length_m, load_n_per_m, RIGID_N).map_err(say)?;
    let sag_m = sag_from_length_m(span_m, length_m);
    Ok(Computed::default()
        .with("wire_length", catenary.stretched_m())
        .with("sag", catenary.sag_m(0.5))
        .with("horizontal_tension", catenary.constant_m() * load_n_per_m)
        .by_parabola("sag", sag_m))
}

/// K = f − L²·δ²·E/(24·f²), f = H/A, δ = w/A.
pub fn state_constant(inputs: &Inputs) -> Outcome {
    let area_m2 = inputs.si("area");
    let stress_pa = inputs.si("horizontal_tension_1") / area_m2;
    let density_n_per_m3 = inputs.si("weight") / area_m2;
    let bend = (inputs.si("span") * density_n_per_m3 / stress_pa).powi(2) * inputs.si("modulus") / 24.0;
    Ok(Computed::default().by_parabola("stress", stress_pa).by_parabola("state_constant", stress_pa - bend))
}
