//! Wires with a core of another metal (`docs/theory/bimetal.md`): no state leaves its bounds, whatever its true
//! temperature and history; and what it means to take a span as a whole above or below its knee.

use nalgebra::{Point3, Vector3};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::approach::{Options, StopReason, closest_approach};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Catenary, Conditions, Conductor, ConductorProperties, Core, KnownBy, Load, LoadModel, LoadsAlongSpan, Span,
    StateBox, WindDirection, Wire, WireDescription,
};
use wideberth_tests::interval::range;

/// What rounding may cost, m.
const ROUNDING_M: f64 = 1e-7;

/// A range around a middle, at times a single value.
fn around(dice: &mut ChaCha8Rng, middle: f64, half: f64) -> Interval {
    let half = half * [0.0, 0.3, 1.0][dice.random_range(0..3)];
    range(middle - half, middle + half)
}

fn inside(dice: &mut ChaCha8Rng, r: Interval) -> f64 {
    match dice.random_range(0..4) {
        0 => r.low(),
        1 => r.high(),
        _ => r.at(dice.random_range(0.0..=1.0)),
    }
}

/// A steel-cored wire of any size between dead ends, and what is known of it.
struct Case {
    conductor: Conductor,
    span: Span,
    known_by: KnownBy,
    conditions: Conditions,
    permanent_strain: Interval,
}

impl Case {
    fn any(dice: &mut ChaCha8Rng) -> Self {
        let area_m2 = 10_f64.powf(dice.random_range(-4.6..-3.2));
        let share = dice.random_range(0.05..0.25);
        let (outer, inner) = ((1.0 - share) * area_m2 * 60e9, share * area_m2 * 195e9);
        let stiffness_n = outer + inner;
        let mass_kg_per_m = area_m2 * ((1.0 - share) * 2750.0 + share * 7800.0);
        let conductor = Conductor::new(ConductorProperties {
            diameter_m: (1.8 * area_m2).sqrt(),
            mass_kg_per_m,
            axial_stiffness_n: stiffness_n,
            expansion_per_k: (outer * 23e-6 + inner * 11.5e-6) / stiffness_n,
            rated_strength_n: None,
        });
        let core = Core {
            axial_stiffness_n: inner,
            expansion_per_k: 11.5e-6,
            free_degc: around(dice, 20.0, 10.0),
            set: around(dice, 4e-4, 3e-4),
        };
        let conductor = conductor.and_then(|c| c.with_core(core)).expect("a possible conductor");
        let (run_m, rise) = (dice.random_range(40.0..500.0), dice.random_range(-0.3..0.3));
        let from = Point3::new(0.0, 0.0, 30.0);
        let span = Span::new(from, from + Vector3::new(run_m, 0.0, rise * run_m)).expect("a possible span");
        let horizontal_n = area_m2 * 10_f64.powf(dice.random_range(7.0..8.0));
        let known_by = KnownBy::Tension {
            horizontal_n: range(horizontal_n * (1.0 - 0.05 * dice.random_range(0.0..1.0)), horizontal_n),
            temperature_degc: around(dice, dice.clone().random_range(0.0..90.0), 10.0),
        };
        let temperature_degc = around(dice, 70.0, 60.0);
        let conditions = Conditions {
            temperature_degc,
            wind_m_per_s: range(0.0, [0.0, 15.0][dice.random_range(0..2)]),
            wind_direction: WindDirection::Any,
            ice_m: range(0.0, 0.0),
            ice_density_kg_per_m3: 900.0,
            air_density_kg_per_m3: 1.25,
            drag: 1.0,
            wind_rise_rad: Interval::ZERO,
            loads_along_span: LoadsAlongSpan::Uniform,
            sway_allowance_m: 0.0,
        };
        Self {
            conductor,
            span,
            known_by,
            conditions,
            permanent_strain: range(0.0, [0.0, 3e-4][dice.random_range(0..2)]),
        }
    }

    /// The same with everything known but the temperature.
    fn exact(mut self) -> Self {
        let middle = |r: Interval| range(r.center(), r.center());
        let core = *self.core();
        let core = Core { free_degc: middle(core.free_degc), set: middle(core.set), ..core };
        self.conductor = self.conductor.with_core(core).expect("a core");
        self.permanent_strain = middle(self.permanent_strain);
        let temperature_degc = middle(self.known_by.temperature_degc());
        if let KnownBy::Tension { horizontal_n, .. } = self.known_by {
            self.known_by = KnownBy::Tension { horizontal_n: middle(horizontal_n), temperature_degc };
        }
        self
    }

    fn wire(&self) -> Option<Wire> {
        let description = WireDescription {
            name: "steel-cored".into(),
            conductor: self.conductor,
            spans: vec![self.span],
            known_by: self.known_by,
            permanent_strain: self.permanent_strain,
            position_tolerance_m: 0.0,
        };
        Wire::new(description, &self.conditions).ok()
    }

