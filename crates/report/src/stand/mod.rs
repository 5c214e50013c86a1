//! The map of where a machine may stand, as a document, a table and geographic features.

mod features;
mod passing;
mod rows;

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_plan::stand::{Cell, Ground, Setback, StandMap, Zone};
use wideberth_scenario::Job;

pub use features::to_geojson;
pub use passing::{ClearwayDocument, clearway_csv, clearway_json, clearway_words};
pub use rows::to_csv;

use crate::document::Document;
use crate::quantity::Units;
use crate::words::{CAUTION, VerdictName};

/// Name of the format.
pub const STAND_FORMAT: &str = "wideberth-stand";

/// Where a machine may stand.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct StandDocument {
    /// Always "wideberth-stand".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// Name of the machine; its reference point is what stands in a cell.
    pub machine: String,
    /// Heading: "as in the scenario" or "any".
    pub heading: &'static str,
    /// Middle of the area, east and north, m.
    pub center_m: [f64; 2],
    /// Bearing of the area's first axis, clockwise from north, rad.
    pub along_bearing_rad: f64,
    /// Size along that axis and across it, m.
    pub size_m: [f64; 2],
    /// How well the edge was to be known, m.
    pub resolution_m: f64,
    /// Area that is proven clear, m².
    pub clear_m2: f64,
    /// Area that is proven too close, m².
    pub too_close_m2: f64,
    /// Area of which neither is proven, m².
    pub not_proven_m2: f64,
    /// Area on which nobody can stand, whatever the wires do: too near a support, or fenced, m².
    pub left_out_m2: f64,
    /// How far the reference point keeps from the foot of every support, m.
    pub support_room_m: f64,
    /// How many fences of the scenario are left out.
    pub fences: usize,
    /// How far to keep from each line.
    pub setbacks: Vec<SetbackResult>,
    /// The cells: middle along and across the area from its middle, half sizes, and what is proven.
    pub cells: Vec<CellResult>,
    /// What the result is not.
    pub caution: &'static str,
}

/// How far to keep from a line on one of its sides.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SetbackResult {
    /// Name of the line.
    pub line: String,
    /// "left" or "right", looking along the line from its first support.
    pub side: &'static str,
    /// Every place of the map at least this far from the straight lines between the supports is proven clear, m; left out
    /// where the map ends before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear_m: Option<f64>,
    /// The farthest place that is proven too close, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub too_close_m: Option<f64>,
}

/// A cell.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct CellResult {
    /// Middle along and across, from the middle of the area, m.
    pub at_m: [f64; 2],
    /// Half sizes along and across, m.
    pub half_m: [f64; 2],
    /// What is proven wherever in the cell the reference point stands.
    pub verdict: VerdictName,
    /// Whether nobody can stand there, whatever the wires do.
    pub left_out: bool,
}

/// What is proven, as a verdict.
#[must_use]
pub fn verdict_of(ground: Ground) -> VerdictName {
    match ground {
        Ground::Clear => VerdictName::Clear,
        Ground::NotProven => VerdictName::NotProven,
        Ground::TooClose => VerdictName::TooClose,
    }
}

impl Document for StandDocument {}

impl StandDocument {
    /// The document of a map.
    #[must_use]
    pub fn of(job: &Job, map: &StandMap, setbacks: &[Setback]) -> Self {
        let cell_m2 = |cell: &Cell| 4.0 * cell.half_m[0] * cell.half_m[1];
        let area_m2 = |ground: Ground| {
            let own = map.cells.iter().filter(|cell| cell.ground == ground && !cell.left_out);
            own.map(cell_m2).sum()
        };
        let along = map.area.along;
        Self {
            format: STAND_FORMAT,
            version: 1,
            computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
            title: job.title.clone(),
            machine: job.machines.get(map.machine).map_or_else(String::new, |machine| machine.name.clone()),
            heading: if map.any_heading { "any" } else { "as in the scenario" },
            center_m: map.area.center.coords.into(),
            along_bearing_rad: along.x.atan2(along.y).rem_euclid(std::f64::consts::TAU),
            size_m: map.area.size_m,
            resolution_m: map.resolution_m,
            clear_m2: area_m2(Ground::Clear),
            too_close_m2: area_m2(Ground::TooClose),
            not_proven_m2: area_m2(Ground::NotProven),
            left_out_m2: map.cells.iter().filter(|cell| cell.left_out).map(cell_m2).sum(),
            support_room_m: map.support_room_m,
            fences: map.zones.iter().filter(|zone| matches!(zone, Zone::Fenced(_))).count(),
            setbacks: setbacks.iter().map(|setback| setback_of(job, setback)).collect(),
            cells: map
                .cells
                .iter()
                .map(|cell| CellResult {
                    at_m: cell.at_m,
                    half_m: cell.half_m,
                    verdict: verdict_of(cell.ground),
                    left_out: cell.left_out,
                })
                .collect(),
            caution: CAUTION,
        }
    }

    /// What to know beside the map, in SI.
    #[must_use]
    pub fn remarks(&self) -> Vec<String> {
        self.remarks_in(Units::Si)
    }

    /// What to know beside the map.
    #[must_use]
    pub fn remarks_in(&self, units: Units) -> Vec<String> {
        let setbacks = self.setbacks.iter().map(|setback| setback_words(setback, units));
        let heading = format!(
            "Heading: {}. The ground is taken as level as where the machine stands in the plan; setting-out tolerance, swing, \
             bending and overrun are counted.",
            self.heading
        );
        let ends =
            "Only the described part of a line is known: where it goes on past its last support, so does the danger."
                .into();
        let fences = if self.fences > 0 { " Fenced ground is left out as well." } else { "" };
        let room = format!(
            "Left out, as nobody can stand in a support: ground within {} of the foot of each.{fences}",
            units.length_up(self.support_room_m)
        );
        setbacks.chain([heading, room, ends]).collect()
    }
}

fn setback_of(job: &Job, setback: &Setback) -> SetbackResult {
    SetbackResult {
        line: job.lines.get(setback.line).map_or_else(String::new, |line| line.name.clone()),
        side: if setback.left { "left" } else { "right" },
        clear_m: setback.clear_m,
        too_close_m: setback.too_close_m,
    }
}

fn setback_words(setback: &SetbackResult, units: Units) -> String {
    let SetbackResult { line, side, clear_m, too_close_m } = setback;
    let clear = match clear_m {
        Some(clear_m) => format!("clear from {} on (on this map)", units.length_up(*clear_m)),
        None => "the map ends before it is clear".into(),
    };
    let close = too_close_m.map_or(String::new(), |m| format!("; too close up to {}", units.length_down(m)));
    format!("From the middle of {line}, {side} side: {clear}{close}.")
}
