//! Conductors with a core of another metal: above the knee the outer wires are slack and the core carries alone.
//!
//! Model, bounds and limits: `docs/theory/bimetal.md`.

use super::conductor::within;
use super::{CatenaryError, Conductor, ConductorError, Envelope, LoadModel, SpanState, StateBox, StateShape, Strand};
use super::{KnownBy, KnownError, Span, Tautness};
use crate::interval::Interval;

/// The core of a conductor, and what has happened to the wires around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Core {
    /// Axial stiffness of the core alone, N.
    pub axial_stiffness_n: f64,
    /// Its coefficient of linear thermal expansion, 1/K.
    pub expansion_per_k: f64,
    /// Temperature at which neither part pulls the other when the conductor lies free, °C: that of its making.
    pub free_degc: Interval,
    /// Permanent strain of the whole conductor that it had gained when its tautness became known (creep, heavy load): the
    /// outer wires lengthened, the core did not.
    pub set: Interval,
}

/// The core of one span's wire: how much shorter it is than the whole conductor, by the conductor's unstretched length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct CoreLaw {
    core: Core,
    whole_stiffness_n: f64,
    whole_expansion_per_k: f64,
    tautness: Tautness,
    temperature_degc: Interval,
    permanent_strain: Interval,
    unstretched_m: Interval,
}

impl Core {
    pub(super) fn check(&self, whole_stiffness_n: f64, whole_expansion_per_k: f64) -> Result<(), ConductorError> {
        within("axial stiffness of the core", self.axial_stiffness_n, "N", 1e3, 0.9 * whole_stiffness_n)?;
        let (least, most) = (0.05 * whole_expansion_per_k, whole_expansion_per_k);
        within("thermal expansion of the core", self.expansion_per_k, "1/K", least, most)?;
        for (degc, set) in [(self.free_degc.low(), self.set.low()), (self.free_degc.high(), self.set.high())] {
            within("temperature at which the core is free", degc, "degC", -50.0, 100.0)?;
            within("permanent strain before", set, "", 0.0, 0.01)?;
        }
        Ok(())
    }

    /// By how much of its length the free core is shorter than the free conductor, over a range of temperatures, with a
    /// permanent strain gained since its tautness was known: s = (α − α_c)·(T − T_free) + ε_set + ε_p.
    fn excess(&self, whole_expansion_per_k: f64, temperature_degc: Interval, strain: Interval) -> Interval {
        let difference = whole_expansion_per_k - self.expansion_per_k;
        let low = difference * (temperature_degc.low() - self.free_degc.high()) + self.set.low() + strain.low();
        let high = difference * (temperature_degc.high() - self.free_degc.low()) + self.set.high() + strain.high();
        Interval::hull(low, high)
    }

    /// The tension at which the outer wires go slack, N: F/EA = (1 − s)·(1 + F/EA_c) − 1.
    fn knee_n(&self, whole_stiffness_n: f64, excess: f64) -> f64 {
        excess / ((1.0 - excess) / self.axial_stiffness_n - 1.0 / whole_stiffness_n)
    }
}

impl Conductor {
    /// The core as a wire of its own that carries the whole conductor's mass, when it is shorter by a share `excess`.
    fn core_alone(&self, core: &Core, excess: f64) -> Self {
        let mut p = *self.properties();
        p.mass_kg_per_m /= 1.0 - excess;
        p.axial_stiffness_n = core.axial_stiffness_n;
        Self::unchecked(p)
    }
}

impl CoreLaw {
    pub fn new(
        conductor: &Conductor,
        tautness: Tautness,
        temperature_degc: Interval,
        permanent_strain: Interval,
        unstretched_m: Interval,
    ) -> Option<Self> {
        let p = conductor.properties();
        conductor.core().map(|core| Self {
            core: *core,
            whole_stiffness_n: p.axial_stiffness_n,
            whole_expansion_per_k: p.expansion_per_k,
            tautness,
            temperature_degc,
            permanent_strain,
            unstretched_m,
        })
    }

