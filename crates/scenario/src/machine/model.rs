//! A machine as read and checked, in SI, before anybody says how it is used.

use std::fmt;

use nalgebra::Point3;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Motion};
pub use wideberth_physics::weather::wind::Sail;

use super::raw::SourceTag;

/// Half a turn more than this, rad, and a hinge has no stops: it turns all round.
const FULL_TURN_RAD: f64 = std::f64::consts::TAU - 1e-9;

/// What a joint does, and so in what unit its values are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointKind {
    /// Turns; values in rad.
    Hinge,
    /// Slides; values in m.
    Slide,
}

impl JointKind {
    /// A range of joint values in the unit that people read.
    #[must_use]
    pub fn shown(self, range: &Interval) -> String {
        match self {
            Self::Hinge => format!("{} to {} deg", degrees(range.low()), degrees(range.high())),
            Self::Slide => format!("{} to {} m", range.low(), range.high()),
        }
    }

    /// That a value of the other kind was given.
    #[must_use]
    pub fn mismatch(self, joint: &str) -> String {
        match self {
            Self::Hinge => format!("\"{joint}\" is a hinge, but a length is given"),
            Self::Slide => format!("\"{joint}\" is a slide, but an angle is given"),
        }
    }

    /// What to give instead.
    #[must_use]
    pub fn wanted(self) -> &'static str {
        match self {
            Self::Hinge => "give an angle, such as \"15 deg\"",
            Self::Slide => "give a length, such as \"0.5 m\"",
        }
    }
}

/// A named joint of a machine or of a hung load.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Name, as working ranges use it.
    pub name: String,
    /// What it is for.
    pub role: FrameRole,
    /// Hinge or slide.
    pub kind: JointKind,
    /// The machine's own range: rad for a hinge, m for a slide.
    pub range: Interval,
}

impl Joint {
    /// The joint of a frame; none where the frame does not move.
    #[must_use]
    pub fn of(frame: &Frame) -> Option<Self> {
        let kind = match frame.motion {
            Motion::Hinge { .. } => JointKind::Hinge,
            Motion::Slide { .. } => JointKind::Slide,
            Motion::Fixed | Motion::Plumb => return None,
        };
        frame.motion.range().map(|range| Self { name: frame.name.clone(), role: frame.role, kind, range })
    }

    /// Whether a working range lies within the machine's own. A hinge that turns all round has no stops: one turn, anywhere.
    #[must_use]
    pub fn allows(&self, given: Interval) -> bool {
        let (low, high) = (self.range.low(), self.range.high());
        if self.turns_all_round() {
            const TURN: f64 = std::f64::consts::TAU;
            given.width() <= TURN + 1e-9 && given.low() >= low - TURN && given.high() <= high + TURN
        } else {
            given.low() >= low - 1e-12 && given.high() <= high + 1e-12
        }
    }

    /// Whether it turns all round, without stops.
    #[must_use]
    pub fn turns_all_round(&self) -> bool {
        self.kind == JointKind::Hinge && self.range.width() >= FULL_TURN_RAD
    }
}

/// A body with the allowance for its deflection.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its shape. In a load, every feature sits in frame 0: the load's own.
    pub body: Body,
    /// How far it may bend out of its place, m.
    pub deflection_m: f64,
}

/// A point from which a load can hang.
#[derive(Clone, Debug, PartialEq)]
pub struct HangPoint {
    /// Name, as loads use it.
    pub name: String,
    /// The frame that carries it.
    pub frame: FrameId,
    /// Its place in that frame, m.
    pub at: Point3<f64>,
    /// How far it may move as the machine bends, m: thickens all that hangs from it.
    pub deflection_m: f64,
}

/// How far a hung load may turn about its rope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Yaw {
    /// All round.
    Free,
    /// Held, as by tag lines: the way that the load's y axis points, from north, positive to the left, rad.
    Held(Interval),
}

/// A load that hangs on a rope.
#[derive(Clone, Debug, PartialEq)]
pub struct HungLoad {
    /// Name.
    pub name: String,
    /// Name of the hang point.
    pub hangs_from: String,
    /// Length of the rope from the hang point to the hook, m.
    pub rope_m: Interval,
    /// Radius of the rope, or of the falls of the rope together, m.
    pub rope_radius_m: f64,
    /// Largest angle of the rope from plumb, to any side, rad, as stated; 0 until the sail gives it.
    pub swing_rad: f64,
    /// Whether the swing is stated.
    pub swing_stated: bool,
    /// What the wind pushes at.
    pub sail: Option<Sail>,
    /// How it may turn.
    pub yaw: Yaw,
    /// The load and its rigging. Origin at the hook, z up along the rope.
    pub parts: Vec<Part>,
    /// How many of the parts are rigging; they come first.
    pub rigging: usize,
}

/// Where a figure of a machine comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The figures.
    pub what: String,
    /// Where they come from.
    pub source: String,
    /// Seen, from memory, or computed.
    pub tag: SourceTag,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} ({})", self.what, self.source, self.tag.words())
    }
}

/// A machine: frames, bodies, hang points and allowances. Axes: x right, y forward, z up, origin on the ground at the
/// reference point.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineModel {
    /// Name in the library.
    pub id: String,
    /// Name for people.
    pub title: String,
    /// What it is, its reference point, what its joints mean.
    pub about: String,
    /// Where its figures come from.
    pub sources: Vec<Source>,
    /// Frames, each after its parent, with the machine's own ranges. The first one is the ground.
    pub frames: Vec<Frame>,
    /// Bodies.
    pub parts: Vec<Part>,
    /// Hang points.
    pub hang_points: Vec<HangPoint>,
    /// How far each joint may run on when stopped (joint, rad or m).
    pub overrun: Vec<(String, f64)>,
    /// What hangs on it unless the user says otherwise.
    pub load: Option<HungLoad>,
}

impl MachineModel {
    /// Joints of the machine itself, without those of a load, in the order of a pose.
    #[must_use]
    pub fn joints(&self) -> Vec<Joint> {
        self.frames.iter().filter_map(Joint::of).collect()
    }

    /// The hang point of a name.
    #[must_use]
    pub fn hang_point(&self, name: &str) -> Option<&HangPoint> {
        self.hang_points.iter().find(|point| point.name == name)
    }
}

/// Degrees, rounded to a millionth, so that 15 deg in a file is shown as 15.
fn degrees(angle_rad: f64) -> f64 {
    (angle_rad.to_degrees() * 1e6).round() / 1e6
}
