//! Where on the ground a machine may stand: a map of proven cells, and what follows from it.

mod cells;
mod left_out;
mod route;
mod setback;

use nalgebra::{Point2, Vector2};
use wideberth_physics::approach::Options;
use wideberth_physics::machine::Machine;
use wideberth_scenario::Job;

pub use cells::{Area, Cell, Ground};
pub use left_out::{Zone, base_m};
pub use route::{Clearway, Route, clearway, is_clear_up_to};
pub use setback::{Setback, setbacks};

use crate::decide::{PlanError, Target, targets};

/// What is asked of a map.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Index of the machine.
    pub machine: usize,
    /// Middle of the area; the machine's place where left out.
    pub center: Option<Point2<f64>>,
    /// Size along and across the line, m.
    pub size_m: [f64; 2],
    /// How well the edge is to be known, m.
    pub resolution_m: f64,
    /// Whether the machine may be turned anyhow; else as the scenario has it.
    pub any_heading: bool,
    /// How far its reference point keeps from the foot of every support, m; the room that its base needs where left out.
    pub support_room_m: Option<f64>,
}

/// A map of where a machine may stand.
#[derive(Clone, Debug, PartialEq)]
pub struct StandMap {
    /// The machine.
    pub machine: usize,
    /// The area, with an axis along the line and one across it.
    pub area: Area,
    /// Cells that fill the area.
    pub cells: Vec<Cell>,
    /// How well the edge is to be known, m.
    pub resolution_m: f64,
    /// Whether any heading is allowed.
    pub any_heading: bool,
    /// How far the reference point keeps from the foot of every support, m.
    pub support_room_m: f64,
    /// Ground that is left out.
    pub zones: Vec<Zone>,
    /// Searches that it took.
    pub searches: u64,
}

/// Largest side of an area, m.
pub const LARGEST_M: f64 = 2000.0;
/// Least room that is taken for a base about a support, m.
pub const LEAST_ROOM_M: f64 = 1.0;
/// Finest edge, m.
pub const FINEST_M: f64 = 0.05;

/// The map of a machine.
///
/// # Errors
/// When the question makes no sense, or a search cannot run.
pub fn map(job: &Job, question: &Question) -> Result<StandMap, PlanError> {
    check(question)?;
    let standing = Standing::of(job, question)?;
    let machine = standing.machine.position();
    let center = question.center.unwrap_or(machine.xy());
    let area = Area { center, along: standing.along, size_m: question.size_m };
    let (cells, searches) = cells::cells(&standing, &area, question.resolution_m)?;
    let Question { machine, resolution_m, any_heading, .. } = *question;
    let support_room_m = question.support_room_m.unwrap_or_else(|| base_m(&standing.machine).max(LEAST_ROOM_M));
    let zones = left_out::zones(job, machine, support_room_m);
    let cells = left_out::carved(cells, &area, &zones, resolution_m);
    Ok(StandMap { machine, area, cells, resolution_m, any_heading, support_room_m, zones, searches })
}

fn check(question: &Question) -> Result<(), PlanError> {
    let sides = question.size_m.iter().all(|side| (1.0..=LARGEST_M).contains(side));
    if !sides {
        return Err(PlanError::Question(format!("each side of the map must lie between 1 m and {LARGEST_M} m")));
    }
    if !question.support_room_m.is_none_or(|room_m| (0.0..=100.0).contains(&room_m)) {
        return Err(PlanError::Question("the room about supports must lie between 0 m and 100 m".into()));
    }
    if !(FINEST_M..=10.0).contains(&question.resolution_m) {
        return Err(PlanError::Question(format!("the edge can be found to between {FINEST_M} m and 10 m")));
    }
    Ok(())
}

/// A machine that is put elsewhere, and the wires around.
pub(crate) struct Standing<'a> {
    /// The machine where the scenario has it.
    pub machine: Machine,
    /// Its wires.
    pub targets: Vec<Target<'a>>,
    /// Direction of the line on the map.
    pub along: Vector2<f64>,
    /// How hard to search.
    pub options: Options,
}

impl<'a> Standing<'a> {
    fn of(job: &'a Job, question: &Question) -> Result<Self, PlanError> {
        let placed = job.study.machines.get(question.machine);
        let placed = placed.ok_or_else(|| PlanError::NoSuchMachine(question.machine.to_string()))?;
        let machine = if question.any_heading { placed.with_any_heading()? } else { placed.clone() };
        let targets = targets(job, question.machine);
        let along = along(&machine, &targets);
        let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
        Ok(Self { machine, targets, along, options })
    }
}

/// Cells of one search of the map: what needs more is split further.
const MOST_CELLS: u64 = 20_000;

/// Direction of the span whose chord is nearest to the machine on the map; east where there is none.
fn along(machine: &Machine, targets: &[Target<'_>]) -> Vector2<f64> {
    let foot = machine.position().xy();
    let spans = targets.iter().flat_map(|target| target.wire.spans());
    let chord = |span: &wideberth_physics::line::WireSpan| (span.span().from().xy(), span.span().to().xy());
    let nearest =
        spans.map(chord).min_by(|a, b| setback::to_segment_m(&foot, a).total_cmp(&setback::to_segment_m(&foot, b)));
    nearest.and_then(|(from, to)| (to - from).try_normalize(1e-9)).unwrap_or(Vector2::x())
}
