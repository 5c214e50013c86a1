//! States of a wire from temperatures, tension, wind speed and bearing, by formulas of its own.

use nalgebra::Vector3;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, KnownBy, WindDirection, WireDescription, WireSpan};

use crate::generate::Draw;

/// Unstretched length, wind across the span and ice of one physical state; each value an end of its range with a probability.
#[must_use]
pub fn physical_state(
    description: &WireDescription,
    conditions: &Conditions,
    draw: &mut Draw,
    (span, wire): (usize, &WireSpan),
    ends: f64,
) -> Vec<f64> {
    let p = description.conductor.properties();
    let known_degc = pick(draw, &description.known_by.temperature_degc(), ends);
    let now_degc = pick(draw, &conditions.temperature_degc, ends);
    let strain = pick(draw, &description.permanent_strain, ends);
    let known_by = exactly(draw, &description.known_by, ends);
    let unstretched_m = known_by.tautness(&description.conductor, &description.spans, 0.0).map_or(
        wire.states().unstretched_m.center(),
        |tautness| {
            let then_m = tautness[span].unstretched_m.low();
            then_m * (1.0 + p.expansion_per_k * (now_degc - known_degc)) * (1.0 + strain)
        },
    );
    let speed = pick(draw, &conditions.wind_m_per_s, ends);
    let bearing_rad = match conditions.wind_direction {
        WindDirection::Any => draw.within(0.0, std::f64::consts::TAU),
        WindDirection::Sector { from_rad, sweep_rad } => from_rad + sweep_rad * draw.share(),
    };
    // Wind from a bearing blows the other way.
    let blow = -speed * Vector3::new(bearing_rad.sin(), bearing_rad.cos(), 0.0);
    let left = Vector3::z().cross(&wire.span().chord()).normalize();
    vec![unstretched_m, blow.dot(&left), pick(draw, &conditions.ice_m, ends)]
}

/// The same knowledge with its tolerances at random single values.
fn exactly(draw: &mut Draw, known_by: &KnownBy, ends: f64) -> KnownBy {
    let mut single = |range: &Interval| {
        let value = pick(draw, range, ends);
        Interval::point(value).expect("a finite number")
    };
    match known_by {
        KnownBy::Tension { horizontal_n, temperature_degc } => {
            KnownBy::Tension { horizontal_n: single(horizontal_n), temperature_degc: *temperature_degc }
        }
        KnownBy::StrengthShare { share, temperature_degc } => {
            KnownBy::StrengthShare { share: single(share), temperature_degc: *temperature_degc }
        }
        KnownBy::Height { span, fraction, height_m, temperature_degc } => KnownBy::Height {
            span: *span,
            fraction: *fraction,
            height_m: single(height_m),
            temperature_degc: *temperature_degc,
        },
    }
}

/// A value of a range; an end with a probability.
#[must_use]
pub fn pick(draw: &mut Draw, range: &Interval, ends: f64) -> f64 {
    if draw.chance(ends) {
        if draw.chance(0.5) { range.low() } else { range.high() }
    } else {
        draw.within(range.low(), range.high())
    }
}