    /// The temperatures at which the conductor can have an unstretched length.
    fn temperatures_degc(&self, unstretched_m: f64) -> Interval {
        let (known, strain, at) = (self.tautness.unstretched_m, self.permanent_strain, self.tautness.at_degc);
        let rise_k =
            |known_m: f64, strain: f64| (unstretched_m / (known_m * (1.0 + strain)) - 1.0) / self.whole_expansion_per_k;
        let possible = |degc: f64| degc.clamp(self.temperature_degc.low(), self.temperature_degc.high());
        let low = at.low() + rise_k(known.high(), strain.high());
        let high = at.high() + rise_k(known.low(), strain.low());
        Interval::hull(possible(low), possible(high))
    }

    /// How much shorter the core may be, by the conductor's unstretched length.
    fn excess_range(&self, unstretched_m: f64) -> Interval {
        let temperatures = self.temperatures_degc(unstretched_m);
        self.core.excess(self.whole_expansion_per_k, temperatures, self.permanent_strain)
    }

    /// The middle of what is possible: one of the states that the range stands for.
    fn excess(&self, unstretched_m: f64) -> f64 {
        let (strain, known) = (self.permanent_strain.center(), self.tautness.unstretched_m.center());
        let rise_k = (unstretched_m / (known * (1.0 + strain)) - 1.0) / self.whole_expansion_per_k;
        let mut degc = self.tautness.at_degc.center() + rise_k;
        if self.unstretched_m.contains(unstretched_m) {
            degc = degc.clamp(self.temperature_degc.low(), self.temperature_degc.high());
        }
        let free = self.whole_expansion_per_k - self.core.expansion_per_k;
        free * (degc - self.core.free_degc.center()) + self.core.set.center() + strain
    }

    fn knee_n(&self, excess: f64) -> f64 {
        self.core.knee_n(self.whole_stiffness_n, excess)
    }
}

impl Strand {
    /// The wire in one state.
    ///
    /// # Errors
    /// When that state has no shape within the model.
    pub fn shape(&self, state: &SpanState) -> Result<StateShape, CatenaryError> {
        let whole = self.elastic_shape(state)?;
        let Some(core) = self.core() else { return Ok(whole) };
        let excess = core.excess(state.unstretched_m);
        if whole.horizontal_n() >= core.knee_n(excess) { Ok(whole) } else { self.core_shape(core, state, excess) }
    }

    /// Greatest tension in a state, N, with the shortest core that is possible.
    ///
    /// # Errors
    /// When that state has no shape within the model.
    pub(super) fn greatest_tension_n(&self, state: &SpanState) -> Result<f64, CatenaryError> {
        let whole_n = self.elastic_shape(state)?.greatest_tension_n();
        let Some(core) = self.core() else { return Ok(whole_n) };
        let excess = core.excess_range(state.unstretched_m).high();
        Ok(whole_n.max(self.core_shape(core, state, excess)?.greatest_tension_n()))
    }

    /// Bounds on the wire over a box of states.
    ///
    /// Where every state lies on one side of the knee, that side's; else both together.
    ///
    /// # Errors
    /// When an extreme state has no shape within the model.
    pub fn envelope(&self, states: &StateBox) -> Result<Envelope, CatenaryError> {
        let (whole, tension_n) = self.elastic_envelope(states)?;
        let Some(core) = self.core() else { return Ok(whole) };
        let (short, long) = (states.unstretched_m.low(), states.unstretched_m.high());
        let (cold, hot) = (core.excess_range(short), core.excess_range(long));
        if tension_n.low() >= core.knee_n(hot.high()) {
            return Ok(whole);
        }
        // The core's length L·(1 − s) rises with L: its expansion is positive.
        let lengths = Interval::hull(short * (1.0 - cold.high()), long * (1.0 - hot.low()));
        let states = StateBox { unstretched_m: lengths, ..*states };
        let (light, heavy) = (cold.low(), hot.high());
        let (light_core, _) = self.core_strand(core, light).elastic_envelope(&states)?;
        let (heavy_core, _) = self.core_strand(core, heavy).elastic_envelope(&states)?;
        let alone = light_core.joined(&heavy_core, (1.0 - light) / (1.0 - heavy))?;
        if tension_n.high() < core.knee_n(cold.low()) { Ok(alone) } else { whole.joined(&alone, 1.0) }
    }

