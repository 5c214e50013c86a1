//! Times the search on machines with many joints.
#![allow(clippy::print_stdout, reason = "an example prints")]
use nalgebra::{Isometry3, Point3, Vector3};
use std::time::Instant;
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::*;
use wideberth_tests::reference::r1_wires;

fn r(a: f64, b: f64) -> Interval {
    Interval::new(a, b).unwrap()
}
fn place(x: f64, y: f64) -> Placement {
    Placement {
        position: Point3::new(x, y, 0.0),
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: 0.1,
        heading_tolerance_rad: 0.0,
    }
}
fn fr(name: &str, parent: Option<usize>, at: [f64; 3], motion: Motion) -> Frame {
    Frame {
        name: name.into(),
        parent: parent.map(FrameId),
        offset: Isometry3::translation(at[0], at[1], at[2]),
        motion,
    }
}
fn hx(lo: f64, hi: f64) -> Motion {
    Motion::Hinge { axis: Vector3::x_axis(), range_rad: r(lo.to_radians(), hi.to_radians()) }
}
fn hz(lo: f64, hi: f64) -> Motion {
    Motion::Hinge { axis: Vector3::z_axis(), range_rad: r(lo.to_radians(), hi.to_radians()) }
}

fn concrete() -> Machine {
    let mut frames =
        vec![fr("slew", None, [0.0, 0.0, 3.0], hz(-180.0, 180.0)), fr("a", Some(0), [0.0; 3], hx(0.0, 90.0))];
    let lens = [8.0, 7.0, 7.0, 7.0];
    let ranges = [(0., 0.), (-180.0, 0.0), (-180.0, 0.0), (-110.0, 110.0)];
    let mut bodies = vec![];
    for i in 0..4 {
        let f = frames.len() - 1;
        bodies.push(Body::capsule(
            format!("section {i}"),
            (FrameId(f), Point3::origin()),
            (FrameId(f), Point3::new(0.0, lens[i], 0.0)),
            0.25,
        ));
        if i < 3 {
            frames.push(fr("h", Some(f), [0.0, lens[i], 0.0], hx(ranges[i + 1].0, ranges[i + 1].1)));
        }
    }
    Machine::new("concrete boom", &place(45.0, -32.0), frames, bodies).unwrap()
}

fn crane(y: f64) -> Machine {
    let frames = vec![
        fr("slew", None, [0.0, 0.0, 2.5], hz(-180.0, 180.0)),
        fr("luff", Some(0), [0.0, -1.0, 0.0], hx(10.0, 80.0)),
        fr("tele", Some(1), [0.0; 3], Motion::Slide { axis: Vector3::y_axis(), range_m: r(10.0, 30.0) }),
        fr("plumb", Some(2), [0.0; 3], Motion::Plumb),
        fr("az", Some(3), [0.0; 3], hz(-180.0, 180.0)),
        fr("swing", Some(4), [0.0; 3], hx(0.0, 5.0)),
        fr("rope", Some(5), [0.0; 3], Motion::Slide { axis: -Vector3::z_axis(), range_m: r(2.0, 10.0) }),
        fr("yaw", Some(6), [0.0; 3], hz(-180.0, 180.0)),
    ];
    let bodies = vec![
        Body::capsule("boom", (FrameId(1), Point3::origin()), (FrameId(2), Point3::origin()), 0.4),
        Body::capsule("rope", (FrameId(3), Point3::origin()), (FrameId(6), Point3::origin()), 0.03),
        Body::frustum("shell", FrameId(7), (Point3::new(0.0, 0.0, -9.0), 2.3), (Point3::new(0.0, 0.0, -2.0), 2.3)),
        Body::frustum("roof", FrameId(7), (Point3::new(0.0, 0.0, -2.0), 2.3), (Point3::new(0.0, 0.0, -1.0), 0.3)),
        Body::cuboid("counterweight", FrameId(0), Point3::new(-1.5, -4.0, -1.5), Point3::new(1.5, -2.5, 0.5)),
        Body::cuboid("sign", FrameId(7), Point3::new(-3.0, -0.1, -9.0), Point3::new(3.0, 0.1, -7.0)),
    ];
    Machine::new("crane", &place(45.0, y), frames, bodies).unwrap()
}

fn main() {
    let tolerance_m: f64 = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(1e-2);
    let options = Options { tolerance_m, max_cells: 1_000_000, ..Options::default() };
    let which: Option<usize> = std::env::args().nth(2).and_then(|a| a.parse().ok());
    let wires = r1_wires();
    for (index, m) in [concrete(), crane(-45.0), crane(-30.0), crane(-25.0)].into_iter().enumerate() {
        if which.is_some_and(|w| w != index) {
            continue;
        }
        let start = Instant::now();
        for wire in &wires {
            let one = Instant::now();
            let a = closest_approach(&m, wire, &options).expect("a shape in every state");
            println!(
                "{} {} {:.4}..{:.4} cells {} stop {:?} in {:.2} ms; body {} pose {:.3?} T {:.1} v {:.2} d {:.4}",
                m.name(),
                wire.name(),
                a.distance.lower_m,
                a.distance.upper_m,
                a.cells,
                a.stop,
                one.elapsed().as_secs_f64() * 1e3,
                m.bodies()[a.witness.body].name,
                a.witness.pose,
                a.witness.temperature_degc,
                a.witness.state.wind_m_per_s,
                a.witness.distance_m
            );
        }
        println!("all {:.3} ms", start.elapsed().as_secs_f64() * 1e3);
    }
}
