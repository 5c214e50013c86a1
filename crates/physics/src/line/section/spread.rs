//! Lengths and loads of a section over a box of states, as linear functions of the state and a bound on the rest.
//!
//! The state counts from the middle of the box in half-widths, so that each of its numbers lies within −1..1.

use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

use super::model::{Hanger, Member};
use super::state::left_m_per_s;
use super::{DIMENSIONS, Section, SectionBox, SectionState, WindNumbers};
use crate::interval::Interval;
use crate::line::CatenaryError;

/// A number over a box: `center` + Σ `rates`·p ± `rest`, |p| ≤ 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linear {
    pub center: f64,
    pub rates: [f64; DIMENSIONS],
    pub rest: f64,
}

impl Linear {
    /// How far the number can be from its centre.
    pub fn reach(&self) -> f64 {
        self.rates.iter().map(|rate| rate.abs()).sum::<f64>() + self.rest
    }

    /// All values it can have.
    pub(super) fn range(&self) -> Interval {
        Interval::hull(self.center - self.reach(), self.center + self.reach())
    }

    pub(super) fn scaled(&self, factor: f64) -> Self {
        Self {
            center: factor * self.center,
            rates: self.rates.map(|rate| factor * rate),
            rest: factor.abs() * self.rest,
        }
    }

    /// A function of this number with a value, a slope and a bound on its rest.
    fn through(&self, center: f64, slope: f64, rest: f64) -> Self {
        Self { center, rates: self.rates.map(|rate| slope * rate), rest: slope.abs() * self.rest + rest }
    }

    pub(super) fn plus(&self, other: &Self) -> Self {
        Self {
            center: self.center + other.center,
            rates: std::array::from_fn(|k| self.rates[k] + other.rates[k]),
            rest: self.rest + other.rest,
        }
    }

    /// The product: what is not linear in it is at most the product of the reaches.
    pub(super) fn times(&self, other: &Self) -> Self {
        Self {
            center: self.center * other.center,
            rates: std::array::from_fn(|k| self.center * other.rates[k] + other.center * self.rates[k]),
            rest: self.center.abs() * other.rest + other.center.abs() * self.rest + self.reach() * other.reach(),
        }
    }
}

/// The unstretched length of each span when clamped in, over a range of the tension then.
pub type Lengths = Arc<[Linear]>;

/// Forces along the axes of a span or string: to the left, down, and the third.
pub type Forces = [Linear; 3];

/// One span over a box.
pub struct SpanSpread {
    /// Wind toward its left and square to its chord upward, m/s.
    pub winds_m_per_s: [Linear; 2],
    /// Unstretched length, m.
    pub unstretched_m: Linear,
    /// Load per unstretched length, N/m.
    pub load_n_per_m: Forces,
    /// Load of the whole span, N.
    pub total_n: Forces,
}

/// Steps in which the range of the clamped-in tension is looked at.
const STEPS: i32 = 16;

impl Section {
    /// A span over a box, with the length that it has over the box when clamped in.
    pub(super) fn span_spread(&self, span: usize, states: &SectionBox, length: &Linear) -> SpanSpread {
        let member: &Member = &self.members[span];
        let winds_m_per_s = [
            wind_across(states, member.left_rad),
            if member.sine == 0.0 { constant(0.0) } else { wind_along(states, member.left_rad).scaled(-member.sine) },
        ];
        let load_n_per_m = self.load_spread(&winds_m_per_s, states);
        let unstretched_m = length.times(&own(states, 1));
        let total_n = load_n_per_m.map(|force| force.times(&unstretched_m));
        SpanSpread { winds_m_per_s, unstretched_m, load_n_per_m, total_n }
    }

    /// Half of the weight of a string and of the wind on it.
    pub(super) fn push_spread(&self, hanger: &Hanger, states: &SectionBox) -> Forces {
        let along = if self.rises { wind_along(states, hanger.left_rad) } else { constant(0.0) };
        let squares = squares(&[wind_across(states, hanger.left_rad), along]);
        let factor = 0.5 * self.load.pressure_factor_kg_per_m3() * hanger.string.wind_area_m2;
        let [left, along] = squares.map(|square| square.scaled(factor));
        [left, constant(0.5 * hanger.string.weight_n), along]
    }

    /// ½·ρ·C_d·|w|·w·(d + 2τ) and w_v over the box.
    fn load_spread(&self, winds: &[Linear; 2], states: &SectionBox) -> Forces {
        let ice = own(states, 4);
        let width_m = ice.through(2.0 * self.load.radius_m(ice.center), 2.0, 0.0);
        let drag = self.drag_spread(winds, &ice);
        let (down, slope_down, rest_down) = self.load.down_spread(ice.center, ice.reach());
        let factor = self.load.pressure_factor_kg_per_m3();
        let [left, lift] = squares(winds).map(|square| square.scaled(factor).times(&width_m).times(&drag));
        [left, ice.through(down, slope_down, rest_down), lift]
    }

