//! Follows a span of 300 m through gusts for 60 s at 50 Hz, again and again, and prints the least time in nanoseconds and the
//! greatest reach aside in metres: `sway [repeats]`.
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::time::Instant;

use wideberth_tests::swaying::{span, sway_60_s};

fn main() {
    let repeats: u32 = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(10);
    let span = span(300.0, 0.0, 28_000.0);
    let (mut least_ns, mut reach_m) = (u128::MAX, 0.0);
    for _ in 0..repeats {
        let start = Instant::now();
        reach_m = sway_60_s(&span);
        least_ns = least_ns.min(start.elapsed().as_nanos());
    }
    println!("{least_ns} {reach_m:.6}");
}
