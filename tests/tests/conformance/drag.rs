//! Drag by Reynolds number against published tables (`data/drag.csv`), and that the range of a wire's states holds every push
//! that those tables allow.

use nalgebra::Point3;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde::Deserialize;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conductor, ConductorProperties, KnownBy, LoadModel, Span, Wire, WireDescription, WireSurface,
};
use wideberth_physics::weather::air::viscosity_pa_s;
use wideberth_tests::reference::conditions;

const SURFACES: [WireSurface; 4] =
    [WireSurface::Any, WireSurface::Smooth, WireSurface::FineStrand, WireSurface::CoarseStrand];

/// A printed coefficient.
#[derive(Debug, Deserialize)]
struct Row {
    surface: String,
    iced: bool,
    reynolds: f64,
    coefficient: f64,
    tag: String,
    source: String,
}

impl Row {
    fn surface(&self) -> WireSurface {
        match self.surface.as_str() {
            "smooth" => WireSurface::Smooth,
            "fine strand" => WireSurface::FineStrand,
            "coarse strand" => WireSurface::CoarseStrand,
            other => panic!("no surface \"{other}\""),
        }
    }

    fn of(&self, surface: WireSurface, iced: bool) -> bool {
        (surface == WireSurface::Any || surface == self.surface()) && self.iced == iced
    }
}

