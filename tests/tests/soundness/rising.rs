//! Wires on spans that rise, under the whole wind normal to their chord, against the range and the margin that stand for it.
//!
//! The wire under the full load (weight, wind across, lift square to the chord) is solved here by itself: balance of forces along
//! the unstretched length, Newton's method on the pull at the near end.

use nalgebra::{Matrix3, Point3, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, Span, SpanState, Wire, WireDescription, WireError, WireSpan,
};
use wideberth_tests::blown::{self, Blown};
use wideberth_tests::reference::conditions;

const PIECES: usize = 400;
const STIFFNESS_N: f64 = 79e9 * 62.4e-6;
const DIAMETER_M: f64 = 0.0101;
const WEIGHT_N_PER_M: f64 = 0.2161 * 9.80665;
const PRESSURE: f64 = 0.5 * 1.225 * 1.0 * DIAMETER_M;

fn exactly(x: f64) -> Interval {
    Interval::new(x, x).expect("a number")
}

fn wire(rise_m: f64, run_m: f64, conditions: &Conditions) -> Result<Wire, WireError> {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: DIAMETER_M,
        mass_kg_per_m: 0.2161,
        axial_stiffness_n: STIFFNESS_N,
        expansion_per_k: 18.9e-6,
        rated_strength_n: None,
    })
    .expect("a conductor");
    let span = Span::new(Point3::new(0.0, 0.0, 10.0), Point3::new(run_m, 0.0, 10.0 + rise_m)).expect("a span");
    let description = WireDescription {
        name: "wire".into(),
        conductor,
        spans: vec![span],
        known_by: KnownBy::Tension { horizontal_n: exactly(3900.0), temperature_degc: exactly(15.0) },
        permanent_strain: exactly(0.0),
        position_tolerance_m: 0.0,
    };
    Wire::new(description, conditions)
}

/// Points of an elastic wire of unstretched length `length_m` over `chord` under a uniform load, from the near end.
fn solved(chord: Vector3<f64>, length_m: f64, load: Vector3<f64>) -> Vec<Vector3<f64>> {
    let step_m = length_m / PIECES as f64;
    let walk = |near: Vector3<f64>| {
        let (mut at, mut give) = (Vector3::zeros(), Matrix3::zeros());
        let mut points = vec![at];
        for piece in 0..PIECES {
            let pull = near + load * (step_m * (piece as f64 + 0.5));
            let (size, way) = (pull.norm(), pull.normalize());
            at += (way + pull / STIFFNESS_N) * step_m;
            give += ((Matrix3::identity() - way * way.transpose()) / size + Matrix3::identity() / STIFFNESS_N) * step_m;
            points.push(at);
        }
        (points, give)
    };
    // The pull on the near end of a piece grows against the load from the near support.
    let mut near = chord.normalize() * 4000.0 - load * (0.5 * length_m);
    for _ in 0..200 {
        let (points, give) = walk(near);
        let miss = chord - points[PIECES];
        if miss.norm() < 1e-9 {
            return points;
        }
        let change = give.lu().solve(&miss).expect("a wire under tension");
        near += change * (1000.0 / change.norm()).min(1.0);
    }
    panic!("the wire under the full load did not settle");
}

