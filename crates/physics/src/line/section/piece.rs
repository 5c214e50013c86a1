//! A box of a section's states with proven bounds, and its halves, found when asked for.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError, Weak};

use nalgebra::{Matrix3, Point3, Vector3};
use rayon::join;
use rayon::prelude::*;

use super::balance::Balanced;
use super::enclose::{Attempt, Bounds, Enclosure};
use super::spread::Lengths;
use super::state::TENSION;
use super::{DIMENSIONS, Section, SectionBox, SectionError};
use crate::interval::Interval;
use crate::line::{CatenaryError, Envelope, StateBox, Strand};

/// A box of states over which a section's strings and tensions are proven to lie within bounds.
#[derive(Debug)]
pub struct Piece {
    states: SectionBox,
    center: Balanced,
    lengths: Lengths,
    bounds: Bounds,
    hints: Vec<Hints>,
    /// Along which dimension the proof had to divide it, and its halves there.
    divided: Option<(usize, Pair)>,
    halves: [Mutex<Halves>; DIMENSIONS],
    keeping: Keeping,
}

/// Two halves of a piece.
type Pair = [Arc<Piece>; 2];

/// What is known of the halves of a piece along a dimension.
#[derive(Debug, Default)]
enum Halves {
    #[default]
    Unknown,
    /// They live as long as the piece: its wire is searched again and again.
    Kept(Pair),
    /// They live as long as somebody uses them, and are proven anew after that.
    Lent([Weak<Piece>; 2]),
    Unproven(SectionError),
}

/// Whether halves are kept: the first few of a wire, and none of those far down, so that neither memory nor depth grows with the
/// length of a search.
#[derive(Clone, Debug, Default)]
struct Keeping {
    /// Of all pieces of the wire, how many are kept.
    kept: Arc<AtomicUsize>,
    /// How often the whole was halved to come to this piece; none where the piece itself is lent.
    depth: Option<u32>,
}

/// Most pieces that a wire keeps for the next search.
const MOST_KEPT: usize = 1_000;
/// Greatest depth of a piece whose halves are kept.
const MOST_DEPTH: u32 = 30;

impl Keeping {
    /// Of all states of a wire.
    fn whole() -> Self {
        Self { kept: Arc::default(), depth: Some(0) }
    }

    /// Of two halves that are about to be made.
    fn of_halves(&self) -> Self {
        let depth = self.depth.map(|depth| depth + 1).filter(|depth| *depth <= MOST_DEPTH);
        let room = |_: &u32| self.kept.fetch_add(2, Ordering::Relaxed) < MOST_KEPT;
        Self { kept: Arc::clone(&self.kept), depth: depth.filter(room) }
    }
}

impl PartialEq for Piece {
    /// Halves are found when asked for and follow from the rest.
    fn eq(&self, other: &Self) -> bool {
        self.states == other.states && self.center == other.center && self.bounds == other.bounds
    }
}

/// How one span changes over half of each range, to first order: where to look and where to split, never a proof.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hints {
    /// Move of its near end, m.
    pub near_m: [Vector3<f64>; DIMENSIONS],
    /// Move of its far end, m.
    pub far_m: [Vector3<f64>; DIMENSIONS],
    /// Relative change of its catenary constant.
    pub constant: [f64; DIMENSIONS],
    /// Change of its swing, rad.
    pub swing_rad: [f64; DIMENSIONS],
    /// How much each number adds to what is not linear.
    pub bends: [f64; DIMENSIONS],
}

/// How far the ends of a span may lie from where its bounds put them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sway {
    near: SwayEnd,
    far: SwayEnd,
}

/// A box about one end.
#[derive(Clone, Copy, Debug, PartialEq)]
struct SwayEnd {
    frame: Matrix3<f64>,
    half_m: Vector3<f64>,
}

impl SwayEnd {
    fn reach_m(&self, normal: &Vector3<f64>) -> f64 {
        self.frame.tr_mul(normal).abs().dot(&self.half_m)
    }
}

impl Sway {
    /// Ends that do not move.
    pub fn none() -> Self {
        let still = SwayEnd { frame: Matrix3::identity(), half_m: Vector3::zeros() };
        Self { near: still, far: still }
    }

