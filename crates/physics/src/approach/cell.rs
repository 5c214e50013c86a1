//! A cell: a box of poses, a box of states, a stretch of wire, for one body and one span.

use crate::line::{Cover, DIMENSIONS};

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
    /// Where to split next.
    pub split: Dimension,
    /// The pose that the bound prefers.
    pub preferred: Joints,
    /// Share of the range of each number of the state that the bound prefers, 0..1.
    pub shares: [f64; DIMENSIONS],
}
