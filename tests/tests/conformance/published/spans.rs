//! Checks of one span in one state.

use nalgebra::Point3;
use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Catenary, Chord, Conductor, ConductorProperties, KnownBy, Span};

use crate::published::data::Inputs;
use crate::published::judge::Computed;
use crate::published::parabola::Parabola;
use crate::published::root::bisect;

/// Axial stiffness that stands for an inextensible wire: it stretches by a few parts in 10⁹.
pub const RIGID_N: f64 = 1e13;
/// The stiffest conductor that the product accepts; a few parts in 10⁵ at these tensions.
const STIFFEST_N: f64 = 1e9;

type Outcome = Result<Computed, String>;

fn weight(inputs: &Inputs) -> f64 {
    let from_mass = || inputs.si("mass") * inputs.or("gravity", GRAVITY_M_PER_S2);
    inputs.maybe("weight").unwrap_or_else(from_mass)
}

/// A level or inclined wire at a horizontal tension.
pub fn hang(chord: Chord, horizontal_n: f64, load_n_per_m: f64) -> Result<Catenary, String> {
    Catenary::with_tension(chord, horizontal_n, load_n_per_m, RIGID_N).map_err(|error| error.to_string())
}

pub fn level(span_m: f64) -> Chord {
    Chord { run_m: span_m, rise_m: 0.0 }
}

fn greatest_n(catenary: &Catenary, horizontal_n: f64) -> f64 {
    let (near, far) = catenary.end_tension_ratios();
    horizontal_n * near.max(far)
}

fn level_values(span_m: f64, horizontal_n: f64, load_n_per_m: f64) -> Outcome {
    let catenary = hang(level(span_m), horizontal_n, load_n_per_m)?;
    let parabola = Parabola { span_m, load_n_per_m, horizontal_n };
    Ok(Computed::default()
        .with("horizontal_tension", horizontal_n)
        .with("sag", catenary.sag_m(0.5))
        .with("wire_length", catenary.stretched_m())
        .with("greatest_tension", greatest_n(&catenary, horizontal_n))
        .with("catenary_constant", catenary.constant_m())
        .by_parabola("sag", parabola.sag_m()))
}

pub fn level_by_tension(inputs: &Inputs) -> Outcome {
    level_values(inputs.si("span"), inputs.si("horizontal_tension"), weight(inputs))
}

/// Horizontal tension by what the product makes of a measured height.
fn tension_from_height(span: Span, weight_n_per_m: f64, fraction: f64, height_m: f64) -> Result<f64, String> {
    let properties = ConductorProperties {
        diameter_m: 0.02,
        mass_kg_per_m: weight_n_per_m / GRAVITY_M_PER_S2,
        axial_stiffness_n: STIFFEST_N,
        expansion_per_k: 2e-5,
        rated_strength_n: None,
    };
    let conductor = Conductor::new(properties).map_err(|error| error.to_string())?;
    let point = |value| Interval::point(value).map_err(|error| error.to_string());
    let known = KnownBy::Height {
        span: 0,
        fraction: point(fraction)?,
        height_m: point(height_m)?,
        temperature_degc: point(15.0)?,
    };
    let tension = known.horizontal_n(&conductor, &[span], 0.0).map_err(|error| error.to_string())?;
    Ok(tension.center())
}

fn supports(span_m: f64, near_m: f64, far_m: f64) -> Result<Span, String> {
    Span::new(Point3::new(0.0, 0.0, near_m), Point3::new(span_m, 0.0, far_m)).map_err(|error| error.to_string())
}

pub fn level_by_sag(inputs: &Inputs) -> Outcome {
    let (span_m, sag_m, load_n_per_m) = (inputs.si("span"), inputs.si("sag"), weight(inputs));
    let horizontal_n = tension_from_height(supports(span_m, 0.0, 0.0)?, load_n_per_m, 0.5, -sag_m)?;
    let parabola = Parabola { span_m, load_n_per_m, horizontal_n: load_n_per_m * span_m.powi(2) / (8.0 * sag_m) };
    Ok(level_values(span_m, horizontal_n, load_n_per_m)?
        .by_parabola("horizontal_tension", parabola.horizontal_n)
        .by_parabola("greatest_tension", parabola.greatest_n())
        .by_parabola("wire_length", parabola_arc_three_terms_m(span_m, sag_m)))
}