    fn core_shape(&self, core: &CoreLaw, state: &SpanState, excess: f64) -> Result<StateShape, CatenaryError> {
        let unstretched_m = state.unstretched_m * (1.0 - excess);
        self.core_strand(core, excess).elastic_shape(&SpanState { unstretched_m, ..*state })
    }

    /// The core as a wire of its own: per metre of it, it carries a little more.
    fn core_strand(&self, law: &CoreLaw, excess: f64) -> Self {
        self.elastic(self.load().per_share(1.0 - excess), law.core.axial_stiffness_n)
    }
}

impl LoadModel {
    /// The same load per metre of a wire that is only a share of the length.
    fn per_share(&self, share: f64) -> Self {
        self.scaled(1.0 / share)
    }
}

impl KnownBy {
    /// The unstretched length of each span; of the whole conductor, as if its outer wires could also be pushed.
    ///
    /// # Errors
    /// When no possible tension fits, or a span has no shape at that tension.
    pub fn tautness(
        &self,
        conductor: &Conductor,
        spans: &[Span],
        position_tolerance_m: f64,
    ) -> Result<Vec<Tautness>, KnownError> {
        let whole = self.elastic_tautness(conductor, spans, position_tolerance_m)?;
        let Some(core) = conductor.core() else { return Ok(whole) };
        let p = conductor.properties();
        let none = Interval::hull(0.0, 0.0);
        let excess = core.excess(p.expansion_per_k, self.temperature_degc(), none);
        let knee_n = Interval::hull(
            core.knee_n(p.axial_stiffness_n, excess.low()),
            core.knee_n(p.axial_stiffness_n, excess.high()),
        );
        let tension_n = self.horizontal_n(conductor, spans, position_tolerance_m)?;
        let alone = |s: f64| self.elastic_tautness(&conductor.core_alone(core, s), spans, position_tolerance_m);
        let (long_core, short_core) = (alone(excess.low())?, alone(excess.high())?);
        let cores = long_core.iter().zip(&short_core).map(|(long, short)| {
            let (a, b) = (long.unstretched_m, short.unstretched_m);
            let (a_share, b_share) = (1.0 - excess.low(), 1.0 - excess.high());
            Interval::hull((a.low() / a_share).min(b.low() / b_share), (a.high() / a_share).max(b.high() / b_share))
        });
        let sides = whole.iter().zip(cores).zip(spans);
        sides
            .map(|((whole, core_m), span)| {
                side(whole, core_m, steepest(conductor, span, tension_n)?, tension_n, knee_n)
            })
            .collect()
    }
}

/// The lengths on the side of the knee where the tension lies for certain at every place of the span, else both.
fn side(
    whole: &Tautness,
    core_m: Interval,
    steepest: f64,
    tension_n: Interval,
    knee_n: Interval,
) -> Result<Tautness, KnownError> {
    let whole_m = whole.unstretched_m;
    // A taut wire is short: the short end belongs to the high tension.
    let end = |tension_n: f64, whole_m: f64, core_m: f64| {
        if tension_n >= steepest * knee_n.high() {
            (whole_m, whole_m)
        } else if steepest * tension_n <= knee_n.low() {
            (core_m, core_m)
        } else {
            (whole_m.min(core_m), whole_m.max(core_m))
        }
    };
    let taut = end(tension_n.high(), whole_m.low(), core_m.low());
    let slack = end(tension_n.low(), whole_m.high(), core_m.high());
    let unstretched_m = Interval::hull(taut.0.min(slack.0), taut.1.max(slack.1));
    Ok(Tautness { unstretched_m, ..*whole })
}

/// Greatest tension of the slackest wire as a multiple of its horizontal tension.
fn steepest(conductor: &Conductor, span: &Span, tension_n: Interval) -> Result<f64, KnownError> {
    let (near, far) = super::known::bare(conductor, span.chord_in_plane(0.0), tension_n.low())?.end_tension_ratios();
    Ok(near.max(far))
}