    fn core(&self) -> &Core {
        self.conductor.core().expect("a core")
    }
}

/// What really is, when everybody knows it: numbers instead of ranges.
struct Truth {
    free_degc: f64,
    set: f64,
    known_degc: f64,
    permanent: f64,
}

impl Truth {
    fn any(dice: &mut ChaCha8Rng, case: &Case) -> Self {
        Self {
            free_degc: inside(dice, case.core().free_degc),
            set: inside(dice, case.core().set),
            known_degc: inside(dice, case.known_by.temperature_degc()),
            permanent: inside(dice, case.permanent_strain),
        }
    }

    fn excess(&self, case: &Case, degc: f64, strain: f64) -> f64 {
        let p = case.conductor.properties();
        (p.expansion_per_k - case.core().expansion_per_k) * (degc - self.free_degc) + self.set + strain
    }
}

/// The tension at which the parts are equally long, N.
fn knee_n(case: &Case, excess: f64) -> f64 {
    let (whole_n, core_n) = (case.conductor.properties().axial_stiffness_n, case.core().axial_stiffness_n);
    excess / ((1.0 - excess) / core_n - 1.0 / whole_n)
}

/// The conductor's unstretched length at the known horizontal tension: the longer of what whole and core say.
fn length_m(case: &Case, truth: &Truth, horizontal_n: f64) -> f64 {
    let excess = truth.excess(case, truth.known_degc, 0.0);
    let (chord, p) = (case.span.chord_in_plane(0.0), case.conductor.properties());
    let weight = p.mass_kg_per_m * wideberth_physics::GRAVITY_M_PER_S2;
    let whole = Catenary::with_tension(chord, horizontal_n, weight, p.axial_stiffness_n).expect("hangs");
    let share = 1.0 - excess;
    let core =
        Catenary::with_tension(chord, horizontal_n, weight / share, case.core().axial_stiffness_n).expect("hangs");
    whole.unstretched_m().max(core.unstretched_m() / share)
}

/// The wire of a true length, excess and load, worked out without the product's rules for ranges.
fn hang(case: &Case, load: &Load, unstretched_m: f64, excess: f64) -> Option<Catenary> {
    let (chord, w) = (case.span.chord_in_plane(load.swing_rad()), load.total_n_per_m());
    let whole_n = case.conductor.properties().axial_stiffness_n;
    let whole = Catenary::with_length(chord, unstretched_m, w, whole_n).ok()?;
    let share = 1.0 - excess;
    let core = Catenary::with_length(chord, unstretched_m * share, w / share, case.core().axial_stiffness_n).ok()?;
    Some(if whole.constant_m() * share >= core.constant_m() { whole } else { core })
}

/// A box that holds a length, from the whole range down to nothing.
fn box_around(dice: &mut ChaCha8Rng, states: &StateBox, unstretched_m: f64, wind_m_per_s: f64) -> StateBox {
    let shrink = [1.0, 0.1, 0.0][dice.random_range(0..3)];
    let part = |r: Interval, at: f64| range(at + (r.low() - at) * shrink, at + (r.high() - at) * shrink);
    StateBox {
        unstretched_m: part(states.unstretched_m, unstretched_m),
        wind_m_per_s: part(states.wind_m_per_s, wind_m_per_s),
        ice_m: states.ice_m,
    }
}

#[test]
fn no_true_state_leaves_the_bounds() {
    let mut dice = ChaCha8Rng::seed_from_u64(7);
    let (mut whole, mut core) = (0, 0);
    for _ in 0..3000 {
        let case = Case::any(&mut dice);
        let Some(wire) = case.wire() else { continue };
        let span = &wire.spans()[0];
        let load_model = LoadModel::new(&case.conductor, 1.25, 1.0, 900.0);
        for _ in 0..8 {
            let truth = Truth::any(&mut dice, &case);
            let KnownBy::Tension { horizontal_n, .. } = case.known_by else { continue };
            let known_m = length_m(&case, &truth, inside(&mut dice, horizontal_n));
            let degc = inside(&mut dice, case.conditions.temperature_degc);
            let rise_k = degc - truth.known_degc;
            let expansion_per_k = case.conductor.properties().expansion_per_k;
            let unstretched_m = known_m * (1.0 + expansion_per_k * rise_k) * (1.0 + truth.permanent);
            let states = span.states();
            assert!(
                states.unstretched_m.low() - 1e-9 <= unstretched_m
                    && unstretched_m <= states.unstretched_m.high() + 1e-9
            );
            let wind = inside(&mut dice, states.wind_m_per_s);
            let excess = truth.excess(&case, degc, truth.permanent);
            let load = load_model.load(wind, 0.0);
            let Some(real) = hang(&case, &load, unstretched_m, excess) else { continue };
            let cell = box_around(&mut dice, states, unstretched_m, wind);
            let Ok(envelope) = span.strand().envelope(&cell) else { continue };
            let below_knee = real.constant_m() * load.total_n_per_m() < knee_n(&case, excess);
            *(if below_knee { &mut core } else { &mut whole }) += 1;
            for tenth in 1..10 {
                let t = f64::from(tenth) / 10.0;
                let sag_m = real.sag_m(t);
                assert!(sag_m <= envelope.most().sag_m(t) + ROUNDING_M, "{:?} {cell:?}", case.conductor);
                assert!(sag_m >= envelope.least().sag_m(t) - ROUNDING_M, "{:?} {cell:?}", case.conductor);
            }
        }
    }
    assert!(whole > 2000 && core > 2000, "{whole} above, {core} below their knee");
}

