//! Lines as they are written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{RawConditionsChange, RawCore, RawHeaviestLoad, RawLineLoad, RawPlace, RawSurface, RawTemperature};
use crate::bounds::{
    Along, AttachmentHeight, AttachmentTolerance, Bearing, Diameter, Expansion, HeightTolerance, Level, LineVoltage,
    LinearMass, MetalArea, Modulus, Offset, PermanentStrain, RelativeTolerance, Resistance, StatedDistance, Strength,
    StrengthShare, StringArea, StringLength, StringWeight, Tension, WireHeight,
};
use crate::quantity::{Either, Quantity, Span};

/// An overhead line: wires on supports in a row. Where the line ends in the model it is as if dead-ended there.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawLine {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// The voltage and who confirmed it, or "unknown".
    pub voltage: RawVoltage,
    /// A distance that somebody entitled stated in writing for this job.
    pub limit: Option<RawStatedLimit>,
    /// What is different from the scenario's conditions.
    pub conditions: Option<RawConditionsChange>,
    /// What its wires carry; where left out, what heats them to 100 degC in air of 40 degC. It counts where temperatures come from
    /// the weather.
    pub load: Option<RawLineLoad>,
    /// How its wires take up and shed heat.
    pub surface: Option<RawSurface>,
    /// Poles or towers, in order along the line.
    #[schemars(length(min = 2, max = 2000))]
    pub supports: Vec<RawSupport>,
    /// Wires, earth wires and anything else that hangs there.
    #[schemars(length(min = 1, max = 64))]
    pub wires: Vec<RawWire>,
}

/// The voltage of a line: known, known not to lie above a value, or "unknown".
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(untagged)]
pub enum RawVoltage {
    /// Nobody has confirmed it.
    Unknown(UnknownVoltageWord),
    /// Known.
    Known(RawKnownVoltage),
    /// Not known, but confirmed not to lie above a value.
    NotAbove(RawVoltageBound),
}

/// Nobody has confirmed the voltage.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum UnknownVoltageWord {
    /// Nobody has confirmed the voltage.
    Unknown,
}

/// A voltage that is not known, but confirmed not to lie above a value (phase to phase for ac, pole to ground for dc).
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawVoltageBound {
    /// The value that it does not exceed.
    pub not_above: Quantity<LineVoltage>,
    /// Who confirmed that, and how.
    #[schemars(length(min = 1, max = 300))]
    pub confirmed_by: String,
}

/// A voltage with everything that a rule asks about it.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct RawKnownVoltage {
    /// The voltage.
    pub value: Quantity<LineVoltage>,
    /// Between what it is measured.
    pub basis: VoltageBasisWord,
    /// Alternating or direct current.
    pub current: CurrentWord,
    /// Who confirmed it, and how.
    #[schemars(length(min = 1, max = 300))]
    pub confirmed_by: Option<String>,
}

/// Between what a voltage is measured.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum VoltageBasisWord {
    /// Alternating current, between two phases.
    #[serde(rename = "phase to phase")]
    PhaseToPhase,
    /// Alternating current, between a phase and ground.
    #[serde(rename = "phase to ground")]
    PhaseToGround,
    /// Direct current, between the poles.
    #[serde(rename = "pole to pole")]
    PoleToPole,
    /// Direct current, between a pole and ground.
    #[serde(rename = "pole to ground")]
    PoleToGround,
}

/// Alternating or direct current.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum CurrentWord {
    /// Alternating.
    Ac,
    /// Direct.
    Dc,
}

/// A distance stated in writing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawStatedLimit {
    /// The distance. Where the rule asks for more, the rule's holds.
    pub distance: Quantity<StatedDistance>,
    /// Who stated it, in which document.
    #[schemars(length(min = 1, max = 300))]
    pub stated_by: String,
}

/// A pole or tower.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSupport {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Place on the map: east, north.
    pub position: RawPlace,
    /// Level of the ground at its foot; 0 m where left out.
    pub ground: Option<Quantity<Level>>,
    /// Bearing toward which the crossarm's right end points; square to the line where left out.
    pub direction: Option<Quantity<Bearing>>,
}

/// A wire over all supports of its line.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawWire {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// What it is made of: an id of the catalogue, or its own data.
    pub conductor: RawConductorRef,
    /// Where it is fixed: one attachment at each support, in their order.
    #[schemars(length(min = 2, max = 2000))]
    pub attachments: Vec<RawAttachment>,
    /// How far the attachments may lie from where they are stated; 0.2 m where left out.
    pub attachment_tolerance: Option<Quantity<AttachmentTolerance>>,
    /// How taut it is.
    pub known_by: RawKnownBy,
    /// Permanent stretch gained since that was known; none where left out.
    pub permanent_strain: Option<Span<PermanentStrain>>,
    /// Instead of that: the heaviest load that it has borne since, from which the stretch follows.
    pub heaviest_load: Option<RawHeaviestLoad>,
    /// Its core, where it is of two metals, or "from the catalogue"; taken as of one piece where left out, which hangs lower in the heat.
    pub core: Option<RawCoreRef>,
    /// The voltage of this wire, where it differs from the line's.
    pub voltage: Option<RawVoltage>,
}

