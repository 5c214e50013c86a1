//! Random wires and conditions.

use nalgebra::{Point3, Vector3};
use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, StateBox, WindDirection, Wire,
    WireDescription,
};

use super::Draw;
use super::draw::ordered;

/// A wire with everything that it was made from.
#[derive(Clone, Debug)]
pub struct RandomWire {
    /// What is known of it.
    pub description: WireDescription,
    /// What it may meet.
    pub conditions: Conditions,
    /// The wire itself.
    pub wire: Wire,
}

/// A wire of 1 to 3 spans, 20 to 400 m, level or inclined, loose or taut, with random conditions.
#[must_use]
pub fn random_wire(draw: &mut Draw) -> RandomWire {
    loop {
        let conditions = random_conditions(draw);
        if let Some(description) = random_description(draw)
            && let Ok(wire) = Wire::new(description.clone(), &conditions)
        {
            return RandomWire { description, conditions, wire };
        }
    }
}

/// Temperature, wind and ice; some of them single values, winds from everywhere or from a sector.
fn random_conditions(draw: &mut Draw) -> Conditions {
    let ice_m = if draw.chance(0.5) { ordered(0.0, 0.0) } else { draw.interval(0.0, 0.03) };
    let any = draw.chance(0.5);
    let sweep_rad = if draw.chance(0.1) { 0.0 } else { draw.within(0.0, 4.0) };
    let wind_direction =
        if any { WindDirection::Any } else { WindDirection::Sector { from_rad: draw.within(-6.0, 6.0), sweep_rad } };
    let strongest = draw.within(0.0, 38.0);
    Conditions {
        temperature_degc: draw.interval(-35.0, 110.0),
        wind_m_per_s: if draw.chance(0.6) { ordered(0.0, strongest) } else { draw.interval(0.0, 38.0) },
        wind_direction,
        ice_m,
        ice_density_kg_per_m3: draw.within(500.0, 917.0),
        air_density_kg_per_m3: draw.within(0.9, 1.4),
        drag: draw.within(0.8, 1.2),
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    }
}

fn random_description(draw: &mut Draw) -> Option<WireDescription> {
    let spans = random_spans(draw)?;
    let conductor = random_conductor(draw);
    let known_by = random_known(draw, &conductor, &spans);
    let least = draw.within(0.0, 3e-4);
    let most = least + draw.within(0.0, 3e-4);
    Some(WireDescription {
        name: "wire".into(),
        conductor,
        spans,
        known_by,
        permanent_strain: if draw.chance(0.7) { ordered(0.0, 0.0) } else { ordered(least, most) },
        position_tolerance_m: if draw.chance(0.7) { 0.0 } else { draw.within(0.0, 0.2) },
    })
}

fn random_spans(draw: &mut Draw) -> Option<Vec<Span>> {
    let mut at = Point3::new(0.0, 0.0, draw.within(7.0, 25.0))
        + if draw.chance(0.5) { draw.vector(50.0) } else { Vector3::zeros() };
    let mut bearing_rad = draw.within(0.0, 6.3);
    let count = 1 + draw.index(3);
    let slope = [0.0, 0.1, 0.4, 0.98][draw.index(4)];
    (0..count)
        .map(|_| {
            let run_m = draw.log_within(20.0, 400.0);
            bearing_rad += draw.within(-0.6, 0.6);
            let rise_m = run_m * draw.within(-slope, slope);
            let next = at + Vector3::new(run_m * bearing_rad.cos(), run_m * bearing_rad.sin(), rise_m);
            let span = Span::new(at, next).ok();
            at = next;
            span
        })
        .collect()
}

fn random_conductor(draw: &mut Draw) -> Conductor {
    loop {
        let diameter_m = draw.log_within(0.005, 0.035);
        let area_m2 = 0.6 * diameter_m * diameter_m;
        let axial_stiffness_n = area_m2 * draw.log_within(5e10, 1.2e11);
        let properties = ConductorProperties {
            diameter_m,
            mass_kg_per_m: area_m2 * draw.log_within(2600.0, 9000.0),
            axial_stiffness_n,
            expansion_per_k: draw.within(1.1e-5, 2.4e-5),
            rated_strength_n: draw.chance(0.5).then_some(0.008 * axial_stiffness_n),
        };
        if let Ok(conductor) = Conductor::new(properties) {
            return conductor;
        }
    }
}

/// Known by a tension, a share of strength, or a height; the sag at that time 0.4 to 10 % of the first span.
fn random_known(draw: &mut Draw, conductor: &Conductor, spans: &[Span]) -> KnownBy {
    let p = conductor.properties();
    let (span, sag_share) = (draw.index(spans.len()), draw.log_within(0.004, 0.1));
    let (run_m, chord_m) = (spans[span].run_m(), spans[span].chord().norm());
    let tension_n = p.mass_kg_per_m * GRAVITY_M_PER_S2 * chord_m / (8.0 * sag_share);
    let middle_degc = draw.within(-10.0, 40.0);
    let temperature_degc = draw.toleranced(middle_degc, 0.3);
    match (draw.index(3), p.rated_strength_n) {
        (0, _) | (1, None) => KnownBy::Tension { horizontal_n: draw.toleranced(tension_n, 0.1), temperature_degc },
        (1, Some(strength_n)) => {
            let share = draw.toleranced(tension_n / strength_n, 0.1);
            KnownBy::StrengthShare { share, temperature_degc }
        }
        _ => {
            let fraction = draw.within(0.1, 0.9);
            let sag_m = 4.0 * fraction * (1.0 - fraction) * sag_share * run_m;
            let sag_m = draw.toleranced(sag_m, 0.3);
            let chord_m = spans[span].from().z + fraction * spans[span].chord().z;
            let height_m = ordered(chord_m - sag_m.high(), chord_m - sag_m.low());
            KnownBy::Height { span, fraction: ordered(fraction, fraction), height_m, temperature_degc }
        }
    }
}

/// A box of states within a box: in each quantity the whole range, a part of it or a single value.
#[must_use]
pub fn random_box(draw: &mut Draw, whole: &StateBox) -> StateBox {
    let mut part = |range: Interval| match draw.index(4) {
        0 => range,
        1 => draw.interval(range.low(), range.high()),
        2 => {
            let middle = draw.within(range.low(), range.high());
            let half = 0.5 * range.width() * draw.log_within(1e-4, 1.0);
            ordered((middle - half).max(range.low()), (middle + half).min(range.high()))
        }
        _ => {
            let value = draw.within(range.low(), range.high());
            ordered(value, value)
        }
    };
    StateBox {
        unstretched_m: part(whole.unstretched_m),
        wind_m_per_s: part(whole.wind_m_per_s),
        ice_m: part(whole.ice_m),
    }
}