#[test]
fn the_products_own_states_lie_inside_their_bounds_and_bounds_shrink_onto_them() {
    let mut dice = ChaCha8Rng::seed_from_u64(8);
    let mut checked = 0;
    for _ in 0..1000 {
        let exact = dice.random_bool(0.5);
        let case = if exact { Case::any(&mut dice).exact() } else { Case::any(&mut dice) };
        let Some(wire) = case.wire() else { continue };
        let span = &wire.spans()[0];
        let mut state = span.states().center();
        state.unstretched_m = inside(&mut dice, span.states().unstretched_m);
        let Ok(shape) = span.shape(&state) else { continue };
        let lone = |x: f64| range(x, x);
        let point = StateBox {
            unstretched_m: lone(state.unstretched_m),
            wind_m_per_s: lone(state.wind_m_per_s),
            ice_m: lone(state.ice_m),
        };
        let bounds = span.strand().envelope(&point).expect("bounds of one state");
        let sag_m = shape.catenary.sag_m(0.5);
        assert!(sag_m <= bounds.most().sag_m(0.5) + ROUNDING_M && sag_m >= bounds.least().sag_m(0.5) - ROUNDING_M);
        let apart_m = bounds.most().sag_m(0.5) - bounds.least().sag_m(0.5);
        // A tension known near the knee leaves both sides of it possible.
        let KnownBy::Tension { horizontal_n, temperature_degc } = case.known_by else { continue };
        let core = case.core();
        let (free_degc, set) = (core.free_degc.center(), core.set.center());
        let truth = Truth { free_degc, set, known_degc: temperature_degc.center(), permanent: 0.0 };
        let knee = knee_n(&case, truth.excess(&case, truth.known_degc, 0.0));
        let exact = exact && (horizontal_n.center() / knee - 1.0).abs() > 0.15;
        assert!(!exact || apart_m < 2e-3 * sag_m, "{apart_m} of {sag_m}: {bounds:?}");
        checked += usize::from(exact);
    }
    assert!(checked > 100, "{checked}");
}

/// A level wire in which every place obeys the law of its own tension: whole where that is above the knee, the core's
/// below. x and y by the slope p, in closed form; the horizontal tension by bisection.
fn place_by_place(case: &Case, run_m: f64, weight: f64, unstretched_m: f64, excess: f64) -> (f64, f64) {
    let (whole_n, core_n) = (case.conductor.properties().axial_stiffness_n, case.core().axial_stiffness_n);
    let knee = knee_n(case, excess);
    let half = |horizontal_n: f64| {
        let a = horizontal_n / weight;
        let end = unstretched_m / (2.0 * a);
        let turn = ((knee / horizontal_n).powi(2) - 1.0).max(0.0).sqrt().min(end);
        let (share, strain) = (1.0 - excess, horizontal_n / core_n);
        let secant = |p: f64| p.hypot(1.0);
        let x =
            share * (turn.asinh() + strain * turn) + end.asinh() - turn.asinh() + horizontal_n / whole_n * (end - turn);
        let y = share * (secant(turn) - 1.0 + strain * turn * turn / 2.0) + secant(end) - secant(turn)
            + horizontal_n / whole_n * (end * end - turn * turn) / 2.0;
        (a * x, a * y)
    };
    let (mut low, mut high) = (0.2 * run_m * weight, 0.02 * core_n);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if half(middle).0 < 0.5 * run_m { low = middle } else { high = middle }
    }
    (low, half(low).1)
}

