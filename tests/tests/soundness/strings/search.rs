//! The certified search beside string-hung wires.

use nalgebra::Vector3;
use rayon::prelude::*;
use wideberth_physics::approach::{Approach, Options, StopReason, closest_approach};
use wideberth_physics::line::{KnownBy, SectionState, Wire, WireSpan};
use wideberth_physics::machine::Machine;
use wideberth_tests::generate::{Draw, random_sketch};
use wideberth_tests::oracle::{solids, surface_distance_m};
use wideberth_tests::sections::{Hung, crane_beside, five_spans, random_section};

const ROUNDING_M: f64 = 1e-7;

/// A state from tension, temperature, wind speed and bearing, by formulas of its own.
fn physical_state(hung: &Hung, draw: &mut Draw) -> SectionState {
    let pick = |range: wideberth_physics::interval::Interval, draw: &mut Draw| {
        range.at(if draw.chance(0.6) { f64::from(u8::from(draw.chance(0.5))) } else { draw.share() })
    };
    let KnownBy::Tension { horizontal_n, temperature_degc } = hung.description.known_by else { unreachable!() };
    let warmer_k = pick(hung.conditions.temperature_degc, draw) - temperature_degc.center();
    SectionState {
        clamped_n: pick(horizontal_n, draw),
        growth: 1.0 + hung.description.conductor.properties().expansion_per_k * warmer_k,
        wind_m_per_s: pick(hung.conditions.wind_m_per_s, draw),
        wind_from_rad: draw.within(0.0, std::f64::consts::TAU),
        ice_m: pick(hung.conditions.ice_m, draw),
    }
}

/// The closest of many random poses and states, the poses near that of the witness half of the time.
fn closest_sample_m(
    machine: &Machine,
    wire: &Wire,
    hung: &Hung,
    found: &Approach,
    draw: &mut Draw,
    samples: u32,
) -> f64 {
    let solids = solids(machine);
    let mut least_m = f64::INFINITY;
    for sample in 0..samples {
        let near = draw.chance(0.7);
        let pose: Vec<f64> = machine
            .ranges()
            .iter()
            .zip(&found.witness.pose)
            .map(|(range, at)| {
                let moved = at + draw.normal() * 0.03 * range.width();
                if near { moved.clamp(range.low(), range.high()) } else { range.at(draw.share()) }
            })
            .collect();
        let index = if near || sample % 2 == 0 { found.witness.span } else { draw.index(wire.spans().len()) };
        let span: &WireSpan = &wire.spans()[index];
        let state = physical_state(hung, draw);
        let Some(placed) = span.placed_in(&state) else { continue };
        let shape = placed.expect("a shape in every state").shape;
        let frames = machine.place(&pose);
        for (body, solid) in machine.bodies().iter().zip(&solids) {
            let posed = solid.pose(&frames);
            least_m = least_m.min(surface_distance_m(solid, &posed, body.radius_m, span, &shape, least_m).0);
        }
    }
    least_m
}

/// A random machine below or beside the middle part of a random span.
pub fn machine_beside(hung: &Hung, draw: &mut Draw) -> Machine {
    let span = &hung.description.spans[draw.index(hung.description.spans.len())];
    let aside = span.lateral() * draw.within(-25.0, 25.0) - Vector3::z() * draw.within(5.0, 30.0);
    let position = span.from() + span.chord() * draw.within(0.1, 0.9) + aside;
    loop {
        if let Ok(machine) = random_sketch(draw).at(position) {
            return machine;
        }
    }
}

/// Searches, and looks for a sample below the lower end.
pub fn check(seed: u64, machine: &Machine, hung: &Hung, draw: &mut Draw, samples: u32) -> Result<(), String> {
    let Ok(wire) = hung.wire() else { return Ok(()) };
    let options = Options { tolerance_m: 0.03, max_cells: 20_000, ..Options::default() };
    let found = closest_approach(machine, &wire, &options).map_err(|error| format!("seed {seed}: {error}"))?;
    let (bracket, witness) = (found.distance, &found.witness);
    let complain = |what: String| Err(format!("seed {seed}: {what}; {bracket:?}, {witness:?}"));
    if bracket.lower_m > bracket.upper_m || (found.stop == StopReason::Tolerance && bracket.width_m() > 0.03 + 1e-9) {
        return complain(format!("a bracket of {} m, {:?}", bracket.width_m(), found.stop));
    }
    let span = &wire.spans()[witness.span];
    if let Some(placed) = witness.section.as_ref().and_then(|section| span.placed_in(section)) {
        let shape = placed.expect("a shape at the witness").shape;
        let solid = &solids(machine)[witness.body];
        let posed = solid.pose(&machine.place(&witness.pose));
        let radius_m = machine.bodies()[witness.body].radius_m;
        let there_m = surface_distance_m(solid, &posed, radius_m, span, &shape, f64::INFINITY).0;
        // Of rings the oracle knows points only, so it may find more.
        let rings = machine.bodies()[witness.body].features.iter().any(|feature| feature.ring.is_some());
        let over_m = there_m.max(0.0) - bracket.upper_m;
        if over_m < -1e-6 || (over_m > 1e-6 && !rings) {
            return complain(format!("the oracle finds {there_m} m at the witness"));
        }
    }
    let least_m = closest_sample_m(machine, &wire, hung, &found, draw, samples);
    if least_m.max(0.0) < bracket.lower_m - ROUNDING_M {
        return complain(format!("a sample at {least_m} m"));
    }
    Ok(())
}

#[test]
fn a_crane_beside_five_spans_is_bracketed_to_a_centimetre() {
    let wire = five_spans().wire().expect("a possible wire");
    let found = closest_approach(&crane_beside(), &wire, &Options::default()).expect("an answer");
    assert_eq!(found.stop, StopReason::Tolerance);
    assert!(found.distance.width_m() <= 0.01 && found.distance.lower_m > 1.0);
    let section = found.witness.section.expect("a state of the section");
    let swings = wire.spans()[found.witness.span].string_swings(&section).expect("a shape");
    assert!(
        swings.iter().flatten().all(|swing| swing.across_rad.abs() > 0.1),
        "the wind swings the strings: {swings:?}"
    );
    let again = closest_approach(&crane_beside(), &five_spans().wire().expect("a possible wire"), &Options::default());
    assert_eq!(again.expect("an answer"), found, "the same question has the same answer");
}

#[test]
fn samples_of_the_crane_stay_above_the_lower_end() {
    check(0, &crane_beside(), &five_spans(), &mut Draw::new(7), 4_000).expect("a sound answer");
}

#[test]
fn random_machines_beside_random_sections_stay_above_the_lower_end() {
    let seeds = std::env::var("WIDEBERTH_SECTIONS").ok().and_then(|n| n.parse().ok()).unwrap_or(10_u64);
    let failures: Vec<String> = (0..seeds)
        .into_par_iter()
        .filter_map(|seed| {
            let mut draw = Draw::new(1000 + seed);
            let hung = random_section(&mut draw);
            let machine = machine_beside(&hung, &mut draw);
            check(seed, &machine, &hung, &mut draw, 400).err()
        })
        .collect();
    assert!(failures.is_empty(), "{failures:#?}");
}
