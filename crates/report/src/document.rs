//! The result document: everything an assessment found, as numbers in SI with their unit in the key.
//!
//! Distances run from surface to surface. Points are `[east, north, up]` in the site frame.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::machine::FrameRole;
use wideberth_plan::answer::Answer;

use crate::build;
use crate::holds::HoldsResult;
use crate::plan::{ControlResult, GroundResult, LiftingResult, MissingResult, TopplingResult, WithoutControls};
use crate::words::VerdictName;

/// Name of the format.
pub const RESULT_FORMAT: &str = "wideberth-result";
/// Version of the format.
pub const RESULT_VERSION: u32 = 1;

/// The answer to one scenario.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct ResultDocument {
    /// Always "wideberth-result".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// Free text of the scenario.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// The worst verdict of all findings.
    pub verdict: VerdictName,
    /// Whether it is clear and nothing is missing.
    pub ready: bool,
    /// What is missing now.
    pub missing: Vec<MissingResult>,
    /// What need not be there yet, and is due before the work starts.
    pub due_before_start: Vec<MissingResult>,
    /// The day on which this was judged; left out where nobody says what day it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub judged_on: Option<String>,
    /// What the answer holds for; outside of it nothing is proven.
    pub holds_only_while: Vec<HoldsResult>,
    /// Smallest distance of any machine to any live wire; left out where every line is switched off and grounded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closest_approach: Option<Range>,
    /// Smallest distance beyond a limit; negative inside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<Range>,
    /// What would be found if no control were in place; left out where no control changes anything.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_controls: Option<WithoutControls>,
    /// First and last day for which this was judged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub days: Option<[String; 2]>,
    /// Controls, those that do not count included.
    pub controls: Vec<ControlResult>,
    /// What enters the ground, against what is buried.
    pub ground: Vec<GroundResult>,
    /// The wind in which loads may be lifted.
    pub lifting: Vec<LiftingResult>,
    /// The wind that topples structures.
    pub toppling: Vec<TopplingResult>,
    /// Index of the finding with the smallest spare.
    pub worst_finding: usize,
    /// Every machine against every wire.
    pub findings: Vec<FindingResult>,
    /// Each machine and its worst.
    pub machines: Vec<MachineResult>,
    /// Each line and its wires.
    pub lines: Vec<LineResult>,
    /// The limits of approach that the findings refer to.
    pub limits: Vec<LimitResult>,
    /// What contributes to the worst finding, each cause left out alone. Causes work together: the differences do not add up.
    pub contributions: Vec<ContributionResult>,
    /// What the scenario leaves out and what was taken instead.
    pub defaults_taken: Vec<DefaultResult>,
    /// What to know before relying on the numbers.
    pub warnings: Vec<String>,
    /// What the result is not.
    pub caution: &'static str,
}

/// A proven range.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Range {
    /// Proven: the number is not smaller, m.
    pub lower_m: f64,
    /// Attained by a pose and a state that were found, m.
    pub upper_m: f64,
}

/// One machine against one wire.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct FindingResult {
    /// Name of the machine.
    pub machine: String,
    /// Name of the line.
    pub line: String,
    /// Name of the wire.
    pub wire: String,
    /// Whether the limit is kept.
    pub verdict: VerdictName,
    /// Closest approach, surface to surface, all tolerances included: nothing comes closer than the lower end, and `witness`
    /// attains the upper end.
    pub closest_approach: Range,
    /// What the lower end leaves room for and no state attains, the largest first.
    pub room: Vec<RoomResult>,
    /// Limit of approach, m.
    pub limit_m: f64,
    /// Index of that limit in `limits`.
    pub limit: usize,
    /// What is left beyond the limit; negative inside it.
    pub spare: Range,
    /// Why the search stopped.
    pub stopped: &'static str,
    /// Cells that the search examined.
    pub cells: u64,
    /// Where and in what state the upper end is attained.
    pub witness: WitnessResult,
}

/// A part of what lies between the ends of a closest approach.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct RoomResult {
    /// What it is left for.
    pub left_for: &'static str,
    /// By how much it lowers the lower end, m.
    pub worth_m: f64,
    /// What makes it smaller.
    pub smaller_by: &'static str,
}