/// How far the wire under the whole wind is from the state that stands for it.
fn apart_m(span: &WireSpan, length_m: f64, wind: Vector3<f64>) -> f64 {
    let chord = span.span().chord();
    // Pull points along the load with growing σ: T(σ) = f − q·σ, so a load q enters with its sign changed.
    let way = chord.normalize();
    let normal = wind - way * way.dot(&wind);
    let load = normal * (PRESSURE * normal.norm()) - Vector3::z() * WEIGHT_N_PER_M;
    let points = solved(chord, length_m, -load);
    // The lean of the load in the plane across, its lift made vertical.
    let upward = (Vector3::z() - way * way.z).normalize();
    let lift = PRESSURE * normal.norm() * normal.dot(&upward) / upward.z;
    let across = PRESSURE * normal.norm() * normal.dot(&span.span().lateral());
    let square = across / (WEIGHT_N_PER_M - lift) * WEIGHT_N_PER_M / PRESSURE;
    let wind_m_per_s = square.abs().sqrt().copysign(square);
    assert!(span.states().wind_m_per_s.contains(wind_m_per_s), "{wind_m_per_s} in {:?}", span.states());
    let shape = span.shape(&SpanState { unstretched_m: length_m, wind_m_per_s, ice_m: 0.0 }).expect("a shape");
    let curve: Vec<_> = (0..=800).map(|k| span.point(&shape, f64::from(k) / 800.0).coords).collect();
    let near = span.span().from().coords;
    points.iter().map(|point| blown::distance_m(&curve, &(near + point))).fold(0.0, f64::max)
}

#[test]
fn the_margin_holds_wires_under_the_whole_wind() {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_127);
    let (mut fullest, mut tried) = (0.0_f64, 0);
    while tried < 400 {
        let run_m = random.random_range(30.0..200.0);
        let rise_m = run_m * random.random_range(-0.6..0.6);
        let speed = random.random_range(3.0..25.0);
        let conditions = Conditions {
            wind_m_per_s: Interval::new(0.0, speed).expect("a range"),
            temperature_degc: Interval::new(-20.0, 90.0).expect("a range"),
            ..conditions()
        };
        let wire = match wire(rise_m, run_m, &conditions) {
            Ok(wire) => wire,
            Err(WireError::Lifted { .. }) => continue,
            Err(error) => panic!("{error}"),
        };
        tried += 1;
        let span = &wire.spans()[0];
        let lengths = span.states().unstretched_m;
        for _ in 0..4 {
            let bearing: f64 = random.random_range(0.0..std::f64::consts::TAU);
            let wind = Vector3::new(bearing.cos(), bearing.sin(), 0.0) * speed;
            let length_m = lengths.at(random.random_range(0.0..=1.0));
            let apart = apart_m(span, length_m, wind);
            // The solution here is in 400 straight pieces, which hang from a curve by some 1e-5 of the sag.
            let numeric_m = 2e-4;
            assert!(
                apart <= span.margin_m() + numeric_m,
                "{apart} m beyond {} m: {run_m} {rise_m} {wind}",
                span.margin_m()
            );
            if span.margin_m() > 0.05 {
                fullest = fullest.max(apart / span.margin_m());
            }
        }
    }
    assert!(fullest > 0.05, "the margin is never used: {fullest}");
}

#[test]
fn level_spans_are_as_before() {
    let level = wire(0.0, 90.0, &conditions()).expect("a wire");
    assert_eq!(level.spans()[0].margin_m(), 0.0);
    assert_eq!(level.spans()[0].states().wind_m_per_s, Interval::new(-20.0, 20.0).expect("a range"));
}

/// One metre in five at 20 m/s, by hand: P·V² = 0.5·1.225·0.0101·400 = 2.474 N/m on 2.119 N/m of weight; a lift of at most
/// ½·2.474·0.2·√1.04 = 0.2523 N/m is a share of 0.1191 of the weight.
#[test]
fn the_lift_of_a_span_by_hand() {
    let rising = wire(18.0, 90.0, &conditions()).expect("a wire");
    let wind = rising.spans()[0].states().wind_m_per_s;
    let u = 20.0 * 0.2 / 1.04_f64.sqrt();
    assert!((wind.high() - 20.0_f64.hypot(u) / (1.0 - 0.1191)).abs() < 2e-3, "{wind:?}");
    assert!((wind.low() + wind.high()).abs() < 1e-12);
    // Wind square to the line does not lift.
    let across = Conditions {
        wind_direction: wideberth_physics::line::WindDirection::Sector { from_rad: 0.0, sweep_rad: 0.0 },
        ..conditions()
    };
    let span = &wire(18.0, 90.0, &across).expect("a wire").spans()[0].clone();
    assert!(span.margin_m() < 1e-9, "{}", span.margin_m());
}

