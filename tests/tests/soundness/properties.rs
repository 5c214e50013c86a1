//! Properties that hold whatever the numbers.

use nalgebra::{Isometry3, Point3, Rotation3, Unit, UnitQuaternion, Vector3};
use proptest::prelude::*;
use wideberth_physics::approach::{Approach, Options, closest_approach};
use wideberth_physics::assess::assess;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Catenary, Chord, Conditions, KnownBy, Span, SpanState, WindDirection, Wire, WireDescription,
};
use wideberth_physics::machine::{Frame, Machine, Motion};
use wideberth_tests::generate::{Draw, RandomStudy, RandomWire, random_study, random_wire};

const TOLERANCE_M: f64 = 0.05;

fn options(max_cells: u64) -> Options {
    Options { tolerance_m: TOLERANCE_M, max_cells, ..Options::default() }
}

fn approach(machine: &Machine, wire: &Wire, max_cells: u64) -> Approach {
    closest_approach(machine, wire, &options(max_cells)).expect("a shape in every state")
}

/// The wire with its attachments elsewhere; heights move with `up_m`.
fn replaced_wire(
    random: &RandomWire,
    place: impl Fn(Point3<f64>) -> Point3<f64>,
    up_m: f64,
    wind: WindDirection,
) -> Wire {
    let spans = random.description.spans.iter();
    let spans = spans.map(|s| Span::new(place(s.from()), place(s.to())).expect("a possible span")).collect();
    let mut known_by = random.description.known_by;
    if let KnownBy::Height { height_m, .. } = &mut known_by {
        *height_m = Interval::new(height_m.low() + up_m, height_m.high() + up_m).expect("ordered numbers");
    }
    let description = WireDescription { spans, known_by, ..random.description.clone() };
    Wire::new(description, &Conditions { wind_direction: wind, ..random.conditions }).expect("a possible wire")
}

fn moved_wire(random: &RandomWire, turn_rad: f64, by: Vector3<f64>) -> Wire {
    let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), turn_rad);
    let wind = match random.conditions.wind_direction {
        WindDirection::Any => WindDirection::Any,
        // Bearings run clockwise.
        WindDirection::Sector { from_rad, sweep_rad } => {
            WindDirection::Sector { from_rad: from_rad - turn_rad, sweep_rad }
        }
    };
    replaced_wire(random, |p| turn * p + by, by.z, wind)
}

fn moved_machine(study: &RandomStudy, turn_rad: f64, by: Vector3<f64>) -> Machine {
    let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), turn_rad);
    let mut sketch = study.sketch.clone();
    sketch.placement.heading_rad -= turn_rad;
    sketch.placement.downhill_rad -= turn_rad;
    sketch.at(turn * study.position + by).expect("the same machine")
}

/// East and west swapped.
fn mirror(v: Vector3<f64>) -> Vector3<f64> {
    Vector3::new(-v.x, v.y, v.z)
}

fn mirrored_wire(random: &RandomWire) -> Wire {
    let wind = match random.conditions.wind_direction {
        WindDirection::Any => WindDirection::Any,
        WindDirection::Sector { from_rad, sweep_rad } => {
            WindDirection::Sector { from_rad: -from_rad - sweep_rad, sweep_rad }
        }
    };
    replaced_wire(random, |p| Point3::from(mirror(p.coords)), 0.0, wind)
}

/// A turn about an axis becomes one about the mirrored axis the other way round.
fn mirrored_machine(study: &RandomStudy) -> Machine {
    let mut sketch = study.sketch.clone();
    for frame in &mut sketch.frames {
        let turn = UnitQuaternion::from_scaled_axis(-mirror(frame.offset.rotation.scaled_axis()));
        frame.offset = Isometry3::from_parts(mirror(frame.offset.translation.vector).into(), turn);
        match &mut frame.motion {
            Motion::Hinge { axis, .. } => *axis = Unit::new_normalize(-mirror(axis.into_inner())),
            Motion::Slide { axis, .. } => *axis = Unit::new_normalize(mirror(axis.into_inner())),
            Motion::Fixed | Motion::Plumb => {}
        }
    }
    for feature in sketch.bodies.iter_mut().flat_map(|b| &mut b.features) {
        feature.at = mirror(feature.at.coords).into();
        if let Some(ring) = &mut feature.ring {
            ring.axis = Unit::new_normalize(mirror(ring.axis.into_inner()));
        }
    }
    sketch.placement.heading_rad *= -1.0;
    sketch.placement.downhill_rad *= -1.0;
    sketch.at(mirror(study.position.coords).into()).expect("the same machine")
}

