//! Wind along rising spans of a section over a hill, against sections solved piece by piece.

use nalgebra::{Point3, Vector3};
use rayon::prelude::*;
use wideberth_physics::GRAVITY_M_PER_S2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, SectionState, WindDirection, Wire, WireError, WireSpan};
use wideberth_tests::blown::{Blown, BlownSection, distance_m};
use wideberth_tests::generate::Draw;
use wideberth_tests::sections::{Hung, heavy_conductor, usual_conditions, usual_string};

use crate::strings::search::{check, machine_beside};

const TENSION_N: f64 = 24e3;
const HOT_DEGC: f64 = 60.0;

fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("ordered numbers")
}

/// Three spans over a hill top that rises a fifth.
fn hill(conditions: Conditions) -> Hung {
    let supports = [[0.0, 0.0, 20.0], [210.0, 0.0, 60.0], [460.0, 0.0, 85.0], [700.0, 0.0, 40.0]].map(Point3::from);
    Hung::over(&supports, usual_string(), range(TENSION_N, TENSION_N), conditions)
}

fn hot(wind_m_per_s: Interval, wind_direction: WindDirection) -> Conditions {
    Conditions { temperature_degc: range(HOT_DEGC, HOT_DEGC), wind_m_per_s, wind_direction, ..usual_conditions() }
}

fn growth() -> f64 {
    1.0 + heavy_conductor().properties().expansion_per_k * (HOT_DEGC - 15.0)
}

/// The section solved by itself in a wind, each span as the points that it goes through.
fn solved(hung: &Hung, wire: &Wire, wind_m_per_s: Vector3<f64>, follows_wire: bool) -> Vec<Vec<Vector3<f64>>> {
    let p = *hung.description.conductor.properties();
    let pressure_kg_per_m3 = 0.5 * hung.conditions.air_density_kg_per_m3 * hung.conditions.drag;
    let spans = &hung.description.spans;
    let first = spans[0].from().coords;
    let supports_m: Vec<_> = std::iter::once(first).chain(spans.iter().map(|span| span.to().coords)).collect();
    // One temperature and one tension: the unstretched length is a number, up to rounding.
    let lengths_m: Vec<f64> = wire.spans().iter().map(|span| span.states().unstretched_m.center()).collect();
    let air = Blown {
        stiffness_n: p.axial_stiffness_n,
        weight_n_per_m: p.mass_kg_per_m * GRAVITY_M_PER_S2,
        drag_kg_per_m2: pressure_kg_per_m3 * p.diameter_m,
        pressure_kg_per_m3,
        wind_m_per_s,
        follows_wire,
    };
    let section = BlownSection { air, supports_m: &supports_m, lengths_m: &lengths_m, string: usual_string() };
    let placed = |(end, points): (Vector3<f64>, Vec<Vector3<f64>>)| points.iter().map(|point| end + point).collect();
    section.balance().into_iter().map(placed).collect()
}

fn wind(speed_m_per_s: f64, from_rad: f64) -> Vector3<f64> {
    Vector3::new(-from_rad.sin(), -from_rad.cos(), 0.0) * speed_m_per_s
}

/// How far some point of the wire lies beyond what the search counts with, m.
fn beyond_m(draw: &mut Draw, span: &WireSpan, points: &[Vector3<f64>]) -> f64 {
    let cover = span.cover();
    let from = cover.span().from().coords;
    let mut beyond_m = f64::NEG_INFINITY;
    for _ in 0..300 {
        let normal = draw.direction();
        let drop = cover.envelope().drop_range(cover.span(), &normal).high();
        let bound_m =
            cover.envelope().reach_m(cover.span(), &normal, drop, 0.0, 1.0).0 + cover.sway_m(&normal, 0.0, 1.0);
        let reach_m = points.iter().map(|point| normal.dot(&(point - from))).fold(f64::NEG_INFINITY, f64::max);
        beyond_m = beyond_m.max(reach_m - bound_m);
    }
    beyond_m
}

/// What 400 straight pieces may hang from a curve, m.
const NUMERIC_M: f64 = 1e-3;