    /// The most that the wire is moved along a direction between two fractions of its span, m: linear between its ends.
    pub fn reach_m(&self, normal: &Vector3<f64>, from: f64, to: f64) -> f64 {
        let (near_m, far_m) = (self.near.reach_m(normal), self.far.reach_m(normal));
        let at = |t: f64| (1.0 - t) * near_m + t * far_m;
        at(from).max(at(to))
    }

    /// The most that any point of the span is moved, m.
    pub fn greatest_m(&self) -> f64 {
        self.near.half_m.norm().max(self.far.half_m.norm())
    }

    /// The most that the chord changes, m.
    fn chord_m(&self) -> f64 {
        self.near.half_m.norm() + self.far.half_m.norm()
    }
}

/// Most boxes that the proof over the whole range may take.
const MOST_BOXES: usize = 20_000;
/// Most times that a box may be halved: twelve in each of the five dimensions.
const MOST_HALVINGS: u32 = 60;

/// What a proof over a box begins from, that of the box of which it is a part.
struct Begin<'a> {
    /// A balanced state nearby.
    balanced: &'a Balanced,
    /// The lengths clamped in over the box.
    lengths: Lengths,
    keeping: Keeping,
}

/// How the boxes of a proof are counted and worked through.
struct Effort {
    boxes: AtomicUsize,
    /// Whether halves are proven side by side: not while somebody waits for a part of the proof with a lock held.
    side_by_side: bool,
}

impl Effort {
    fn new(side_by_side: bool) -> Self {
        Self { boxes: AtomicUsize::new(0), side_by_side }
    }

    fn is_spent(&self) -> bool {
        self.boxes.load(Ordering::Relaxed) > MOST_BOXES
    }

    /// Both of two, the first error first.
    fn both<T: Send>(&self, prove: impl Fn(usize) -> Result<T, SectionError> + Sync) -> Result<[T; 2], SectionError> {
        let (low, high) = if self.side_by_side { join(|| prove(0), || prove(1)) } else { (prove(0), prove(1)) };
        Ok([low?, high?])
    }
}

impl Section {
    /// Proves the balance over a box of states; `start` is balanced at any tension near.
    ///
    /// # Errors
    /// When a state has no balance, a string is lifted, or the proof does not succeed.
    pub(super) fn prove(&self, states: SectionBox, start: &Balanced) -> Result<Piece, SectionError> {
        // Where strings are lifted, boxes would only close in on the edge of that.
        let extremes: Vec<_> = states.extremes().collect();
        let failed = extremes.par_iter().find_map_first(|state| self.balanced(state, start).err());
        failed.map_or(Ok(()), Err)?;
        let effort = Effort::new(true);
        let begin = Begin { balanced: start, lengths: self.lengths(&states)?, keeping: Keeping::whole() };
        let piece = self.prove_within(states, begin, &effort, MOST_HALVINGS);
        // How many boxes there are does not depend on who came first, which of them had no more room does.
        if effort.is_spent() { Err(SectionError::NotProven) } else { piece }
    }

    fn prove_within(
        &self,
        states: SectionBox,
        begin: Begin<'_>,
        effort: &Effort,
        halvings: u32,
    ) -> Result<Piece, SectionError> {
        effort.boxes.fetch_add(1, Ordering::Relaxed);
        if effort.is_spent() || halvings == 0 {
            return Err(SectionError::NotProven);
        }
        let Begin { balanced, lengths, keeping } = begin;
        let middle = states.center();
        let parts = self.parts_from(&middle, lengths.iter().map(|length| length.center));
        let center = self.balanced_under(&parts, &middle, balanced)?;
        let bends = match self.enclose(&states, &center, &parts, &lengths) {
            Attempt::TooLarge(bends) => bends,
            Attempt::Proven(enclosure) => {
                let hints = (0..self.members.len()).map(|span| self.hints(&enclosure, span)).collect();
                let (bounds, divided, halves) = (enclosure.bounds, None, Default::default());
                return Ok(Piece { states, center, lengths, bounds, hints, divided, halves, keeping });
            }
        };
        let dimension = steepest(&bends).ok_or(SectionError::NotProven)?;
        let parts = states.halves(dimension);
        let halves = effort.both(|side| {
            let lengths = self.lengths_of_half(&parts[side], &lengths, dimension)?;
            let begin = Begin { balanced: &center, lengths, keeping: keeping.clone() };
            self.prove_within(parts[side], begin, effort, halvings - 1).map(Arc::new)
        })?;
        let bounds = halves[0].bounds.hull(&halves[1].bounds);
        let hints = halves[0].hints.iter().zip(&halves[1].hints).map(|(a, b)| a.joined(b, dimension)).collect();
        let divided = Some((dimension, halves));
        Ok(Piece { states, center, lengths, bounds, hints, divided, halves: Default::default(), keeping })
    }

