//! Every proven control and every proven piece of ground, attacked by samples that know nothing of the search.

use std::time::Instant;

use nalgebra::Point2;
use rayon::prelude::*;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::assess::assess;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::decide::targets;
use wideberth_plan::fixes::{Control, Fix, MachineFixes, Proof, Scene, fixes};
use wideberth_plan::stand::{Area, Cell, Ground, Question, map};
use wideberth_scenario::source::Source;
use wideberth_tests::adversary::Adversary;
use wideberth_tests::demonstrations::{context, job, text};
use wideberth_tests::generate::Draw;
use wideberth_tests::generated::repository_root;

use super::number;

/// Climbs from the witness, each with its own samples: as many cores may work at one wire of one control.
const CLIMBS: u64 = 4;

const DEMONSTRATIONS: [&str; 4] = [
    "crane-beside-a-line-in-wind",
    "silo-shell-tilts-under-a-farm-line",
    "grain-auger-turned-in-the-yard",
    "tipper-on-a-hot-afternoon",
];

/// What was tried on the controls of one scenario.
#[derive(Clone, Copy, Debug)]
pub struct Attacked {
    controls: usize,
    wires: usize,
    samples: u64,
    /// Least distance beyond the limit that any sample found, m.
    least_spare_m: f64,
}

impl Attacked {
    const NOTHING: Self = Self { controls: 0, wires: 0, samples: 0, least_spare_m: f64::INFINITY };

    fn and(self, other: Self) -> Self {
        Self {
            controls: self.controls + other.controls,
            wires: self.wires + other.wires,
            samples: self.samples + other.samples,
            least_spare_m: self.least_spare_m.min(other.least_spare_m),
        }
    }
}

/// Attacks every proven control of a scenario with a number of samples each, shared among its wires.
fn attack_controls(name: &str, text: &str, samples: u64) -> Attacked {
    let (job, context) = (job(text), context());
    let source = Source::read(text).expect("JSON");
    let assessment = assess(&job.study, &job.options, &|_| {}).expect("an assessment");
    let started = Instant::now();
    let found = fixes(source.value(), &context, &job, &assessment).expect("controls");
    println!("{name}: controls found in {:.1} s", started.elapsed().as_secs_f64());
    let of_machine = |machine: &MachineFixes| {
        let scene = Scene::new(source.value(), &context, &job, machine.machine, &assessment);
        let proven: Vec<&Fix> = machine.singles.iter().chain(&machine.pairs).filter(|fix| fix.is_clear()).collect();
        let attacked = proven.par_iter().enumerate().map(|(seed, fix)| attack(name, &scene, fix, seed as u64, samples));
        attacked.reduce(|| Attacked::NOTHING, Attacked::and)
    };
    found.iter().map(of_machine).fold(Attacked::NOTHING, Attacked::and)
}

/// Attacks one control: nothing may come closer than the limit.
pub fn attack(name: &str, scene: &Scene<'_>, fix: &Fix, seed: u64, samples: u64) -> Attacked {
    let variant = scene.with(&[&fix.control]).expect("the control fits");
    let targets = variant.targets(scene);
    let each = samples.div_ceil(targets.len().max(1) as u64);
    let wires = targets.par_iter().enumerate().map(|(wire, target)| {
        let placed = variant.machine().moved(&-target.moved_m).expect("a place");
        // Where the climbs begin; how well it is bracketed does not matter.
        let options = Options { max_cells: 5_000, ..Options::default() };
        let found = closest_approach(&placed, target.wire, &options).expect("an approach").witness;
        let climbs = (0..CLIMBS).into_par_iter().map(|climb| {
            let mut adversary = Adversary::new(&placed, target.wire, &found);
            let mut draw = Draw::new(1000 * (1000 * seed + wire as u64) + climb);
            adversary.try_many(&mut draw, each.div_ceil(CLIMBS));
            let spare_m = adversary.best().distance_m - target.limit_m;
            assert!(spare_m >= -1e-9, "{name}: {:?} lets it come {spare_m} m beyond the limit", fix.control);
            Attacked { samples: adversary.best().samples, least_spare_m: spare_m, ..Attacked::NOTHING }
        });
        Attacked { wires: 1, ..climbs.reduce(|| Attacked::NOTHING, Attacked::and) }
    });
    Attacked { controls: 1, ..wires.reduce(|| Attacked::NOTHING, Attacked::and) }
}

/// The names in an environment variable, apart by commas.
fn named(variable: &str) -> Option<Vec<String>> {
    let text = std::env::var(variable).ok()?;
    Some(text.split(',').map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect())
}

/// The demonstrations that are not clear as they are.
fn not_clear() -> Vec<String> {
    let entries = std::fs::read_dir(repository_root().join("scenarios")).expect("the folder exists");
    let paths = entries.map(|entry| entry.expect("readable").path());
    let files = paths.filter(|path| path.extension().is_some_and(|extension| extension == "json"));
    let mut names: Vec<String> =
        files.filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned())).collect();
    names.sort();
    names.retain(|name| {
        let job = job(&text(name));
        assess(&job.study, &job.options, &|_| {}).expect("an assessment").verdict != Verdict::Clear
    });
    assert!(DEMONSTRATIONS.iter().all(|name| names.iter().any(|known| known == name)), "{names:?}");
    names
}

