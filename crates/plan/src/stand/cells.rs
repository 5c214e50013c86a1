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
    /// Whether nobody can stand there, whatever the wires do: too near a support, or fenced.
    pub left_out: bool,
}

impl Cell {
    /// The cell as an area of its own.
    #[must_use]
    pub fn area(&self, whole: &Area) -> Area {
        Area { center: whole.place(self.at_m), along: whole.along, size_m: self.half_m.map(|half| 2.0 * half) }
    }
}

/// A pose and a state that come too close from somewhere, and from where.
struct Known {
    held: Held,
    from: Point2<f64>,
    limit_m: f64,
}

/// What is known where a cell is looked at.
#[derive(Clone)]
struct Pool {
    /// Poses and states that come too close from somewhere, the newest last.
    known: Vec<Arc<Known>>,
    /// The target with the least spare so far, which is searched first.
    first: usize,
    /// How often the area was halved.
    depth: usize,
}

/// What is known of the closest approach from the middle of a cell.
struct Middle {
    /// Proven spare beyond the limits, m.
    spare_m: f64,
    /// How much the wire with the least spare comes nearer for each metre along and across.
    toward: [f64; 2],
    /// A pose and a state inside a limit, where one was found.
    known: Option<Arc<Known>>,
}

/// What one search over every place of a cell found.
enum Everywhere {
    Clear,
    /// A pose and a state that are not clear from somewhere in the cell, and how much the wire comes nearer then.
    Open(Arc<Known>, [f64; 2]),
}

struct Mapper<'s, 'a> {
    standing: &'s Standing<'a>,
    area: &'s Area,
    resolution_m: f64,
    searches: AtomicU64,
}

/// The cells of an area, in a fixed order, and how many searches they took.
pub(super) fn cells(standing: &Standing<'_>, area: &Area, resolution_m: f64) -> Result<(Vec<Cell>, u64), PlanError> {
    let mapper = Mapper { standing, area, resolution_m, searches: AtomicU64::new(0) };
    let whole =
        Cell { at_m: [0.0; 2], half_m: area.size_m.map(|side| 0.5 * side), ground: Ground::NotProven, left_out: false };
    let cells = mapper.visit(whole, &mut Pool { known: Vec::new(), first: 0, depth: 0 })?;
    Ok((cells, mapper.searches.into_inner()))
}