/// Both brackets hold the same number.
fn agree(a: Bracket, b: Bracket) -> bool {
    a.lower_m <= b.upper_m + 1e-6 && b.lower_m <= a.upper_m + 1e-6
}

/// The most that a span's allowance is smaller under a part of the conditions than under all of them, m.
fn spared_margin_m(whole: &Wire, parts: &Wire) -> f64 {
    let spared_m = parts.spans().iter().map(|part| whole.spans()[part.index()].margin_m() - part.margin_m());
    spared_m.fold(0.0, f64::max)
}

fn hangs(study: &RandomStudy) -> bool {
    study.sketch.frames.iter().any(|f| f.motion == Motion::Plumb)
}

/// Each joint keeps a part of its range.
fn narrowed(study: &RandomStudy, draw: &mut Draw) -> Machine {
    let mut sketch = study.sketch.clone();
    let mut part = |range: Interval| draw.interval(range.low(), range.high());
    for Frame { motion, .. } in &mut sketch.frames {
        match motion {
            Motion::Hinge { range_rad, .. } => *range_rad = part(*range_rad),
            Motion::Slide { range_m, .. } => *range_m = part(*range_m),
            Motion::Fixed | Motion::Plumb => {}
        }
    }
    sketch.at(study.position).expect("the same machine")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn longer_wire_never_hangs_higher(seed: u64, t in 0.01..0.99_f64, shares in prop::array::uniform2(0.0..1.0_f64)) {
        let random = random_wire(&mut Draw::new(seed));
        let span = &random.wire.spans()[0];
        let states = span.states();
        let sag_m = |share: f64| {
            let state = SpanState { unstretched_m: states.unstretched_m.at(share), ..states.center() };
            span.shape(&state).expect("a shape in every state").catenary.sag_m(t)
        };
        let (short, long) = (shares[0].min(shares[1]), shares[0].max(shares[1]));
        prop_assert!(sag_m(short) <= sag_m(long) + 1e-10);
    }

    #[test]
    fn hotter_never_lifts_the_wire(seed: u64, t in 0.01..0.99_f64, warmer_k in 0.0..60.0_f64) {
        let random = random_wire(&mut Draw::new(seed));
        let span = &random.wire.spans()[0];
        let low = random.conditions.temperature_degc.low();
        let sag_m = |degc: f64| span.shape(&span.nominal_state(degc, 5.0, 0.0)).map(|s| s.catenary.sag_m(t));
        if let (Ok(cold_m), Ok(hot_m)) = (sag_m(low), sag_m(low + warmer_k)) {
            prop_assert!(cold_m <= hot_m + 1e-10);
        }
    }

    #[test]
    fn more_tension_less_sag(
        run_m in 20.0..400.0_f64, rise in -0.9..0.9_f64, t in 0.01..0.99_f64, a in 150.0..3000.0_f64, more in 1.0..3.0_f64,
    ) {
        let chord = Chord { run_m, rise_m: rise * run_m };
        let sag_m = |a: f64| Catenary::with_tension(chord, 5.0 * a, 5.0, 5e6).map(|c| c.sag_m(t));
        if let (Ok(slack_m), Ok(taut_m)) = (sag_m(a), sag_m(a * more)) {
            prop_assert!(taut_m <= slack_m + 1e-10);
        }
    }

    #[test]
    fn slopes_are_derivatives(
        run_m in 20.0..400.0_f64, rise in -0.9..0.9_f64, t in 0.05..0.95_f64, a in 200.0..3000.0_f64,
    ) {
        let chord = Chord { run_m, rise_m: rise * run_m };
        if let Ok(c) = Catenary::with_tension(chord, 5.0 * a, 5.0, 5e6) {
            let (_, rate_m, curvature_m) = c.sag_with_rates_m(t);
            let step = 1e-4;
            let (below, above) = (c.sag_with_rates_m(t - step), c.sag_with_rates_m(t + step));
            let scale = c.greatest_sag_m().max(run_m * rise.abs());
            prop_assert!(((above.0 - below.0) / (2.0 * step) - rate_m).abs() <= 1e-5 * scale);
            prop_assert!(((above.1 - below.1) / (2.0 * step) - curvature_m).abs() <= 1e-5 * scale.max(curvature_m.abs()));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn turning_and_moving_the_site_leaves_the_bracket(seed: u64, turn_rad in -3.0..3.0_f64, east_m in -300.0..300.0_f64) {
        let study = random_study(seed);
        // What hangs keeps the axes of the site, so such machines are moved only.
        let turn_rad = if hangs(&study) { 0.0 } else { turn_rad };
        let by = Vector3::new(east_m, -0.4 * east_m, 0.1 * east_m);
        let stated = approach(&study.machine, &study.wires[0].wire, 1500).distance;
        let moved =
            approach(&moved_machine(&study, turn_rad, by), &moved_wire(&study.wires[0], turn_rad, by), 1500).distance;
        prop_assert!(agree(stated, moved), "{stated:?} and {moved:?}");
    }

    #[test]
    fn a_mirror_leaves_the_bracket(seed: u64) {
        let study = random_study(seed);
        let stated = approach(&study.machine, &study.wires[0].wire, 1500).distance;
        let mirrored = approach(&mirrored_machine(&study), &mirrored_wire(&study.wires[0]), 1500).distance;
        prop_assert!(agree(stated, mirrored), "{stated:?} and {mirrored:?}");
    }

    #[test]
    fn narrower_ranges_never_lower_the_gap(seed: u64) {
        let study = random_study(seed);
        let narrow = narrowed(&study, &mut Draw::new(seed ^ 7));
        let wire = &study.wires[0].wire;
        let (wide, narrow) = (approach(&study.machine, wire, 1500).distance, approach(&narrow, wire, 1500).distance);
        prop_assert!(wide.lower_m <= narrow.upper_m + 1e-9);
    }

    #[test]
    fn one_of_several_wires_comes_as_close_as_the_closest(seed: u64) {
        let (study, other) = (random_study(seed), random_study(seed ^ 5));
        let wires = [&study.wires[0].wire, &other.wires[0].wire].map(Clone::clone);
        let alone = wires.each_ref().map(|wire| approach(&study.machine, wire, 1500).distance);
        let either = Wire::any_of("either", wires.to_vec()).expect("two to choose from");
        let together = approach(&study.machine, &either, 3000).distance;
        prop_assert!(agree(alone[0].min(alone[1]), together), "{alone:?} and {together:?}");
    }

    #[test]
    fn halves_of_the_conditions_together_are_the_whole(seed: u64, share in 0.1..0.9_f64) {
        let study = random_study(seed);
        let random = &study.wires[0];
        let (cold, hot) = (random.conditions.temperature_degc.low(), random.conditions.temperature_degc.high());
        let middle = cold + share * (hot - cold);
        let half = |low, high| {
            let temperature_degc = Interval::new(low, high).expect("ordered numbers");
            let conditions = Conditions { temperature_degc, ..random.conditions };
            Wire::new(random.description.clone(), &conditions).expect("a possible wire")
        };
        let halves = Wire::any_of("halves", vec![half(cold, middle), half(middle, hot)]).expect("two halves");
        prop_assert_eq!(halves.variants(), 2);
        let spared_m = spared_margin_m(&random.wire, &halves);
        let whole = approach(&study.machine, &random.wire, 1500).distance;
        let halves = approach(&study.machine, &halves, 3000).distance;
        prop_assert!(whole.lower_m <= halves.upper_m + 1e-6, "{whole:?} and {halves:?}");
        prop_assert!(halves.lower_m <= whole.upper_m + spared_m + 1e-6, "{whole:?} and {halves:?}, {spared_m}");
    }

    #[test]
    fn a_small_budget_brackets_what_a_larger_one_finds(seed: u64) {
        let study = random_study(seed);
        let brackets: Vec<_> =
            [1, 20, 300, 3000].iter().map(|&cells| approach(&study.machine, &study.wires[0].wire, cells).distance).collect();
        for pair in brackets.windows(2) {
            let (few, many) = (pair[0], pair[1]);
            prop_assert!(few.lower_m <= few.upper_m && many.lower_m <= many.upper_m);
            prop_assert!(few.lower_m <= many.lower_m + 1e-9 && many.upper_m <= few.upper_m + 1e-9, "{few:?} then {many:?}");
        }
    }
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    for seed in [3, 8, 21, 34] {
        let study = random_study(seed).study();
        let answers: Vec<String> = [1, 2, 4]
            .iter()
            .map(|&threads| {
                let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
                format!("{:?}", pool.install(|| assess(&study, &options(1000), &|_| {}).expect("an answer")))
            })
            .collect();
        assert!(answers.windows(2).all(|pair| pair[0] == pair[1]), "seed {seed}");
    }
}
