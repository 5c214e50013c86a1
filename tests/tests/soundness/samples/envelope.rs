//! The wire's bounds over boxes of states against random states.

use wideberth_physics::line::{SpanState, StateBox, Strand};
use wideberth_tests::generate::{Draw, random_box, random_wire};

/// Rounding in sags of up to 100 m.
const SLACK_M: f64 = 1e-9;

struct Worst {
    outside_m: f64,
    states: u64,
    refused: u64,
}

fn state(draw: &mut Draw, states: &StateBox) -> SpanState {
    let mut pick = |low: f64, high: f64| match draw.index(4) {
        0 => low,
        1 => high,
        _ => draw.within(low, high),
    };
    SpanState {
        unstretched_m: pick(states.unstretched_m.low(), states.unstretched_m.high()),
        wind_m_per_s: pick(states.wind_m_per_s.low(), states.wind_m_per_s.high()),
        ice_m: pick(states.ice_m.low(), states.ice_m.high()),
    }
}

fn check_box(draw: &mut Draw, strand: &Strand, states: &StateBox, samples: usize, worst: &mut Worst) {
    let Ok(envelope) = strand.envelope(states) else {
        worst.refused += 1;
        return;
    };
    for _ in 0..samples {
        let state = state(draw, states);
        let Ok(shape) = strand.shape(&state) else {
            panic!("a state inside a bounded box has no shape: {state:?} in {states:?}");
        };
        let swing = envelope.swing_rad();
        assert!(
            swing.low() - 1e-12 <= shape.swing_rad && shape.swing_rad <= swing.high() + 1e-12,
            "swing {} outside {swing:?}: {state:?}",
            shape.swing_rad
        );
        assert!(shape.radius_m <= envelope.radius_m());
        worst.states += 1;
        for t in [0.01, 0.1, 0.25, 0.5, 0.7, 0.95, draw.share()] {
            let sag_m = shape.catenary.sag_m(t);
            let outside_m = (sag_m - envelope.most().sag_m(t)).max(envelope.least().sag_m(t) - sag_m);
            worst.outside_m = worst.outside_m.max(outside_m);
            assert!(
                outside_m <= SLACK_M,
                "sag {sag_m} at {t} is {outside_m} m outside its bounds: {state:?} in {states:?} of {strand:?}"
            );
        }
        assert!(shape.catenary.greatest_sag_m() <= envelope.most().greatest_sag_m() + SLACK_M);
    }
}

#[test]
fn no_state_leaves_the_envelope_of_its_box() {
    let long = super::long();
    let (wires, samples) = if long { (5_000, 1_000) } else { (150, 200) };
    let mut draw = Draw::new(11);
    let mut worst = Worst { outside_m: f64::NEG_INFINITY, states: 0, refused: 0 };
    let mut boxes = 0;
    for _ in 0..wires {
        let wire = random_wire(&mut draw);
        for span in wire.wire.spans() {
            for _ in 0..3 {
                let states = random_box(&mut draw, span.states());
                check_box(&mut draw, span.strand(), &states, samples, &mut worst);
                boxes += 1;
            }
        }
    }
    println!("{boxes} boxes, {} refused, {} states, worst {:.3e} m", worst.refused, worst.states, worst.outside_m);
    assert!(worst.refused * 100 < boxes, "{} of {boxes} boxes inside a wire's own have no envelope", worst.refused);
}
