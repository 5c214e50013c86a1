//! Forces on spans and strings of a section in a state, and their ranges over a box: weight, wind across, wind along.
//!
//! Square to the chord at rest the wind has the parts v to the left and u upward in the vertical plane: −sin ψ of that along the
//! line. The span bears ½·ρ·C_d·D·√(v² + u²)·(v, u) besides its weight. Model: `docs/theory/strings.md`, section 8.

use std::f64::consts::FRAC_PI_2;

use nalgebra::Vector3;

use super::model::{Hanger, Member, in_space};
use super::spread::SpanSpread;
use super::{Section, SectionBox, SectionState, WindNumbers};
use crate::interval::Interval;
use crate::line::envelope::LoadRange;
use crate::line::rise::MOST_LIFT;
use crate::line::{Load, StateBox, Strand};

impl SectionState {
    /// Wind toward a left side with a bearing (rad), m/s: v = −V·cos(β − β_l).
    pub(super) fn wind_across(&self, left_rad: f64) -> f64 {
        -self.wind_m_per_s * (self.wind_from_rad - left_rad).cos()
    }

    /// Wind toward the far end of a line whose left side has a bearing (rad), m/s.
    pub(super) fn wind_along(&self, left_rad: f64) -> f64 {
        self.wind_across(left_rad + FRAC_PI_2)
    }
}

impl Section {
    /// Forces of a span per unstretched length along its axes, N/m.
    pub(super) fn load_n_per_m(&self, member: &Member, state: &SectionState) -> [f64; 3] {
        let winds = [state.wind_across(member.left_rad), -member.sine * state.wind_along(member.left_rad)];
        let [left, lift] = self.load.push_n_per_m(winds, state.ice_m);
        [left, self.load.down_n_per_m(state.ice_m), lift]
    }

    /// The load of a span in a state, in the plane across that holds its lateral, and the unit vector of its part there.
    pub(super) fn load_and_plumb(&self, member: &Member, state: &SectionState) -> (Load, Vector3<f64>) {
        let [left, down, lift] = self.load_n_per_m(member, state);
        if lift == 0.0 {
            return (Load { down_n_per_m: down, lateral_n_per_m: left }, -Vector3::z());
        }
        let upright = in_space(&member.axes(), &[0.0, down, lift]);
        let down_n_per_m = upright.norm();
        (Load { down_n_per_m, lateral_n_per_m: left }, upright / down_n_per_m)
    }

    /// Forces on the lower end of a string along its axes, N. An even rigid link hands half of its weight and of the wind on it
    /// to it; the wind along the line counts where a span rises.
    pub(super) fn push_n(&self, hanger: &Hanger, state: &SectionState) -> [f64; 3] {
        let along = if self.rises { state.wind_along(hanger.left_rad) } else { 0.0 };
        let winds = [state.wind_across(hanger.left_rad), along];
        let factor = 0.5 * self.load.pressure_factor_kg_per_m3() * hanger.string.wind_area_m2;
        let [left, along] = winds.map(|part| factor * part * winds[0].hypot(winds[1]));
        [left, 0.5 * hanger.string.weight_n, along]
    }

    /// The range of a span's load over a box, and the unit vector in the middle of its directions at no swing.
    pub(in crate::line) fn load_range(
        &self,
        strand: &Strand,
        span: usize,
        states: &SectionBox,
        own: &StateBox,
    ) -> (LoadRange, Vector3<f64>) {
        let member = &self.members[span];
        if member.sine == 0.0 {
            return (strand.load_range(own), -Vector3::z());
        }
        let winds = [own.wind_m_per_s, self.normal_wind(member, states)];
        let [left, lift] = [0, 1].map(|part| self.push_range(&winds, part, own.ice_m));
        let weight = Interval::hull(self.load.down_n_per_m(own.ice_m.low()), self.load.down_n_per_m(own.ice_m.high()));
        // Greater lift is refused (`rise.rs`); wind across and along are ranges of their own here.
        let most = MOST_LIFT * weight.low() * member.frame.column(2).z;
        let lift = Interval::hull(lift.low().max(-most), lift.high().min(most));
        leaning(member, left, weight, lift)
    }

