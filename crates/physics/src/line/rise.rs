//! Wind along a span that rises: it lifts or presses the wire. Model and proof: `docs/theory/rising-spans.md`.

use super::{Conditions, Envelope, LoadModel, Span, WireError};
use crate::interval::Interval;

/// Greatest share of its weight by which the wind may lift a wire.
pub(super) const MOST_LIFT: f64 = 0.5;

/// What the wind's part normal to the chord of a span adds to its part across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rise {
    /// Greatest lift or press over the least weight.
    lift: f64,
    /// Greatest wind square to the chord in the span's vertical plane, m/s.
    normal_m_per_s: f64,
    /// Sine of the angle by which the chord rises.
    sine: f64,
}

impl Rise {
    /// The least upper bounds that the conditions allow; nothing on a level span.
    ///
    /// Square to the chord at slope ψ the wind has the parts v across and u = v_s·sin ψ in the vertical plane; it presses with
    /// ½·ρ·C_d·D·√(v² + u²)·(v, u), of which the second part is at most ½·ρ·C_d·D·V²·tan ψ/2 over all directions.
    ///
    /// # Errors
    /// When the wind could lift more than half of the weight.
    pub fn new(index: usize, span: &Span, load: &LoadModel, conditions: &Conditions) -> Result<Self, WireError> {
        let slope = span.chord().z.abs() / span.run_m();
        let cosine = (1.0 + slope * slope).sqrt().recip();
        let normal_m_per_s = conditions.greatest_wind_along_m_per_s(span) * slope * cosine;
        let across = conditions.wind_across(span);
        let total_m_per_s = across.high().abs().max(across.low().abs()).hypot(normal_m_per_s);
        let wind_m_per_s = conditions.wind_m_per_s.high();
        let squares = (0.5 * wind_m_per_s * wind_m_per_s * slope).min(normal_m_per_s * total_m_per_s);
        let lift_n_per_m = load.slow_drag_kg_per_m2(conditions.ice_m.high()) * squares / cosine;
        let lift = lift_n_per_m / load.down_n_per_m(conditions.ice_m.low());
        if lift <= MOST_LIFT {
            Ok(Self { lift, normal_m_per_s, sine: slope * cosine })
        } else {
            Err(WireError::Lifted { span: index, slope, share: lift, most: MOST_LIFT })
        }
    }

    /// Greatest lift or press over the least weight.
    pub fn lift(&self) -> f64 {
        self.lift
    }

    /// The winds across whose swing the wire takes: at most √(v² + u²)/(1 − lift) outward, at least v/(1 + lift) inward.
    pub fn winds(&self, across_m_per_s: Interval) -> Interval {
        if self.normal_m_per_s == 0.0 {
            return across_m_per_s;
        }
        let out = |v: f64| v.hypot(self.normal_m_per_s).copysign(v) / (1.0 - self.lift);
        let (low, high) = (across_m_per_s.low(), across_m_per_s.high());
        let inward = 1.0 / (1.0 + self.lift);
        let low = if low < 0.0 { out(low) } else { low * inward };
        let high = if high > 0.0 { out(high) } else { high * inward };
        Interval::hull(low, high)
    }

    /// How far the wire may hang from that swinging wire, m: by the size of the load, λ = 1/(1 − lift), and by its part along
    /// the chord, Λ. The greatest unstretched length is given of a wire of one piece.
    ///
    /// # Errors
    /// When the part along the chord has no bound.
    pub fn margin_m(
        &self,
        index: usize,
        span: &Span,
        envelope: &Envelope,
        unstretched_m: Option<f64>,
    ) -> Result<f64, WireError> {
        let chord_m = span.chord().norm();
        let bend = chord_m / envelope.most().constant_m();
        let growth = 1.0 / (1.0 - self.lift);
        let slope = self.sine / (1.0 - self.sine * self.sine).sqrt();
        let along = self.along(growth * bend).ok_or_else(|| {
            let most = self.most_with_bound(bend);
            WireError::Lifted { span: index, slope, share: self.lift, most }
        })?;
        let by_curvature_m = apart_m(along, growth * bend, chord_m);
        let by_energy_m = unstretched_m.map(|length_m| self.by_energy_m(along, growth * bend, length_m, chord_m));
        let along_m = by_energy_m.map_or(by_curvature_m, |by_energy_m| by_energy_m.min(by_curvature_m));
        Ok(apart_m(growth, bend, chord_m) + along_m)
    }

    /// How far a part along the chord moves a wire of one piece, m, by its energy: r·B·(L₀²/c)/(4·√3·(1 − ν₂))·√((1 + ε)(ε +
    /// (1 + ε)·σ²)).
    fn by_energy_m(&self, factor: f64, bend: f64, length_m: f64, chord_m: f64) -> f64 {
        let share = self.share();
        let slope = (factor * bend).exp() - 1.0;
        let pulled = share * (slope + bend * bend.exp());
        let give = ((1.0 + MOST_STRAIN) * (MOST_STRAIN + (1.0 + MOST_STRAIN) * slope * slope)).sqrt();
        share * bend * length_m * length_m / chord_m / (4.0 * 3.0_f64.sqrt() * (1.0 - pulled)) * give
    }

    /// r: the most that the part along the chord is of the load across.
    fn share(&self) -> f64 {
        self.lift * self.sine / (1.0 - self.lift)
    }

    /// The greatest lift for which the part along the chord has a bound, where this one's has none; by halving.
    fn most_with_bound(&self, bend: f64) -> f64 {
        let has_bound = |lift: f64| Self { lift, ..*self }.along(bend / (1.0 - lift)).is_some();
        let (mut least, mut most) = (0.0, self.lift);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (least + most);
            if has_bound(middle) { least = middle } else { most = middle }
        }
        least
    }

    /// Λ: by which factor a part along the chord, at most r of the load across, changes how a wire with c/a = `bend` curves. It
    /// holds where what follows from it is not more.
    fn along(&self, bend: f64) -> Option<f64> {
        let share = self.share();
        let follows = |factor: f64| {
            let curved = share * ((factor * bend).exp() - 1.0);
            let pulled = curved + share * bend * bend.exp();
            (pulled < 1.0).then(|| (1.0 + curved) / (1.0 - pulled).powi(2))
        };
        let mut factor = follows(1.0)?;
        for _ in 0..ALONG_TRIES {
            let next = follows(factor)?;
            if next <= factor {
                return Some(factor);
            }
            factor = 1.0 + 1.1 * (next - 1.0);
        }
        None
    }
}

/// Greatest strain that the model covers (`docs/theory/catenary.md`).
const MOST_STRAIN: f64 = 0.02;
/// Halvings that find the greatest lift with a bound.
const HALVINGS: usize = 20;
/// Tries to find Λ.
const ALONG_TRIES: usize = 20;

/// How far two wires on one chord c may be apart, m, where the curvature of one is at most λ times that of the other and that one
/// has B = c/a: (λ − 1)·(B·c/8)·exp((λ + ½)·B).
fn apart_m(factor: f64, bend: f64, chord_m: f64) -> f64 {
    (factor - 1.0) * (0.125 * bend * chord_m) * ((factor + 0.5) * bend).exp()
}
