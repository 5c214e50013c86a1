//! Solves R1 once per tolerance and prints what it took.
#![allow(clippy::print_stdout, reason = "an example prints")]
use std::time::Instant;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_tests::reference::{r1_machine, r1_wires};

fn main() {
    let tolerance_m: f64 = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(1e-3);
    let options = Options { tolerance_m, max_cells: 2_000_000, ..Options::default() };
    for _ in 0..3 {
        let start = Instant::now();
        let (machine, wires) = (r1_machine(), r1_wires());
        for wire in &wires {
            let one = Instant::now();
            let a = closest_approach(&machine, wire, &options).expect("a shape in every state");
            println!(
                "{} {:.6}..{:.6} cells {} stop {:?} in {:.3} ms; pose {:?} T {:.1} v {:.2}",
                wire.name(),
                a.distance.lower_m,
                a.distance.upper_m,
                a.cells,
                a.stop,
                one.elapsed().as_secs_f64() * 1e3,
                a.witness.pose,
                a.witness.temperature_degc,
                a.witness.state.wind_m_per_s
            );
        }
        println!("all {:.3} ms", start.elapsed().as_secs_f64() * 1e3);
    }
}
