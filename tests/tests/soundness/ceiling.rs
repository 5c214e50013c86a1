//! A height or a reach that a control leaves to a machine: against simple geometry, and against random poses that keep within it.

use nalgebra::{Isometry3, Point3, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::approach::{ApproachError, Options, closest_approach};
use wideberth_physics::line::Wire;
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};
use wideberth_tests::adversary::Adversary;
use wideberth_tests::generate::{Draw, random_study};
use wideberth_tests::interval::range;
use wideberth_tests::oracle::{solids, surface_distance_m};
use wideberth_tests::reference::r1_wires;

const BOOM_RADIUS_M: f64 = 0.4;

/// A boom of 8 to 14 m that slews and luffs about a pivot 2.5 m high, 8 m beside the middle wire of R1.
fn boom(setting_out_m: f64) -> Machine {
    let frame =
        |name: &str, parent, offset, motion| Frame { name: name.into(), role: FrameRole::Part, parent, offset, motion };
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

/// The proven bracket of a machine that limiters hold holds whatever samples find, and samples come near its upper end.
fn bracketed(machine: &Machine, wire: &Wire, seed: u64, near_m: f64) -> wideberth_physics::bracket::Bracket {
    let options = Options { max_cells: 200_000, ..Options::default() };
    let found = closest_approach(machine, wire, &options).expect("an answer");
    let mut adversary = Adversary::new(machine, wire, &found.witness);
    let at_witness_m = adversary.best().distance_m;
    assert!((at_witness_m.max(0.0) - found.distance.upper_m).abs() < 1e-3, "the witness is allowed: {found:?}");
    adversary.try_many(&mut Draw::new(seed), 20_000);
    let sample_m = adversary.best().distance_m.max(0.0);
    assert!(sample_m >= found.distance.lower_m - 1e-9, "seed {seed}: a sample at {sample_m} m, {found:?}");
    assert!(found.distance.width_m() < near_m, "seed {seed}: {sample_m} m, {found:?}");
    found.distance
}

#[test]
fn beside_a_wire_the_reach_that_is_left_counts() {
    let wire = &r1_wires()[1];
    let free = closest_approach(&boom(0.2), wire, &Options::default()).expect("an answer").distance;
    let mut before_m = free.lower_m;
    for reach_m in [7.0, 5.0, 3.5] {
        let found = bracketed(&boom(0.2).within(reach_m), wire, 3, 0.02);
        assert!(found.upper_m > before_m - 0.02, "less reach is never closer: {reach_m}, {found:?}");
        before_m = found.lower_m;
    }
    assert!(before_m > free.upper_m + 1.0, "{before_m}, {free:?}");
    let both = bracketed(&boom(0.2).within(6.5).below(9.0), wire, 4, 0.2);
    let one = bracketed(&boom(0.2).below(9.0), wire, 5, 0.0101);
    assert!(both.lower_m > one.upper_m + 0.1, "{both:?}, {one:?}");
}

#[test]
fn a_reach_beyond_everything_changes_nothing() {
    let wire = &r1_wires()[0];
    let free = closest_approach(&boom(0.2), wire, &Options::default()).expect("an answer").distance;
    let held = closest_approach(&boom(0.2).within(60.0), wire, &Options::default()).expect("an answer").distance;
    assert!((free.lower_m - held.lower_m).abs() < 0.01 && (free.upper_m - held.upper_m).abs() < 0.01);
}

#[test]
fn a_reach_shorter_than_the_machine_is_an_error() {
    let error = closest_approach(&boom(0.0).within(1.0), &r1_wires()[0], &Options::default()).expect_err("no pose");
    assert!(matches!(error, ApproachError::NoPose { .. }) && error.to_string().contains("within 1 m"), "{error}");
}

#[test]
fn a_ball_on_an_arm_reaches_as_far_as_its_stop_lets_it() {
    // An arm that slews level, 5 m up, its length 2 to 20 m: the nearest point of a wire far beside it is straight ahead.
    let frame =
        |name: &str, parent, offset, motion| Frame { name: name.into(), role: FrameRole::Part, parent, offset, motion };
    let slew = Motion::Hinge { axis: Vector3::z_axis(), range_rad: range(-3.0, 3.0) };
    let length = Motion::Slide { axis: Vector3::y_axis(), range_m: range(2.0, 20.0) };
    let frames = vec![
        frame("slew", None, Isometry3::translation(0.0, 0.0, 5.0), slew),
        frame("length", Some(FrameId(0)), Isometry3::identity(), length),
    ];
    let ball = Body::sphere("ball", FrameId(1), Point3::origin(), 0.5);
    let placement = Placement::level(Point3::new(45.0, -30.0, 0.0));
    let machine = Machine::new("arm", &placement, frames, vec![ball]).expect("a machine");
    let wire = &r1_wires()[1];
    let reach = |reach_m: f64| {
        closest_approach(&machine.clone().within(reach_m), wire, &Options::default()).expect("an answer").distance
    };
    let ball_at = |ahead_m: f64| {
        let frames = vec![frame("slew", None, Isometry3::translation(0.0, ahead_m, 5.0), Motion::Fixed)];
        let ball = Body::sphere("ball", FrameId(0), Point3::origin(), 0.5);
        let still = Machine::new("ball", &placement, frames, vec![ball]).expect("a machine");
        closest_approach(&still, wire, &Options::default()).expect("an answer").distance
    };
    for reach_m in [4.0, 9.25, 15.0] {
        let (held, still) = (reach(reach_m), ball_at(reach_m - 0.5));
        assert!((held.upper_m - still.upper_m).abs() < 0.012 && held.lower_m <= still.upper_m, "{held:?} {still:?}");
    }
}

#[test]
fn a_reach_goes_with_the_machine_that_is_spread_over_places() {
    let wire = &r1_wires()[1];
    let machine = boom(0.0).within(5.0);
    let (half_m, sides) = (3.0, [(Vector3::x_axis(), 0.0), (Vector3::y_axis(), 3.0)]);
    let spread = machine.spread(sides, 0.0).expect("a machine");
    assert_eq!(spread.carriers(), vec![0]);
    let whole = closest_approach(&spread, wire, &Options::default()).expect("an answer").distance;
    let at = |step_m: f64| {
        let moved = machine.moved(&Vector3::new(0.0, step_m, 0.0)).expect("a machine");
        closest_approach(&moved, wire, &Options::default()).expect("an answer").distance
    };
    // The nearest place is the end toward the wire; nothing of the reach is lost or gained on the way there.
    let places: Vec<_> = (0..=6).map(|k| at(-half_m + f64::from(k))).collect();
    let nearest_m = places.iter().map(|place| place.upper_m).fold(f64::INFINITY, f64::min);
    assert!(places.iter().all(|place| place.upper_m >= whole.lower_m), "{whole:?} {places:?}");
    assert!((whole.upper_m - nearest_m).abs() < 0.012, "{whole:?} {places:?}");
}

#[test]
fn random_machines_held_by_random_limits_stay_within_their_brackets() {
    let (mut tried, mut settled) = (0, 0);
    for seed in 0..60 {
        let study = random_study(seed);
        let mut draw = Draw::new(seed);
        let foot = study.machine.position();
        let middle: Vec<f64> = study.machine.ranges().iter().map(|range| range.center()).collect();
        let frames = study.machine.place(&middle);
        let tops = study.machine.bodies().iter().flat_map(|body| body.features.iter().map(move |f| (body, f)));
        let level_m = tops.map(|(body, f)| {
            (frames[f.frame.0] * f.at - foot).xy().norm() + body.radius_m + f.ring.map_or(0.0, |ring| ring.radius_m)
        });
        // The middle pose is allowed, many others are not.
        let reach_m = level_m.fold(0.0, f64::max) + draw.within(0.01, 2.0);
        let machine = study.machine.clone().within(reach_m);
        let wire = &study.wires[0].wire;
        let options = Options { max_cells: 20_000, ..Options::default() };
        let found = match closest_approach(&machine, wire, &options) {
            Err(ApproachError::NoPose { .. }) => continue,
            found => found.expect("an answer"),
        };
        let mut adversary = Adversary::new(&machine, wire, &found.witness).knowing(&study.wires[0]);
        adversary.try_many(&mut draw, 5_000);
        let sample_m = adversary.best().distance_m.max(0.0);
        assert!(sample_m >= found.distance.lower_m - 1e-9, "seed {seed}: {sample_m} m, {found:?}");
        tried += 1;
        settled += usize::from(found.distance.width_m() < 0.0101);
    }
    assert!(tried >= 50 && settled >= 35, "{tried} tried, {settled} settled");
}