/// L·(1 + 8/3·r² − 32/5·r⁴), r = D/L.
fn parabola_arc_three_terms_m(span_m: f64, sag_m: f64) -> f64 {
    let ratio = sag_m / span_m;
    span_m * (1.0 + 8.0 / 3.0 * ratio.powi(2) - 32.0 / 5.0 * ratio.powi(4))
}

pub fn level_by_greatest_tension(inputs: &Inputs) -> Outcome {
    let (span_m, wanted_n, load_n_per_m) = (inputs.si("span"), inputs.si("greatest_tension"), weight(inputs));
    let excess_n = |horizontal_n: f64| {
        let catenary = hang(level(span_m), horizontal_n, load_n_per_m);
        catenary.map_or(f64::NAN, |c| greatest_n(&c, horizontal_n) - wanted_n)
    };
    let horizontal_n = bisect(0.5 * wanted_n, wanted_n, excess_n).ok_or("no tension fits")?;
    level_values(span_m, horizontal_n, load_n_per_m)
}

pub fn by_length_and_sag(inputs: &Inputs) -> Outcome {
    let (length_m, sag_m) = (inputs.si("wire_length"), inputs.si("sag"));
    let load_n_per_m = inputs.maybe("weight").unwrap_or_else(|| inputs.si("total_weight") / length_m);
    let shape = |run_m| Catenary::with_length(level(run_m), length_m, load_n_per_m, RIGID_N);
    let too_low = |run_m: f64| shape(run_m).map_or(1.0, |c| c.sag_m(0.5) - sag_m);
    let run_m = bisect(0.01 * length_m, 0.999 * length_m, too_low).ok_or("no span fits")?;
    let catenary = shape(run_m).map_err(|error| error.to_string())?;
    if (catenary.sag_m(0.5) - sag_m).abs() > 1e-6 {
        return Err("the span that fits lies outside the model".into());
    }
    let horizontal_n = catenary.constant_m() * load_n_per_m;
    Ok(Computed::default().with("span", run_m).with("greatest_tension", greatest_n(&catenary, horizontal_n)))
}

pub fn sag_at_point(inputs: &Inputs) -> Outcome {
    let (span_m, sag_m, load_n_per_m) = (inputs.si("span"), inputs.si("sag"), 10.0);
    let horizontal_n = tension_from_height(supports(span_m, 0.0, 0.0)?, load_n_per_m, 0.5, -sag_m)?;
    let catenary = hang(level(span_m), horizontal_n, load_n_per_m)?;
    let there_m = catenary.sag_m(inputs.si("distance") / span_m);
    Ok(Computed::default().with("sag_at_point", there_m).with("sag_ratio", there_m / sag_m))
}

pub fn weight_in_span(inputs: &Inputs) -> Outcome {
    let (span_m, sag_m) = (inputs.si("span"), inputs.si("sag"));
    let horizontal_n = inputs.si("strength") / inputs.si("safety_factor");
    let load_n_per_m = 8.0 * horizontal_n * sag_m / span_m.powi(2);
    let catenary = hang(level(span_m), horizontal_n, load_n_per_m)?;
    Ok(Computed::default().with("wire_weight", load_n_per_m * catenary.stretched_m()))
}