    /// Range of the wind square to the chord in its vertical plane, m/s.
    fn normal_wind(&self, member: &Member, states: &SectionBox) -> Interval {
        let along = match states.wind {
            WindNumbers::SpeedAndBearing => super::spread::wind_along(states, member.left_rad).range(),
            WindNumbers::AcrossAndAlong { most_m_per_s, .. } => {
                let (left, share) = (states.left_m_per_s(most_m_per_s), states.ranges[3]);
                let least = share.low() * if share.low() < 0.0 { left.high() } else { left.low() };
                let most = share.high() * if share.high() > 0.0 { left.high() } else { left.low() };
                Interval::hull(least, most)
            }
        };
        let ends = [along.low(), along.high()].map(|s| -member.sine * s);
        Interval::hull(ends[0].min(ends[1]), ends[0].max(ends[1]))
    }

    /// Range of one part of the push. It grows outward with its own wind, with the size of the other and with ice (C_d never
    /// rises with the Reynolds number, but their product never falls).
    fn push_range(&self, winds: &[Interval; 2], part: usize, ice_m: Interval) -> Interval {
        let other = winds[1 - part];
        let most = other.high().abs().max(other.low().abs());
        let least = if other.contains(0.0) { 0.0 } else { other.high().abs().min(other.low().abs()) };
        let push = |wind: f64, outward: bool| {
            let (other, ice) = if outward { (most, ice_m.high()) } else { (least, ice_m.low()) };
            self.load.push_n_per_m([wind, other], ice)[0]
        };
        let (low, high) = (winds[part].low(), winds[part].high());
        Interval::hull(push(low, low < 0.0), push(high, high > 0.0))
    }
}

/// The range of a load from those of its parts. Weight and lift lie in the vertical plane of the chord; their sum grows with the
/// weight and falls with the lift, which is at most half of it, and it leans the more from the vertical the greater the lift is.
fn leaning(member: &Member, left: Interval, weight: Interval, lift: Interval) -> (LoadRange, Vector3<f64>) {
    let axes = member.axes();
    let upright = |weight, lift| in_space(&axes, &[0.0, weight, lift]);
    let size = Interval::hull(upright(weight.low(), lift.high()).norm(), upright(weight.high(), lift.low()).norm());
    let swing = |push: f64, outward: bool| push.atan2(if outward { size.low() } else { size.high() });
    let calm = if left.contains(0.0) { 0.0 } else { left.low().abs().min(left.high().abs()) };
    let most = left.low().abs().max(left.high().abs());
    let way = member.rest.lateral().cross(&Vector3::z());
    let lean = |weight: f64, lift: f64| {
        let force = upright(weight, lift);
        force.dot(&way).atan2(-force.z)
    };
    let corners = [weight.low(), weight.high()].map(|w| [lift.low(), lift.high()].map(|e| lean(w, e)));
    let (least, greatest) =
        corners.as_flattened().iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)));
    let middle = 0.5 * (least + greatest);
    let range = LoadRange {
        total_n_per_m: Interval::hull(size.low().hypot(calm), size.high().hypot(most)),
        swing_rad: Interval::hull(swing(left.low(), left.low() < 0.0), swing(left.high(), left.high() > 0.0)),
        tilt_rad: 0.5 * (greatest - least),
    };
    (range, way * middle.sin() - Vector3::z() * middle.cos())
}

impl SpanSpread {
    /// How the wind's part in what is not linear divides between the two numbers of the wind.
    pub(super) fn wind_shares(&self, rises: bool) -> [f64; 2] {
        if !rises {
            return [1.0, 0.0];
        }
        let [speed, second] = [2, 3].map(|k| self.winds_m_per_s[0].rates[k].hypot(self.winds_m_per_s[1].rates[k]));
        let sum = speed + second;
        if sum > 0.0 { [speed / sum, second / sum] } else { [1.0, 0.0] }
    }
}
