//! Best-first branch and bound over the cells of one machine and one wire.

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::Arc;

use super::bound::{Candidate, Scratch, whole_pose};
use super::cell::{Cell, Dimension};
use super::contenders::{Contenders, Stretch};
use super::descent::close_pose;
use super::limiter::{Limiter, Tops};
use super::posed::{Carried, Joints};
use super::probe::{Probe, Trial, polish};
use super::strand::Pair;
use super::types::{Approach, ApproachError, Options, StopReason, Witness};
use crate::bracket::Bracket;
use crate::line::{DIMENSIONS, Wire};
use crate::machine::{MAX_JOINTS, Machine};

/// How close a machine comes to a wire, over all poses, states and tolerances.
///
/// Deterministic; stopped early, the bracket still holds.
///
/// # Errors
/// When a state of the wire has no shape.
pub fn closest_approach(machine: &Machine, wire: &Wire, options: &Options) -> Result<Approach, ApproachError> {
    let carried: Vec<_> = machine.bodies().iter().map(|body| Carried::new(machine, body)).collect();
    let tops = if machine.is_limited() { Tops::of(machine) } else { Tops::default() };
    let limiters: Vec<_> = carried.iter().map(|carried| Limiter::all(machine, &tops, carried)).collect();
    let contenders = Contenders::new(&carried, &limiters, wire.spans());
    let mut search = Search::new(machine, &contenders, options);
    let stop = search.run()?;
    search.answer(stop)
}

/// What waits in the queue: spans or a body and a span not yet looked at, or a cell.
enum Waiting {
    Stretch(Stretch),
    Untouched(u32),
    Cell(u32),
}

struct Entry {
    lower_m: f64,
    order: u64,
    waiting: Waiting,
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Entry {}

impl PartialOrd for Entry {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Entry {
    /// The heap gives its greatest first: the smallest bound, then the earliest.
    fn cmp(&self, other: &Self) -> Ordering {
        other.lower_m.total_cmp(&self.lower_m).then(other.order.cmp(&self.order))
    }
}

/// A trial closer than the last polished one by less than this share of the tolerance is not polished again.
const SAME_PLACE: f64 = 0.01;

/// The share of the tolerance to which a bracket is narrowed that holds the limit.
const UNDECIDED: f64 = 0.01;

/// The first polish waits until this many cells have been bounded: simple machines are done by then.
const FIRST_POLISH: u64 = 100;

/// The cell of all poses and states of a body and a span; its bound is not made yet.
fn whole(index: u32, candidate: &Candidate) -> Cell {
    let (mut center, mut half) = ([0.0; MAX_JOINTS], [0.0; MAX_JOINTS]);
    for (joint, range) in candidate.carried.ranges().iter().enumerate() {
        (center[joint], half[joint]) = (range.center(), range.half_width());
    }
    Cell {
        candidate: index,
        lower_m: f64::NEG_INFINITY,
        promise_m: f64::NEG_INFINITY,
        center,
        half,
        from: 0.0,
        to: 1.0,
        wire: Arc::new(candidate.wire.cover()),
        split: Some(Dimension::Along),
        halvings: [0; Dimension::MOST],
        idle: 0,
        preferred: center,
        shares: [0.5; DIMENSIONS],
    }
}

struct Search<'a> {
    machine: &'a Machine,
    contenders: &'a Contenders<'a>,
    options: &'a Options,
    queue: BinaryHeap<Entry>,
    store: Vec<Option<Cell>>,
    free: Vec<u32>,
    scratch: Scratch,
    best: Option<(u32, Trial)>,
    /// Smallest bound among the cells that were dropped.
    dropped_m: f64,
    /// Smallest bound among the cells that no halving makes sharper.
    stuck_m: f64,
    order: u64,
    cells: u64,
    next_polish: u64,
    /// Distance of the last polished trial, m.
    polished_m: f64,
    /// Smallest lower bound of a single pose under loads that differ along the wire: no cell about that pose can exceed it.
    floor_m: f64,
}

impl<'a> Search<'a> {
    fn new(machine: &'a Machine, contenders: &'a Contenders<'a>, options: &'a Options) -> Self {
        let mut search = Self {
            machine,
            contenders,
            options,
            queue: BinaryHeap::with_capacity(64),
            store: Vec::new(),
            free: Vec::new(),
            scratch: Scratch::default(),
            best: None,
            dropped_m: f64::INFINITY,
            stuck_m: f64::INFINITY,
            order: 0,
            cells: 0,
            next_polish: FIRST_POLISH,
            polished_m: f64::INFINITY,
            floor_m: f64::INFINITY,
        };
        if let Some(all) = contenders.stretch() {
            search.enqueue(0.0, Waiting::Stretch(all));
        }
        search
    }

    /// Looks at a stretch: its halves, or the bodies beside its single span.
    fn open_stretch(&mut self, stretch: Stretch) {
        let Some(halves) = stretch.halves() else {
            for number in self.contenders.of_span(stretch.from) {
                let far_m = self.contenders.candidate(number).far_bound_m();
                self.enqueue(far_m, Waiting::Untouched(number));
            }
            return;
        };
        for half in halves {
            self.enqueue(self.contenders.stretch_bound_m(half), Waiting::Stretch(half));
        }
    }

