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
    /// How far the direction of the load at no swing may be from the span's, rad.
    tilt_rad: f64,
    radius_m: f64,
    /// Part of the spread of sag that the unstretched length causes, 0..1; the rest is load.
    length_share: f64,
    /// Relative looseness of the two curves against the states that they stand for.
    slack: f64,
}

/// Bounds on a wire of one piece over a box of states.
pub(super) struct Elastic {
    pub envelope: Envelope,
    /// Range of a = H/w, m.
    pub constant_m: Interval,
    /// Range of the load, N/m.
    pub load_n_per_m: Interval,
}

impl Elastic {
    /// Least horizontal tension, N.
    pub fn least_tension_n(&self) -> f64 {
        self.constant_m.low() * self.load_n_per_m.low()
    }

    /// What the curve of most sag takes of the least constant, for the chords that differ with the swing.
    pub fn most_share(&self) -> f64 {
        self.envelope.most.constant_m() / self.constant_m.low()
    }
}

/// Range of the load over a box of wind and ice.
pub(super) struct LoadRange {
    pub total_n_per_m: Interval,
    pub swing_rad: Interval,
    /// How far its direction at no swing may be from the span's, rad.
    pub tilt_rad: f64,
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
    pub fn length_share(&self) -> f64 {
        self.length_share
    }

    /// Relative looseness of the two curves against the states that they stand for; a hint for splitting.
    #[must_use]
    pub fn slack(&self) -> f64 {
        self.slack
    }

    /// The same with another curve of most sag.
    pub(super) fn with_most(self, most: Catenary) -> Self {
        Self { most, ..self }
    }

    /// The same with a curve of least sag above this one's and the other's; `apart` ≥ 1 widens the other's strain.
    pub(super) fn raised(self, other: &Self, apart: f64) -> Result<Self, CatenaryError> {
        let constant_m = self.least.constant_m().max(other.least.constant_m());
        let strain = self.least.strain().max(other.least.strain() * apart);
        Ok(Self { least: Catenary::with_constant(self.least.chord(), constant_m, strain)?, ..self })
    }

    /// Range of n·d over the swing range, for a direction `normal`: d is the direction in which the wire sags.
    #[must_use]
    pub fn drop_range(&self, span: &Span, normal: &Vector3<f64>) -> Interval {
        let (aside, plumb) = (normal.dot(&span.lateral()), normal.dot(&span.plumb()));
        let range = sinusoid_range(aside, plumb, self.swing_rad);
        if self.tilt_rad == 0.0 {
            return range;
        }
        range.widened(self.tilt_rad * (normal - span.lateral() * aside).norm())
    }

    /// Share of the swing range, 0..1, at which n·d is greatest.
    #[must_use]
    pub fn lean(&self, span: &Span, normal: &Vector3<f64>) -> f64 {
        let (low, width) = (self.swing_rad.low(), self.swing_rad.width());
        if width == 0.0 {
            return 0.5;
        }
        // n·d = (n·l)·sin φ + (n·g)·cos φ has its crest at atan2(n·l, n·g), g where the load points at no swing.
        let crest = normal.dot(&span.lateral()).atan2(normal.dot(&span.plumb()));
        let value = |share: f64| normal.dot(&span.load_direction(low + share * width));
        let inner = (crest - low) / width;
        if (0.0..=1.0).contains(&inner) {
            inner
        } else if value(1.0) > value(0.0) {
            1.0
        } else {
            0.0
        }
    }

    /// A number that n·(x − from) does not exceed for any point x of the wire with fraction in `from..=to` in any state of
    /// the box, and the fraction where it is attained: max over t of t·(n·chord) + D·S(t), D = max n·d.
    #[must_use]
    pub fn reach_m(&self, span: &Span, normal: &Vector3<f64>, drop: f64, from: f64, to: f64) -> (f64, f64) {
        let linear_m = normal.dot(&span.chord());
        let curve = if drop > 0.0 { &self.most } else { &self.least };
        curve.greatest(linear_m, drop, from, to)
    }
}

impl Strand {
    pub(super) fn load_range(&self, states: &StateBox) -> LoadRange {
        let (load, wind, ice) = (self.load(), states.wind_m_per_s, states.ice_m);
        let push = |v: f64, outward: bool| load.lateral_n_per_m(v, if outward { ice.high() } else { ice.low() });
        let left = push(wind.high(), wind.high() > 0.0);
        let right = push(wind.low(), wind.low() < 0.0);
        let (light, heavy) = (load.down_n_per_m(ice.low()), load.down_n_per_m(ice.high()));
        let swing = |lateral: f64, outward: bool| lateral.atan2(if outward { light } else { heavy });
        let calm =
            if wind.contains(0.0) { 0.0 } else { push(wind.low(), false).abs().min(push(wind.high(), false).abs()) };
        LoadRange {
            total_n_per_m: Interval::hull(light.hypot(calm), heavy.hypot(left.abs().max(right.abs()))),
            swing_rad: Interval::hull(swing(right, right < 0.0), swing(left, left > 0.0)),
            tilt_rad: 0.0,
        }
    }

