//! The inequalities of `docs/theory/wire-bounds.md` on seeded random wires, up to the limits that the code allows.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Catenary, Chord, Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, SpanState, StateBox,
    Strand, WindDirection, Wire, WireDescription, WireError,
};
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, MachineError, Motion, Placement};
use wideberth_tests::interval::range;

/// What rounding may cost, m.
const ROUNDING_M: f64 = 1e-7;

fn point(value: f64) -> Interval {
    range(value, value)
}

/// Half of the ranges are wide, the rest narrow or single values.
fn part_of(dice: &mut ChaCha8Rng, low: f64, high: f64) -> Interval {
    let (a, b) = (dice.random_range(0.0..=1.0), dice.random_range(0.0..=1.0));
    let width = [1.0, 1.0, 0.1, 0.0][dice.random_range(0..4)];
    let (a, b): (f64, f64) = (a, a + (b - a) * width);
    range(low + a.min(b) * (high - low), low + a.max(b) * (high - low))
}

fn conditions() -> Conditions {
    Conditions {
        temperature_degc: point(15.0),
        wind_m_per_s: point(0.0),
        wind_direction: WindDirection::Any,
        ice_m: point(0.0),
        ice_density_kg_per_m3: 900.0,
        air_density_kg_per_m3: 1.25,
        drag: 1.2,
        wind_rise_rad: Interval::ZERO,
        loads_along_span: LoadsAlongSpan::Uniform,
        sway_allowance_m: 0.0,
    }
}

/// A span of 20..500 m, level or up to 1 in 1.
fn any_span(dice: &mut ChaCha8Rng) -> Span {
    let (run_m, bearing) = (dice.random_range(20.0..500.0), dice.random_range(0.0..std::f64::consts::TAU));
    let steepness = [0.0, dice.random_range(-0.3..0.3), dice.random_range(-1.0..1.0)][dice.random_range(0..3)];
    let from = Point3::new(dice.random_range(-50.0..50.0), dice.random_range(-50.0..50.0), 10.0);
    let chord = Vector3::new(run_m * bearing.sin(), run_m * bearing.cos(), 0.999 * steepness * run_m);
    Span::new(from, from + chord).expect("a possible span")
}

/// A wire with a = 0.5..50 runs and strain up to 0.015 in still air, and its tension.
fn any_description(dice: &mut ChaCha8Rng) -> (WireDescription, f64) {
    let span = any_span(dice);
    let mass_kg_per_m = 10_f64.powf(dice.random_range(-1.0..0.7));
    let runs = 10_f64.powf(dice.random_range(-0.3..1.7));
    let tension_n = runs * span.run_m() * mass_kg_per_m * wideberth_physics::GRAVITY_M_PER_S2;
    let strain = 10_f64.powf(dice.random_range(-4.0..-1.83));
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: dice.random_range(0.004..0.04),
        mass_kg_per_m,
        axial_stiffness_n: (tension_n / strain).clamp(1e4, 1e9),
        expansion_per_k: 19e-6,
        rated_strength_n: None,
    })
    .expect("a possible conductor");
    let known_by = KnownBy::Tension { horizontal_n: point(tension_n), temperature_degc: point(15.0) };
    let (spans, permanent_strain) = (vec![span], point(0.0));
    let description = WireDescription {
        name: "random".into(),
        conductor,
        spans,
        known_by,
        permanent_strain,
        position_tolerance_m: 0.0,
    };
    (description, tension_n)
}

fn any_state(dice: &mut ChaCha8Rng, states: &StateBox) -> SpanState {
    let mut pick = |r: Interval| match dice.random_range(0..4) {
        0 => r.low(),
        1 => r.high(),
        _ => r.at(dice.random_range(0.0..=1.0)),
    };
    SpanState {
        unstretched_m: pick(states.unstretched_m),
        wind_m_per_s: pick(states.wind_m_per_s),
        ice_m: pick(states.ice_m),
    }
}

