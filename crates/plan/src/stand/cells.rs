//! Proven cells: rectangles along and across the line, halved until each is proven or as narrow as asked.
//!
//! A cell is *clear* when the closest approach from its middle exceeds the limit by more than half its diagonal (a distance
//! changes by no more than the machine moves), or when one search over the whole cell, with the place of the machine as two
//! more slides, keeps the limit. It is *too close* when one pose and one state, held while the machine moves about the whole
//! cell, stay inside the limit. Proofs in `docs/theory/standing.md`.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use nalgebra::{Point2, Unit, Vector2, Vector3};
use wideberth_physics::approach::{Approach, Held, Options, Witness, closest_approach};
use wideberth_physics::machine::Machine;
use wideberth_physics::verdict::Verdict;

use super::Standing;
use crate::decide::{DECIDE_TOLERANCE_M, PlanError, Target};

/// A rectangle on the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Its middle, m.
    pub center: Point2<f64>,
    /// Unit vector of its first axis, along the line.
    pub along: Vector2<f64>,
    /// Its size along the first axis and across it, m.
    pub size_m: [f64; 2],
}

impl Area {
    /// Unit vector of the second axis, to the left of the first.
    #[must_use]
    pub fn across(&self) -> Vector2<f64> {
        Vector2::new(-self.along.y, self.along.x)
    }

    /// The place at coordinates along and across, from the middle.
    #[must_use]
    pub fn place(&self, at_m: [f64; 2]) -> Point2<f64> {
        self.center + self.along * at_m[0] + self.across() * at_m[1]
    }

    /// Its corners, anticlockwise.
    #[must_use]
    pub fn corners(&self) -> [Point2<f64>; 4] {
        let half = self.size_m.map(|side| 0.5 * side);
        [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]].map(|s| self.place([s[0] * half[0], s[1] * half[1]]))
    }
}

/// What is proven of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ground {
    /// Wherever in the cell the machine stands, it is clear.
    Clear,
    /// Neither is proven of the whole cell.
    NotProven,
    /// Wherever in the cell the machine stands, it can come too close.
    TooClose,
}

/// A cell of an area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Its middle along and across, from the middle of the area, m.
    pub at_m: [f64; 2],
    /// Half its size along and across, m.
    pub half_m: [f64; 2],
    /// What is proven of it.
    pub ground: Ground,
}

impl Cell {
    /// The cell as an area of its own.
    #[must_use]
    pub fn area(&self, whole: &Area) -> Area {
        Area { center: whole.place(self.at_m), along: whole.along, size_m: self.half_m.map(|half| 2.0 * half) }
    }
}

/// A pose and a state that come too close from somewhere, and from where.
struct Known<'a> {
    held: Held<'a>,
    from: Point2<f64>,
    limit_m: f64,
}

/// Poses and states that are known where a cell is looked at: its own and those of the cells that it is a part of.
type Pool<'a> = Vec<Arc<Known<'a>>>;

/// What is known of the closest approach from the middle of a cell.
struct Middle<'a> {
    /// Proven spare beyond the limits, m, and whether a pose and a state inside a limit were found.
    spare_m: f64,
    is_too_close: bool,
    /// Directions in which the wires with the least spare lie, along and across.
    toward: [f64; 2],
    known: Option<Arc<Known<'a>>>,
}

struct Mapper<'s, 'a> {
    standing: &'s Standing<'a>,
    area: &'s Area,
    resolution_m: f64,
    searches: AtomicU64,
}

/// The cells of an area, in a fixed order, and how many searches they took.
pub(super) fn cells(
    standing: &Standing<'_>,
    area: &Area,
    resolution_m: f64,
) -> Result<(Vec<Cell>, u64), PlanError> {
    let mapper = Mapper { standing, area, resolution_m, searches: AtomicU64::new(0) };
    let whole = Cell { at_m: [0.0; 2], half_m: area.size_m.map(|side| 0.5 * side), ground: Ground::NotProven };
    let cells = mapper.visit(whole, &Vec::new())?;
    Ok((cells, mapper.searches.into_inner()))
}

