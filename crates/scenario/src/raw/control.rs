//! Controls as they are written.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer};
use wideberth_rules::ControlKind;

use super::{RawMachineRef, RawPlace};
use crate::bounds::{
    Bearing, ConductorTemperature, HeightAdded, JointAngle, JointTravel, Level, LoadLength, LoweredBy, RouteWidth,
    StopHeight, StopReach, WindSpeed,
};
use crate::quantity::{EitherSpan, Quantity};

/// A control of the hazard. Which of the keys below "kind" it needs depends on its kind.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawControl {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// What kind of control it is.
    pub kind: RawControlKind,
    /// Whether it is only proposed, in place, or in place and verified. A proposed one never counts.
    pub state: ControlStateWord,
    /// Name of the machine that it holds; all machines where left out.
    pub machine: Option<String>,
    /// Name of the line that it is about; all lines where left out.
    pub line: Option<String>,
    /// For "braced": name of the structure that cannot topple any more.
    pub structure: Option<String>,
    /// For "joint stop": name of the joint.
    pub joint: Option<String>,
    /// For "joint stop": the range that it leaves.
    pub range: Option<EitherSpan<JointAngle, JointTravel>>,
    /// For "height stop" and "goal posts": greatest height above the ground where the machine stands.
    pub height: Option<Quantity<StopHeight>>,
    /// For "reach stop": greatest distance of any part from the machine's reference point, on the map.
    pub reach: Option<Quantity<StopReach>>,
    /// For "lower machine": how much lower the machine or body is throughout.
    pub lowered_by: Option<Quantity<LoweredBy>>,
    /// For "shorter load": the load's new length, its greatest level extent; of a round load its diameter.
    pub load_length: Option<Quantity<LoadLength>>,
    /// For "goal posts": places along the middle of the way that passes between them, in order.
    #[schemars(length(min = 2, max = 50))]
    pub route: Option<Vec<RawPlace>>,
    /// For "goal posts" with a route: its width.
    pub width: Option<Quantity<RouteWidth>>,
    /// For "barrier" and "exclusion fence": the corners of the ground behind it, in order, which no machine enters.
    #[schemars(length(min = 3, max = 200))]
    pub around: Option<Vec<RawPlace>>,
    /// For "work moved": the new place on the map, east and north.
    pub position: Option<RawPlace>,
    /// For "work moved": the new level of the ground; as before where left out.
    pub ground: Option<Quantity<Level>>,
    /// For "work moved": the new heading; as before where left out.
    pub heading: Option<Quantity<Bearing>>,
    /// For "line moved": how far all supports move, east and north.
    pub moved_by: Option<RawPlace>,
    /// For "line raised": how much all attachments rise, with the wires as taut as before.
    pub raised_by: Option<Quantity<HeightAdded>>,
    /// For "other machine": the machine that does the work instead.
    pub replaced_by: Option<RawMachineRef>,
    /// For "wind cut-off": no work above this wind speed, gusts included.
    pub wind_speed: Option<Quantity<WindSpeed>>,
    /// For "temperature cut-off": no work when a wire may be hotter than this.
    pub wire_temperature: Option<Quantity<ConductorTemperature>>,
    /// For "temperature cut-off": the air temperature at which the crew stops, so that no wire is hotter than
    /// "wire_temperature".
    pub air_temperature: Option<Quantity<ConductorTemperature>>,
    /// For "hours": first and last hour of the day, such as ["06:00", "10:00"].
    pub hours: Option<[String; 2]>,
    /// For cut-offs: with what, and where, the crew measures on site.
    #[schemars(length(min = 1, max = 300))]
    pub measured_with: Option<String>,
    /// For "line off": true once grounds can be seen at the site.
    pub grounded: Option<bool>,
    /// For "line off": who, on the owner's side, confirmed that the line is off.
    #[schemars(length(min = 1, max = 300))]
    pub confirmed_by: Option<String>,
    /// Role of the person who answers for it.
    #[schemars(length(min = 1, max = 120))]
    pub owner: Option<String>,
    /// What shows that it is in place.
    pub evidence: Option<RawEvidence>,
    /// Last day on which it holds, such as "2031-05-30"; "never" where it lasts as long as the job.
    pub expires: Option<String>,
    /// Free text.
    #[schemars(length(max = 2000))]
    pub note: Option<String>,
}

/// What shows that something is so.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawEvidence {
    /// Letter, lock-out number, photo, test sheet: what it is and its number.
    #[schemars(length(min = 1, max = 300))]
    pub what: String,
    /// Its date, such as "2031-05-01".
    pub date: String,
}

/// How far a control has come.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum ControlStateWord {
    /// Somebody thought of it. It does not count.
    #[serde(rename = "proposed")]
    Proposed,
    /// It is there.
    #[serde(rename = "in place")]
    InPlace,
    /// It is there and was tested.
    #[serde(rename = "verified")]
    Verified,
}

/// The kind of a control, by its words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RawControlKind(pub ControlKind);

impl<'de> Deserialize<'de> for RawControlKind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let kind = ControlKind::from_words(&text);
        kind.map(Self).ok_or_else(|| serde::de::Error::custom(format!("\"{text}\" is no kind of control")))
    }
}

impl JsonSchema for RawControlKind {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "kind of control".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let words: Vec<_> = ControlKind::ALL.iter().map(|kind| kind.words()).collect();
        json_schema!({ "type": "string", "description": "What kind of control it is", "enum": words })
    }
}