    /// The lengths clamped in over half of a box: those of the whole unless the tension was halved.
    fn lengths_of_half(&self, half: &SectionBox, whole: &Lengths, dimension: usize) -> Result<Lengths, CatenaryError> {
        if dimension == TENSION { self.lengths(half) } else { Ok(Arc::clone(whole)) }
    }

    fn hints(&self, enclosure: &Enclosure, span: usize) -> Hints {
        let moved = |support: usize| -> [Vector3<f64>; DIMENSIONS] {
            let hanger = support.checked_sub(1).and_then(|index| self.hangers.get(index));
            std::array::from_fn(|k| {
                hanger.map_or_else(Vector3::zeros, |hanger| {
                    let row = self.string_row(hanger.support - 1);
                    let rate = enclosure.rates.fixed_view::<3, 1>(row, k).into_owned();
                    hanger.frame * rate * hanger.string.length_m
                })
            })
        };
        let load = &enclosure.spreads[span].load_n_per_m;
        let [left, down, lift] = load;
        let axes = self.members[span].axes();
        let down = down.plus(&lift.scaled(axes[1].dot(&axes[2])));
        let squared = left.center.powi(2) + down.center.powi(2);
        let swing = |k: usize| (down.center * left.rates[k] - left.center * down.rates[k]) / squared;
        Hints {
            near_m: moved(span),
            far_m: moved(span + 1),
            constant: enclosure.constant_shares[span],
            swing_rad: std::array::from_fn(swing),
            bends: enclosure.bends[span],
        }
    }
}

/// The dimension that bends the equations most; none where all are single values.
fn steepest(bends: &[f64; DIMENSIONS]) -> Option<usize> {
    let most = (0..DIMENSIONS).max_by(|&a, &b| bends[a].total_cmp(&bends[b]))?;
    (bends[most] > 0.0).then_some(most)
}

impl Hints {
    /// Those of a box from its halves along a dimension.
    fn joined(&self, other: &Self, dimension: usize) -> Self {
        let factor = |k: usize| if k == dimension { 1.0 } else { 0.5 };
        Self {
            near_m: std::array::from_fn(|k| (self.near_m[k] + other.near_m[k]) * factor(k)),
            far_m: std::array::from_fn(|k| (self.far_m[k] + other.far_m[k]) * factor(k)),
            constant: std::array::from_fn(|k| (self.constant[k] + other.constant[k]) * factor(k)),
            swing_rad: std::array::from_fn(|k| (self.swing_rad[k] + other.swing_rad[k]) * factor(k)),
            bends: std::array::from_fn(|k| self.bends[k].max(other.bends[k])),
        }
    }
}

impl Halves {
    /// The halves, or why there are none, without proving anything.
    fn at_hand(&self) -> Option<Result<Pair, SectionError>> {
        match self {
            Self::Unknown => None,
            Self::Kept(halves) => Some(Ok(halves.clone())),
            Self::Lent([low, high]) => Some(Ok([low.upgrade()?, high.upgrade()?])),
            Self::Unproven(error) => Some(Err(*error)),
        }
    }
}

impl Piece {
    /// Its states.
    #[must_use]
    pub fn states(&self) -> &SectionBox {
        &self.states
    }

    /// The dimension in which the proof had to divide it; none where it holds for the whole at once.
    pub(in crate::line) fn divided(&self) -> Option<usize> {
        self.divided.as_ref().map(|(dimension, _)| *dimension)
    }

    /// How many pieces of its wire are alive: each holds the count of those that are kept.
    pub(in crate::line) fn alive(&self) -> usize {
        Arc::strong_count(&self.keeping.kept)
    }

