//! Machine files as they are written.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::bounds::{
    AxisNumber, BodyCoordinate, BodyRadius, Deflection, JointAngle, JointTravel, LoadMass, OverrunAngle, OverrunTravel,
    RopeLength, SailArea, SailDrag, Swing, YawAngle,
};
use crate::quantity::{Either, Number, Quantity, Span};

/// Three coordinates in a frame: x, y, z.
pub type RawPoint = [Quantity<BodyCoordinate>; 3];

/// A machine: what parts it has and how they move. Axes: x right, y forward, z up, origin on the ground at the reference
/// point.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawMachine {
    /// "wideberth-machine"; needed in a file of its own.
    pub format: Option<MachineFormat>,
    /// 1; needed in a file of its own.
    pub version: Option<u32>,
    /// A short name, as scenario files use it.
    #[schemars(length(min = 1, max = 80))]
    pub id: String,
    /// A name for people.
    #[schemars(length(min = 1, max = 120))]
    pub title: String,
    /// What it is, where its reference point is, what its joints mean.
    pub about: Option<String>,
    /// Where its figures come from.
    #[serde(default)]
    pub sources: Vec<RawSource>,
    /// Frames from the ground up, each after the one that it sits on.
    #[serde(default)]
    #[schemars(length(max = 64))]
    pub frames: Vec<RawFrame>,
    /// Solid parts.
    #[schemars(length(min = 1, max = 64))]
    pub bodies: Vec<RawBody>,
    /// Points from which a load can hang.
    #[serde(default)]
    #[schemars(length(max = 16))]
    pub hang_points: Vec<RawHangPoint>,
    /// What hangs on it unless the scenario says otherwise.
    pub load: Option<RawLoad>,
    /// How far each joint runs on when stopped.
    #[serde(default)]
    pub overrun: BTreeMap<String, RawOverrun>,
}

/// How far a joint runs on: an angle for a hinge, a length for a slide.
pub type RawOverrun = Either<OverrunAngle, OverrunTravel>;

/// The name of the format.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum MachineFormat {
    /// A machine file.
    #[serde(rename = "wideberth-machine")]
    Machine,
}

/// Where figures come from.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct RawSource {
    /// The figures.
    #[schemars(length(min = 1))]
    pub what: String,
    /// Where they come from.
    #[schemars(length(min = 1))]
    pub source: String,
    /// How well the source is known.
    pub tag: SourceTag,
}

/// How well a source is known.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum SourceTag {
    /// Somebody read it there.
    #[serde(rename = "seen")]
    Seen,
    /// Somebody remembers it.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Follows from other figures.
    #[serde(rename = "computed")]
    Computed,
}

impl SourceTag {
    /// The tag in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::FromMemory => "from memory",
            Self::Computed => "computed",
        }
    }
}

/// A part that others sit on. Its name is the name of its joint.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawFrame {
    /// Name.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// The frame that it sits on; the ground where left out.
    pub on: Option<String>,
    /// Its place there; the origin where left out.
    pub at: Option<RawPoint>,
    /// A fixed turn, before it moves.
    pub turn: Option<RawTurn>,
    /// It turns about an axis through its origin.
    pub hinge: Option<RawHinge>,
    /// It slides along an axis.
    pub slide: Option<RawSlide>,
    /// true: it keeps the axes of the site, as something that hangs or is held level.
    pub plumb: Option<bool>,
}

/// A fixed turn.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawTurn {
    /// Axis.
    pub axis: RawAxis,
    /// Angle, by the right-hand rule.
    pub angle: Quantity<JointAngle>,
}

/// A hinge.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawHinge {
    /// Axis; turns are positive by the right-hand rule.
    pub axis: RawAxis,
    /// The machine's own range; 360 deg or more means that it turns all round, without stops.
    pub range: Span<JointAngle>,
}

/// A slide.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawSlide {
    /// Direction.
    pub axis: RawAxis,
    /// The machine's own range.
    pub range: Span<JointTravel>,
}

/// A direction: "x", "y", "z", or three numbers.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(untagged)]
pub enum RawAxis {
    /// An axis of the frame.
    Named(AxisName),
    /// Three numbers; their length does not matter.
    Vector([Number<AxisNumber>; 3]),
}

/// An axis of a frame.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum AxisName {
    /// Right.
    X,
    /// Forward.
    Y,
    /// Up.
    Z,
}

