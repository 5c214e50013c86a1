//! Frames: how each part of a machine hangs on the one before it.

use nalgebra::{Isometry3, Translation3, Unit, UnitQuaternion, Vector3};

use crate::interval::Interval;

/// Index of a frame in its machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FrameId(pub usize);

/// What a frame is to whoever asks about it. Its name is a label for people and decides nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum FrameRole {
    /// A part of the machine; where it moves, somebody at the controls moves it.
    #[default]
    Part,
    /// Where the machine stands: its place on the ground, and the slides of a machine that is spread over places.
    Place,
    /// Doubt about the heading: nobody sets it.
    Heading,
    /// The point from which a rope hangs.
    HangPoint,
    /// A rope out of plumb: nobody sets it.
    Swing,
    /// A rope that is paid out.
    Rope,
    /// A hung load that turns about its rope.
    Yaw,
}

impl FrameRole {
    /// Whether people at the controls set the joint: not where the machine stands, nor how its load swings or turns.
    #[must_use]
    pub fn is_set_by_people(self) -> bool {
        matches!(self, Self::Part | Self::Rope)
    }
}

/// How a frame moves against its parent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Motion {
    /// Not at all.
    Fixed,
    /// Turns about an axis through its origin.
    Hinge {
        /// Axis in the frame; positive turns are right-handed.
        axis: Unit<Vector3<f64>>,
        /// Working range, rad.
        range_rad: Interval,
    },
    /// Slides along an axis.
    Slide {
        /// Direction in the frame.
        axis: Unit<Vector3<f64>>,
        /// Working range, m.
        range_m: Interval,
    },
    /// Stays where its parent puts it, but keeps the axes of the site: the top of a hanging rope.
    Plumb,
}

impl Motion {
    /// Working range of its joint value (rad or m); none where nothing moves.
    #[must_use]
    pub fn range(&self) -> Option<Interval> {
        match self {
            Self::Hinge { range_rad, .. } => Some(*range_rad),
            Self::Slide { range_m, .. } => Some(*range_m),
            Self::Fixed | Self::Plumb => None,
        }
    }
}

/// A part of a machine that others hang on.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    /// Name; for a moving frame the name of its joint.
    pub name: String,
    /// What it is.
    pub role: FrameRole,
    /// The frame that it hangs on; the site where there is none.
    pub parent: Option<FrameId>,
    /// Where it sits in its parent before it moves.
    pub offset: Isometry3<f64>,
    /// How it moves.
    pub motion: Motion,
}

impl Frame {
    /// Position in the site frame, from that of the parent and the joint's value (rad or m; ignored where nothing moves).
    #[must_use]
    pub fn place(&self, parent: &Isometry3<f64>, value: f64) -> Isometry3<f64> {
        let rest = parent * self.offset;
        match self.motion {
            Motion::Fixed => rest,
            Motion::Hinge { axis, .. } => rest * UnitQuaternion::from_axis_angle(&axis, value),
            Motion::Slide { axis, .. } => rest * Translation3::from(axis.into_inner() * value),
            Motion::Plumb => Isometry3::from_parts(rest.translation, UnitQuaternion::identity()),
        }
    }
}