/// Where and in what state a distance is attained.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct WitnessResult {
    /// The machine's part.
    pub body: String,
    /// Joint values of the machine.
    pub joints: Vec<JointResult>,
    /// Index of the span, from 0.
    pub span: usize,
    /// The span's supports.
    pub between: [String; 2],
    /// Distance along the map from the first of them, m.
    pub along_m: f64,
    /// Share of the span from the first of them, 0 to 1.
    pub fraction: f64,
    /// Conductor temperature that the state stands for, degC.
    pub conductor_temperature_degc: f64,
    /// Speed of the wind across the span, m/s, never negative.
    pub wind_across_m_per_s: f64,
    /// Bearing from which that wind blows, rad clockwise from north; left out without wind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind_from_rad: Option<f64>,
    /// Radial ice on the wire, m.
    pub ice_m: f64,
    /// Swing of the wire from hanging straight down, rad, positive to the left when looking along the line.
    pub swing_rad: f64,
    /// How the suspension strings at the ends of the span hang; left out where the wire is held rigidly.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub strings: Vec<StringResult>,
    /// Height of the wire there above the straight line between the feet of the supports, m.
    pub wire_above_ground_m: f64,
    /// Height of the wire there above the site's zero, m.
    pub wire_above_zero_m: f64,
    /// Nearest point of the part, m.
    pub on_body_m: [f64; 3],
    /// Nearest point of the wire, m.
    pub on_wire_m: [f64; 3],
    /// The wire in that state: all that its shape follows from.
    pub wire: WireStateResult,
}

/// A wire between its ends in one state. Coordinates and vectors: east, north, up.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct WireStateResult {
    /// Its ends in this state, m.
    pub ends_m: [[f64; 3]; 2],
    /// By how much both attachments lie from where they are stated, within their tolerance, m.
    pub shift_m: [f64; 3],
    /// Unstretched length, m.
    pub unstretched_m: f64,
    /// Axial stiffness of the whole wire, N.
    pub axial_stiffness_n: f64,
    /// A core of another metal that carries alone where that pulls more; left out where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub core: Option<CoreStateResult>,
    /// Diameter without ice, m.
    pub diameter_m: f64,
    /// Horizontal tension, bare and in still air, when its tautness became known, N.
    pub pull_n: f64,
    /// Conductor temperature then, degC.
    pub known_degc: f64,
    /// Permanent strain gained since.
    pub permanent_strain: f64,
    /// What it bears, piece by piece from the near end.
    pub pieces: Vec<PieceResult>,
}

/// The core of a wire in one state.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct CoreStateResult {
    /// Axial stiffness, N.
    pub axial_stiffness_n: f64,
    /// By what share of the whole wire's unstretched length it is shorter when both lie free.
    pub shorter: f64,
}

/// A piece of a wire and its weather.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct PieceResult {
    /// Where it ends: share of the unstretched length, up to 1.
    pub to_share: f64,
    /// Velocity of the air there, m/s.
    pub wind_m_per_s: [f64; 3],
    /// Radial ice, m.
    pub ice_m: f64,
    /// Weight, ice and wind per unstretched length, N/m.
    pub force_n_per_m: [f64; 3],
}

/// How a suspension string hangs.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct StringResult {
    /// Its support.
    pub support: String,
    /// Swing along the line from hanging plumb, rad, positive toward the last support.
    pub along_rad: f64,
    /// Swing across the line from hanging plumb, rad, positive to the left when looking along the line.
    pub across_rad: f64,
}

/// The value of a joint.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct JointResult {
    /// Name of the joint.
    pub name: String,
    /// What it is for.
    pub role: JointRole,
    /// Value of a hinge, rad.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub angle_rad: Option<f64>,
    /// Value of a slide, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_m: Option<f64>,
}

/// What a joint is for.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum JointRole {
    /// A part of the machine that people at the controls move.
    Part,
    /// Where the machine stands.
    Place,
    /// How far the machine is turned from its heading, positive to the left.
    Heading,
    /// A rope out of plumb.
    Swing,
    /// The length of a rope.
    Rope,
    /// A hung load that turns about its rope.
    Yaw,
}

