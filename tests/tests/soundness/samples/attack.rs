//! The attack itself: it measures as the plain oracle does, and finds the closest from afar.

use wideberth_physics::approach::{Options, closest_approach};
use wideberth_tests::adversary::Adversary;
use wideberth_tests::demonstrations::{job, text};
use wideberth_tests::generate::{Draw, random_study};
use wideberth_tests::hanging::{Hanging, Stance};
use wideberth_tests::oracle::{solids, surface_distance_m};

#[test]
fn it_measures_as_the_plain_oracle_does() {
    let (mut compared, mut of_interest) = (0, 0);
    for seed in 0..60 {
        let study = random_study(seed);
        let (machine, wire) = (&study.machine, &study.wires[0].wire);
        let (mut draw, solids) = (Draw::new(seed), solids(machine));
        for _ in 0..10 {
            let index = draw.index(wire.spans().len());
            let span = &wire.spans()[index];
            let values = span.cover().ranges().iter().map(|range| range.at(draw.share())).collect();
            let hanging = Hanging::new(span, index, values);
            let shape = span.shape(&hanging.state).expect("a shape");
            let pose = machine.ranges().iter().map(|range| range.at(draw.share())).collect();
            let stance = Stance::allowed(machine, &solids, pose).expect("nothing holds it");
            let frames = machine.place(&stance.pose);
            for ((solid, part), body) in solids.iter().zip(&stance.parts).zip(machine.bodies()) {
                let posed = solid.pose(&frames);
                let plain_m = surface_distance_m(solid, &posed, body.radius_m, span, &shape, f64::INFINITY).0;
                let found_m = hanging.nearer(solid, part, f64::INFINITY).expect("everything is of interest").0;
                // Inside each other there may be several least distances, of which the plain oracle refines one.
                let same = found_m < plain_m + 1e-3 && (found_m > plain_m - 1e-3 || found_m < 0.0);
                assert!(same, "seed {seed}, {}: {found_m} m, {plain_m} m", body.name);
                // What is left out is of no interest, what is of interest is not left out.
                let interest_m = plain_m + draw.within(-0.5, 0.5);
                let kept = hanging.nearer(solid, part, interest_m).is_some();
                assert!(kept == (found_m < interest_m) || (found_m - interest_m).abs() < 1e-3, "seed {seed}");
                compared += 1;
                of_interest += usize::from(kept);
            }
        }
    }
    assert!(compared > 1000 && of_interest > 300 && of_interest < compared - 300, "{compared}, {of_interest}");
}

#[test]
fn from_the_middle_of_everything_it_finds_the_closest() {
    for (name, samples) in [("crane-beside-a-line-in-wind", 50_000), ("crane-beside-wires-on-strings", 60_000)] {
        let job = job(&text(name));
        let pairing = job.study.pairings[0];
        let (machine, wire) =
            (&job.study.machines[pairing.machine], &job.study.lines[pairing.line].wires[pairing.wire]);
        let approach = closest_approach(machine, wire, &Options::default()).expect("an approach");
        let mut start = approach.witness.clone();
        start.pose = machine.ranges().iter().map(|range| range.center()).collect();
        let values: Vec<f64> = wire.spans()[start.span].cover().ranges().iter().map(|range| range.center()).collect();
        start.state = wire.spans()[start.span].placed(&values).expect("a shape").state;
        start.section = wire.spans()[start.span].placed(&values).expect("a shape").section;
        let mut adversary = Adversary::new(machine, wire, &start);
        let before_m = adversary.best().distance_m;
        adversary.try_many(&mut Draw::new(1), samples);
        let found_m = adversary.best().distance_m;
        let upper_m = approach.distance.upper_m;
        assert!(before_m > upper_m + 0.5 && found_m < upper_m + 0.05, "{name}: {before_m}, {found_m}, {upper_m}");
        assert!(found_m >= approach.distance.lower_m - 1e-9, "{name}: {found_m}, {:?}", approach.distance);
    }
}
