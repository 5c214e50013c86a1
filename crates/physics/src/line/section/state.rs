//! States of a section, and boxes of them.

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

/// A box of states, in the order of the fields of [`SectionState`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionBox {
    /// The range of each number.
    pub ranges: [Interval; DIMENSIONS],
}

/// Place of the wind among the numbers.
const WIND: usize = 2;

impl SectionBox {
    /// The middle state.
    #[must_use]
    pub fn center(&self) -> SectionState {
        SectionState::from_values(self.ranges.map(|range| range.center()))
    }

    /// The state at a share of each range.
    #[must_use]
    pub fn at(&self, shares: &[f64; DIMENSIONS]) -> SectionState {
        SectionState::from_values(std::array::from_fn(|k| self.ranges[k].at(shares[k])))
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