fn any_box(dice: &mut ChaCha8Rng, unstretched_m: f64) -> StateBox {
    let (longest, thickest) = ([0.004, 0.15][dice.random_range(0..2)], [0.0, 0.05][dice.random_range(0..2)]);
    let lengths = part_of(dice, -0.004, longest);
    StateBox {
        unstretched_m: range(unstretched_m * (1.0 + lengths.low()), unstretched_m * (1.0 + lengths.high())),
        wind_m_per_s: part_of(dice, -60.0, 60.0),
        ice_m: part_of(dice, 0.0, thickest),
    }
}

/// n·(x − from) of a state stays below the envelope's reach, its sag between the two curves' weighted ends.
fn check_state(dice: &mut ChaCha8Rng, strand: &Strand, states: &StateBox) -> bool {
    let Ok(envelope) = strand.envelope(states) else { return false };
    let span = strand.span();
    for _ in 0..20 {
        let Ok(shape) = strand.shape(&any_state(dice, states)) else { continue };
        assert!(shape.radius_m <= envelope.radius_m());
        let swing = envelope.swing_rad();
        assert!(shape.swing_rad >= swing.low() - 1e-12 && shape.swing_rad <= swing.high() + 1e-12);
        let normal = Vector3::from_fn(|_, _| dice.random_range(-1.0..1.0_f64)).normalize();
        let (a, b) = (dice.random_range(0.0..=1.0_f64), dice.random_range(0.0..=1.0_f64));
        let (from, to) = (a.min(b), a.max(b));
        let (reach_m, _) = envelope.reach_m(span, &normal, envelope.drop_range(span, &normal).high(), from, to);
        for step in 0..=10 {
            let t = from + (to - from) * f64::from(step) / 10.0;
            let sag_m = shape.catenary.sag_m(t);
            assert!(sag_m <= envelope.most().sag_m(t) + ROUNDING_M, "{strand:?} {states:?} {shape:?} {t}");
            assert!(sag_m >= envelope.least().sag_m(t) - ROUNDING_M, "{strand:?} {states:?} {shape:?} {t}");
            let along_m = normal.dot(&(span.point(t, sag_m, shape.swing_rad) - span.from()));
            assert!(along_m <= reach_m + ROUNDING_M, "{strand:?} {states:?} {shape:?} {t}");
        }
    }
    true
}

#[test]
fn no_state_leaves_the_envelope() {
    let mut dice = ChaCha8Rng::seed_from_u64(1);
    let mut checked = 0;
    for _ in 0..1500 {
        let (description, _) = any_description(&mut dice);
        let Ok(wire) = Wire::new(description, &conditions()) else { continue };
        let strand = wire.spans()[0].strand();
        let unstretched_m = wire.spans()[0].states().unstretched_m.low();
        for _ in 0..4 {
            let states = any_box(&mut dice, unstretched_m);
            checked += usize::from(check_state(&mut dice, strand, &states));
        }
    }
    assert!(checked > 1500, "only {checked} boxes had an envelope");
}

#[test]
fn the_constant_falls_with_length_and_load_and_rises_with_the_run() {
    let mut dice = ChaCha8Rng::seed_from_u64(2);
    let mut checked = 0;
    for _ in 0..20_000 {
        let (c, angle) = (100.0, dice.random_range(-0.78..0.78_f64));
        let chord = |angle: f64| Chord { run_m: c * angle.cos(), rise_m: c * angle.sin() };
        let (length_m, load_n_per_m) = (c * dice.random_range(0.99..1.6), 10_f64.powf(dice.random_range(-1.0..2.0)));
        let stiffness_n = load_n_per_m * c * 10_f64.powf(dice.random_range(1.0..6.0));
        let constant_m = |angle, length_m, load| {
            Catenary::with_length(chord(angle), length_m, load, stiffness_n).map(|shape| shape.constant_m())
        };
        let Ok(a_m) = constant_m(angle, length_m, load_n_per_m) else { continue };
        let others = [
            constant_m(angle, length_m * 1.001, load_n_per_m),
            constant_m(angle, length_m, load_n_per_m * 1.01),
            constant_m(angle + 0.01 * angle.signum(), length_m, load_n_per_m),
        ];
        others.into_iter().flatten().for_each(|other_m| assert!(other_m < a_m * (1.0 + 1e-9)));
        checked += 1;
    }
    assert!(checked > 5000, "only {checked} shapes exist");
}

