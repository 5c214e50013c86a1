//! Work in the ground as it is written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{RawPlace, UnknownVoltageWord};
use crate::bounds::{BodyRadius, BuriedDepth, DepthTolerance, SettingOut, ZoneWidth};
use crate::quantity::Quantity;

/// What is buried, what enters the ground, and the ticket of whoever located the buried lines.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawGroundWork {
    /// The place whose tolerance zone and rule for digging by hand hold, such as "Ontario".
    pub place: Option<String>,
    /// The answer to the request to locate what is buried.
    pub ticket: Option<RawTicket>,
    /// Buried lines.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub buried: Vec<RawBuried>,
    /// Parts of machines that enter the ground.
    #[serde(default)]
    #[schemars(length(max = 64))]
    pub parts: Vec<RawDiggingPart>,
    /// Outriggers, posts, anchors and grounding rods: what enters the ground, or loads it, at one place.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub points: Vec<RawGroundPoint>,
}

/// The answer to a request to locate what is buried.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawTicket {
    /// Its number.
    #[schemars(length(min = 1, max = 120))]
    pub number: String,
    /// Day on which it was given, such as "2031-04-29": from that day its life counts; "from" where left out.
    pub given: Option<String>,
    /// First day on which it holds, such as "2031-05-01".
    pub from: String,
    /// Last day on which it holds.
    pub until: String,
}

/// A buried line.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawBuried {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Its course on the map as marked: places east and north, at least 1 m apart.
    #[schemars(length(min = 2, max = 500))]
    pub course: Vec<RawPlace>,
    /// Level of the ground along it; 0 m where left out.
    pub ground: Option<Quantity<crate::bounds::Level>>,
    /// Tolerance zone to each side; that of the place where left out.
    pub zone: Option<Quantity<ZoneWidth>>,
    /// Its depth: "unknown", or measured in an open hole.
    pub depth: RawDepth,
}

/// A depth: measured, or "unknown".
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawDepth {
    /// Nobody has seen it.
    Unknown(UnknownVoltageWord),
    /// Measured.
    Measured(RawMeasuredDepth),
}

/// A depth that was measured where the line was exposed.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawMeasuredDepth {
    /// Depth of its middle below the ground.
    pub measured: Quantity<BuriedDepth>,
    /// How far that may be off.
    pub tolerance: Quantity<DepthTolerance>,
}

/// A part of a machine that enters the ground.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawDiggingPart {
    /// Name of the machine.
    pub machine: String,
    /// Name of its part.
    pub part: String,
    /// How deep it digs, at most.
    pub depth: Quantity<BuriedDepth>,
}

/// Something that enters the ground at one place.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawGroundPoint {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Its middle on the map.
    pub position: RawPlace,
    /// Radius of what enters the ground.
    pub radius: Quantity<BodyRadius>,
    /// How far it may stand from its place; 0.5 m where left out.
    pub setting_out_tolerance: Option<Quantity<SettingOut>>,
    /// How the hole is made.
    pub dug: DugWord,
}

/// How a hole is made.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum DugWord {
    /// With hand tools or by suction, until the buried line is seen.
    #[serde(rename = "by hand")]
    ByHand,
    /// With a machine, driven or screwed in.
    #[serde(rename = "by machine")]
    ByMachine,
}
