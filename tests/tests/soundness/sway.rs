//! The swaying wire: frequencies against theory, energy, equilibrium against the elastic catenary, gusts against their spectrum.

use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::sway::{
    Cable, CableState, Direction, Gusts, GustsError, Mode, StillRegion, SwayError, Turbulence, irvine_parameter,
    node_positions_m, run, swing_period_s, symmetric_frequency_ratio,
};
use wideberth_tests::swaying::{deviates, span, state};

const MASS_KG_PER_M: f64 = 1.628;
const STIFFNESS_N: f64 = 36_082_200.0;

fn cable(run_m: f64, rise_m: f64, horizontal_n: f64, wind_m_per_s: f64, elements: usize) -> (Cable, CableState) {
    let span = span(run_m, rise_m, horizontal_n);
    Cable::new(span.strand(), &state(&span, wind_m_per_s), elements).expect("a wire at rest")
}

fn first(modes: &[Mode], direction: Direction) -> f64 {
    modes.iter().find(|mode| mode.direction == direction).expect("among the lowest").frequency_hz
}

/// Irvine's frequency unit √(H/m)/(2πℓ), Hz.
fn unit_hz(run_m: f64, horizontal_n: f64) -> f64 {
    (horizontal_n / MASS_KG_PER_M).sqrt() / (std::f64::consts::TAU * run_m)
}

#[test]
fn frequencies_are_irvines() {
    // Shallow to slack; the theory holds for sags of up to an eighth of the span, with errors of the order of (8·b/ℓ)².
    for (run_m, horizontal_n) in [(300.0, 28_000.0), (100.0, 25_000.0), (200.0, 20_000.0), (300.0, 18_000.0)] {
        let (cable, rest) = cable(run_m, 0.0, horizontal_n, 0.0, 96);
        let modes = cable.modes(&rest, 12).expect("stable");
        let weight = MASS_KG_PER_M * GRAVITY_M_PER_S2;
        let lambda2 = irvine_parameter(weight, run_m, horizontal_n, STIFFNESS_N);
        let unit = unit_hz(run_m, horizontal_n);
        let pi = std::f64::consts::PI;
        let rows = [
            (Direction::Across, pi),
            (Direction::InPlaneAntisymmetric, 2.0 * pi),
            (Direction::InPlaneSymmetric, symmetric_frequency_ratio(lambda2)),
        ];
        let slope = weight * run_m / horizontal_n;
        for (direction, ratio) in rows {
            let (ours, theory) = (first(&modes, direction), ratio * unit);
            let tolerance = 0.002 + 0.25 * slope * slope;
            assert!(
                (ours / theory - 1.0).abs() < tolerance,
                "{run_m} m, {horizontal_n} N, {direction:?}: {ours} {theory}"
            );
        }
    }
}

#[test]
fn the_swing_is_that_of_a_pendulum_of_four_fifths_of_the_sag() {
    let (cable, rest) = cable(300.0, 0.0, 28_000.0, 0.0, 96);
    let sag_m = -rest.places_m[47].z;
    let period_s = 1.0 / first(&cable.modes(&rest, 4).expect("stable"), Direction::Across);
    // A string swings with ℓ·√(m/H)·2 = √(32·b/g): 0.7 % from 2π·√(0.8·b/g).
    assert!((period_s / swing_period_s(sag_m) - 1.0).abs() < 0.01, "{period_s} {}", swing_period_s(sag_m));
}

#[test]
fn rest_in_wind_is_the_elastic_catenary() {
    for (rise_m, wind) in [(0.0, 0.0), (0.0, 30.0), (60.0, 0.0), (40.0, 20.0)] {
        let span = span(300.0, rise_m, 28_000.0);
        let state = state(&span, wind);
        let shape = span.shape(&state).expect("a shape");
        let miss = |elements: usize| {
            let (_, rest) = Cable::new(span.strand(), &state, elements).expect("a wire at rest");
            let middle = span.point(&shape, 0.5) - span.span().from();
            let node = rest.places_m[elements / 2 - 1];
            (node - middle).cross(&span.span().chord().normalize()).norm()
        };
        let (coarse, fine) = (miss(16), miss(64));
        // Without wind only the pieces' straightness is left, which falls with their number squared; in wind also the lean of
        // the wire across the wind, which the uniform load of the catenary does not see.
        let lean = if wind > 0.0 { 0.03 } else { 0.0 };
        assert!(coarse < 0.08 && fine < 0.005 + lean, "{rise_m} {wind}: {coarse} {fine}");
    }
}