/// Both attachments moved by at most δ, the first and last far enough apart to stay a span.
fn moved(dice: &mut ChaCha8Rng, span: &Span, tolerance_m: f64) -> Option<Span> {
    let mut shift = || {
        let direction = Vector3::from_fn(|_, _| dice.random_range(-1.0..1.0_f64)).normalize();
        direction * tolerance_m * if dice.random_bool(0.7) { 1.0 } else { dice.random_range(0.0..1.0) }
    };
    let (near, far) = (shift(), shift());
    let along = span.chord().normalize() * tolerance_m;
    let (near, far) = match dice.random_range(0..3) {
        0 => (along, -along),
        1 => (-along, along),
        _ => (near, far),
    };
    Span::new(span.from() + near, span.to() + far).ok()
}

/// Real spans: sag up to a tenth of the run, tolerance up to a hundredth of it.
#[test]
fn the_margin_covers_moved_attachments_of_a_wire_strung_to_a_tension() {
    let mut dice = ChaCha8Rng::seed_from_u64(3);
    let (mut checked, mut fullest) = (0, 0.0_f64);
    for _ in 0..3000 {
        let (mut stated, _) = any_description(&mut dice);
        let tolerance_m = stated.spans[0].run_m() * dice.random_range(0.0001..0.01);
        stated.position_tolerance_m = tolerance_m.min(5.0);
        let Some(span) = moved(&mut dice, &stated.spans[0], stated.position_tolerance_m) else { continue };
        let real = WireDescription { spans: vec![span], position_tolerance_m: 0.0, ..stated.clone() };
        let mut weather = conditions();
        weather.temperature_degc = range(-30.0, 90.0);
        weather.wind_m_per_s = range(0.0, 30.0);
        let (Ok(stated), Ok(real)) = (Wire::new(stated, &weather), Wire::new(real, &weather)) else { continue };
        let (stated, real) = (&stated.spans()[0], &real.spans()[0]);
        if stated.envelope().most().greatest_sag_m() > 0.1 * stated.span().run_m() {
            continue;
        }
        let (temperature_degc, wind) = (dice.random_range(-30.0..90.0), dice.random_range(-30.0..30.0));
        let state = |span: &wideberth_physics::line::WireSpan| span.nominal_state(temperature_degc, wind, 0.0);
        let (Ok(a), Ok(b)) = (stated.shape(&state(stated)), real.shape(&state(real))) else { continue };
        for step in 0..=10 {
            let t = f64::from(step) / 10.0;
            let apart_m = (stated.point(&a, t) - real.point(&b, t)).norm();
            fullest = fullest.max(apart_m / stated.margin_m());
            assert!(
                apart_m <= stated.margin_m() + ROUNDING_M,
                "{apart_m} {} {stated:?} {real:?} {t}",
                stated.margin_m()
            );
        }
        checked += 1;
    }
    assert!(checked > 300 && fullest > 0.5, "{checked} pairs, {fullest} of the margin");
}