impl<'a> Mapper<'_, 'a> {
    fn visit(&self, cell: Cell, pool: &Pool<'a>) -> Result<Vec<Cell>, PlanError> {
        let proven = |ground| Ok(vec![Cell { ground, ..cell }]);
        let place = cell.area(self.area);
        if pool.iter().rev().any(|known| covers(known, &place, self.finest_m())) {
            return proven(Ground::TooClose);
        }
        let middle = self.middle(&cell, &place)?;
        if middle.spare_m >= half_diagonal_m(&cell) {
            return proven(Ground::Clear);
        }
        if middle.known.as_ref().is_some_and(|known| covers(known, &place, self.finest_m())) {
            return proven(Ground::TooClose);
        }
        let mut pool = pool.clone();
        pool.extend(middle.known.clone());
        if !middle.is_too_close && middle.spare_m >= HOPE * needed_m(&cell, &middle.toward) {
            match self.everywhere(&cell, &place)? {
                None => return proven(Ground::Clear),
                Some(known) => pool.push(known),
            }
        }
        if self.is_narrow(&cell, &middle.toward) {
            return proven(Ground::NotProven);
        }
        let [first, second] = halves(&cell, split_axis(&cell, &middle.toward));
        let (first, second) = rayon::join(|| self.visit(first, &pool), || self.visit(second, &pool));
        let mut all = first?;
        all.extend(second?);
        Ok(all)
    }

    fn finest_m(&self) -> f64 {
        0.25 * self.resolution_m
    }

    /// Whether a cell is as narrow as asked toward the wires, and not longer than a few times that along them.
    fn is_narrow(&self, cell: &Cell, toward: &[f64; 2]) -> bool {
        let narrow = |half_m: f64, toward: f64| {
            2.0 * half_m <= LONGEST * self.resolution_m && 2.0 * half_m * toward.abs() <= self.resolution_m
        };
        let thin = cell.half_m.iter().any(|half_m| 2.0 * half_m <= self.resolution_m);
        thin && cell.half_m.iter().zip(toward).all(|(half_m, toward)| narrow(*half_m, *toward))
    }

    fn at(&self, place: &Area) -> Result<Machine, PlanError> {
        let step = place.center - self.standing.machine.position().xy();
        Ok(self.standing.machine.moved(&step.push(0.0))?)
    }

    /// The closest approach from the middle of a cell, known well enough to decide about a cell of this size.
    fn middle(&self, cell: &Cell, place: &Area) -> Result<Middle<'a>, PlanError> {
        let machine = self.at(place)?;
        let (radius_m, needed_m) = (half_diagonal_m(cell), cell.half_m[0].min(cell.half_m[1]));
        let mut middle =
            Middle { spare_m: f64::INFINITY, is_too_close: false, toward: [0.0, 1.0], known: None };
        let mut worst_m = f64::INFINITY;
        for target in &self.standing.targets {
            let options = Options {
                tolerance_m: (TOLERANCE * needed_m).clamp(DECIDE_TOLERANCE_M, 1.0),
                enough_m: Some(target.limit_m + radius_m),
                found_m: Some(target.limit_m - radius_m),
                ..self.standing.options.clone()
            };
            let approach = self.search(&machine, target, &options)?;
            let spare = approach.distance.less(target.limit_m);
            middle.spare_m = middle.spare_m.min(spare.lower_m);
            if spare.upper_m < worst_m {
                worst_m = spare.upper_m;
                middle.toward = self.toward(&approach.witness);
                middle.is_too_close = spare.upper_m < 0.0;
                middle.known =
                    if middle.is_too_close { Some(known(&machine, target, &approach.witness, place.center)?) } else { None };
            }
            if worst_m < -radius_m {
                break;
            }
        }
        Ok(middle)
    }

    /// One search over every place of a cell: none where all are clear, else a pose and a state that are not.
    fn everywhere(&self, cell: &Cell, place: &Area) -> Result<Option<Arc<Known<'a>>>, PlanError> {
        let middle = self.at(place)?;
        let spread = spread(&middle, self.area, cell)?;
        for target in &self.standing.targets {
            let options = Options {
                tolerance_m: DECIDE_TOLERANCE_M,
                enough_m: Some(target.limit_m),
                found_m: Some(target.limit_m),
                max_cells: EVERYWHERE_CELLS,
                ..self.standing.options.clone()
            };
            let approach = self.search(&spread, target, &options)?;
            if Verdict::of(&approach.distance, target.limit_m) != Verdict::Clear {
                // The slides come first; without them it is a pose of the machine in the middle.
                let slides = spread.movers().len() - middle.movers().len();
                let pose = approach.witness.pose.get(slides..).unwrap_or_default().to_vec();
                let witness = Witness { pose, ..approach.witness };
                return known(&middle, target, &witness, place.center).map(Some);
            }
        }
        Ok(None)
    }

    fn search(&self, machine: &Machine, target: &Target<'_>, options: &Options) -> Result<Approach, PlanError> {
        self.searches.fetch_add(1, Ordering::Relaxed);
        Ok(closest_approach(machine, target.wire, options)?)
    }

    /// How much a wire comes nearer for each metre along and across.
    fn toward(&self, witness: &Witness) -> [f64; 2] {
        let gap = (witness.on_wire - witness.on_body).try_normalize(1e-9).unwrap_or(Vector3::z()).xy();
        [gap.dot(&self.area.along), gap.dot(&self.area.across())]
    }
}

