//! Times the search for every machine of the library beside the three wires of R1, full joint ranges, to 1 cm, on all cores.
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::time::Instant;

use nalgebra::Point3;
use rayon::prelude::*;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::machine::{Machine, Placement};
use wideberth_scenario::machine::{Entry, Library, Use};
use wideberth_tests::{extent, reference::r1_wires};

/// How far the machine's reach ends before the nearest wire, m.
const APART_M: f64 = 2.0;

fn placed(entry: &Entry, position: Point3<f64>) -> Machine {
    let model = entry.model().expect("a library machine");
    let equipped = model.equip(&Use::default()).expect("its own ranges");
    let placement = Placement {
        position,
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: 0.5,
        heading_tolerance_rad: 5_f64.to_radians(),
    };
    Machine::new(entry.id, &placement, equipped.frames, equipped.bodies).expect("a machine")
}

fn main() {
    let wires = r1_wires();
    let options = Options { tolerance_m: 0.01, ..Options::default() };
    for entry in Library::embedded().entries() {
        let reach_m = extent::reach_m(&placed(entry, Point3::origin()));
        let machine = placed(entry, Point3::new(45.0, -1.1 - reach_m - APART_M, 0.0));
        let started = Instant::now();
        let found: Vec<_> = wires.par_iter().map(|wire| closest_approach(&machine, wire, &options)).collect();
        let seconds = started.elapsed().as_secs_f64();
        let brackets: Vec<_> = found
            .iter()
            .map(|approach| match approach {
                Ok(approach) => format!("{:.3}..{:.3}", approach.distance.lower_m, approach.distance.upper_m),
                Err(error) => error.to_string(),
            })
            .collect();
        println!("{:18} {seconds:8.3} s  {}", entry.id, brackets.join("  "));
    }
}
