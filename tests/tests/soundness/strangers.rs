//! Lower ends of random studies against an adversary that shares neither the kinematics nor the wires of the product.

use rayon::prelude::*;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_tests::generate::{Draw, random_study};
use wideberth_tests::stranger::{Along, Stranger};

/// Accuracy of a wire that is followed in steps, and of distances to it, m.
const ACCURACY_M: f64 = 2e-6;
/// Studies, and tries against each of their spans.
const STUDIES: u64 = 24;
const TRIES: usize = 300;

/// The least that a try lies above the lower end, m, and how many spans were tried.
fn least_reserve_m(seed: u64, along: Along) -> (f64, usize) {
    let study = random_study(seed);
    let (mut least_m, mut tried) = (f64::INFINITY, 0);
    for random in &study.wires {
        let conductor = &random.description.conductor;
        if conductor.core().is_some() || conductor.surface().is_some() || study.machine.is_limited() {
            continue; // of one piece, with a plain drag coefficient, and free to move
        }
        let options = Options { max_cells: 20_000, ..Options::default() };
        let found = closest_approach(&study.machine, &random.wire, &options).expect("a shape in every state");
        for span in 0..random.description.spans.len() {
            let mut draw = Draw::new(seed ^ 0x5712 ^ span as u64);
            let closest_m = Stranger::new(&study.machine, random, span, along).closest_m(&mut draw, TRIES);
            least_m = least_m.min(closest_m.max(0.0) - found.distance.lower_m);
            tried += usize::from(closest_m.is_finite());
        }
    }
    (least_m, tried)
}

#[test]
fn no_stranger_comes_closer_in_even_weather() {
    let reserves = (0..STUDIES).into_par_iter().map(|seed| (seed, least_reserve_m(seed, Along::Even)));
    let reserves: Vec<_> = reserves.collect();
    let tried: usize = reserves.iter().map(|(_, (_, tried))| tried).sum();
    assert!(tried >= STUDIES as usize / 2, "only {tried} spans were tried");
    for (seed, (least_m, _)) in reserves {
        assert!(least_m >= -ACCURACY_M, "seed {seed}: {} m below the lower end", -least_m);
    }
}