/// A solid part: a name and exactly one shape.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["sphere", "capsule", "box", "cylinder", "frustum", "points"]))]
pub struct RawBody {
    /// Name.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// true: the operator sits in it. At most one part; without one, the operator stands beside the machine.
    pub seat: Option<bool>,
    /// How far it may bend, sway or be out of its place; thickens it on all sides.
    pub deflection: Option<Quantity<Deflection>>,
    /// A ball.
    pub sphere: Option<RawSphere>,
    /// A rod with round ends; the ends may sit in different frames.
    pub capsule: Option<RawCapsule>,
    /// A box with edges along the axes of its frame.
    #[serde(rename = "box")]
    pub cuboid: Option<RawBox>,
    /// A cylinder with flat ends.
    pub cylinder: Option<RawCylinder>,
    /// A cone or a part of one, with flat ends.
    pub frustum: Option<RawFrustum>,
    /// The hull of points, thickened by a radius.
    pub points: Option<RawPoints>,
}

/// A ball.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawSphere {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Middle; the origin where left out.
    pub at: Option<RawPoint>,
    /// Radius.
    pub radius: Quantity<BodyRadius>,
}

/// A place in a frame.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawEnd {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Place; the origin where left out.
    pub at: Option<RawPoint>,
}

/// A rod with round ends.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawCapsule {
    /// One end of its middle line.
    pub from: RawEnd,
    /// The other end.
    pub to: RawEnd,
    /// Radius.
    pub radius: Quantity<BodyRadius>,
}

/// A box.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawBox {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// One corner.
    pub from: RawPoint,
    /// The opposite corner.
    pub to: RawPoint,
}

/// A cylinder.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawCylinder {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Middle of one end.
    pub from: RawPoint,
    /// Middle of the other end.
    pub to: RawPoint,
    /// Radius.
    pub radius: Quantity<BodyRadius>,
}

/// A cone or a part of one.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawFrustum {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Middle of one end.
    pub from: RawPoint,
    /// Middle of the other end.
    pub to: RawPoint,
    /// Radius at the one end; 0 for a tip.
    pub from_radius: Quantity<BodyRadius>,
    /// Radius at the other end; 0 for a tip.
    pub to_radius: Quantity<BodyRadius>,
}

/// The hull of points.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawPoints {
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Points.
    #[schemars(length(min = 1, max = 64))]
    pub at: Vec<RawPoint>,
    /// Thickness about the hull; none where left out.
    pub radius: Option<Quantity<BodyRadius>>,
}

/// A point from which a load can hang.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawHangPoint {
    /// Name, as loads use it.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// Frame; the ground where left out.
    pub frame: Option<String>,
    /// Place; the origin where left out.
    pub at: Option<RawPoint>,
    /// How far it may move as the machine bends; thickens all that hangs from it.
    pub deflection: Option<Quantity<Deflection>>,
}

/// A load that hangs on a rope. Its bodies have their origin at the hook, z up along the rope.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawLoad {
    /// Name.
    #[schemars(length(min = 1, max = 80))]
    pub name: String,
    /// Name of the machine's hang point.
    pub hangs_from: String,
    /// Length of the rope from the hang point to the hook.
    pub rope: Span<RopeLength>,
    /// Radius of the rope, or of all its falls together.
    pub rope_radius: Quantity<BodyRadius>,
    /// Largest angle of the rope from plumb, to any side; from the sail where left out.
    pub swing: Option<Quantity<Swing>>,
    /// What the wind pushes at: gives the swing where none is stated, and the least that may be stated.
    pub sail: Option<RawSail>,
    /// How it may turn about the rope: "free" (also where left out), or the range in which tag lines hold its y axis, from
    /// north, positive to the left.
    pub yaw: Option<RawYaw>,
    /// What is between the hook and the load: slings, chains, a beam.
    #[serde(default)]
    #[schemars(length(max = 32))]
    pub rigging: Vec<RawBody>,
    /// The load itself.
    #[schemars(length(min = 1, max = 64))]
    pub bodies: Vec<RawBody>,
}

/// What a hung load turns to the wind.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawSail {
    /// Greatest area across the wind, to whichever side the load turns.
    pub area: Quantity<SailArea>,
    /// Its drag coefficient; 2.4 where left out, the largest that is printed for a load of unknown shape.
    pub drag: Option<Number<SailDrag>>,
    /// Mass with the rigging, at its least.
    pub mass: Quantity<LoadMass>,
}

/// How a load may turn about its rope.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(untagged)]
pub enum RawYaw {
    /// All round.
    Word(YawWord),
    /// Held in a range.
    Held(Span<YawAngle>),
}

/// All round.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum YawWord {
    /// All round.
    Free,
}
