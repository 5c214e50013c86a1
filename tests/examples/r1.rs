//! Solves R1 again and again on one thread, each time from the numbers to the answer, and prints the least time in
//! nanoseconds, the ends of the bracket over the three wires and the number of cells: `r1 [tolerance in m] [repeats]`.
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::time::Instant;

use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::bracket::Bracket;
use wideberth_tests::reference::{r1_machine, r1_wires};

fn solve(options: &Options) -> (Bracket, u64) {
    let (machine, wires) = (r1_machine(), r1_wires());
    let none = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
    wires.iter().fold((none, 0), |(bracket, cells), wire| {
        // A wire that cannot come closer than the best so far is of no interest.
        let options = Options { enough_m: bracket.upper_m.is_finite().then_some(bracket.upper_m), ..options.clone() };
        let approach = closest_approach(&machine, wire, &options).expect("a shape in every state");
        (bracket.min(approach.distance), cells + approach.cells)
    })
}

fn argument<T: std::str::FromStr>(place: usize, default: T) -> T {
    std::env::args().nth(place).and_then(|text| text.parse().ok()).unwrap_or(default)
}

fn main() {
    let options = Options { tolerance_m: argument(1, 1e-3), ..Options::default() };
    let repeats: u32 = argument(2, 100);
    let (mut least_ns, (mut bracket, mut cells)) = (u128::MAX, solve(&options));
    for _ in 0..repeats {
        let start = Instant::now();
        (bracket, cells) = solve(&options);
        least_ns = least_ns.min(start.elapsed().as_nanos());
    }
    println!("{least_ns} {:.6} {:.6} {cells}", bracket.lower_m, bracket.upper_m);
}
