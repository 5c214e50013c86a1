//! Bounds on a wire over a box of states. The proofs stand in `docs/theory/wire-bounds.md`.

use nalgebra::Vector3;

use super::conditions::sinusoid_range;
use super::{Catenary, CatenaryError, Chord, Span, SpanState, Strand};
use crate::interval::Interval;

/// A box of states of one span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StateBox {
    /// Unstretched length, m: temperature and all tolerances of the tautness.
    pub unstretched_m: Interval,
    /// Wind across the span, m/s, positive to the left.
    pub wind_m_per_s: Interval,
    /// Radial ice, m.
    pub ice_m: Interval,
}

impl StateBox {
    /// The middle state.
    #[must_use]
    pub fn center(&self) -> SpanState {
        SpanState {
            unstretched_m: self.unstretched_m.center(),
            wind_m_per_s: self.wind_m_per_s.center(),
            ice_m: self.ice_m.center(),
        }
    }

    /// The state of greatest tension: shortest wire, strongest wind, thickest ice.
    #[must_use]
    pub fn tightest(&self) -> SpanState {
        let wind = self.wind_m_per_s;
        let wind_m_per_s = if wind.high() >= -wind.low() { wind.high() } else { wind.low() };
        SpanState { unstretched_m: self.unstretched_m.low(), wind_m_per_s, ice_m: self.ice_m.high() }
    }

    /// The state of greatest sag along the load: longest wire, strongest wind, thickest ice.
    #[must_use]
    pub fn slackest(&self) -> SpanState {
        SpanState { unstretched_m: self.unstretched_m.high(), ..self.tightest() }
    }
}

/// Two curves between which the sag lies at every fraction of the span, and the range of the swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Envelope {
    least: Catenary,
    most: Catenary,
    swing_rad: Interval,
    radius_m: f64,
    /// Part of the spread of sag that the unstretched length causes, 0..1; the rest is load.
    length_share: f64,
    /// Relative looseness of the two curves against the states that they stand for.
    slack: f64,
}

/// Range of the load over a box of wind and ice.
struct LoadRange {
    total_n_per_m: Interval,
    swing_rad: Interval,
}

impl Envelope {
    /// Least-sag curve.
    #[must_use]
    pub fn least(&self) -> &Catenary {
        &self.least
    }

    /// Most-sag curve.
    #[must_use]
    pub fn most(&self) -> &Catenary {
        &self.most
    }

    /// Range of the swing angle, rad.
    #[must_use]
    pub fn swing_rad(&self) -> Interval {
        self.swing_rad
    }

    /// Greatest radius of the wire with its ice, m.
    #[must_use]
    pub fn radius_m(&self) -> f64 {
        self.radius_m
    }

    /// Part of the spread of sag that comes from unstretched length rather than load, 0..1; a hint for splitting.
    #[must_use]
    pub /// Part of the spread of sag that comes from unstretched length rather than from load, by the stretch that each causes.
fn length_share(states: &StateBox, load_n_per_m: Interval, strain: Interval) -> f64 {
    let length_m = states.unstretched_m.width();
    let stretch_m = states.unstretched_m.high() * strain.high() * load_n_per_m.width() / load_n_per_m.high();
    if length_m + stretch_m > 0.0 { length_m / (length_m + stretch_m) } else { 0.0 }
}
