//! Runs the hardest searches and prints, for each, the least time of some repeats and what they left open; at the end the
//! greatest memory that the process used (VmHWM of Linux).
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::time::Instant;

use wideberth_physics::approach::{Approach, Options, closest_approach};
use wideberth_physics::line::Wire;
use wideberth_physics::machine::Machine;
use wideberth_tests::many_joints::{crane_with_shell, folding_boom};
use wideberth_tests::reference::{long_wires, r1_machine, r1_wires};

/// Each search is repeated for this long, s.
const REPEAT_S: f64 = 1.0;

fn run(name: &str, machine: &Machine, wires: &[Wire], options: &Options) {
    let solve = || -> Vec<Approach> {
        wires.iter().map(|wire| closest_approach(machine, wire, options).expect("a shape in every state")).collect()
    };
    let (mut least_s, mut found) = (f64::INFINITY, Vec::new());
    let begun = Instant::now();
    while least_s.is_infinite() || begun.elapsed().as_secs_f64() < REPEAT_S {
        let start = Instant::now();
        found = solve();
        least_s = least_s.min(start.elapsed().as_secs_f64());
    }
    let cells: u64 = found.iter().map(|a| a.cells).sum();
    let widest_m = found.iter().map(|a| a.distance.width_m()).fold(0.0, f64::max);
    println!("{name:28} {:9.3} ms  {cells:7} cells  widest bracket {widest_m:.4} m", least_s * 1e3);
}

fn main() {
    let options = Options::default();
    let wires = r1_wires();
    run("R1, 1 cm", &r1_machine(), &wires, &options);
    run("R1, 1 mm", &r1_machine(), &wires, &Options { tolerance_m: 1e-3, ..Options::default() });
    run("folding boom, 32 m", &folding_boom(-32.0), &wires, &options);
    for away_m in [45.0, 30.0, 25.0] {
        run(&format!("crane with shell, {away_m} m"), &crane_with_shell(-away_m), &wires, &options);
    }
    run("R1 beside 3 spans", &r1_machine(), &long_wires(1, 1), &options);
    run("R1 beside 200 spans", &r1_machine(), &long_wires(100, 99), &options);
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("VmHWM unknown");
    println!("{peak}");
}