/// A start that is far from rest: the rest of another wind.
fn plucked() -> (Cable, CableState) {
    let (cable, rest) = cable(300.0, 20.0, 28_000.0, 0.0, 40);
    let start = cable.rest(&rest.places_m, 25.0).expect("a rest");
    (cable, start)
}

#[test]
fn without_air_energy_stays() {
    let (cable, start) = plucked();
    let cable = cable.without_air();
    let calm = Gusts::steady(0.0, cable.nodes(), 0.02, 3000);
    let begin = cable.energy_j(&start);
    let mut moved = 0.0_f64;
    let mut drift = 0.0_f64;
    let from = start.clone();
    run(&cable, start, &calm, |_, now| {
        drift = drift.max((cable.energy_j(now) - begin).abs());
        let kinetic: f64 = now.velocities_m_per_s.iter().map(|v| v.norm_squared()).sum();
        moved = moved.max(kinetic);
    })
    .expect("settles");
    let depth = begin - cable.energy_j(&cable.rest(&from.places_m, 0.0).expect("a rest"));
    assert!(moved > 1.0 && depth > 1000.0, "{moved} {depth}");
    assert!(drift < 1e-6 * depth, "{drift} J of {depth} J");
}

#[test]
fn in_still_air_energy_never_grows_and_the_wire_comes_to_rest() {
    let (cable, start) = plucked();
    let calm = Gusts::steady(0.0, cable.nodes(), 0.02, 3000);
    let (begin, depth) = (cable.energy_j(&start), {
        let rest = cable.rest(&start.places_m, 0.0).expect("a rest");
        cable.energy_j(&start) - cable.energy_j(&rest)
    });
    let mut last = begin;
    let end = run(&cable, start, &calm, |_, now| {
        let energy = cable.energy_j(now);
        assert!(energy <= last + 1e-9 * depth, "{energy} after {last}");
        last = energy;
    })
    .expect("settles");
    assert!(begin - cable.energy_j(&end) > 0.2 * depth, "{begin} {} {depth}", cable.energy_j(&end));
}

#[test]
fn a_wire_at_rest_in_a_steady_wind_stays() {
    let (cable, rest) = cable(200.0, 0.0, 20_000.0, 20.0, 40);
    let wind = Gusts::steady(20.0, cable.nodes(), 0.02, 500);
    let end = run(&cable, rest.clone(), &wind, |_, _| {}).expect("settles");
    let moved = end.places_m.iter().zip(&rest.places_m).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
    assert!(moved < 1e-5, "{moved}");
}

#[test]
fn halving_the_step_changes_little() {
    let (cable, start) = plucked();
    let end = |step_s: f64| {
        let calm = Gusts::steady(0.0, cable.nodes(), step_s, (10.0 / step_s).round() as usize);
        run(&cable, start.clone(), &calm, |_, _| {}).expect("settles").places_m[19]
    };
    let (a, b, c) = (end(0.02), end(0.01), end(0.005));
    assert!((a - b).norm() < 0.01 && (b - c).norm() < 0.4 * (a - b).norm(), "{a} {b} {c}");
}

fn turbulence() -> Turbulence {
    Turbulence { mean_m_per_s: 15.0, deviation_m_per_s: 2.5, scale_m: 80.0 }
}

#[test]
fn gusts_have_the_spread_and_the_likeness_of_their_spectrum() {
    let (places, apart_m, steps, step_s) = (5, 10.0, 24_000, 0.05);
    let gusts = Gusts::new(&turbulence(), (places, apart_m), (steps, step_s), &mut deviates(7)).expect("gusts");
    let column = |place: usize| gusts.steps().map(|row| row[place] - 15.0).collect::<Vec<_>>();
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>() / a.len() as f64;
    let (near, far) = (column(0), column(4));
    let deviation = product(&near, &near).sqrt();
    assert!((deviation / 2.5 - 1.0).abs() < 0.15, "{deviation}");
    // Integral of S·coherence over all frequencies, over σ².
    let t = turbulence();
    let expected: f64 = (1..40_000)
        .map(|k| 5e-5 * f64::from(k) - 2.5e-5)
        .map(|n| t.spectrum_m2_per_s(n) * t.coherence(n, 40.0) * 5e-5)
        .sum::<f64>()
        / 6.25;
    let likeness = product(&near, &far) / (product(&near, &near) * product(&far, &far)).sqrt();
    assert!((likeness - expected).abs() < 0.2, "{likeness} {expected}");
}