impl From<FrameRole> for JointRole {
    fn from(role: FrameRole) -> Self {
        match role {
            FrameRole::Part | FrameRole::HangPoint => Self::Part,
            FrameRole::Place => Self::Place,
            FrameRole::Heading => Self::Heading,
            FrameRole::Swing => Self::Swing,
            FrameRole::Rope => Self::Rope,
            FrameRole::Yaw => Self::Yaw,
        }
    }
}

/// A machine and its worst.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct MachineResult {
    /// Name in the scenario.
    pub name: String,
    /// Id of its description.
    pub id: String,
    /// What it is.
    pub title: String,
    /// What it does.
    pub work: String,
    /// Who does it.
    pub crew: String,
    /// Its reference point, m.
    pub position_m: [f64; 3],
    /// Where its figures come from.
    pub sources: Vec<String>,
    /// Its worst verdict.
    pub verdict: VerdictName,
    /// Its smallest distance to any live wire; left out where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closest_approach: Option<Range>,
    /// Its smallest distance beyond a limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<Range>,
}

/// A line and its wires.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct LineResult {
    /// Name.
    pub name: String,
    /// Whether it is switched off and grounded, and so not paired with any machine.
    pub off: bool,
    /// Wires.
    pub wires: Vec<WireResult>,
}

/// A wire.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct WireResult {
    /// Name.
    pub name: String,
    /// Voltage in words.
    pub voltage: String,
    /// Conductor.
    pub conductor: String,
    /// Where the conductor's data come from.
    pub conductor_source: String,
    /// Whether any of these data are from memory.
    pub conductor_from_memory: bool,
    /// How its tautness is known.
    pub known_by: String,
    /// How far its attachments may be off, m.
    pub attachment_tolerance_m: f64,
}

/// A limit of approach.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct LimitResult {
    /// The distance to keep, m.
    pub distance_m: f64,
    /// The distance as its source prints it.
    pub printed: String,
    /// Where it comes from.
    pub source: String,
    /// Id of the rule behind it or beside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_id: Option<String>,
    /// Whether any part of it is from memory.
    pub from_memory: bool,
    /// Doubts that were resolved, warnings and remarks.
    pub notes: Vec<String>,
    /// Distances that start a duty.
    pub triggers: Vec<String>,
    /// Who must do what, when.
    pub duties: Vec<String>,
}

/// What the worst finding would be without one cause.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct ContributionResult {
    /// Stable name of the cause.
    pub cause: &'static str,
    /// The cause in words.
    pub words: &'static str,
    /// What was taken instead.
    pub instead: &'static str,
    /// The closest approach without it.
    pub closest_approach_without: Range,
    /// How much the closest approach that was found grows without it, m.
    pub difference_m: f64,
}

/// A value that the scenario leaves out.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DefaultResult {
    /// Where it would stand.
    pub path: String,
    /// What was taken, with its unit.
    pub value: String,
    /// What it means.
    pub words: String,
}

impl Document for ResultDocument {}

impl ResultDocument {
    /// The document of an answer.
    #[must_use]
    pub fn of(answer: &Answer) -> Self {
        build::document(answer)
    }

    /// The finding with the smallest spare.
    #[must_use]
    pub fn worst(&self) -> Option<&FindingResult> {
        self.findings.get(self.worst_finding)
    }

    /// The limit of a finding.
    #[must_use]
    pub fn limit_of(&self, finding: &FindingResult) -> Option<&LimitResult> {
        self.limits.get(finding.limit)
    }
}

/// A document that programs read: the same content, the same bytes.
pub trait Document: Serialize + JsonSchema {
    /// As JSON text.
    ///
    /// # Errors
    /// When a number cannot be written, which no document contains.
    fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }

    /// JSON Schema of the document, as text.
    #[must_use]
    fn schema() -> String {
        let generator = schemars::generate::SchemaSettings::draft2020_12().for_serialize().into_generator();
        format!("{:#}\n", generator.into_root_schema_for::<Self>().to_value())
    }
}
