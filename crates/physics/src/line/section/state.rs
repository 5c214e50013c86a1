//! States of a section, and boxes of them.

use std::f64::consts::{PI, TAU};

use crate::interval::Interval;

/// How many numbers make a state.
pub const DIMENSIONS: usize = 5;

/// One state of a section: every span is as warm, as windy and as icy as the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionState {
    /// Horizontal tension at which the wire was clamped in, strings plumb, N.
    pub clamped_n: f64,
    /// Unstretched lengths as a multiple of those when clamped in: temperature and permanent strain.
    pub growth: f64,
    /// Wind speed, m/s; a negative one blows the other way.
    pub wind_m_per_s: f64,
    /// Bearing from which a positive wind blows, rad.
    pub wind_from_rad: f64,
    /// Radial ice, m.
    pub ice_m: f64,
}

impl SectionState {
    /// Its numbers, in the order of the fields.
    #[must_use]
    pub fn values(&self) -> [f64; DIMENSIONS] {
        [self.clamped_n, self.growth, self.wind_m_per_s, self.wind_from_rad, self.ice_m]
    }

    /// The state with these numbers, in the order of the fields.
    #[must_use]
    pub fn from_values([clamped_n, growth, wind_m_per_s, wind_from_rad, ice_m]: [f64; DIMENSIONS]) -> Self {
        Self { clamped_n, growth, wind_m_per_s, wind_from_rad, ice_m }
    }

    /// The state at a share of the way to another.
    pub(super) fn toward(&self, other: &Self, share: f64) -> Self {
        let (from, to) = (self.values(), other.values());
        Self::from_values(std::array::from_fn(|k| from[k] + share * (to[k] - from[k])))
    }
}

/// What the two numbers of the wind in a box mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WindNumbers {
    /// Speed and bearing, as in [`SectionState`].
    SpeedAndBearing,
    /// Of a straight section: the wind across, m/s to its left, and the wind along toward its far end as a share of what the
    /// greatest speed leaves to it, √(V² − v²).
    AcrossAndAlong {
        /// Greatest speed, m/s.
        most_m_per_s: f64,
        /// Bearing of the left, rad.
        left_rad: f64,
    },
}

/// A box of states, in the order of the fields of [`SectionState`] but for the wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionBox {
    /// The range of each number.
    pub ranges: [Interval; DIMENSIONS],
    /// What the third and the fourth number are.
    pub wind: WindNumbers,
}

/// Place of the clamped-in tension among the numbers.
pub(super) const TENSION: usize = 0;
/// Place of the wind.
const WIND: usize = 2;

impl SectionBox {
    /// The middle state.
    #[must_use]
    pub fn center(&self) -> SectionState {
        self.state(self.ranges.map(|range| range.center()))
    }

    /// The state with these numbers.
    #[must_use]
    pub fn state(&self, values: [f64; DIMENSIONS]) -> SectionState {
        let state = SectionState::from_values(values);
        match self.wind {
            WindNumbers::SpeedAndBearing => state,
            WindNumbers::AcrossAndAlong { most_m_per_s, left_rad } => {
                let (across, share) = (state.wind_m_per_s, state.wind_from_rad);
                let along = share * left_m_per_s(most_m_per_s, across);
                let wind_from_rad = (left_rad + along.atan2(across) + PI).rem_euclid(TAU);
                SectionState { wind_m_per_s: across.hypot(along), wind_from_rad, ..state }
            }
        }
    }

    /// The state at a share of each range.
    #[must_use]
    pub fn at(&self, shares: &[f64; DIMENSIONS]) -> SectionState {
        self.state(std::array::from_fn(|k| self.ranges[k].at(shares[k])))
    }

    /// The states with each number low or high, the wind also in its middle.
    pub(super) fn extremes(&self) -> impl Iterator<Item = SectionState> + '_ {
        let share = |corner: usize, k: usize| (corner >> k & 1) as f64;
        let corner = move |corner: usize| std::array::from_fn(|k| share(corner, k));
        let calm = |shares: [f64; DIMENSIONS]| std::array::from_fn(|k| if k == WIND { 0.5 } else { shares[k] });
        (0..1 << DIMENSIONS)
            .flat_map(move |number| [corner(number), calm(corner(number))])
            .map(|shares| self.at(&shares))
    }

    /// What the greatest speed leaves to the wind along, over the winds across of the box, m/s.
    pub(super) fn left_m_per_s(&self, most_m_per_s: f64) -> Interval {
        let across = self.ranges[WIND];
        let [low, high] = [across.low(), across.high()].map(|v| left_m_per_s(most_m_per_s, v));
        Interval::hull(low.min(high), if across.contains(0.0) { most_m_per_s } else { low.max(high) })
    }

    /// Half of the width of each range.
    pub(super) fn half_widths(&self) -> [f64; DIMENSIONS] {
        self.ranges.map(|range| range.half_width())
    }

    /// The two halves along one dimension.
    pub(super) fn halves(&self, dimension: usize) -> [Self; 2] {
        let (range, mut low, mut high) = (self.ranges[dimension], *self, *self);
        low.ranges[dimension] = Interval::hull(range.low(), range.center());
        high.ranges[dimension] = Interval::hull(range.center(), range.high());
        [low, high]
    }
}

/// √(V² − v²), m/s.
pub(super) fn left_m_per_s(most_m_per_s: f64, across_m_per_s: f64) -> f64 {
    (most_m_per_s * most_m_per_s - across_m_per_s * across_m_per_s).max(0.0).sqrt()
}
