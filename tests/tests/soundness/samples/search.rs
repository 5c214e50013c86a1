//! Lower and upper ends of random studies.

use rayon::prelude::*;
use wideberth_physics::approach::{Approach, Options, StopReason, closest_approach};
use wideberth_physics::machine::Machine;
use wideberth_tests::adversary::{Adversary, Closest};
use wideberth_tests::generate::{Draw, RandomWire, random_study};

use super::{long, number};

/// Rounding in the oracle: places up to 1 km from the origin.
const ROUNDING_M: f64 = 1e-9;

struct Outcome {
    seed: u64,
    approach: Approach,
    closest: Closest,
    at_witness_m: f64,
}

fn attack(seed: u64, machine: &Machine, wire: &RandomWire, samples: u64) -> Result<Outcome, String> {
    let mut draw = Draw::new(seed ^ 0xADAD);
    let tolerance_m = draw.log_within(0.01, 0.05);
    let options = Options { tolerance_m, max_cells: draw.log_within(100.0, 20_000.0) as u64, ..Options::default() };
    let approach = closest_approach(machine, &wire.wire, &options).map_err(|error| format!("seed {seed}: {error}"))?;
    let mut adversary = Adversary::new(machine, &wire.wire, &approach.witness).knowing(wire);
    let at_witness_m = adversary.best().distance_m;
    adversary.try_many(&mut draw, samples);
    Ok(Outcome { seed, approach, closest: adversary.best().clone(), at_witness_m })
}

fn check(outcome: &Outcome, machine: &Machine, wire: &RandomWire) -> Result<(), String> {
    let Outcome { seed, approach, closest, at_witness_m } = outcome;
    let bracket = approach.distance;
    let complain = |what: String| Err(format!("seed {seed}: {what}; {bracket:?}; {:?}", approach.witness));
    if closest.distance_m.max(0.0) < bracket.lower_m - ROUNDING_M {
        return complain(format!(
            "sample below the lower end by {} m: {closest:?}",
            bracket.lower_m - closest.distance_m
        ));
    }
    if bracket.lower_m > bracket.upper_m || !bracket.upper_m.is_finite() {
        return complain("ends out of order".into());
    }
    if approach.stop == StopReason::Tolerance && bracket.width_m() > 0.05 + 1e-9 {
        return complain("wider than asked".into());
    }
    if (approach.witness.distance_m - bracket.upper_m).abs() > 1e-12 {
        return complain("the witness is not at the upper end".into());
    }
    if at_witness_m.max(0.0) > bracket.upper_m + 1e-6 && !rings_in_two_frames(machine, approach.witness.body) {
        return complain(format!("the oracle finds {at_witness_m} m at the witness"));
    }
    let span = &wire.wire.spans()[approach.witness.span];
    let (states, state) = (span.states(), approach.witness.state);
    let inside = |range: wideberth_physics::interval::Interval, v: f64| {
        let slack = 1e-12 * range.low().abs().max(range.high().abs()).max(1.0);
        range.low() - slack <= v && v <= range.high() + slack
    };
    let posed = machine.ranges().iter().zip(&approach.witness.pose).all(|(r, v)| inside(*r, *v));
    let stated = inside(states.unstretched_m, state.unstretched_m)
        && inside(states.wind_m_per_s, state.wind_m_per_s)
        && inside(states.ice_m, state.ice_m);
    if !(posed && stated) {
        return complain("the witness leaves its ranges".into());
    }
    Ok(())
}

/// Such bodies are sampled from inside by the oracle.
fn rings_in_two_frames(machine: &Machine, body: usize) -> bool {
    machine.bodies()[body].name == "tube"
}

#[test]
fn no_sample_comes_closer_than_the_lower_end() {
    let studies = number("WIDEBERTH_STUDIES", if long() { 500 } else { 40 });
    let first = number("WIDEBERTH_FIRST_SEED", 0);
    let samples = number("WIDEBERTH_SAMPLES", if long() { 1_000_000 } else { 10_000 });
    let results: Vec<Result<Outcome, String>> = (first..first + studies)
        .into_par_iter()
        .flat_map_iter(|seed| {
            let study = random_study(seed);
            let outcomes: Vec<_> = study
                .wires
                .iter()
                .map(|wire| {
                    let outcome = attack(seed, &study.machine, wire, samples)?;
                    check(&outcome, &study.machine, wire)?;
                    Ok(outcome)
                })
                .collect();
            outcomes
        })
        .collect();
    report(&results);
    let complaints: Vec<_> = results.iter().filter_map(|r| r.as_ref().err()).collect();
    assert!(complaints.is_empty(), "{} complaints: {complaints:#?}", complaints.len());
}

fn report(results: &[Result<Outcome, String>]) {
    let done: Vec<_> = results.iter().filter_map(|r| r.as_ref().ok()).collect();
    let settled = done.iter().filter(|o| o.approach.stop == StopReason::Tolerance).count();
    let touching = done.iter().filter(|o| o.approach.distance.upper_m <= 0.0).count();
    let samples: u64 = done.iter().map(|o| o.closest.samples).sum();
    let slack_m = |o: &&Outcome| o.closest.distance_m.max(0.0) - o.approach.distance.lower_m;
    let tightest_m = done.iter().map(slack_m).fold(f64::INFINITY, f64::min);
    println!(
        "{} searches, {settled} to tolerance, {touching} in contact, {samples} samples, least sample above lower end {tightest_m:.3e} m",
        done.len()
    );
    for o in &done {
        let gain_m = o.approach.distance.upper_m - o.closest.distance_m.max(0.0);
        if gain_m > 1e-3 {
            println!(
                "seed {}: {:?} cells {} {:?}: samples reach {:.5}; oracle at the witness {:.5}",
                o.seed, o.approach.stop, o.approach.cells, o.approach.distance, o.closest.distance_m, o.at_witness_m
            );
        }
    }
}