#[test]
fn no_sample_comes_too_close_with_a_proven_control() {
    let samples = number("WIDEBERTH_SAMPLES", 50_000);
    for name in named("WIDEBERTH_SCENARIOS").unwrap_or_else(not_clear) {
        let started = Instant::now();
        let found = attack_controls(&name, &text(&name), samples);
        println!(
            "{name}: {} controls, {} wires, {} samples, least spare found {:.6} m, {:.1} s",
            found.controls,
            found.wires,
            found.samples,
            found.least_spare_m,
            started.elapsed().as_secs_f64()
        );
        assert!(found.controls >= 1, "{name} has no proven control");
        assert!(!DEMONSTRATIONS.contains(&name.as_str()) || found.controls >= 6, "{name}: {found:?}");
    }
}

/// A demonstration with another place, heading, wind and heat.
fn generated(seed: u64) -> String {
    let mut draw = Draw::new(seed);
    let name = DEMONSTRATIONS[draw.index(DEMONSTRATIONS.len())];
    let source = Source::read(&text(name)).expect("JSON");
    let mut value = source.value().clone();
    let (east, north) = (draw.within(-4.0, 4.0), draw.within(-3.0, 3.0));
    let number = |value: &serde_json::Value| value.as_str().and_then(|t| t.split(' ').next()?.parse::<f64>().ok());
    let machine = &mut value["machines"][0];
    for (axis, by) in [(0, east), (1, north)] {
        let at = number(&machine["position"][axis]).expect("a place");
        machine["position"][axis] = format!("{} m", at + by).into();
    }
    machine["heading"] = format!("{} deg", draw.within(0.0, 359.0)).into();
    value["conditions"]["wind_speed"] = serde_json::json!(["0 m/s", format!("{} m/s", draw.within(0.5, 14.0))]);
    value["conditions"]["conductor_temperature"] =
        serde_json::json!(["-5 degC", format!("{} degC", draw.within(0.0, 70.0))]);
    // The lesson shows what the ranges of the demonstration allow.
    value.as_object_mut().expect("an object").remove("lesson");
    value.to_string()
}

#[test]
fn generated_cases_withstand_samples_too() {
    let cases = number("WIDEBERTH_CASES", 25);
    let samples = number("WIDEBERTH_SAMPLES", 10_000) / 20;
    let attacked: Vec<Attacked> = (0..cases)
        .into_par_iter()
        .map(|seed| attack_controls(&format!("case {seed}"), &generated(seed), samples))
        .collect();
    let controls: usize = attacked.iter().map(|one| one.controls).sum();
    let tried: u64 = attacked.iter().map(|one| one.samples).sum();
    println!("{cases} generated cases, {controls} proven controls, {tried} samples");
    assert!(controls > 0, "{cases} cases have no proven control");
}

fn cell_at<'c>(cells: &'c [Cell], area: &Area, place: &Point2<f64>) -> &'c Cell {
    let step = place - area.center;
    let at = [step.dot(&area.along), step.dot(&area.across())];
    let holds = |cell: &&Cell| (0..2).all(|axis| (at[axis] - cell.at_m[axis]).abs() <= cell.half_m[axis] + 1e-9);
    cells.iter().find(holds).expect("the cells fill the area")
}

#[test]
fn every_place_of_a_map_is_as_its_cell_says() {
    let job = job(&text("crane-beside-a-line-in-wind"));
    let question = Question {
        machine: 0,
        center: None,
        size_m: [50.0, 50.0],
        resolution_m: 1.0,
        any_heading: false,
        support_room_m: None,
    };
    let map = map(&job, &question).expect("a map");
    let (machine, targets) = (&job.study.machines[0], targets(&job, 0));
    let mut draw = Draw::new(7);
    let mut seen = [0; 3];
    for _ in 0..number("WIDEBERTH_PLACES", 60) {
        let place = map.area.place([draw.within(-25.0, 25.0), draw.within(-25.0, 25.0)]);
        let ground = cell_at(&map.cells, &map.area, &place).ground;
        let placed = machine.moved(&(place - machine.position().xy()).push(0.0)).expect("a place");
        let spares = targets.iter().map(|target| {
            let approach = closest_approach(&placed, target.wire, &Options::default()).expect("an approach");
            approach.distance.less(target.limit_m)
        });
        let worst = spares.reduce(|a, b| a.min(b)).expect("a wire");
        // The map and this search each prove their own ends: they must not contradict each other.
        match ground {
            Ground::Clear => assert!(worst.upper_m >= 0.0, "{place}: {worst:?}"),
            Ground::TooClose => assert!(worst.lower_m < 0.0, "{place}: {worst:?}"),
            Ground::NotProven => {}
        }
        seen[ground as usize] += 1;
    }
    assert!(seen[Ground::Clear as usize] > 5 && seen[Ground::TooClose as usize] > 5, "{seen:?}");
    let filled_m2: f64 = map.cells.iter().map(|cell| 4.0 * cell.half_m[0] * cell.half_m[1]).sum();
    assert!((filled_m2 - 2500.0).abs() < 1e-6);
}

#[test]
fn controls_are_ordered_by_class_and_each_says_what_is_milder() {
    let text = text("crane-beside-a-line-in-wind");
    let (job, context) = (job(&text), context());
    let source = Source::read(&text).expect("JSON");
    let assessment = assess(&job.study, &job.options, &|_| {}).expect("an assessment");
    let found = fixes(source.value(), &context, &job, &assessment).expect("controls").remove(0);
    let clear: Vec<_> = found.singles.iter().filter(|fix| fix.is_clear()).collect();
    assert!(clear.windows(2).all(|pair| pair[0].control.class() <= pair[1].control.class()));
    assert!(matches!(clear[0].control, Control::LineOff { .. }), "the strongest first: {:?}", clear[0]);
    let without = clear.iter().filter(|fix| matches!(&fix.proof, Proof::Clear { milder: None, .. })).count();
    assert_eq!(without, 1, "only a line that is off has no milder setting");
}
