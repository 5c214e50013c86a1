//! How long the certified map of standing places takes, against a search for each cell of the same grid on its own.
//!
//! The grid is measured on a sample of its cells, spread evenly, and multiplied up. Run with
//! `cargo run --release -p wideberth-tests --example stand_speed [scenario]`.

#![expect(clippy::print_stdout, reason = "an example says what it measured")]

use std::time::Instant;

use wideberth_plan::decide::{decide, targets};
use wideberth_plan::stand::{Ground, Question, map};
use wideberth_scenario::{Context, Job};

const RESOLUTION_M: f64 = 0.25;
const SIDE_M: f64 = 200.0;
/// Cells of the grid that are searched.
const SAMPLE: usize = 1500;

fn main() {
    let path = std::env::args().nth(1).unwrap_or_else(|| "scenarios/crane-beside-a-line-in-wind.json".into());
    let text = std::fs::read_to_string(&path).expect("the scenario is there");
    let context = Context::without_files().expect("the catalogue is right");
    let job = Job::from_text(&text, &context).expect("the scenario is right");
    let question = Question {
        machine: 0,
        center: None,
        size_m: [SIDE_M; 2],
        resolution_m: RESOLUTION_M,
        any_heading: false,
        support_room_m: None,
    };
    let start = Instant::now();
    let found = map(&job, &question).expect("a map");
    let map_s = start.elapsed().as_secs_f64();
    for ground in [Ground::Clear, Ground::NotProven, Ground::TooClose] {
        let own = || found.cells.iter().filter(|cell| cell.ground == ground);
        let area_m2: f64 = own().map(|cell| 4.0 * cell.half_m[0] * cell.half_m[1]).sum();
        println!("{ground:?}: {} cells, {area_m2:.1} m2", own().count());
    }
    println!("map: {map_s:.2} s, {} searches", found.searches);
    let side = (SIDE_M / RESOLUTION_M) as usize;
    let targets = targets(&job, 0);
    let machine = &job.study.machines[0];
    let start = Instant::now();
    for sample in 0..SAMPLE {
        let cell = sample * (side * side / SAMPLE);
        let at = [cell % side, cell / side].map(|index| (index as f64 + 0.5) * RESOLUTION_M - 0.5 * SIDE_M);
        let step = found.area.place(at) - machine.position().xy();
        let placed = machine.moved(&step.push(0.0)).expect("a machine");
        decide(&placed, &targets, &job.options).expect("a decision");
    }
    let each_s = start.elapsed().as_secs_f64() / SAMPLE as f64;
    let threads = rayon::current_num_threads() as f64;
    let grid_s = each_s * (side * side) as f64 / threads;
    println!(
        "grid: {:.3} ms a cell, {grid_s:.0} s for {} cells on {threads} threads (from a sample of {SAMPLE})",
        each_s * 1e3,
        side * side
    );
    println!("ratio: {:.0}", grid_s / map_s);
}
