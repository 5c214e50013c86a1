//! Parts of R1.
#![expect(clippy::print_stdout, reason = "an example prints")]
use std::time::Instant;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_tests::reference::{r1_machine, r1_wires};
fn least<T>(name: &str, mut f: impl FnMut() -> T) {
    let mut best = u128::MAX;
    for _ in 0..3000 {
        let s = Instant::now();
        let x = f();
        best = best.min(s.elapsed().as_nanos());
        drop(x);
    }
    println!("{name}: {best} ns");
}
fn main() {
    least("machine", r1_machine);
    least("wires", r1_wires);
    let (m, w) = (r1_machine(), r1_wires());
    for cells in [1, 2, 3, 5, 10, 20] {
        let o = Options { max_cells: cells, tolerance_m: 1e-3, ..Options::default() };
        least(&format!("cells {cells}"), || closest_approach(&m, &w[0], &o).unwrap());
    }
    let s = w[0].spans()[0].cover();
    let r = s.ranges();
    println!("{r:?}");
    least("cover", || w[0].spans()[0].cover());
    least("placed", || w[0].spans()[0].placed(&[r[0].low(), 3.0, 0.0, 0.0, 0.0]));
}