/// The product takes the span's horizontal tension for all of it. Where the knee falls inside the span the wire really
/// hangs a little higher than either side alone says: never lower, and by at most what the tension's spread is worth.
#[test]
fn a_knee_inside_the_span_lifts_the_wire_a_little() {
    let mut dice = ChaCha8Rng::seed_from_u64(9);
    let mut mixed = 0;
    for _ in 0..4000 {
        let case = Case::any(&mut dice);
        let (run_m, p) = (case.span.run_m(), case.conductor.properties());
        let weight = p.mass_kg_per_m * wideberth_physics::GRAVITY_M_PER_S2;
        let level = wideberth_physics::line::Chord { run_m, rise_m: 0.0 };
        let share_m = run_m * (1.0 + 10_f64.powf(dice.random_range(-4.0..-1.8)));
        let Ok(whole) = Catenary::with_length(level, share_m, weight, p.axial_stiffness_n) else { continue };
        let core_n = case.core().axial_stiffness_n;
        // A knee near the span's tension.
        let knee = whole.constant_m() * weight * dice.random_range(0.95..1.1);
        let excess = 1.0 - (1.0 + knee / p.axial_stiffness_n) / (1.0 + knee / core_n);
        let share = 1.0 - excess;
        let Ok(core) = Catenary::with_length(level, share_m * share, weight / share, core_n) else { continue };
        let (horizontal_n, sag_m) = place_by_place(&case, run_m, weight, share_m, excess);
        let steepest = whole.end_tension_ratios().1.max(core.end_tension_ratios().1);
        let ours = if whole.constant_m() * share >= core.constant_m() { whole } else { core };
        let lifted_m = ours.sag_m(0.5) - sag_m;
        assert!(lifted_m > -2e-5 * sag_m, "{lifted_m} of {sag_m}");
        if horizontal_n < knee && horizontal_n * steepest > knee {
            mixed += 1;
            let spread = (steepest - 1.0) * knee * (1.0 / core_n - 1.0 / p.axial_stiffness_n);
            // Sag of a flat wire: dS = 3·ℓ²/(16·S)·strain, less where the wire stretches with it.
            assert!(lifted_m <= 3.0 * run_m * run_m / (16.0 * sag_m) * spread + 1e-3 * sag_m, "{lifted_m} {spread}");
        } else {
            assert!(lifted_m.abs() < 1e-6 * sag_m.max(1.0), "{lifted_m} of {sag_m}");
        }
    }
    assert!(mixed > 100, "{mixed}");
}

/// A wire of 90 m over the reference boom, hotter than its knee in part of its range.
fn over_the_boom(core: bool, temperature_degc: Interval) -> Wire {
    let mut dice = ChaCha8Rng::seed_from_u64(10);
    let mut case = Case::any(&mut dice);
    let (outer, inner) = (53e-6 * 60e9, 9e-6 * 195e9);
    let whole = Conductor::new(ConductorProperties {
        diameter_m: 0.0101,
        mass_kg_per_m: 0.2161,
        axial_stiffness_n: outer + inner,
        expansion_per_k: (outer * 23e-6 + inner * 11.5e-6) / (outer + inner),
        rated_strength_n: None,
    })
    .expect("a conductor");
    let steel = Core {
        axial_stiffness_n: inner,
        expansion_per_k: 11.5e-6,
        free_degc: range(15.0, 20.0),
        set: range(3e-4, 3.2e-4),
    };
    case.conductor = if core { whole.with_core(steel).expect("a core") } else { whole };
    case.span = Span::new(Point3::new(0.0, -1.1, 10.5), Point3::new(90.0, -1.1, 10.5)).expect("a span");
    case.known_by = KnownBy::Tension { horizontal_n: range(3880.0, 3920.0), temperature_degc: range(14.0, 16.0) };
    case.permanent_strain = range(0.0, 0.0);
    case.conditions.temperature_degc = temperature_degc;
    case.conditions.wind_m_per_s = range(0.0, 8.0);
    case.wire().expect("a wire")
}

#[test]
fn the_search_closes_its_bracket_around_a_wire_with_a_knee() {
    let machine = wideberth_tests::reference::r1_machine();
    let options = Options { tolerance_m: 1e-3, ..Options::default() };
    let search = |core: bool, low: f64, high: f64| {
        let found = closest_approach(&machine, &over_the_boom(core, range(low, high)), &options).expect("an answer");
        assert_eq!(found.stop, StopReason::Tolerance, "{found:?}");
        found.distance
    };
    for (low, high) in [(-10.0, 20.0), (-10.0, 120.0), (60.0, 75.0), (100.0, 120.0)] {
        let (plain, cored) = (search(false, low, high), search(true, low, high));
        // The boom reaches up to the wire: a wire that hangs higher is farther away.
        assert!(cored.upper_m >= plain.lower_m, "{low}..{high}: {cored:?} {plain:?}");
        assert_eq!(cored.lower_m > plain.upper_m, high > 70.0, "{low}..{high}: {cored:?} {plain:?}");
    }
}