    /// The drag coefficient over the stated one, which never rises with speed or ice.
    fn drag_spread(&self, winds: &[Linear; 2], ice: &Linear) -> Linear {
        let (speed, reach) = (winds[0].center.hypot(winds[1].center), winds[0].reach().hypot(winds[1].reach()));
        let high = self.load.drag_share((speed - reach).max(0.0), (ice.center - ice.reach()).max(0.0));
        let low = self.load.drag_share(speed + reach, ice.center + ice.reach());
        let center = self.load.drag_share(speed, ice.center);
        Linear { rest: (high - center).max(center - low), ..constant(center) }
    }

    /// The lengths clamped in over a box.
    ///
    /// # Errors
    /// When a span has no shape at such a tension.
    pub(super) fn lengths(&self, states: &SectionBox) -> Result<Lengths, CatenaryError> {
        (0..self.members.len()).map(|span| self.clamped_spread(span, states)).collect()
    }

    /// The length clamped in, which falls with the tension: between two steps it lies between their lengths.
    fn clamped_spread(&self, span: usize, states: &SectionBox) -> Result<Linear, CatenaryError> {
        let tension = own(states, 0);
        let length_m = |share: f64| self.clamped_m(span, tension.center + share * tension.rates[0]);
        let center = length_m(0.0)?;
        if tension.rates[0] == 0.0 {
            return Ok(constant(center));
        }
        let slope = 0.5 * (length_m(1.0)? - length_m(-1.0)?);
        let line = |share: f64| center + share * slope;
        let (mut rest, mut before) = (0.0_f64, (-1.0, length_m(-1.0)?));
        for step in 1 - STEPS..=STEPS {
            let share = f64::from(step) / f64::from(STEPS);
            let here = (share, length_m(share)?);
            rest = rest.max(before.1 - line(here.0)).max(line(before.0) - here.1);
            before = here;
        }
        let mut rates = [0.0; DIMENSIONS];
        rates[0] = slope;
        Ok(Linear { center, rates, rest })
    }
}

fn constant(center: f64) -> Linear {
    Linear { center, rates: [0.0; DIMENSIONS], rest: 0.0 }
}

/// One number of the state itself.
fn own(states: &SectionBox, dimension: usize) -> Linear {
    let mut rates = [0.0; DIMENSIONS];
    rates[dimension] = states.ranges[dimension].half_width();
    Linear { center: states.ranges[dimension].center(), rates, rest: 0.0 }
}

/// |w|·w for two parts of a wind. Its second derivative is at most 2·|δ|², so its rest is at most δ².
fn squares(winds: &[Linear; 2]) -> [Linear; 2] {
    let [v, u] = [winds[0].center, winds[1].center];
    let (speed, bent) = (v.hypot(u), winds[0].reach().powi(2) + winds[1].reach().powi(2));
    let part = |at: f64, other: f64, own: &Linear, its: &Linear| {
        let (turned, mixed) = if speed > 0.0 { (at / speed * at, at / speed * other) } else { (0.0, 0.0) };
        own.through(speed * at, speed + turned, bent).plus(&its.through(0.0, mixed, 0.0))
    };
    [part(v, u, &winds[0], &winds[1]), part(u, v, &winds[1], &winds[0])]
}

/// The wind toward a left side with a bearing.
fn wind_across(states: &SectionBox, left_rad: f64) -> Linear {
    match states.wind {
        WindNumbers::SpeedAndBearing => toward(states, left_rad),
        WindNumbers::AcrossAndAlong { .. } => own(states, 2),
    }
}

/// The wind toward the far end of a line whose left side has a bearing. As σ·√(V² − v²) it has the root of the middle as its slope,
/// and what the root differs by as its rest.
pub(super) fn wind_along(states: &SectionBox, left_rad: f64) -> Linear {
    match states.wind {
        WindNumbers::SpeedAndBearing => toward(states, left_rad + FRAC_PI_2),
        WindNumbers::AcrossAndAlong { most_m_per_s, .. } => {
            let share = own(states, 3);
            let (middle, range) =
                (left_m_per_s(most_m_per_s, states.ranges[2].center()), states.left_m_per_s(most_m_per_s));
            let apart = (range.high() - middle).max(middle - range.low());
            let greatest = share.center.abs() + share.reach();
            share.through(share.center * middle, middle, greatest * apart)
        }
    }
}

/// −V·cos(β − β_l). Away from the middle: at most ½·|V|·δβ² + δV·δβ beside the linear part.
fn toward(states: &SectionBox, left_rad: f64) -> Linear {
    let SectionState { wind_m_per_s, wind_from_rad, .. } = states.center();
    let (speed, turn) = (states.ranges[2].half_width(), states.ranges[3].half_width());
    let angle_rad = wind_from_rad - left_rad;
    let mut rates = [0.0; DIMENSIONS];
    rates[2] = -angle_rad.cos() * speed;
    rates[3] = wind_m_per_s * angle_rad.sin() * turn;
    let rest = 0.5 * wind_m_per_s.abs() * turn * turn + speed * turn;
    Linear { center: -wind_m_per_s * angle_rad.cos(), rates, rest }
}
