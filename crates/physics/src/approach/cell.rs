//! A cell: a box of poses, a box of states, a stretch of wire, for one body and one span.

use crate::line::{Cover, DIMENSIONS};
use crate::machine::MAX_JOINTS;

use super::posed::Joints;

/// A dimension along which a cell can be split.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// A joint of the body.
    Joint(u8),
    /// One of the numbers that make a state of the wire, in the order of [`Cover::ranges`].
    State(u8),
    /// Place along the span.
    Along,
}

impl Dimension {
    /// How many there can be.
    pub const MOST: usize = 1 + DIMENSIONS + MAX_JOINTS;

    /// Its number among all.
    pub fn number(self) -> usize {
        match self {
            Self::Along => 0,
            Self::State(state) => 1 + state as usize,
            Self::Joint(joint) => 1 + DIMENSIONS + joint as usize,
        }
    }
}

/// Halvings after which a dimension is not halved again: what is left of a turn of an arm of 100 m or a span of 1 km then moves a
/// point by less than rounding may (1e-6 m).
pub const MOST_HALVINGS: u8 = 30;

/// A box of poses, states and places, with what is known of it.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Which body and span.
    pub candidate: u32,
    /// Proven lower bound of the distance, m.
    pub lower_m: f64,
    /// Middle of the joint box.
    pub center: Joints,
    /// Half-widths of the joint box.
    pub half: Joints,
    /// Stretch of the chord.
    pub from: f64,
    /// Its end.
    pub to: f64,
    /// States and bounds of the wire over them.
    pub wire: std::sync::Arc<Cover>,
    /// About how close machine and wire come in the preferred pose and state, m; a guess.
    pub promise_m: f64,
    /// Where to split next; none where no dimension is left.
    pub split: Option<Dimension>,
    /// How often each dimension was halved to come to this cell, by [`Dimension::number`].
    pub halvings: [u8; Dimension::MOST],
    /// How many halvings on end have not raised the bound.
    pub idle: u8,
    /// The pose that the bound prefers.
    pub preferred: Joints,
    /// Share of the range of each number of the state that the bound prefers, 0..1.
    pub shares: [f64; DIMENSIONS],
}

impl Cell {
    /// Whether a dimension may still be halved.
    pub fn may_halve(&self, dimension: Dimension) -> bool {
        self.halvings[dimension.number()] < MOST_HALVINGS
    }
}