/// A search over a whole cell is worth its while when the spare in its middle is this share of what the cell needs.
const HOPE: f64 = 0.8;
/// Tolerance of a search in the middle of a cell, as a share of half the cell's smaller side.
const TOLERANCE: f64 = 0.2;
/// A cell at the edge may be this many times longer along the wires than across them.
const LONGEST: f64 = 8.0;
/// Cells of one search over all places of a cell.
const EVERYWHERE_CELLS: u64 = 5_000;

fn half_diagonal_m(cell: &Cell) -> f64 {
    cell.half_m[0].hypot(cell.half_m[1])
}

/// About how much nearer the wires are at the worst place of a cell than in its middle.
fn needed_m(cell: &Cell, toward: &[f64; 2]) -> f64 {
    toward.iter().zip(&cell.half_m).map(|(toward, half_m)| toward.abs() * half_m).sum()
}

/// The axis along which the distance changes more, or which is far longer.
fn split_axis(cell: &Cell, toward: &[f64; 2]) -> usize {
    let weight = |axis: usize| (toward[axis].abs() + SIDEWAYS) * cell.half_m[axis];
    usize::from(weight(1) > weight(0))
}

/// What an axis counts along which the distance does not change.
const SIDEWAYS: f64 = 0.08;

fn halves(cell: &Cell, axis: usize) -> [Cell; 2] {
    [-1.0, 1.0].map(|sign| {
        let mut half = *cell;
        half.half_m[axis] *= 0.5;
        half.at_m[axis] += sign * half.half_m[axis];
        half
    })
}

/// The machine anywhere in a cell. Where two more joints are too many, the smaller side thickens the machine instead.
fn spread(middle: &Machine, area: &Area, cell: &Cell) -> Result<Machine, PlanError> {
    let axis = |direction: Vector2<f64>| Unit::new_normalize(direction.push(0.0));
    let sides = [(axis(area.along), cell.half_m[0]), (axis(area.across()), cell.half_m[1])];
    if let Ok(spread) = middle.spread(sides, 0.0) {
        return Ok(spread);
    }
    let longer = if cell.half_m[0] >= cell.half_m[1] { [sides[0], (sides[1].0, 0.0)] } else { [(sides[0].0, 0.0), sides[1]] };
    let shorter_m = cell.half_m[0].min(cell.half_m[1]);
    match middle.spread(longer, shorter_m) {
        Ok(spread) => Ok(spread),
        Err(_) => Ok(middle.spread(sides.map(|(axis, _)| (axis, 0.0)), half_diagonal_m(cell))?),
    }
}

/// Holds a pose and a state that were found with the machine somewhere about a place.
fn known<'a>(
    machine: &Machine,
    target: &Target<'a>,
    witness: &Witness,
    from: Point2<f64>,
) -> Result<Arc<Known<'a>>, PlanError> {
    Ok(Arc::new(Known { held: Held::new(machine, target.wire, witness)?, from, limit_m: target.limit_m }))
}

/// Whether a held pose and state stay inside the limit wherever in a place the machine stands. The distance changes by no
/// more than the machine moves, so its value in the middle of a part bounds it over that part.
fn covers(known: &Known<'_>, place: &Area, finest_m: f64) -> bool {
    let step = place.center - known.from;
    let distance_m = known.held.distance_m(&step.push(0.0));
    if distance_m >= known.limit_m {
        return false;
    }
    let radius_m = 0.5 * place.size_m[0].hypot(place.size_m[1]);
    if distance_m + radius_m < known.limit_m {
        return true;
    }
    let longer = usize::from(place.size_m[1] > place.size_m[0]);
    if place.size_m[longer] <= finest_m {
        return false;
    }
    let axis = if longer == 0 { place.along } else { place.across() };
    let mut size_m = place.size_m;
    size_m[longer] *= 0.5;
    [-0.5, 0.5].into_iter().all(|side| {
        covers(known, &Area { center: place.center + axis * (side * size_m[longer]), size_m, ..*place }, finest_m)
    })
}