fn rows() -> Vec<Row> {
    let text = include_str!("../../data/drag.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.deserialize().collect::<Result<_, _>>().expect("the table is whole")
}

/// The printed coefficient at a Reynolds number, straight between the rows of one source.
fn printed(rows: &[&Row], reynolds: f64) -> f64 {
    let next = rows.partition_point(|row| row.reynolds < reynolds).clamp(1, rows.len() - 1);
    let (a, b) = (rows[next - 1], rows[next]);
    let share = ((reynolds - a.reynolds) / (b.reynolds - a.reynolds)).clamp(0.0, 1.0);
    a.coefficient + share * (b.coefficient - a.coefficient)
}

fn reynolds_numbers() -> impl Iterator<Item = f64> {
    (0..=2000).map(|step| 400.0 * 1e4_f64.powf(f64::from(step) / 2000.0))
}

#[test]
fn the_law_is_nowhere_below_a_printed_coefficient() {
    let all = rows();
    assert!(all.len() > 40);
    for row in &all {
        assert!(["seen", "from memory"].contains(&row.tag.as_str()) && !row.source.is_empty(), "{row:?}");
    }
    let sources: std::collections::BTreeSet<(&str, &str, bool)> =
        all.iter().map(|row| (row.source.as_str(), row.surface.as_str(), row.iced)).collect();
    for (source, name, iced) in sources {
        let one: Vec<&Row> = all.iter().filter(|r| r.source == source && r.surface == name && r.iced == iced).collect();
        for surface in SURFACES.into_iter().filter(|surface| one[0].of(*surface, iced)) {
            for reynolds in reynolds_numbers() {
                let (law, printed) = (surface.coefficient(iced, reynolds), printed(&one, reynolds));
                assert!(law >= printed - 1e-12, "{surface:?} at {reynolds:.0}: {law} < {printed} ({source})");
            }
        }
    }
}

/// At working speeds the law is the table itself, not something far above it.
#[test]
fn the_law_is_the_table_below_the_drag_crisis() {
    for (surface, iced, reynolds, coefficient) in [
        (WireSurface::FineStrand, false, 3e4, 1.2),
        (WireSurface::FineStrand, false, 8e4, 1.05),
        (WireSurface::FineStrand, false, 2e5, 0.9),
        (WireSurface::FineStrand, true, 5e4, 1.25),
        (WireSurface::CoarseStrand, false, 3e4, 1.3),
        (WireSurface::CoarseStrand, false, 8e4, 1.1),
    ] {
        let law: f64 = surface.coefficient(iced, reynolds);
        assert!((law - coefficient).abs() < 1e-12, "{surface:?} at {reynolds}: {law}");
    }
}

/// The two properties that the proof rests on, and that ice never lowers the law.
#[test]
fn the_law_never_rises_and_its_push_never_falls() {
    for surface in SURFACES {
        for iced in [false, true] {
            let numbers: Vec<f64> = reynolds_numbers().collect();
            for pair in numbers.windows(2) {
                let [slow, fast] = [pair[0], pair[1]].map(|re| surface.coefficient(iced, re));
                assert!(fast <= slow && fast * pair[1] >= slow * pair[0], "{surface:?} {iced} at {}", pair[0]);
                assert!(surface.coefficient(true, pair[0]) >= surface.coefficient(false, pair[0]));
                assert!(slow <= surface.greatest(iced));
            }
        }
    }
}

fn conductor(diameter_m: f64) -> Conductor {
    Conductor::new(ConductorProperties {
        diameter_m,
        mass_kg_per_m: 1.0,
        axial_stiffness_n: 5e7,
        expansion_per_k: 19e-6,
        rated_strength_n: None,
    })
    .expect("a conductor")
}

/// Every push that the printed table allows, with any viscosity of the air, is that of a wind in the wire's range of states.
#[test]
fn the_states_of_a_wire_hold_every_push_of_the_table() {
    let all = rows();
    let mut random = ChaCha8Rng::seed_from_u64(20_261_126);
    for _ in 0..300 {
        let diameter_m = random.random_range(0.005..0.06);
        let conductor = conductor(diameter_m).with_surface(WireSurface::FineStrand);
        let ice = if random.random_bool(0.5) { 0.03 } else { 0.0 };
        let slow = random.random_range(0.0..60.0);
        let speeds = Interval::new(slow, slow + random.random_range(0.1..30.0)).expect("a range");
        let conditions = wideberth_physics::line::Conditions {
            wind_m_per_s: speeds,
            ice_m: Interval::new(0.0, ice).expect("a range"),
            ..conditions()
        };
        let span = Span::new(Point3::new(0.0, 0.0, 12.0), Point3::new(30.0, 0.0, 12.0)).expect("a span");
        let exactly = |x| Interval::new(x, x).expect("a number");
        let description = WireDescription {
            name: "wire".into(),
            conductor,
            spans: vec![span],
            known_by: KnownBy::Tension { horizontal_n: exactly(3000.0), temperature_degc: exactly(15.0) },
            permanent_strain: exactly(0.0),
            position_tolerance_m: 0.0,
        };
        let wire = Wire::new(description, &conditions).expect("a wire");
        let (states, load) = (wire.spans()[0].states(), wire.spans()[0].strand().load());
        for _ in 0..50 {
            let (v, thick) = (random.random_range(speeds.low()..speeds.high()), random.random_range(0.0..=1.0) * ice);
            let iced = thick > 0.0;
            let one: Vec<&Row> = all.iter().filter(|row| row.surface == "fine strand" && row.iced == iced).collect();
            let width_m = diameter_m + 2.0 * thick;
            let reynolds = 1.225 * v * width_m / viscosity_pa_s(random.random_range(-40.0..55.0));
            let push = 0.5 * 1.225 * v * v * printed(&one, reynolds) * width_m;
            let strongest = load.lateral_n_per_m(states.wind_m_per_s.high(), thick);
            assert!(states.wind_m_per_s.low() <= 0.0 && strongest >= push * (1.0 - 1e-12), "{push} > {strongest}");
        }
    }
}

/// A heavier wire under ice, a faster wind: the push never falls, on which the bounds of a box of states rest.
#[test]
fn the_push_rises_with_wind_and_ice() {
    for surface in SURFACES {
        let load = LoadModel::new(&conductor(0.03).with_surface(surface), 1.3, 1.0, 900.0).with_ice(true);
        let push = |v: i32, ice: i32| load.lateral_n_per_m(f64::from(v), 0.002 * f64::from(ice));
        for v in 1..90 {
            for ice in 0..25 {
                assert!(push(v, ice) > push(v - 1, ice) && push(v, ice + 1) >= push(v, ice), "{surface:?} {v} {ice}");
            }
        }
    }
}

/// In wind below the drag crisis the law is a coefficient of 1.2, for resting wires in gusts as for steady shapes; beyond it the wire
/// rests nearer.
#[test]
fn wires_in_gusts_follow_the_law() {
    use wideberth_physics::sway::Cable;
    let span = Span::new(Point3::new(0.0, 0.0, 12.0), Point3::new(100.0, 0.0, 12.0)).expect("a span");
    let exactly = |x| Interval::new(x, x).expect("a number");
    let rest = |conductor: Conductor, drag: f64, wind_m_per_s: f64| {
        let description = WireDescription {
            name: "wire".into(),
            conductor,
            spans: vec![span],
            known_by: KnownBy::Tension { horizontal_n: exactly(8000.0), temperature_degc: exactly(15.0) },
            permanent_strain: exactly(0.0),
            position_tolerance_m: 0.0,
        };
        let conditions = wideberth_physics::line::Conditions {
            wind_m_per_s: Interval::new(0.0, 60.0).expect("a range"),
            drag,
            ..conditions()
        };
        let wire = Wire::new(description, &conditions).expect("a wire");
        let span = &wire.spans()[0];
        let state = span.nominal_state(15.0, wind_m_per_s, 0.0);
        let aside_m = span.point(&span.shape(&state).expect("a shape"), 0.5).y;
        let (cable, calm) = Cable::new(span.strand(), &span.nominal_state(15.0, 0.0, 0.0), 40).expect("a cable");
        let rest = cable.rest_from_calm(&calm, wind_m_per_s).expect("a rest");
        (aside_m, cable.aside_m(&rest.places_m[19]))
    };
    let fine = conductor(0.03).with_surface(WireSurface::FineStrand);
    let (slow, by_number) = (rest(fine, 1.2, 20.0), rest(conductor(0.03), 1.2, 20.0));
    assert!((slow.0 - by_number.0).abs() < 1e-9 && (slow.1 - by_number.1).abs() < 1e-6, "{slow:?} {by_number:?}");
    let (storm, by_number) = (rest(fine, 1.2, 55.0), rest(conductor(0.03), 1.2, 55.0));
    // Re = 1.225·55·0.03/2.0e-5 = 1.01e5: a coefficient of 0.9 instead of 1.2.
    assert!(storm.0 < by_number.0 - 0.05 && storm.1 < by_number.1 - 0.05, "{storm:?} {by_number:?}");
    let nine = rest(conductor(0.03), 0.9, 55.0);
    assert!((storm.0 - nine.0).abs() < 1e-3 && (storm.1 - nine.1).abs() < 1e-3, "{storm:?} {nine:?}");
}