#[test]
fn the_spectrum_holds_the_whole_variance() {
    // In equal steps of ln n from 1e-6 to 1e5 Hz.
    let (step, t) = (0.01, turbulence());
    let whole: f64 =
        (-1382..1152).map(|k| (f64::from(k) * step).exp()).map(|n| t.spectrum_m2_per_s(n) * n * step).sum();
    assert!((whole / 6.25 - 1.0).abs() < 0.005, "{whole}");
}

#[test]
fn a_swaying_wire_leaves_the_still_region_a_little() {
    let span = span(300.0, 0.0, 28_000.0);
    let (cable, calm) = Cable::new(span.strand(), &state(&span, 0.0), 40).expect("a wire");
    let region = StillRegion::new(&cable, &calm, Interval::new(-25.0, 25.0).expect("a range")).expect("rests");
    assert!(region.outside_m(&calm) < 1e-6);
    let strong = cable.rest(&calm.places_m, 25.0).expect("a rest");
    assert!(region.outside_m(&strong) < 1e-6);
    let between = cable.rest(&calm.places_m, 13.3).expect("a rest");
    assert!(region.outside_m(&between) < 0.005, "{}", region.outside_m(&between));
    let stronger = cable.rest(&calm.places_m, 30.0).expect("a rest");
    assert!(region.outside_m(&stronger) > 0.3, "{}", region.outside_m(&stronger));
}

#[test]
fn the_picture_in_motion_holds_the_attachments() {
    let span = span(120.0, 5.0, 15_000.0);
    let (cable, rest) = Cable::new(span.strand(), &state(&span, 10.0), 20).expect("a wire");
    let gusts = Gusts::new(&turbulence(), (cable.nodes(), 6.0), (100, 0.05), &mut deviates(1)).expect("gusts");
    let pictures = node_positions_m(&cable, &span.span().from(), rest, &gusts, 10).expect("settles");
    assert_eq!(pictures.len(), 11);
    for (_, nodes) in &pictures {
        assert_eq!(nodes.len(), 21);
        assert_eq!((nodes[0], nodes[20]), (span.span().from(), span.span().to()));
    }
    assert!((pictures[10].0 - 5.0).abs() < 1e-9);
}

#[test]
fn rests_are_found_for_slack_and_taut_wires_in_all_winds() {
    for (run_m, rise_m, horizontal_n) in [
        (40.0, 0.0, 400.0),
        (60.0, 10.0, 1_500.0),
        (90.0, 0.0, 25_000.0),
        (400.0, -80.0, 20_000.0),
        (800.0, 0.0, 30_000.0),
    ] {
        let span = span(run_m, rise_m, horizontal_n);
        let (cable, calm) = Cable::new(span.strand(), &state(&span, 0.0), 40).expect("a wire");
        let region = StillRegion::new(&cable, &calm, Interval::new(-40.0, 40.0).expect("a range"));
        assert!(region.expect("rests").reach_m(&cable, 0..cable.nodes()) > 0.0, "{run_m} {rise_m} {horizontal_n}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let span = span(120.0, 5.0, 15_000.0);
    assert_eq!(Cable::new(span.strand(), &state(&span, 0.0), 3).map(|_| ()), Err(SwayError::Elements(3)));
    let (cable, rest) = Cable::new(span.strand(), &state(&span, 0.0), 20).expect("a wire");
    let other = Gusts::steady(0.0, 7, 0.02, 1);
    assert_eq!(run(&cable, rest, &other, |_, _| {}), Err(SwayError::Nodes { given: 7, nodes: 19 }));
    let few = Gusts::new(&turbulence(), (5, 6.0), (100, 0.05), &mut deviates(1).take(50));
    assert_eq!(few, Err(GustsError::Deviates));
    let calm = Turbulence { mean_m_per_s: 0.0, ..turbulence() };
    assert!(matches!(Gusts::new(&calm, (5, 6.0), (100, 0.05), &mut deviates(1)), Err(GustsError::Quantity { .. })));
}