pub fn unlevel_by_tension(inputs: &Inputs) -> Outcome {
    let (span_m, rise_m) = (inputs.si("span"), inputs.si("rise"));
    let load_n_per_m = inputs.si("weight").hypot(inputs.or("wind_load", 0.0));
    let from_stress = || {
        let area_m2 = std::f64::consts::PI / 4.0 * inputs.si("wire_diameter").powi(2);
        inputs.si("tension_stress") * area_m2 / inputs.si("safety_factor")
    };
    let horizontal_n = inputs.maybe("horizontal_tension").unwrap_or_else(from_stress);
    let catenary = hang(Chord { run_m: span_m, rise_m }, horizontal_n, load_n_per_m)?;
    let low = catenary.fraction_at_slope(0.0);
    let parabola = Parabola { span_m, load_n_per_m, horizontal_n };
    Ok(Computed::default()
        .with("low_point_from_lower", low * span_m)
        .with("sag_below_higher", (1.0 - low) * rise_m + catenary.sag_m(low))
        .by_parabola("low_point_from_lower", parabola.low_point_m(rise_m))
        .by_parabola("sag_below_higher", parabola.sag_below_higher_m(rise_m)))
}

pub fn tension_from_mid_height(inputs: &Inputs) -> Outcome {
    let (span_m, load_n_per_m, mid_m) = (inputs.si("span"), inputs.si("weight"), inputs.si("mid_height"));
    let (near_m, far_m) = (inputs.si("lower_support"), inputs.si("higher_support"));
    let horizontal_n = tension_from_height(supports(span_m, near_m, far_m)?, load_n_per_m, 0.5, mid_m)?;
    let sag_m = 0.5 * (near_m + far_m) - mid_m;
    Ok(Computed::default()
        .with("horizontal_tension", horizontal_n)
        .by_parabola("horizontal_tension", load_n_per_m * span_m.powi(2) / (8.0 * sag_m)))
}

/// The wire's closed form by unstretched length, and where its low point lies.
pub fn elastic_catenary(inputs: &Inputs) -> Outcome {
    let chord = Chord { run_m: inputs.si("span"), rise_m: inputs.si("rise") };
    let load_n_per_m = inputs.si("weight");
    let catenary = Catenary::with_length(chord, inputs.si("unstretched_length"), load_n_per_m, inputs.si("stiffness"))
        .map_err(|error| error.to_string())?;
    let horizontal_n = catenary.constant_m() * load_n_per_m;
    let (near, far) = catenary.end_tension_ratios();
    let low = catenary.fraction_at_slope(0.0);
    Ok(Computed::default()
        .with("horizontal_tension", horizontal_n)
        .with("near_vertical", -horizontal_n * catenary.end_slopes().0)
        .with("near_tension", horizontal_n * near)
        .with("far_tension", horizontal_n * far)
        .with("low_point_run", low * chord.run_m)
        .with("low_point_height", low * chord.rise_m - catenary.sag_m(low)))
}

/// A line that leaves the ground without a kink: the part on the ground carries H all along.
pub fn grounded_line(inputs: &Inputs) -> Outcome {
    let (length_m, stiffness_n) = (inputs.si("unstretched_length"), inputs.si("stiffness"));
    let load_n_per_m = inputs.si("weight");
    let hanging = |ground_m: f64| {
        let mut strain = 0.0;
        let mut shape = None;
        for _ in 0..30 {
            let run_m = inputs.si("span") - ground_m * (1.0 + strain);
            let chord = Chord { run_m, rise_m: inputs.si("rise") };
            let catenary = Catenary::with_length(chord, length_m - ground_m, load_n_per_m, stiffness_n).ok()?;
            strain = catenary.strain();
            shape = Some(catenary);
        }
        shape
    };
    let slope_at_ground = |ground_m: f64| hanging(ground_m).map_or(1.0, |c| c.end_slopes().0);
    let ground_m = bisect(0.0, 0.5 * length_m, slope_at_ground).ok_or("the line does not reach the ground")?;
    let catenary = hanging(ground_m).ok_or("no shape")?;
    let horizontal_n = catenary.constant_m() * load_n_per_m;
    Ok(Computed::default()
        .with("length_on_ground", ground_m)
        .with("horizontal_tension", horizontal_n)
        .with("three_vertical_forces", 3.0 * horizontal_n * catenary.end_slopes().1))
}