impl<'a> Mapper<'_, 'a> {
    fn visit(&self, cell: Cell, pool: &mut Pool) -> Result<Vec<Cell>, PlanError> {
        let place = cell.area(self.area);
        let (ground, toward) = if self.is_covered(&place, pool) {
            (Ground::TooClose, [0.0; 2])
        } else if cell.half_m[0].min(cell.half_m[1]) > COARSE * self.resolution_m {
            self.coarse(&cell, &place, pool)?
        } else {
            self.fine(&cell, &place, pool)?
        };
        if ground != Ground::NotProven || self.is_narrow(&cell, &toward) {
            return Ok(vec![Cell { ground, ..cell }]);
        }
        let [first, second] = halves(&cell, split_axis(&cell, &toward));
        pool.depth += 1;
        let (first, second) = if pool.depth <= SHARED_DEPTH {
            let mut other = pool.clone();
            rayon::join(|| self.visit(first, pool), || self.visit(second, &mut other))
        } else {
            // One after the other, so that the second knows what the first found.
            (self.visit(first, pool), self.visit(second, pool))
        };
        pool.depth -= 1;
        let mut all = first?;
        all.extend(second?);
        Ok(all)
    }

    fn is_covered(&self, place: &Area, pool: &Pool) -> bool {
        pool.known.iter().rev().take(RECENT).any(|known| covers(known, place, self.finest_m()))
    }

    /// A cell that is far larger than the edge is to be known: by the closest approach from its middle.
    fn coarse(&self, cell: &Cell, place: &Area, pool: &mut Pool) -> Result<(Ground, [f64; 2]), PlanError> {
        let radius_m = half_diagonal_m(cell);
        let middle = self.middle(place, radius_m, TOLERANCE * radius_m, pool)?;
        if middle.spare_m >= radius_m {
            return Ok((Ground::Clear, middle.toward));
        }
        let Some(known) = middle.known else { return Ok((Ground::NotProven, middle.toward)) };
        let covered = covers(&known, place, self.finest_m());
        pool.known.push(known);
        Ok((if covered { Ground::TooClose } else { Ground::NotProven }, middle.toward))
    }

    /// A cell near the edge: by one search over all its places, or by the poses that such searches found.
    fn fine(&self, cell: &Cell, place: &Area, pool: &mut Pool) -> Result<(Ground, [f64; 2]), PlanError> {
        let (known, toward) = match self.everywhere(cell, place, pool)? {
            Everywhere::Clear => return Ok((Ground::Clear, [0.0; 2])),
            Everywhere::Open(known, toward) => (known, toward),
        };
        pool.known.push(known);
        let covered = self.is_covered(place, pool);
        Ok((if covered { Ground::TooClose } else { Ground::NotProven }, toward))
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

    /// The targets, the one with the least spare so far first.
    fn targets(&self, first: usize) -> impl Iterator<Item = (usize, &Target<'a>)> {
        let all = || self.standing.targets.iter().enumerate();
        all().skip(first).chain(all().take(first))
    }

    /// The closest approach from the middle of a place: known to a tolerance while it lies within a margin of the limit.
    fn middle(&self, place: &Area, margin_m: f64, tolerance_m: f64, pool: &mut Pool) -> Result<Middle, PlanError> {
        let machine = self.at(place)?;
        let mut middle = Middle { spare_m: f64::INFINITY, toward: [0.0; 2], known: None };
        let mut worst_m = f64::INFINITY;
        for (index, target) in self.targets(pool.first) {
            let options = Options {
                tolerance_m: tolerance_m.clamp(DECIDE_TOLERANCE_M, 1.0),
                // A wire that is farther than the one before matters no more.
                enough_m: Some(target.limit_m + margin_m.min(worst_m)),
                found_m: Some(target.limit_m - margin_m),
                ..self.standing.options.clone()
            };
            let approach = self.search(&machine, target, &options)?;
            let spare = approach.distance.less(target.limit_m);
            middle.spare_m = middle.spare_m.min(spare.lower_m);
            if spare.upper_m < worst_m {
                (worst_m, pool.first) = (spare.upper_m, index);
                middle.toward = self.toward(&approach.witness);
                let too_close = worst_m < 0.0;
                middle.known =
                    too_close.then(|| known(&machine, target, &approach.witness, place.center)).transpose()?;
            }
            if worst_m < -margin_m {
                break;
            }
        }
        Ok(middle)
    }

    /// One search over every place of a cell.
    fn everywhere(&self, cell: &Cell, place: &Area, pool: &mut Pool) -> Result<Everywhere, PlanError> {
        let middle = self.at(place)?;
        let spread = spread(&middle, self.area, cell)?;
        for (index, target) in self.targets(pool.first) {
            let options = Options {
                tolerance_m: DECIDE_TOLERANCE_M,
                enough_m: Some(target.limit_m),
                found_m: Some(target.limit_m),
                max_cells: EVERYWHERE_CELLS,
                ..self.standing.options.clone()
            };
            let approach = self.search(&spread, target, &options)?;
            if Verdict::of(&approach.distance, target.limit_m) != Verdict::Clear {
                pool.first = index;
                let toward = self.toward(&approach.witness);
                // The slides come first; without them it is a pose of the machine in the middle.
                let slides = spread.movers().len() - middle.movers().len();
                let pose = approach.witness.pose.get(slides..).unwrap_or_default().to_vec();
                let known = known(&middle, target, &Witness { pose, ..approach.witness }, place.center)?;
                return Ok(Everywhere::Open(known, toward));
            }
        }
        Ok(Everywhere::Clear)
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

/// Tolerance of a search in the middle of a cell, as a share of what it must tell apart.
const TOLERANCE: f64 = 0.2;
/// A cell at the edge may be this many times longer along the wires than the edge is to be known.
const LONGEST: f64 = 40.0;
/// Cells whose half sides are larger than this many times what is asked of the edge are decided from their middle.
const COARSE: f64 = 8.0;
/// Cells of one search over all places of a cell.
const EVERYWHERE_CELLS: u64 = 3_000;
/// Halvings above which both halves are looked at together.
const SHARED_DEPTH: usize = 4;
/// Poses and states that are tried on a cell, the newest first.
const RECENT: usize = 12;

fn half_diagonal_m(cell: &Cell) -> f64 {
    cell.half_m[0].hypot(cell.half_m[1])
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
    let longer =
        if cell.half_m[0] >= cell.half_m[1] { [sides[0], (sides[1].0, 0.0)] } else { [(sides[0].0, 0.0), sides[1]] };
    let shorter_m = cell.half_m[0].min(cell.half_m[1]);
    match middle.spread(longer, shorter_m) {
        Ok(spread) => Ok(spread),
        Err(_) => Ok(middle.spread(sides.map(|(axis, _)| (axis, 0.0)), half_diagonal_m(cell))?),
    }
}

/// Holds a pose and a state that were found with the machine somewhere about a place.
fn known(
    machine: &Machine,
    target: &Target<'_>,
    witness: &Witness,
    from: Point2<f64>,
) -> Result<Arc<Known>, PlanError> {
    Ok(Arc::new(Known { held: Held::new(machine, target.wire, witness)?, from, limit_m: target.limit_m }))
}

impl Known {
    /// The distance beyond the limit with the machine at a place, m.
    fn spare_m(&self, place: &Point2<f64>) -> f64 {
        self.held.distance_m(&(place - self.from).push(0.0)) - self.limit_m
    }
}

/// Whether a held pose and state stay inside the limit wherever in a place the machine stands.
fn covers(known: &Known, place: &Area, finest_m: f64) -> bool {
    // Most that do not cover a place leave out a corner.
    place.corners().iter().all(|corner| known.spare_m(corner) < 0.0) && covers_all(known, place, finest_m)
}

/// The distance changes by no more than the machine moves, so its value in the middle of a part bounds it over that part.
fn covers_all(known: &Known, place: &Area, finest_m: f64) -> bool {
    let spare_m = known.spare_m(&place.center);
    if spare_m + 0.5 * place.size_m[0].hypot(place.size_m[1]) < 0.0 {
        return true;
    }
    let longer = usize::from(place.size_m[1] > place.size_m[0]);
    if spare_m >= 0.0 || place.size_m[longer] <= finest_m {
        return false;
    }
    let axis = if longer == 0 { place.along } else { place.across() };
    let mut size_m = place.size_m;
    size_m[longer] *= 0.5;
    [-0.5, 0.5].into_iter().all(|side| {
        covers_all(known, &Area { center: place.center + axis * (side * size_m[longer]), size_m, ..*place }, finest_m)
    })
}
