//! Machines on the site as they are written.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::{RawLift, RawPlace, RawRule};
use crate::bounds::{Bearing, Deflection, HeadingTolerance, JointAngle, JointTravel, Level, SettingOut, Slope};
use crate::machine::{RawLoad, RawMachine, RawOverrun};
use crate::quantity::{EitherSpan, Quantity};

/// A machine, load or structure on the site, and what it does.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawPlacedMachine {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Which machine: an id of the library, a file of your own, or a machine written in place.
    pub machine: RawMachineRef,
    /// Place of its reference point on the map: east, north.
    pub position: RawPlace,
    /// Level of the ground there; 0 m where left out.
    pub ground: Option<Quantity<Level>>,
    /// Bearing of its forward direction.
    pub heading: Quantity<Bearing>,
    /// Slope of the ground; level where left out.
    pub slope: Option<RawSlope>,
    /// How far it may stand from its place; 0.5 m where left out.
    pub setting_out_tolerance: Option<Quantity<SettingOut>>,
    /// How far its heading may be off, either way; 5 deg where left out.
    pub heading_tolerance: Option<Quantity<HeadingTolerance>>,
    /// What it does; "operate" where left out.
    pub work: Option<WorkWord>,
    /// Who does it; "ordinary" where left out.
    pub crew: Option<CrewWord>,
    /// The rule that sets its limit of approach, where it differs from the scenario's.
    pub rule: Option<RawRule>,
    /// Working range of each joint, within the machine's own; the whole of that where left out.
    #[serde(default)]
    pub working: BTreeMap<String, EitherSpan<JointAngle, JointTravel>>,
    /// How far each joint runs on when stopped; as the machine says where left out.
    #[serde(default)]
    pub overrun: BTreeMap<String, RawOverrun>,
    /// How far each part may bend; as the machine says where left out.
    #[serde(default)]
    pub deflection: BTreeMap<String, Quantity<Deflection>>,
    /// What hangs from it.
    pub load: Option<RawLoad>,
    /// What it lifts, for the wind that it may be lifted in.
    pub lift: Option<RawLift>,
}

/// Which machine: an id of the library, a file of your own, or a machine written in place.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawMachineRef {
    /// An id of the library.
    Library(String),
    /// A file of your own.
    File(RawMachineFile),
    /// Written in place.
    Inline(Box<RawMachine>),
}

/// A machine file of your own.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawMachineFile {
    /// Its name, relative to the folder of the scenario.
    #[schemars(length(min = 1, max = 1000))]
    pub file: String,
}

/// Slope of the ground.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSlope {
    /// Steepness.
    pub angle: Quantity<Slope>,
    /// Bearing toward which the ground falls.
    pub downhill: Quantity<Bearing>,
}

/// What a machine does; each kind of work can have a limit of its own.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum WorkWord {
    /// Works near the line.
    #[default]
    #[serde(rename = "operate")]
    Operate,
    /// Passes under the line, lowered and without load.
    #[serde(rename = "travel under")]
    TravelUnder,
    /// Is put together, taken apart or rigged near the line.
    #[serde(rename = "assemble")]
    Assemble,
    /// Is a building, bin or other lasting structure near the line.
    #[serde(rename = "site a structure")]
    SiteStructure,
}

/// Who does the work.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum CrewWord {
    /// People without electrical qualification.
    #[default]
    Ordinary,
    /// Electrical workers qualified in the sense of the rule.
    Qualified,
}