#[test]
fn states_over_a_hill_are_those_of_sections_solved_piece_by_piece() {
    let hung = hill(hot(range(0.0, 22.0), WindDirection::Any));
    let wire = hung.wire().expect("a possible wire");
    let mut draw = Draw::new(20_261_129);
    for _ in 0..6 {
        let (speed, from_rad) = (draw.within(4.0, 22.0), draw.within(0.0, std::f64::consts::TAU));
        let solved = solved(&hung, &wire, wind(speed, from_rad), false);
        let state = SectionState {
            clamped_n: TENSION_N,
            growth: growth(),
            wind_m_per_s: speed,
            wind_from_rad: from_rad,
            ice_m: 0.0,
        };
        for (span, points) in wire.spans().iter().zip(&solved) {
            let shape = span.placed_in(&state).expect("strings").expect("a shape").shape;
            let curve: Vec<_> = (0..=800).map(|k| span.point(&shape, f64::from(k) / 800.0).coords).collect();
            let apart_m = points.iter().map(|point| distance_m(&curve, point)).fold(0.0, f64::max);
            assert!(apart_m < NUMERIC_M, "{apart_m} m apart in {speed} m/s from {from_rad}");
            let beyond_m = beyond_m(&mut draw, span, points);
            assert!(beyond_m < NUMERIC_M, "{beyond_m} m beyond the bounds in {speed} m/s from {from_rad}");
        }
    }
}

/// Bounds without lift are those of the wind's part across alone: the wind that also blows along moves the wire out of them by
/// decimetres.
#[test]
fn without_the_wind_along_the_line_the_bounds_would_not_hold() {
    let (speed, oblique_rad) = (22.0, std::f64::consts::FRAC_PI_4);
    let across = speed * oblique_rad.cos();
    let square = WindDirection::Sector { from_rad: 0.0, sweep_rad: 0.0 };
    let (whole, part) = (hill(hot(range(0.0, speed), WindDirection::Any)), hill(hot(range(across, across), square)));
    let (whole_wire, part_wire) = (whole.wire().expect("a wire"), part.wire().expect("a wire"));
    let solved = solved(&whole, &whole_wire, wind(speed, oblique_rad), false);
    let mut draw = Draw::new(5);
    let mut most = |wire: &Wire| {
        let each = wire.spans().iter().zip(&solved).map(|(span, points)| beyond_m(&mut draw, span, points));
        each.fold(f64::NEG_INFINITY, f64::max)
    };
    let (new_m, old_m) = (most(&whole_wire), most(&part_wire));
    assert!(new_m < NUMERIC_M, "{new_m} m beyond the bounds");
    assert!(old_m > 0.1, "the bounds without lift are left by {old_m} m only");
}

/// What the model leaves out on strings, as docs/theory/strings.md states it: each piece of the wire meets the wind by its own
/// direction, and chords turn with the strings.
#[test]
fn what_the_direction_of_the_wire_itself_changes() {
    let hung = hill(hot(range(0.0, 20.0), WindDirection::Any));
    let wire = hung.wire().expect("a possible wire");
    let mut most = 0.0_f64;
    for degrees in [20.0_f64, 45.0, 70.0, 90.0, 135.0, 225.0, 270.0] {
        let wind = wind(20.0, degrees.to_radians());
        let [chord, local] = [false, true].map(|follows| solved(&hung, &wire, wind, follows));
        for ((chord, local), span) in chord.iter().zip(&local).zip(wire.spans()) {
            let sag_m = span.envelope().most().greatest_sag_m();
            let apart_m = local.iter().map(|point| distance_m(chord, point)).fold(0.0, f64::max);
            most = most.max(apart_m / sag_m);
        }
    }
    assert!(most > 0.001 && most < 0.006, "{most} of the sag");
}

#[test]
fn a_section_that_could_fly_is_refused() {
    let refused = hill(hot(range(0.0, 80.0), WindDirection::Any)).wire();
    assert!(matches!(refused, Err(WireError::Lifted { .. })), "{:?}", refused.map(|wire| wire.spans().len()));
}

#[test]
fn random_machines_on_a_hill_stay_above_the_lower_end() {
    let conditions = Conditions { temperature_degc: range(0.0, 60.0), ..hot(range(0.0, 20.0), WindDirection::Any) };
    let hung = hill(conditions);
    let failures: Vec<String> = (0..3_u64)
        .into_par_iter()
        .filter_map(|seed| {
            let mut draw = Draw::new(2000 + seed);
            let machine = machine_beside(&hung, &mut draw);
            check(seed, &machine, &hung, &mut draw, 400).err()
        })
        .collect();
    assert!(failures.is_empty(), "{failures:#?}");
}
