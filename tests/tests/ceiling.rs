//! A height that a control leaves to a machine: against simple geometry, and against random poses that keep below it.

use nalgebra::{Isometry3, Point3, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::approach::{ApproachError, Options, closest_approach};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, Frame, FrameId, Machine, Motion, Placement};
use wideberth_tests::oracle::{solids, surface_distance_m};
use wideberth_tests::reference::r1_wires;

const BOOM_RADIUS_M: f64 = 0.4;

fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("ordered numbers")
}

/// A boom of 8 to 14 m that slews and luffs about a pivot 2.5 m high, 8 m beside the middle wire of R1.
fn boom(setting_out_m: f64) -> Machine {
    let frame = |name: &str, parent, offset, motion| Frame { name: name.into(), parent, offset, motion };
    let frames = vec![
        frame(
            "slew",
            None,
            Isometry3::translation(0.0, 0.0, 2.5),
            Motion::Hinge { axis: Vector3::z_axis(), range_rad: range(-1.0, 1.0) },
        ),
        frame(
            "luff",
            Some(FrameId(0)),
            Isometry3::identity(),
            Motion::Hinge { axis: Vector3::x_axis(), range_rad: range(0.0, 1.3) },
        ),
        frame(
            "length",
            Some(FrameId(1)),
            Isometry3::identity(),
            Motion::Slide { axis: Vector3::y_axis(), range_m: range(8.0, 14.0) },
        ),
    ];
    let origin = Point3::origin();
    let body = Body::capsule("boom", (FrameId(1), origin), (FrameId(2), origin), BOOM_RADIUS_M);
    let placement = Placement {
        position: Point3::new(45.0, -8.0, 0.0),
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: setting_out_m,
        heading_tolerance_rad: 0.0,
    };
    Machine::new("boom", &placement, frames, vec![body]).expect("a machine")
}

#[test]
fn below_a_wire_the_height_that_is_left_is_the_distance() {
    let wire = &r1_wires()[1];
    let span = &wire.spans()[0];
    let (center_sag_m, radius_m) = (span.envelope().most().greatest_sag_m(), span.envelope().radius_m());
    // In still air the hottest wire hangs lowest in the middle of the span, straight above where the boom reaches.
    let hottest = span.shape(&span.nominal_state(75.0, 0.0, 0.0)).expect("a shape");
    let lowest_m = 10.5 - hottest.catenary.sag_m(0.5);
    assert!(lowest_m >= 10.5 - center_sag_m - 1e-9);
    for ceiling_m in [4.5, 6.0, 7.5] {
        let machine = boom(0.0).below(ceiling_m);
        let found = closest_approach(&machine, wire, &Options::default()).expect("an answer").distance;
        let wanted_m = lowest_m - radius_m - ceiling_m;
        assert!(
            found.lower_m <= wanted_m + 1e-6 && found.upper_m >= wanted_m - 1e-3,
            "{ceiling_m}: {found:?}, {wanted_m}"
        );
        assert!(found.width_m() <= 0.0101, "{found:?}");
    }
}

#[test]
fn a_ceiling_above_everything_changes_nothing() {
    let wire = &r1_wires()[0];
    let free = closest_approach(&boom(0.2), wire, &Options::default()).expect("an answer").distance;
    let held = closest_approach(&boom(0.2).below(30.0), wire, &Options::default()).expect("an answer").distance;
    assert!((free.lower_m - held.lower_m).abs() < 0.01 && (free.upper_m - held.upper_m).abs() < 0.01);
}

#[test]
fn no_pose_below_the_ceiling_comes_closer() {
    let wire = &r1_wires()[0];
    let (setting_out_m, ceiling_m) = (0.3, 8.0);
    let machine = boom(setting_out_m).below(ceiling_m);
    let found = closest_approach(&machine, wire, &Options::default()).expect("an answer").distance;
    let (span, body) = (&wire.spans()[0], &machine.bodies()[0]);
    let solid = &solids(&machine)[0];
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let (mut counted, mut least_m) = (0, f64::INFINITY);
    for _ in 0..40_000 {
        let pose: Vec<f64> = machine.ranges().iter().map(|r| random.random_range(r.low()..=r.high())).collect();
        let placed = machine.place(&pose);
        // The highest that the boom may really be: its tip, standing as high as the setting-out allows no better.
        let tip_m = body.features.iter().map(|f| (placed[f.frame.0] * f.at).z).fold(f64::NEG_INFINITY, f64::max);
        if tip_m + BOOM_RADIUS_M > ceiling_m {
            continue;
        }
        counted += 1;
        let states = span.states();
        let state = wideberth_physics::line::SpanState {
            unstretched_m: random.random_range(states.unstretched_m.low()..=states.unstretched_m.high()),
            wind_m_per_s: random.random_range(states.wind_m_per_s.low()..=states.wind_m_per_s.high()),
            ice_m: 0.0,
        };
        let shape = span.shape(&state).expect("a shape");
        let posed = solid.pose(&placed);
        let (apart_m, _) = surface_distance_m(solid, &posed, body.radius_m, span, &shape, f64::INFINITY);
        least_m = least_m.min(apart_m);
        assert!(apart_m >= found.lower_m - 1e-6, "{apart_m} at {pose:?}, {found:?}");
    }
    assert!(counted > 3_000, "{counted} poses");
    assert!(least_m < found.upper_m + 1.0, "the samples come near: {least_m}, {found:?}");
}

#[test]
fn a_ceiling_below_the_machine_is_an_error() {
    let machine = boom(0.0).below(2.0);
    let error = closest_approach(&machine, &r1_wires()[0], &Options::default()).expect_err("no pose");
    assert!(matches!(error, ApproachError::NoPose { .. }), "{error}");
}
