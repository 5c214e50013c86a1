//! The whole scenario.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{
    RawBriefing, RawConditions, RawControl, RawDutyDone, RawGroundWork, RawLesson, RawLine, RawPlace, RawPlacedMachine,
    RawRecord, RawSite, RawTopple, RawWeather,
};
use crate::bounds::{SearchTolerance, StructureHeight};
use crate::quantity::Quantity;

/// What "format" must say.
pub const SCENARIO_FORMAT: &str = "wideberth-scenario";

/// What "version" must say.
pub const SCENARIO_VERSION: u64 = 1;

/// A job near overhead lines: the lines, the conditions, the machines and what they do.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawScenario {
    /// Where a JSON Schema of this format lies, for editors. Not used otherwise.
    #[serde(rename = "$schema")]
    pub schema: Option<String>,
    /// Always "wideberth-scenario".
    pub format: ScenarioFormat,
    /// Always 1.
    #[schemars(range(min = 1, max = 1))]
    pub version: u32,
    /// What the job is, in one line.
    #[schemars(length(min = 1, max = 200))]
    pub title: String,
    /// Free text.
    #[schemars(length(max = 4000))]
    pub note: Option<String>,
    /// The rule that sets the limit of approach, for all machines that name none of their own.
    pub rule: Option<RawRule>,
    /// Temperatures, wind and ice that the job may meet.
    pub conditions: RawConditions,
    /// Where the job is on the earth; needed for whatever comes from the weather.
    pub site: Option<RawSite>,
    /// The date of the job, such as "2026-07-14"; needed for the plan of a day.
    #[schemars(length(min = 1, max = 20))]
    pub date: Option<String>,
    /// The weather through the job.
    pub weather: Option<RawWeather>,
    /// The overhead lines.
    #[schemars(length(min = 1, max = 64))]
    pub lines: Vec<RawLine>,
    /// The machines, loads and structures.
    #[schemars(length(min = 1, max = 64))]
    pub machines: Vec<RawPlacedMachine>,
    /// First and last day of the work, such as ["2031-05-04", "2031-05-06"]. Whatever expires must hold on all of them.
    pub work_dates: Option<[String; 2]>,
    /// What keeps machines and wires apart, besides where the machines stand.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub controls: Vec<RawControl>,
    /// Standing structures that may topple.
    #[serde(default)]
    #[schemars(length(max = 32))]
    pub may_topple: Vec<RawTopple>,
    /// Buried lines, and what enters the ground.
    pub ground_work: Option<RawGroundWork>,
    /// What the plan rests on: surveys, sheets, letters.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub records: Vec<RawRecord>,
    /// The briefing of everybody on site.
    pub briefing: Option<RawBriefing>,
    /// Duties of your own rules that have been done.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub duties_done: Vec<RawDutyDone>,
    /// How hard to search.
    pub search: Option<RawSearch>,
    /// Places at which the height of each wire is of interest.
    #[serde(default)]
    #[schemars(length(max = 200))]
    pub sag_points: Vec<RawSagPoint>,
    /// A lesson for the viewer.
    pub lesson: Option<RawLesson>,
}

/// The name of the format.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
pub enum ScenarioFormat {
    /// A scenario.
    #[serde(rename = "wideberth-scenario")]
    Scenario,
}

/// Which rule sets the limit of approach: all rules of a place, or one rule by its id.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
#[schemars(extend("x-one-of" = ["place", "id"]))]
pub struct RawRule {
    /// A place, such as "Ontario": the largest distance of its general rules holds.
    #[schemars(length(min = 1, max = 120))]
    pub place: Option<String>,
    /// The id of one rule.
    #[schemars(length(min = 1, max = 120))]
    pub id: Option<String>,
    /// A file with tables of limits of your own, in addition to those that come with the program.
    #[schemars(length(min = 1, max = 1000))]
    pub file: Option<String>,
    /// Who compared the distance with the text of the rule itself, and when: needed where the table here is from memory.
    #[schemars(length(min = 1, max = 300))]
    pub checked_by: Option<String>,
    /// Conditions of the rule's rows that somebody has confirmed for this job.
    #[serde(default)]
    #[schemars(length(max = 32))]
    pub confirmed: Vec<String>,
    /// Height of the structure, for rules that depend on it.
    pub structure_height: Option<Quantity<StructureHeight>>,
}

/// How hard to search.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSearch {
    /// Stop when the closest approach is known this well; 1 cm where left out.
    pub tolerance: Option<Quantity<SearchTolerance>>,
    /// Stop after this many cells, whatever is known then; 300000 where left out.
    #[schemars(range(min = 1, max = 100_000_000))]
    pub max_cells: Option<u32>,
}

/// A place at which the height of each wire is of interest.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawSagPoint {
    /// Name.
    #[schemars(length(min = 1, max = 120))]
    pub name: String,
    /// Place on the map: east, north.
    pub at: RawPlace,
}