    fn enqueue(&mut self, lower_m: f64, waiting: Waiting) {
        self.order += 1;
        self.queue.push(Entry { lower_m, order: self.order, waiting });
    }

    fn upper_m(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(_, trial)| trial.distance_m)
    }

    fn enough_m(&self) -> f64 {
        self.options.enough_m.unwrap_or(f64::INFINITY)
    }

    fn found_m(&self) -> f64 {
        self.options.found_m.unwrap_or(f64::NEG_INFINITY)
    }

    /// Cells with a bound at or above this need not be looked at. While the limit lies within the bracket, cells below it count until
    /// the bracket is a hundredth of what was asked.
    fn prune_m(&self) -> f64 {
        let (upper_m, tolerance_m) = (self.upper_m().min(self.floor_m), self.options.tolerance_m);
        let asked_m = upper_m - tolerance_m;
        let narrow_m = match self.options.limit_m {
            Some(limit_m) if limit_m <= upper_m => asked_m.max(limit_m).min(upper_m - UNDECIDED * tolerance_m),
            _ => asked_m,
        };
        narrow_m.min(self.enough_m())
    }

    fn run(&mut self) -> Result<StopReason, ApproachError> {
        while let Some(top) = self.queue.peek() {
            if self.upper_m() <= 0.0 {
                return Ok(StopReason::Contact);
            }
            if self.upper_m() < self.found_m() {
                return Ok(StopReason::Found);
            }
            if self.best.is_some() && top.lower_m >= self.prune_m() {
                return Ok(self.settled());
            }
            // Only a limiter can keep every trial so far from counting.
            let tried = self.best.is_some() || self.machine.is_limited();
            if tried && self.cells >= self.options.max_cells {
                return Ok(StopReason::CellBudget);
            }
            if self.best.is_some() && self.options.cancelled() {
                return Ok(StopReason::Cancelled);
            }
            match self.queue.pop().map(|entry| entry.waiting) {
                Some(Waiting::Stretch(stretch)) => self.open_stretch(stretch),
                Some(Waiting::Untouched(index)) => self.open(index)?,
                Some(Waiting::Cell(index)) => self.divide(index)?,
                None => break,
            }
        }
        Ok(self.settled())
    }

    /// Why there is nothing left to look at.
    fn settled(&self) -> StopReason {
        if self.upper_m() <= 0.0 {
            StopReason::Contact
        } else if self.stuck_m < self.prune_m() {
            StopReason::Resolution
        } else if self.enough_m() <= self.upper_m() - self.options.tolerance_m {
            StopReason::FarEnough
        } else if self.floor_m < self.upper_m() - self.options.tolerance_m {
            StopReason::LoadsDiffer
        } else {
            StopReason::Tolerance
        }
    }

    /// Looks at all poses and states of a body and a span, from a close pose.
    fn open(&mut self, index: u32) -> Result<(), ApproachError> {
        let candidate = self.contenders.candidate(index);
        let mut cell = whole(index, &candidate);
        let (lower_m, normal) = candidate.ball_bound(&cell.wire);
        cell.lower_m = lower_m;
        if lower_m >= self.prune_m() {
            if self.best.is_none() {
                self.try_preferred(&cell)?;
            }
            if self.best.is_some() {
                self.dropped_m = self.dropped_m.min(lower_m);
                return Ok(());
            }
        }
        let close = close_pose(&candidate, &cell.wire, &normal, &mut self.scratch.middle);
        self.add(cell, Some(&close))
    }

    /// Bounds a new cell, tries its preferred pose, and queues it unless it cannot matter.
    fn add(&mut self, mut cell: Cell, known: Option<&(Joints, Pair)>) -> Result<(), ApproachError> {
        let candidate = self.contenders.candidate(cell.candidate);
        let prune_m = self.prune_m();
        if candidate.limiters.iter().any(|limiter| limiter.excludes(&cell.center, &cell.half)) {
            self.cells += 1;
            return Ok(());
        }
        candidate.bound(&mut cell, prune_m, &mut self.scratch, known);
        self.cells += 1;
        if self.best.is_some() && cell.lower_m >= prune_m {
            self.dropped_m = self.dropped_m.min(cell.lower_m);
            return Ok(());
        }
        if cell.promise_m < self.upper_m().min(self.floor_m) {
            self.try_preferred(&cell)?;
        }
        let lower_m = cell.lower_m;
        let index = self.keep(cell);
        self.enqueue(lower_m, Waiting::Cell(index));
        Ok(())
    }

    fn keep(&mut self, cell: Cell) -> u32 {
        if let Some(index) = self.free.pop() {
            self.store[index as usize] = Some(cell);
            return index;
        }
        self.store.push(Some(cell));
        (self.store.len() - 1) as u32
    }

