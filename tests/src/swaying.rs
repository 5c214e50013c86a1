//! Spans that sway in tests and benches.

use nalgebra::Point3;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, Span, SpanState, Wire, WireDescription, WireSpan,
};
use wideberth_physics::sway::{Cable, Gusts, Turbulence, run};

/// One span of 26/7 ACSR, 28.1 mm, at a horizontal tension in still air at 15 degC, with winds of up to 40 m/s.
#[must_use]
pub fn span(run_m: f64, rise_m: f64, horizontal_n: f64) -> WireSpan {
    let properties = ConductorProperties {
        diameter_m: 0.0281,
        mass_kg_per_m: 1.628,
        axial_stiffness_n: 36_082_200.0,
        expansion_per_k: 18.9e-6,
        rated_strength_n: Some(140_000.0),
    };
    let point = |value: f64| Interval::new(value, value).expect("finite");
    let description = WireDescription {
        name: "swaying".into(),
        conductor: Conductor::new(properties).expect("a possible conductor"),
        spans: vec![
            Span::new(Point3::new(10.0, 20.0, 30.0), Point3::new(10.0 + run_m, 20.0, 30.0 + rise_m)).expect("a span"),
        ],
        known_by: KnownBy::Tension { horizontal_n: point(horizontal_n), temperature_degc: point(15.0) },
        permanent_strain: point(0.0),
        position_tolerance_m: 0.0,
    };
    let conditions = Conditions {
        temperature_degc: point(15.0),
        wind_m_per_s: Interval::new(0.0, 40.0).expect("a range"),
        ..crate::reference::conditions()
    };
    Wire::new(description, &conditions).expect("a possible wire").spans()[0].clone()
}

/// The nominal state of that span under a wind across, m/s.
#[must_use]
pub fn state(span: &WireSpan, wind_m_per_s: f64) -> SpanState {
    span.nominal_state(15.0, wind_m_per_s, 0.0)
}

/// Standard normal deviates from a seed.
pub fn deviates(seed: u64) -> impl Iterator<Item = f64> {
    StandardNormal.sample_iter(ChaCha8Rng::seed_from_u64(seed))
}

/// Greatest reach aside (m) of a span in gusts over 60 s in steps of 0.02 s, from the numbers: wire, rest, gusts, motion.
#[must_use]
pub fn sway_60_s(span: &WireSpan) -> f64 {
    let (cable, rest) = Cable::new(span.strand(), &state(span, 15.0), 40).expect("a wire at rest");
    let turbulence = Turbulence { mean_m_per_s: 15.0, deviation_m_per_s: 2.5, scale_m: 80.0 };
    let places = (cable.nodes(), span.span().run_m() / 40.0);
    let gusts = Gusts::new(&turbulence, places, (3000, 0.02), &mut deviates(1)).expect("gusts");
    let mut reach_m = 0.0_f64;
    run(&cable, rest, &gusts, |_, state| {
        reach_m = state.places_m.iter().map(|place| cable.aside_m(place).abs()).fold(reach_m, f64::max);
    })
    .expect("settles");
    reach_m
}
