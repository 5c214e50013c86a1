//! A boom that can point at a wire comes closest stretched out: its tip lies on the ball about its pivot. One plane settles
//! that, and plain geometry says how close it is.

use nalgebra::Point3;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::line::{Wire, WireSpan};
use wideberth_tests::reference::{long_wires, r1_machine, r1_wires};

/// Pivot of R1's boom, m; its greatest length and its radius, m.
const PIVOT_M: [f64; 3] = [45.0, -19.0, 2.5];
const REACH_M: f64 = 14.4;

/// A cell for each body and span, and one more for luck.
const FEW_CELLS: u64 = 2;

/// Least distance from the pivot to the wire's surface over a grid of states and places, m.
fn from_pivot_m(span: &WireSpan) -> f64 {
    let pivot = Point3::from(PIVOT_M);
    let mut least_m = f64::INFINITY;
    for temperature_degc in [-10.0, 40.0, 70.0, 75.0] {
        for wind in -40..=40 {
            let shape = span.shape(&span.nominal_state(temperature_degc, 0.5 * f64::from(wind), 0.0)).expect("a shape");
            let places = (0..=900).map(|k| span.point(&shape, f64::from(k) / 900.0));
            let near_m = places.map(|place| (place - pivot).norm()).fold(f64::INFINITY, f64::min);
            least_m = least_m.min(near_m - shape.radius_m);
        }
    }
    least_m
}

fn check(wire: &Wire, beside: usize) {
    let options = Options { tolerance_m: 1e-3, ..Options::default() };
    let found = closest_approach(&r1_machine(), wire, &options).expect("a shape in every state");
    let expected_m = from_pivot_m(&wire.spans()[beside]) - REACH_M;
    assert!(found.distance.lower_m <= expected_m + 1e-6, "{:?} above {expected_m}", found.distance);
    assert!(found.distance.upper_m >= expected_m - 1e-3, "{:?} below {expected_m}", found.distance);
    assert!(found.distance.width_m() <= 1e-3);
    assert!(found.cells <= FEW_CELLS, "{} cells", found.cells);
}

#[test]
fn a_stretched_arm_is_settled_at_once_and_where_geometry_says() {
    r1_wires().iter().for_each(|wire| check(wire, 0));
}

#[test]
fn far_spans_cost_no_cells_and_change_nothing() {
    for (near, far) in r1_wires().iter().zip(long_wires(100, 99)) {
        check(&far, 100);
        let options = Options { tolerance_m: 1e-3, ..Options::default() };
        let alone = closest_approach(&r1_machine(), near, &options).expect("a shape in every state");
        let among = closest_approach(&r1_machine(), &far, &options).expect("a shape in every state");
        assert!((alone.distance.upper_m - among.distance.upper_m).abs() < 1e-3);
        assert_eq!(among.witness.span, 100);
    }
}
