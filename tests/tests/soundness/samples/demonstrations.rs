//! Every demonstration against samples.

use rayon::prelude::*;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::study::{Pairing, Study};
use wideberth_scenario::Job;
use wideberth_tests::adversary::Adversary;
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::generate::Draw;
use wideberth_tests::generated::repository_root;

use super::{long, number};

fn demonstrations() -> Vec<(String, Study)> {
    let folder = repository_root().join("scenarios");
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
    let mut adversary = Adversary::new(machine, wire, &approach.witness);
    adversary.try_many(&mut Draw::new(pairing.wire as u64), samples);
    adversary.best().distance_m.max(0.0) - approach.distance.lower_m
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
