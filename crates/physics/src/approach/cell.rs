//! A cell: a box of poses, a box of states, a stretch of wire, for one body and one span.

use crate::interval::Interval;
use crate::line::{Envelope, StateBox};

use super::posed::Joints;

/// A dimension along which a cell can be split.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// A joint of the body.
    Joint(u8),
    /// Unstretched length of the wire.
    Length,
    /// Wind across the span.
    Wind,
    /// Ice.
    Ice,
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
    pub wire: std::sync::Arc<WireBox>,
    /// About how close machine and wire come in the preferred pose and state, m; a guess.
    pub promise_m: f64,
    /// Where to split next.
    pub split: Dimension,
    /// The pose that the bound prefers.
    pub preferred: Joints,
    /// Whether the wire prefers more sag there.
    pub prefers_sag: bool,
    /// Share of the wind's range that it prefers, 0..1.
    pub wind_share: f64,
}

/// A box of states and the wire's bounds over it.
#[derive(Clone, Copy, Debug)]
pub struct WireBox {
    /// States.
    pub states: StateBox,
    /// Bounds.
    pub envelope: Envelope,
}

/// The two halves of a range.
pub fn halves(range: Interval) -> [Interval; 2] {
    let middle = range.center();
    [Interval::hull(range.low(), middle), Interval::hull(middle, range.high())]
}