    /// Bounds on a wire of one piece over a box of states.
    ///
    /// The constant a = H/w falls with unstretched length and load and rises with the run of the chord in the plane of
    /// the load; the sag at each fraction falls with a and with the strain. A span with a rise sees another chord at each
    /// swing; `spread` covers that.
    ///
    /// # Errors
    /// When an extreme state has no shape within the model.
    pub(super) fn elastic_envelope(&self, states: &StateBox) -> Result<Elastic, CatenaryError> {
        let range = self.load_range(states);
        let (load, stiffness_n) = (range.total_n_per_m, self.axial_stiffness_n());
        let (upright, tilted) = self.extreme_chords(range.swing_rad);
        let slack = Catenary::with_length(upright, states.unstretched_m.high(), load.high(), stiffness_n)?;
        let taut = Catenary::with_length(tilted, states.unstretched_m.low(), load.low(), stiffness_n)?;
        let constant_m = Interval::hull(slack.constant_m(), taut.constant_m());
        Ok(Elastic {
            envelope: self.envelope_between(states, &range, constant_m, 0.0)?,
            constant_m,
            load_n_per_m: load,
        })
    }

    /// Bounds on the wire over a box of states with a range of loads, in which the constant a = H/w lies within `constant_m`
    /// and the chord may differ by a vector of up to `shift_m`.
    ///
    /// # Errors
    /// When a bounding curve leaves the model.
    pub(super) fn envelope_between(
        &self,
        states: &StateBox,
        &LoadRange { total_n_per_m: load, swing_rad, tilt_rad }: &LoadRange,
        constant_m: Interval,
        shift_m: f64,
    ) -> Result<Envelope, CatenaryError> {
        let stiffness_n = self.axial_stiffness_n();
        let (upright, tilted) = self.extreme_chords(swing_rad);
        let (a_low, a_high) = (constant_m.low(), constant_m.high());
        // A load turned by an angle sees the chord turned by it.
        let shift_m = shift_m + self.span().aside_m().abs() + tilt_rad * self.span().chord().norm();
        let (least_run_m, most_run_m) = (upright.run_m - shift_m, tilted.run_m + shift_m);
        let strain = Interval::hull(a_low * load.low() / stiffness_n, a_high * load.high() / stiffness_n);
        let middle = middle_chord(upright, tilted);
        let spread = chord_spread(upright, tilted, a_low, strain.high(), shift_m);
        let most_a = a_low / most_run_m * middle.run_m / (1.0 + spread);
        let least_a = a_high / least_run_m * middle.run_m / (1.0 - spread);
        Ok(Envelope {
            most: Catenary::with_constant(middle, most_a, strain.low())?,
            least: Catenary::with_constant(middle, least_a, strain.high())?,
            swing_rad,
            tilt_rad,
            radius_m: self.load().radius_m(states.ice_m.high()),
            length_share: length_share(states, load, strain),
            slack: 2.0 * spread + most_run_m / least_run_m - 1.0 + strain.width(),
        })
    }

    /// The chord at the least and at the greatest swing of a range: least and greatest run.
    fn extreme_chords(&self, swing_rad: Interval) -> (Chord, Chord) {
        let greatest = swing_rad.high().abs().max(swing_rad.low().abs());
        let least = if swing_rad.contains(0.0) { 0.0 } else { swing_rad.high().abs().min(swing_rad.low().abs()) };
        (self.span().square_chord_in_plane(least), self.span().square_chord_in_plane(greatest))
    }
}

fn middle_chord(upright: Chord, tilted: Chord) -> Chord {
    if upright == tilted {
        return upright;
    }
    let rise_m = 0.5 * (upright.rise_m + tilted.rise_m);
    Chord { run_m: (upright.length_m().powi(2) - rise_m * rise_m).sqrt(), rise_m }
}

/// Relative change of curvature between the middle chord and any chord of the range: (1 + q)·(1 + η/ℓ)·(1 + ε·u·ρ) − 1.
///
/// q = |Δh|·|S′|/ℓ² with the a-priori bound |S′| ≤ c·(exp(ℓ/a) − 1) is what the chord's rise changes in R(S′); η is how far
/// the chord itself may differ; u = (c + |S′|)/ℓ bounds R/ℓ in the strain term and ρ is the relative change of the run there.
fn chord_spread(upright: Chord, tilted: Chord, a_low_m: f64, strain: f64, shift_m: f64) -> f64 {
    let half_change_m = 0.5 * (upright.rise_m - tilted.rise_m).abs();
    if half_change_m == 0.0 && shift_m == 0.0 {
        return 0.0;
    }
    let (length_m, run_m) = (upright.length_m() + shift_m, upright.run_m - shift_m);
    let most_run_m = tilted.run_m + shift_m;
    let growth = (most_run_m / a_low_m).exp();
    let curvature = half_change_m * length_m * (growth - 1.0) / run_m.powi(2);
    let secant = length_m * growth / run_m;
    (1.0 + curvature) * (1.0 + shift_m / run_m) * (1.0 + strain * secant * (most_run_m / run_m - 1.0)) - 1.0
}

/// Part of the spread of sag that comes from unstretched length rather than from load, by the stretch that each causes.
fn length_share(states: &StateBox, load_n_per_m: Interval, strain: Interval) -> f64 {
    let length_m = states.unstretched_m.width();
    let stretch_m = states.unstretched_m.high() * strain.high() * load_n_per_m.width() / load_n_per_m.high();
    if length_m + stretch_m > 0.0 { length_m / (length_m + stretch_m) } else { 0.0 }
}
