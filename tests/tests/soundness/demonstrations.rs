//! Every demonstration against samples.

use std::path::Path;

use rayon::prelude::*;
use wideberth_physics::approach::{Options, Witness, closest_approach};
use wideberth_physics::line::{Wire, WireSpan};
use wideberth_physics::machine::Machine;
use wideberth_physics::study::{Pairing, Study};
use wideberth_scenario::Job;
use wideberth_tests::adversary::Adversary;
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::generate::Draw;
use wideberth_tests::oracle::{solids, surface_distance_m};

use super::{long, number};

fn demonstrations() -> Vec<(String, Study)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").join("scenarios");
    let files = std::fs::read_dir(folder).expect("the demonstrations are there");
    let mut studies: Vec<_> = files
        .map(|file| file.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("a demonstration is readable");
            let context = demonstration_context();
            let job = Job::from_text(&text, &context).expect("a demonstration is accepted");
            (path.display().to_string(), job.study)
        })
        .collect();
    studies.sort_by(|(a, _), (b, _)| a.cmp(b));
    studies
}

/// How far the closest sample lies above the lower end, m.
fn reserve_m(study: &Study, pairing: &Pairing, samples: u64) -> f64 {
    let (machine, wire) = (&study.machines[pairing.machine], &study.lines[pairing.line].wires[pairing.wire]);
    let approach = closest_approach(machine, wire, &Options::default()).expect("a shape in every state");
    if wire.spans().iter().any(WireSpan::is_strung) {
        return hung_sample_m(machine, wire, &approach.witness, samples / 10) - approach.distance.lower_m;
    }
    let w = approach.witness;
    let mut adversary = Adversary::new(machine, wire, w.pose, w.state, w.span);
    adversary.try_many(&mut Draw::new(pairing.wire as u64), samples);
    adversary.best().distance_m.max(0.0) - approach.distance.lower_m
}

/// The closest of random poses, most of them near the witness's, and random states of the whole section, m.
fn hung_sample_m(machine: &Machine, wire: &Wire, witness: &Witness, samples: u64) -> f64 {
    let (solids, mut draw) = (solids(machine), Draw::new(samples));
    let mut least_m = f64::INFINITY;
    for sample in 0..samples {
        let ranges = machine.ranges();
        let pose = ranges.iter().zip(&witness.pose).map(|(range, at)| match sample % 3 {
            0 => range.at(draw.share()),
            _ => (at + 0.02 * draw.normal() * range.width()).clamp(range.low(), range.high()),
        });
        let frames = machine.place(&pose.collect::<Vec<f64>>());
        let index = if sample % 2 == 0 { witness.span } else { draw.index(wire.spans().len()) };
        let span = &wire.spans()[index];
        let share =
            |draw: &mut Draw| if draw.chance(0.6) { f64::from(u8::from(draw.chance(0.5))) } else { draw.share() };
        let values: Vec<f64> = span.cover().ranges().iter().map(|range| range.at(share(&mut draw))).collect();
        let shape = span.placed(&values).expect("a shape in every state").shape;
        for (body, solid) in machine.bodies().iter().zip(&solids) {
            let posed = solid.pose(&frames);
            least_m = least_m.min(surface_distance_m(solid, &posed, body.radius_m, span, &shape, least_m).0);
        }
    }
    least_m.max(0.0)
}

#[test]
fn no_sample_of_a_demonstration_comes_closer_than_the_lower_end() {
    let samples = number("WIDEBERTH_SAMPLES", if long() { 1_000_000 } else { 10_000 });
    let studies = demonstrations();
    assert!(studies.len() >= 8, "the demonstrations were found");
    for (name, study) in &studies {
        let least_m =
            study.pairings.par_iter().map(|p| reserve_m(study, p, samples)).reduce(|| f64::INFINITY, f64::min);
        println!("{name}: least sample {least_m:.3e} m above a lower end");
        assert!(least_m >= -1e-9, "{name}: a sample lies {} m below a lower end", -least_m);
    }
}
