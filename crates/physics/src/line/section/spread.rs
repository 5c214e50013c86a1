//! Lengths and loads of a section over a box of states, as linear functions of the state and a bound on the rest.
//!
//! The state counts from the middle of the box in half-widths, so that each of its numbers lies within −1..1.

use super::model::{Hanger, Member};
use super::{DIMENSIONS, Section, SectionBox, SectionState};
use crate::line::CatenaryError;

/// A number over a box: `center` + Σ `rates`·p ± `rest`, |p| ≤ 1.
#[derive(Clone, Copy, Debug)]
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

/// A force to the left and one downward.
#[derive(Clone, Copy, Debug)]
pub struct Forces {
    pub left: Linear,
    pub down: Linear,
}

/// One span over a box.
pub struct SpanSpread {
    /// Wind toward its left, m/s.
    pub wind_m_per_s: Linear,
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
    pub(super) fn span_spread(&self, span: usize, states: &SectionBox) -> Result<SpanSpread, CatenaryError> {
        let member: &Member = &self.members[span];
        let wind_m_per_s = wind_across(states, member.left_rad);
        let load_n_per_m = self.load_spread(&wind_m_per_s, states);
        let unstretched_m = self.clamped_spread(span, states)?.times(&own(states, 1));
        let total_n =
            Forces { left: load_n_per_m.left.times(&unstretched_m), down: load_n_per_m.down.times(&unstretched_m) };
        Ok(SpanSpread { wind_m_per_s, unstretched_m, load_n_per_m, total_n })
    }

    /// Half of the weight of a string and of the wind on it.
    pub(super) fn push_spread(&self, hanger: &Hanger, states: &SectionBox) -> Forces {
        let wind = wind_across(states, hanger.left_rad);
        let (pressure_pa, slope, rest) = self.load.pressure_spread(wind.center, wind.reach());
        let area_m2 = 0.5 * hanger.string.wind_area_m2;
        Forces {
            left: wind.through(area_m2 * pressure_pa, area_m2 * slope, area_m2 * rest),
            down: constant(0.5 * hanger.string.weight_n),
        }
    }

    /// w_h = ½·ρ·C_d·v·|v|·(d + 2τ) and w_v over the box. The second derivative of v·|v| is ±2, so its rest is at most δv².
    fn load_spread(&self, wind: &Linear, states: &SectionBox) -> Forces {
        let ice = own(states, 4);
        let (pressure_pa, slope, rest) = self.load.pressure_spread(wind.center, wind.reach());
        let width_m = ice.through(2.0 * self.load.radius_m(ice.center), 2.0, 0.0);
        let drag = self.drag_spread(wind, &ice);
        let (down, slope_down, rest_down) = self.load.down_spread(ice.center, ice.reach());
        Forces {
            left: wind.through(pressure_pa, slope, rest).times(&width_m).times(&drag),
            down: ice.through(down, slope_down, rest_down),
        }
    }

    /// The drag coefficient over the stated one, which never rises with speed or ice.
    fn drag_spread(&self, wind: &Linear, ice: &Linear) -> Linear {
        let reach = wind.reach();
        let (slow, fast) = ((wind.center.abs() - reach).max(0.0), wind.center.abs() + reach);
        let high = self.load.drag_share(slow, (ice.center - ice.reach()).max(0.0));
        let low = self.load.drag_share(fast, ice.center + ice.reach());
        Linear { rest: 0.5 * (high - low), ..constant(0.5 * (high + low)) }
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

/// v = −V·cos(β − β_l). Away from the middle: at most ½·|V|·δβ² + δV·δβ beside the linear part.
fn wind_across(states: &SectionBox, left_rad: f64) -> Linear {
    let SectionState { wind_m_per_s, wind_from_rad, .. } = states.center();
    let (speed, turn) = (states.ranges[2].half_width(), states.ranges[3].half_width());
    let angle_rad = wind_from_rad - left_rad;
    let mut rates = [0.0; DIMENSIONS];
    rates[2] = -angle_rad.cos() * speed;
    rates[3] = wind_m_per_s * angle_rad.sin() * turn;
    let rest = 0.5 * wind_m_per_s.abs() * turn * turn + speed * turn;
    Linear { center: -wind_m_per_s * angle_rad.cos(), rates, rest }
}