    /// Least constant a = H/w of any span, m.
    pub(in crate::line) fn least_constant_m(&self) -> f64 {
        self.bounds.constants_m.iter().map(Interval::low).fold(f64::INFINITY, f64::min)
    }

    pub(super) fn center(&self) -> &Balanced {
        &self.center
    }

    pub(in crate::line) fn hints(&self, span: usize) -> &Hints {
        &self.hints[span]
    }

    /// Its halves along a dimension, each within what is proven of the whole.
    ///
    /// # Errors
    /// When a half cannot be proven.
    pub(in crate::line) fn halves(&self, section: &Section, dimension: usize) -> Result<Pair, SectionError> {
        if let Some((_, halves)) = self.divided.as_ref().filter(|(divided, _)| *divided == dimension) {
            return Ok(halves.clone());
        }
        let mut known = self.halves[dimension].lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(halves) = known.at_hand() {
            return halves;
        }
        let keeping = self.keeping.of_halves();
        let is_kept = keeping.depth.is_some();
        let halves = self.prove_halves(section, dimension, &keeping);
        *known = match &halves {
            Ok(halves) if is_kept => Halves::Kept(halves.clone()),
            Ok(halves) => Halves::Lent(halves.each_ref().map(Arc::downgrade)),
            Err(error) => Halves::Unproven(*error),
        };
        halves
    }

    fn prove_halves(&self, section: &Section, dimension: usize, keeping: &Keeping) -> Result<Pair, SectionError> {
        let parts = self.states.halves(dimension);
        let effort = Effort::new(false);
        effort.both(|side| {
            let lengths = section.lengths_of_half(&parts[side], &self.lengths, dimension)?;
            let begin = Begin { balanced: &self.center, lengths, keeping: keeping.clone() };
            let piece = section.prove_within(parts[side], begin, &effort, MOST_HALVINGS)?;
            let bounds = piece.bounds.within(&self.bounds);
            Ok(Arc::new(Self { bounds, ..piece }))
        })
    }

    /// Where a span hangs in the middle of its bounds, how far its ends may be from there, its states and its shapes.
    pub(in crate::line) fn hung(&self, section: &Section, strand: &Strand, span: usize) -> Result<Hung, SectionError> {
        let (from, near) = self.end(section, span);
        let (to, far) = self.end(section, span + 1);
        let rest = &section.members[span].rest;
        let states = self.span_states(section, span);
        let (load, plumb) = section.load_range(strand, span, &self.states, &states);
        let place = rest.moved(from, to).map_err(|_| SectionError::NotProven)?.with_plumb(plumb);
        let (sway, strand) = (Sway { near, far }, strand.between(place));
        let envelope = strand.envelope_between(&states, &load, self.bounds.constants_m[span], sway.chord_m())?;
        Ok(Hung { strand, sway, states, envelope })
    }

    fn end(&self, section: &Section, support: usize) -> (Point3<f64>, SwayEnd) {
        let corners = &self.bounds.ends_m[support];
        let (middle, half_m) = (0.5 * (corners.low + corners.high), 0.5 * (corners.high - corners.low));
        let still = SwayEnd { frame: Matrix3::identity(), half_m: Vector3::zeros() };
        if support == 0 {
            return (section.members[0].rest.from(), still);
        }
        match section.hangers.get(support - 1) {
            Some(hanger) => (hanger.top + hanger.frame * middle, SwayEnd { frame: hanger.frame, half_m }),
            None => (section.members[support - 1].rest.to(), still),
        }
    }

    /// The states of one span.
    fn span_states(&self, section: &Section, span: usize) -> StateBox {
        let spread = section.span_spread(span, &self.states, &self.lengths[span]);
        StateBox {
            unstretched_m: spread.unstretched_m.range(),
            wind_m_per_s: spread.winds_m_per_s[0].range(),
            ice_m: self.states.ranges[4],
        }
    }
}

/// A span of a section over a box of its states.
pub(in crate::line) struct Hung {
    /// Between the middles of where its ends can be.
    pub strand: Strand,
    pub sway: Sway,
    pub states: StateBox,
    pub envelope: Envelope,
}