/// A height measured under attachments that really lie elsewhere: the wire that hangs there is in the stated range.
#[test]
fn a_measured_height_holds_the_real_tension_when_attachments_are_uncertain() {
    let mut dice = ChaCha8Rng::seed_from_u64(4);
    let mut checked = 0;
    for _ in 0..1500 {
        let (mut stated, tension_n) = any_description(&mut dice);
        let tolerance_m = (stated.spans[0].run_m() * dice.random_range(0.0001..0.01)).min(5.0);
        let Some(real) = moved(&mut dice, &stated.spans[0], tolerance_m) else { continue };
        let p = *stated.conductor.properties();
        let weight = p.mass_kg_per_m * wideberth_physics::GRAVITY_M_PER_S2;
        let hung = Catenary::with_tension(real.chord_in_plane(0.0), tension_n, weight, p.axial_stiffness_n);
        let Ok(hung) = hung else { continue };
        // The place on the map is what people keep; attachments moved along the span move it on the chord.
        let span = stated.spans[0];
        let fraction = dice.random_range(0.1..0.9);
        let place = span.from() + span.chord() * fraction;
        let along = real.chord().xy();
        let t = (place - real.from()).xy().dot(&along) / along.norm_squared();
        let height_m = real.from().z + t * real.chord().z - hung.sag_m(t);
        if hung.greatest_sag_m() > 0.1 * span.run_m() {
            continue;
        }
        let temperature_degc = point(15.0);
        stated.known_by =
            KnownBy::Height { span: 0, fraction: point(fraction), height_m: point(height_m), temperature_degc };
        stated.position_tolerance_m = tolerance_m;
        let Ok(wire) = Wire::new(stated, &conditions()) else { continue };
        // Strung on the stated span with the real tension, the length lies in the range that is known.
        let strung = Catenary::with_tension(span.chord_in_plane(0.0), tension_n, weight, p.axial_stiffness_n);
        let Ok(strung) = strung else { continue };
        let known = wire.spans()[0].states().unstretched_m;
        let length_m = strung.unstretched_m();
        assert!(known.low() - 1e-9 <= length_m && length_m <= known.high() + 1e-9, "{length_m} {known:?} {real:?}");
        checked += 1;
    }
    assert!(checked > 150, "only {checked} wires hang");
}

#[test]
fn a_wind_sector_that_is_no_sector_is_refused() {
    let mut dice = ChaCha8Rng::seed_from_u64(5);
    for (from_rad, sweep_rad) in [(f64::NAN, 1.0), (0.0, f64::NAN), (0.0, -0.5), (f64::INFINITY, 1.0), (0.0, 6.3)] {
        let wind_direction = WindDirection::Sector { from_rad, sweep_rad };
        let refused = Wire::new(any_description(&mut dice).0, &Conditions { wind_direction, ..conditions() });
        assert!(matches!(refused, Err(WireError::Conditions(_))), "{from_rad} {sweep_rad}");
    }
}

#[test]
fn a_strain_below_zero_is_refused() {
    let chord = Chord { run_m: 100.0, rise_m: 0.0 };
    assert!(Catenary::with_constant(chord, 500.0, 1e-3).is_ok());
    assert!(Catenary::with_constant(chord, 500.0, -1e-3).is_err());
}

#[test]
fn frames_that_cannot_turn_or_reach_too_far_are_refused() {
    let placement = Placement::level(Point3::origin());
    let machine = |rotation: UnitQuaternion<f64>, range_rad| {
        let offset = Isometry3::from_parts(Translation3::identity(), rotation);
        let motion = Motion::Hinge { axis: Vector3::z_axis(), range_rad };
        let frame = Frame { name: "slew".into(), role: FrameRole::Part, parent: None, offset, motion };
        let body = Body::sphere("ball", FrameId(0), Point3::origin(), 1.0);
        Machine::new("machine", &placement, vec![frame], vec![body])
    };
    let nowhere = UnitQuaternion::new_unchecked(nalgebra::Quaternion::new(f64::NAN, 0.0, 0.0, 0.0));
    assert!(machine(UnitQuaternion::identity(), range(-4.0, 4.0)).is_ok());
    assert!(matches!(machine(nowhere, range(-4.0, 4.0)), Err(MachineError::Number { .. })));
    assert!(matches!(machine(UnitQuaternion::identity(), range(0.0, 1e9)), Err(MachineError::Number { .. })));
}
