//! Random machines: trees of frames with every kind of motion, and bodies of every kind.

use nalgebra::{Isometry3, Point3, Translation3, Vector3};
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, MachineError, Motion, Placement};

use super::Draw;
use super::body::random_body;
use super::draw::ordered;

/// Frames and bodies of a machine that stands nowhere yet.
#[derive(Clone, Debug)]
pub struct Sketch {
    /// Frames.
    pub frames: Vec<Frame>,
    /// Bodies.
    pub bodies: Vec<Body>,
    /// Where it stands; its position is the origin.
    pub placement: Placement,
}

impl Sketch {
    /// The machine at a position.
    ///
    /// # Errors
    /// When a body depends on too many joints.
    pub fn at(&self, position: Point3<f64>) -> Result<Machine, MachineError> {
        let placement = Placement { position, ..self.placement };
        Machine::new("machine", &placement, self.frames.clone(), self.bodies.clone())
    }
}

/// A machine of 1 to 8 joints (and perhaps a heading error) with 1 to 4 bodies.
#[must_use]
pub fn random_sketch(draw: &mut Draw) -> Sketch {
    let mut frames = if draw.chance(0.4) { crane(draw) } else { arm(draw) };
    if draw.chance(0.3) {
        let parent = draw.index(frames.len());
        hang_load(draw, &mut frames, parent);
    }
    limit_joints(&mut frames);
    let count = 1 + draw.index(4);
    let bodies = (0..count).map(|_| random_body(draw, frames.len())).collect();
    Sketch { frames, bodies, placement: random_placement(draw) }
}

fn random_placement(draw: &mut Draw) -> Placement {
    Placement {
        position: Point3::origin(),
        heading_rad: draw.within(-3.0, 3.0),
        slope_rad: if draw.chance(0.5) { 0.0 } else { draw.within(0.0, 0.3) },
        downhill_rad: draw.within(-3.0, 3.0),
        position_tolerance_m: if draw.chance(0.6) { 0.0 } else { draw.within(0.0, 0.3) },
        heading_tolerance_rad: if draw.chance(0.7) { 0.0 } else { draw.within(0.0, 0.3) },
    }
}

/// Frames in a chain, now and then a branch, moving in random ways.
fn arm(draw: &mut Draw) -> Vec<Frame> {
    let count = 1 + draw.index(6);
    (0..count)
        .map(|index| {
            let parent = if index == 0 {
                None
            } else if draw.chance(0.85) {
                Some(index - 1)
            } else {
                Some(draw.index(index))
            };
            let offset = Isometry3::from_parts(Translation3::from(draw.vector(5.0)), draw.turn());
            frame(parent, offset, random_motion(draw))
        })
        .collect()
}

fn random_motion(draw: &mut Draw) -> Motion {
    match draw.index(10) {
        0 => Motion::Fixed,
        1 => Motion::Plumb,
        2..=4 => Motion::Slide { axis: draw.direction(), range_m: draw.interval(-3.0, 8.0) },
        _ => Motion::Hinge { axis: draw.direction(), range_rad: hinge_range(draw) },
    }
}

fn hinge_range(draw: &mut Draw) -> wideberth_physics::interval::Interval {
    let pi = std::f64::consts::PI;
    match draw.index(3) {
        0 => ordered(-pi, pi),
        1 => draw.interval(-pi, pi),
        _ => {
            let (middle, half) = (draw.within(-pi, pi), draw.log_within(0.01, 1.0));
            ordered(middle - half, middle + half)
        }
    }
}

/// Slew, luff, telescope.
fn crane(draw: &mut Draw) -> Vec<Frame> {
    let up = Isometry3::translation(0.0, 0.0, draw.within(1.0, 4.0));
    let luff_rad = ordered(draw.within(-0.3, 0.6), draw.within(0.7, 1.4));
    vec![
        frame(None, up, Motion::Hinge { axis: Vector3::z_axis(), range_rad: hinge_range(draw) }),
        frame(Some(0), Isometry3::identity(), Motion::Hinge { axis: Vector3::x_axis(), range_rad: luff_rad }),
        frame(
            Some(1),
            Isometry3::translation(0.0, draw.within(0.0, 3.0), 0.0),
            Motion::Slide { axis: Vector3::y_axis(), range_m: draw.interval(4.0, 25.0) },
        ),
    ]
}

/// Rope top, swing in any direction, rope length, free yaw.
fn hang_load(draw: &mut Draw, frames: &mut Vec<Frame>, parent: usize) {
    let pi = std::f64::consts::PI;
    let swing_rad = ordered(0.0, draw.within(0.0, 0.3));
    let motions = [
        Motion::Plumb,
        Motion::Hinge { axis: Vector3::z_axis(), range_rad: ordered(-pi, pi) },
        Motion::Hinge { axis: Vector3::x_axis(), range_rad: swing_rad },
        Motion::Slide { axis: -Vector3::z_axis(), range_m: draw.interval(1.0, 10.0) },
        Motion::Hinge { axis: Vector3::z_axis(), range_rad: ordered(-pi, pi) },
    ];
    let mut parent = parent;
    for motion in motions {
        frames.push(frame(Some(parent), Isometry3::identity(), motion));
        parent = frames.len() - 1;
    }
}

fn frame(parent: Option<usize>, offset: Isometry3<f64>, motion: Motion) -> Frame {
    Frame { name: "frame".into(), role: FrameRole::Part, parent: parent.map(FrameId), offset, motion }
}

/// Fixes joints beyond the eighth.
fn limit_joints(frames: &mut [Frame]) {
    frames.iter_mut().filter(|f| f.motion.range().is_some()).skip(8).for_each(|f| f.motion = Motion::Fixed);
}