#[test]
fn a_wire_that_could_fly_is_refused() {
    let storm = Conditions { wind_m_per_s: Interval::new(0.0, 40.0).expect("a range"), ..conditions() };
    assert!(matches!(wire(60.0, 90.0, &storm), Err(WireError::Lifted { span: 0, .. })));
}

/// What section 4 of docs/theory/rising-spans.md leaves out, as it states it: each piece of the wire meets the wind by its own
/// direction, not by that of the chord.
#[test]
fn the_slope_of_the_sag_moves_a_wire_by_little_of_its_sag() {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_130);
    let (mut most, mut most_level) = (0.0_f64, 0.0_f64);
    for draw in 0..300 {
        let run_m = random.random_range(40.0..200.0);
        let rise_m = if draw % 2 == 0 { 0.0 } else { run_m * random.random_range(-0.3..0.3) };
        let chord = Vector3::new(run_m, 0.0, rise_m);
        let length_m = chord.norm() * (1.0 + random.random_range(0.0005..0.008));
        let bearing: f64 = random.random_range(0.0..std::f64::consts::TAU);
        let speed = random.random_range(5.0..20.0);
        let air = Blown {
            stiffness_n: STIFFNESS_N,
            weight_n_per_m: WEIGHT_N_PER_M,
            drag_kg_per_m2: PRESSURE,
            pressure_kg_per_m3: 0.0,
            wind_m_per_s: Vector3::new(bearing.cos(), bearing.sin(), 0.0) * speed,
            follows_wire: false,
        };
        let by_chord = air.span(chord, length_m, &chord.normalize()).points;
        let by_wire = Blown { follows_wire: true, ..air }.span(chord, length_m, &chord.normalize()).points;
        let sag_m =
            by_chord.iter().map(|point| blown::distance_m(&[Vector3::zeros(), chord], point)).fold(0.0, f64::max);
        let apart_m = by_wire.iter().map(|point| blown::distance_m(&by_chord, point)).fold(0.0, f64::max);
        most = most.max(apart_m / sag_m);
        if rise_m == 0.0 {
            most_level = most_level.max(apart_m / sag_m);
        }
    }
    assert!(most_level > 0.004 && most_level < 0.02, "level: {most_level} of the sag");
    assert!(most < 0.02, "rising: {most} of the sag");
}

/// The part of the lift along the chord, which section 4 argues to be small: with it and without it.
#[test]
fn the_part_along_the_chord_moves_a_wire_by_little_of_the_margin() {
    let mut most = 0.0_f64;
    for (run_m, slope) in [(60.0, 0.1), (60.0, 0.3), (120.0, 0.2), (120.0, 0.5), (200.0, 0.3)] {
        let chord = Vector3::new(run_m, 0.0, slope * run_m);
        let way = chord.normalize();
        let upward = (Vector3::z() - way * way.z).normalize();
        for slack in [0.001, 0.004, 0.01] {
            let length_m = chord.norm() * (1.0 + slack);
            for share in [0.1, 0.3] {
                let lift = upward * (share * WEIGHT_N_PER_M * upward.z);
                let vertical = Vector3::z() * (share * WEIGHT_N_PER_M);
                let weight = -Vector3::z() * WEIGHT_N_PER_M;
                let [whole, upright] = [lift, vertical].map(|lift| solved(chord, length_m, -(weight + lift)));
                let sag_m = upright
                    .iter()
                    .map(|point| blown::distance_m(&[Vector3::zeros(), chord], point))
                    .fold(0.0, f64::max);
                let apart_m = whole.iter().map(|point| blown::distance_m(&upright, point)).fold(0.0, f64::max);
                most = most.max(apart_m / (share * slope * sag_m * sag_m / run_m));
            }
        }
    }
    assert!(most < 1.6, "{most} of κ·tan ψ·S²/ℓ");
}
