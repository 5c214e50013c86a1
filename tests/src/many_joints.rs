//! Machines with many joints, for timing: a four-section boom, and a crane with a shell that swings and turns on its rope.

use nalgebra::{Isometry3, Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};

fn range(low: f64, high: f64) -> Interval {
    Interval::new(low, high).expect("ordered numbers")
}

fn degrees(low: f64, high: f64) -> Interval {
    range(low.to_radians(), high.to_radians())
}

fn slew() -> Motion {
    Motion::Hinge { axis: Vector3::z_axis(), range_rad: degrees(-180.0, 180.0) }
}

fn luff(low_deg: f64, high_deg: f64) -> Motion {
    Motion::Hinge { axis: Vector3::x_axis(), range_rad: degrees(low_deg, high_deg) }
}

fn frame(parent: Option<usize>, at: [f64; 3], motion: Motion) -> Frame {
    let offset = Isometry3::translation(at[0], at[1], at[2]);
    Frame { name: "frame".into(), role: FrameRole::Part, parent: parent.map(FrameId), offset, motion }
}

fn place(north_m: f64) -> Placement {
    Placement {
        position: Point3::new(45.0, north_m, 0.0),
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: 0.1,
        heading_tolerance_rad: 0.0,
    }
}

/// Slew and four folding sections of 7 to 8 m.
#[must_use]
pub fn folding_boom(north_m: f64) -> Machine {
    let sections =
        [(8.0, luff(0.0, 90.0)), (7.0, luff(-180.0, 0.0)), (7.0, luff(-180.0, 0.0)), (7.0, luff(-110.0, 110.0))];
    let mut frames = vec![frame(None, [0.0, 0.0, 3.0], slew())];
    let mut bodies = Vec::new();
    let mut from_m = 0.0;
    for (index, (length_m, motion)) in sections.into_iter().enumerate() {
        frames.push(frame(Some(index), [0.0, from_m, 0.0], motion));
        let (id, tip) = (FrameId(index + 1), Point3::new(0.0, length_m, 0.0));
        bodies.push(Body::capsule(format!("section {index}"), (id, Point3::origin()), (id, tip), 0.25));
        from_m = length_m;
    }
    Machine::new("folding boom", &place(north_m), frames, bodies).expect("a possible machine")
}

/// Telescopic crane with a shell, its roof and a sign on a rope: eight joints.
#[must_use]
pub fn crane_with_shell(north_m: f64) -> Machine {
    let slide = |axis, low, high| Motion::Slide { axis, range_m: range(low, high) };
    let frames = vec![
        frame(None, [0.0, 0.0, 2.5], slew()),
        frame(Some(0), [0.0, -1.0, 0.0], luff(10.0, 80.0)),
        frame(Some(1), [0.0; 3], slide(Vector3::y_axis(), 10.0, 30.0)),
        frame(Some(2), [0.0; 3], Motion::Plumb),
        frame(Some(3), [0.0; 3], slew()),
        frame(Some(4), [0.0; 3], luff(0.0, 5.0)),
        frame(Some(5), [0.0; 3], slide(-Vector3::z_axis(), 2.0, 10.0)),
        frame(Some(6), [0.0; 3], slew()),
    ];
    let (at, up) = (Point3::origin(), |z_m: f64| Point3::new(0.0, 0.0, z_m));
    let weight = (Point3::new(-1.5, -4.0, -1.5), Point3::new(1.5, -2.5, 0.5));
    let sign = (Point3::new(-3.0, -0.1, -9.0), Point3::new(3.0, 0.1, -7.0));
    let bodies = vec![
        Body::capsule("boom", (FrameId(1), at), (FrameId(2), at), 0.4),
        Body::capsule("rope", (FrameId(3), at), (FrameId(6), at), 0.03),
        Body::frustum("shell", FrameId(7), (up(-9.0), 2.3), (up(-2.0), 2.3)),
        Body::frustum("roof", FrameId(7), (up(-2.0), 2.3), (up(-1.0), 0.3)),
        Body::cuboid("counterweight", FrameId(0), weight.0, weight.1),
        Body::cuboid("sign", FrameId(7), sign.0, sign.1),
    ];
    Machine::new("crane with shell", &place(north_m), frames, bodies).expect("a possible machine")
}