    /// Halves a cell and forgets it; where no dimension is left, its bound is the last word.
    fn divide(&mut self, index: u32) -> Result<(), ApproachError> {
        let Some(cell) = self.store[index as usize].take() else { return Ok(()) };
        self.free.push(index);
        let Some(dimension) = cell.split else {
            self.stuck_m = self.stuck_m.min(cell.lower_m);
            return Ok(());
        };
        for half in self.halved(&cell, dimension)? {
            self.add(half, None)?;
        }
        Ok(())
    }

    fn halved(&self, cell: &Cell, dimension: Dimension) -> Result<[Cell; 2], ApproachError> {
        let mut pair = [cell.clone(), cell.clone()];
        pair.iter_mut().for_each(|part| part.halvings[dimension.number()] += 1);
        match dimension {
            Dimension::Joint(joint) => {
                let (joint, half) = (joint as usize, 0.5 * cell.half[joint as usize]);
                for (part, sign) in pair.iter_mut().zip([-1.0, 1.0]) {
                    part.half[joint] = half;
                    part.center[joint] += sign * half;
                }
            }
            Dimension::Along => {
                let middle = 0.5 * (cell.from + cell.to);
                (pair[0].to, pair[1].from) = (middle, middle);
            }
            Dimension::State(dimension) => {
                let span = self.contenders.candidate(cell.candidate).wire;
                for (part, cover) in pair.iter_mut().zip(span.halves(&cell.wire, dimension as usize)?) {
                    part.wire = Arc::new(cover);
                }
            }
        }
        Ok(pair)
    }

    /// An upper bound from the cell's preferred pose; polished now and then.
    fn try_preferred(&mut self, cell: &Cell) -> Result<(), ApproachError> {
        let probe = Probe::new(self.contenders.candidate(cell.candidate), Arc::clone(&cell.wire));
        let Some(pose) = probe.admitted(cell) else { return Ok(()) };
        let trial = probe.trial(&pose, &probe.preferred_state(cell))?;
        if cell.wire.is_uneven() {
            let candidate = self.contenders.candidate(cell.candidate);
            let floor_m = candidate.standing_bound_m(&pose, &cell.wire, &trial.pair, &mut self.scratch.middle);
            self.floor_m = self.floor_m.min(floor_m);
        }
        let better = trial.distance_m < self.upper_m();
        if better {
            self.best = Some((cell.candidate, trial));
        }
        let moved_on = self.upper_m() < self.polished_m - SAME_PLACE * self.options.tolerance_m;
        if better && moved_on && self.cells >= self.next_polish {
            self.next_polish = 4 * self.cells;
            self.polish_best()?;
        }
        Ok(())
    }

    fn polish_best(&mut self) -> Result<(), ApproachError> {
        if let Some((candidate, trial)) = &self.best {
            let probe = Probe::new(self.contenders.candidate(*candidate), Arc::clone(&trial.near));
            let polished = polish(&probe, trial)?;
            self.polished_m = polished.distance_m;
            if polished.distance_m < trial.distance_m {
                self.best = Some((*candidate, polished));
            }
        }
        Ok(())
    }

    fn answer(self, stop: StopReason) -> Result<Approach, ApproachError> {
        let waiting_m = self.queue.peek().map_or(f64::INFINITY, |top| top.lower_m);
        let (index, trial) = self.best.as_ref().ok_or_else(|| self.no_pose())?;
        let upper_m = trial.distance_m.max(0.0);
        let lower_m = waiting_m.min(self.dropped_m).min(self.stuck_m).min(upper_m).max(0.0);
        let witness = self.witness(&self.contenders.candidate(*index), trial);
        Ok(Approach { distance: Bracket { lower_m, upper_m }, witness, stop, cells: self.cells })
    }

    /// Why no trial counted.
    fn no_pose(&self) -> ApproachError {
        let height = self.machine.ceiling_m().map(|ceiling_m| format!("below {ceiling_m} m"));
        let reach = self.machine.reach_m().map(|reach_m| format!("within {reach_m} m of its reference point"));
        let limits: Vec<String> = height.into_iter().chain(reach).collect();
        if limits.is_empty() {
            return ApproachError::NothingToAssess;
        }
        ApproachError::NoPose { machine: self.machine.name().to_string(), limits: limits.join(" and ") }
    }

    fn witness(&self, candidate: &Candidate, trial: &Trial) -> Witness {
        let middles: Vec<f64> = self.machine.ranges().iter().map(|r| r.center()).collect();
        let toward = trial.pair.normal().unwrap_or_default();
        let body_m = candidate.carried.body().radius_m.min(trial.pair.distance_m());
        let wire_m = candidate.wire.strand().load().radius_m(trial.placed.state.ice_m);
        Witness {
            pose: whole_pose(candidate.carried, &trial.joints, &middles),
            body: candidate.body,
            span: candidate.span,
            fraction: trial.pair.fraction,
            state: trial.placed.state,
            section: trial.placed.section,
            temperature_degc: candidate.wire.placed_degc(&trial.placed),
            swing_rad: trial.placed.shape.swing_rad,
            on_body: trial.pair.on_body - toward * body_m,
            on_wire: trial.pair.on_wire + toward * wire_m,
            distance_m: trial.distance_m.max(0.0),
        }
    }
}