/// A conductor: an id of the catalogue, a class of lines where it is not known, or its own data.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawConductorRef {
    /// An id of the catalogue.
    Catalogue(String),
    /// Not known: any conductor that lines of a class have.
    Class(RawWireClass),
    /// Its own data.
    Own(Box<RawConductor>),
}

/// The core of a wire: as the catalogue has it, or its own data.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawCoreRef {
    /// From the catalogue.
    Catalogue(CatalogueWord),
    /// Its own data.
    Own(Box<RawCore>),
}

/// Something that the catalogue knows.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum CatalogueWord {
    /// From the catalogue.
    #[serde(rename = "from the catalogue")]
    FromTheCatalogue,
}

/// A conductor that is not known.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawWireClass {
    /// What kind of line it is.
    pub class: WireClassWord,
}

/// What kind of line a wire belongs to.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum WireClassWord {
    /// A single-phase line to farms and houses.
    #[serde(rename = "rural single-phase")]
    RuralSinglePhase,
    /// A three-phase line along roads and streets.
    #[serde(rename = "three-phase distribution")]
    ThreePhaseDistribution,
    /// A line of 46 kV and more on single poles or frames.
    #[serde(rename = "sub-transmission")]
    SubTransmission,
}

/// The data of a conductor.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawConductor {
    /// What it is called.
    #[schemars(length(min = 1, max = 120))]
    pub name: Option<String>,
    /// Outside diameter.
    pub diameter: Quantity<Diameter>,
    /// Mass per length.
    pub mass: Quantity<LinearMass>,
    /// Final modulus of elasticity of the whole section.
    pub modulus: Quantity<Modulus>,
    /// Area of all metal in the section.
    pub area: Quantity<MetalArea>,
    /// Coefficient of linear thermal expansion.
    pub expansion: Quantity<Expansion>,
    /// Rated tensile strength.
    pub strength: Option<Quantity<Strength>>,
    /// Resistance at 20 degC, for what comes from the weather.
    pub resistance: Option<Quantity<Resistance>>,
    /// Where these data come from.
    #[schemars(length(min = 1, max = 300))]
    pub source: Option<String>,
}

/// Where a wire is fixed to a support.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawAttachment {
    /// Name of the support.
    pub support: String,
    /// Height of the wire there, above the ground of the support; with a string, while the string hangs plumb.
    pub height: Quantity<AttachmentHeight>,
    /// Place along the crossarm, positive to the right when looking along the line; 0 m where left out.
    pub offset: Option<Quantity<Offset>>,
    /// The suspension string by which the wire hangs there, free to swing along and across the line; held rigidly where left
    /// out, as by a dead end, a post or a V-string.
    pub string: Option<RawString>,
}

/// A suspension string: it hung plumb when the tautness of the wire was known.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawString {
    /// From the crossarm to the wire.
    pub length: Quantity<StringLength>,
    /// Weight of the string with its fittings.
    pub weight: Quantity<StringWeight>,
    /// Area that the wind across the line meets; no wind on the string where left out.
    pub wind_area: Option<Quantity<StringArea>>,
}

/// How the tautness of a wire is known: by its tension, by a share of its strength, or by a measured height. Bare wire,
/// still air.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["horizontal_tension", "share_of_strength", "height", "tension"]))]
pub struct RawKnownBy {
    /// Horizontal tension.
    pub horizontal_tension: Option<Quantity<Tension>>,
    /// Horizontal tension as a share of the rated strength.
    pub share_of_strength: Option<Quantity<StrengthShare>>,
    /// Measured height of the wire above the ground below it.
    pub height: Option<Quantity<WireHeight>>,
    /// "unknown": any tension that lines are strung with, 8 % to 25 % of the rated strength at 15 degC.
    pub tension: Option<UnknownTensionWord>,
    /// Tolerance: a share of the tension, or a length for a height.
    pub tolerance: Option<Either<RelativeTolerance, HeightTolerance>>,
    /// Temperature of the wire then: a range, or "from the weather" at the time when its height was measured.
    pub conductor_temperature: Option<RawTemperature>,
    /// When the height was measured, for "from the weather": a time such as "07:10" on the scenario's date, or with its own date.
    #[schemars(length(min = 1, max = 40))]
    pub seen_at: Option<String>,
    /// For a height: the two neighbouring supports between which it was measured.
    pub between: Option<[String; 2]>,
    /// For a height: how far along the map from the first of them.
    pub at: Option<Quantity<Along>>,
    /// For a height: level of the ground there; on the straight line between the feet of the supports where left out.
    pub ground: Option<Quantity<Level>>,
}

/// Nobody knows the tension.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum UnknownTensionWord {
    /// Nobody knows it.
    Unknown,
}
