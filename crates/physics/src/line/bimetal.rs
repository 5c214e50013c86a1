//! Conductors with a core of another metal: above the knee the outer wires are slack and the core carries alone.
//!
//! Model, bounds and limits: `docs/theory/bimetal.md`.

use super::conductor::within;
use super::envelope::Elastic;
use super::uneven::{CoreStretch, StretchLaw};
use super::{
    Catenary, CatenaryError, Conductor, ConductorError, Envelope, LoadModel, SpanState, StateBox, StateShape, Strand,
};
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
    pub(super) fn excess(&self, whole_expansion_per_k: f64, temperature_degc: Interval, strain: Interval) -> Interval {
        let difference = whole_expansion_per_k - self.expansion_per_k;
        let low = difference * (temperature_degc.low() - self.free_degc.high()) + self.set.low() + strain.low();
        let high = difference * (temperature_degc.high() - self.free_degc.low()) + self.set.high() + strain.high();
        Interval::hull(low, high)
    }

    /// The tension at which the outer wires go slack, N: F/EA = (1 − s)·(1 + F/EA_c) − 1.
    pub(super) fn knee_n(&self, whole_stiffness_n: f64, excess: f64) -> f64 {
        excess / ((1.0 - excess) / self.axial_stiffness_n - 1.0 / whole_stiffness_n)
    }
}

impl Conductor {
    /// The core as a wire of its own that carries the whole conductor's mass, when it is shorter by a share `excess`.
    pub(super) fn core_alone(&self, core: &Core, excess: f64) -> Self {
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

    /// The temperature at which the conductor has an unstretched length, when that was `known_m` at `at_degc` and it has
    /// gained a permanent strain since.
    fn temperature_degc(&self, unstretched_m: f64, known_m: f64, at_degc: f64, strain: f64) -> f64 {
        at_degc + (unstretched_m / (known_m * (1.0 + strain)) - 1.0) / self.whole_expansion_per_k
    }

    /// The permanent strain with which it has that length at a temperature.
    fn strain(&self, unstretched_m: f64, known_m: f64, at_degc: f64, temperature_degc: f64) -> f64 {
        unstretched_m / (known_m * (1.0 + self.whole_expansion_per_k * (temperature_degc - at_degc))) - 1.0
    }

    /// The least and the greatest share by which the core may be shorter, for an unstretched length of the conductor. Both
    /// occur: s rises with the permanent strain even at a given length, where more strain means less heat.
    fn excess_range(&self, unstretched_m: f64) -> Interval {
        let (known, at, strain) = (self.tautness.unstretched_m, self.tautness.at_degc, self.permanent_strain);
        let within = self.temperature_degc;
        let (mut cool, mut least) =
            (self.temperature_degc(unstretched_m, known.high(), at.low(), strain.low()), strain.low());
        let (mut warm, mut most) =
            (self.temperature_degc(unstretched_m, known.low(), at.high(), strain.high()), strain.high());
        if self.unstretched_m.contains(unstretched_m) {
            if cool > within.high() {
                least = self.strain(unstretched_m, known.high(), at.low(), within.high()).max(strain.low());
            }
            if warm < within.low() {
                most = self.strain(unstretched_m, known.low(), at.high(), within.low()).min(strain.high());
            }
            cool = cool.clamp(within.low(), within.high());
            warm = warm.clamp(within.low(), within.high());
        }
        let low =
            self.core.excess(self.whole_expansion_per_k, Interval::hull(cool, cool), Interval::hull(least, least));
        let high = self.core.excess(self.whole_expansion_per_k, Interval::hull(warm, warm), Interval::hull(most, most));
        Interval::hull(low.low(), high.high())
    }

    /// A curve that no wire of the box hangs below.
    ///
    /// With a = H/w per length of the whole: a is at least that of the whole and that of the longest core. Along the wire
    /// 1 + e(u) is at least the lesser of 1 + H·u/K and (1 − s)·(1 + H·u/K_c), and so at least c·(1 + H·u/K) with
    /// c·(1 + H/K) = the lesser at u = 1, since K_c < K·(1 − s).
    fn lowest(&self, whole: &Elastic, core: &Elastic, excess: Interval) -> Result<Catenary, CatenaryError> {
        let constant_m = whole.constant_m.low().max(core.constant_m.low() / (1.0 - excess.low()));
        let least_n = constant_m * whole.load_n_per_m.low();
        let (whole_strain, core_strain) = (least_n / self.whole_stiffness_n, least_n / self.core.axial_stiffness_n);
        let share = ((1.0 - excess.high()) * (1.0 + core_strain) / (1.0 + whole_strain)).min(1.0);
        let spread = whole.most_share().min(core.most_share());
        Catenary::with_constant(whole.envelope.most().chord(), constant_m * share * spread, whole_strain)
    }

    fn excess_at_ends(&self, unstretched_m: Interval) -> (Interval, Interval) {
        (self.excess_range(unstretched_m.low()), self.excess_range(unstretched_m.high()))
    }

    /// The lengths of the core for those of the whole: L·(1 − s) rises with L, since the core's expansion is positive; where more
    /// of L means more permanent strain it stays, to second order.
    fn core_lengths_m(&self, unstretched_m: Interval) -> Interval {
        let (short, long) = (unstretched_m.low(), unstretched_m.high());
        let (cold, hot) = self.excess_at_ends(unstretched_m);
        let most = hot.high().abs().max(cold.low().abs());
        let stays = 1.1 * self.permanent_strain.width() * most;
        Interval::hull(short * (1.0 - cold.high()) * (1.0 - stays), long * (1.0 - hot.low()) * (1.0 + stays))
    }

    /// How the core stretches when it carries alone.
    pub fn stretch(&self, unstretched_m: Interval) -> CoreStretch {
        let most = self.excess_at_ends(unstretched_m).1.high();
        CoreStretch {
            law: StretchLaw {
                unstretched_m: self.core_lengths_m(unstretched_m),
                stiffness_n: self.core.axial_stiffness_n,
            },
            share: 1.0 - most,
            knee_n: self.knee_n(most),
        }
    }

    fn knee_n(&self, excess: f64) -> f64 {
        self.core.knee_n(self.whole_stiffness_n, excess)
    }
}

impl Strand {
    /// Whether it has a core that may carry alone.
    pub(crate) fn has_core(&self) -> bool {
        self.core().is_some()
    }

    /// The wire in one state: whole or the core alone, whichever pulls more; the core as long as it may be, so that the
    /// wire hangs lowest.
    ///
    /// # Errors
    /// When that state has no shape within the model.
    pub fn shape(&self, state: &SpanState) -> Result<StateShape, CatenaryError> {
        let whole = self.elastic_shape(state)?;
        let Some(core) = self.core() else { return Ok(whole) };
        let excess = core.excess_range(state.unstretched_m).low();
        if excess <= 0.0 {
            return Ok(whole);
        }
        let alone = self.core_shape(core, state, excess)?;
        if whole.horizontal_n() >= alone.horizontal_n() { Ok(whole) } else { Ok(alone) }
    }

    /// Greatest tension in a state, N, with the shortest core that is possible.
    ///
    /// # Errors
    /// When that state has no shape within the model.
    pub(super) fn greatest_tension_n(&self, state: &SpanState) -> Result<f64, CatenaryError> {
        let whole_n = self.elastic_shape(state)?.greatest_tension_n();
        let Some(core) = self.core() else { return Ok(whole_n) };
        let excess = core.excess_range(state.unstretched_m).high();
        if excess <= 0.0 {
            return Ok(whole_n);
        }
        Ok(whole_n.max(self.core_shape(core, state, excess)?.greatest_tension_n()))
    }

    /// Bounds on the wire over a box of states, for every core that is possible.
    ///
    /// # Errors
    /// When an extreme state has no shape within the model.
    pub fn envelope(&self, states: &StateBox) -> Result<Envelope, CatenaryError> {
        let whole = self.elastic_envelope(states)?;
        let Some(law) = self.core() else { return Ok(whole.envelope) };
        let (cold, hot) = law.excess_at_ends(states.unstretched_m);
        if whole.least_tension_n() >= law.knee_n(hot.high()) {
            return Ok(whole.envelope);
        }
        let excess = Interval::hull(cold.low(), hot.high());
        let states = StateBox { unstretched_m: law.core_lengths_m(states.unstretched_m), ..*states };
        let light = self.core_strand(law, excess.low()).elastic_envelope(&states)?;
        let heavy = self.core_strand(law, excess.high()).elastic_envelope(&states)?;
        let most = law.lowest(&whole, &heavy, excess)?;
        let apart = (1.0 - excess.low()) / (1.0 - excess.high());
        whole.envelope.with_most(most).raised(&light.envelope, apart)?.raised(&heavy.envelope, apart)
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
    /// Whole or core, whichever pulls more: so at a known tension the longer of the two lengths. A shorter core means a
    /// longer wire.
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
        let none = Interval::hull(0.0, 0.0);
        let excess = core.excess(conductor.properties().expansion_per_k, self.temperature_degc(), none);
        let alone = |s: f64| self.elastic_tautness(&conductor.core_alone(core, s), spans, position_tolerance_m);
        let (long_core, short_core) = (alone(excess.low())?, alone(excess.high())?);
        let cores = long_core.iter().zip(&short_core);
        let longer = |(whole, (long, short)): (&Tautness, (&Tautness, &Tautness))| {
            let low = whole.unstretched_m.low().max(long.unstretched_m.low() / (1.0 - excess.low()));
            let high = whole.unstretched_m.high().max(short.unstretched_m.high() / (1.0 - excess.high()));
            Tautness { unstretched_m: Interval::hull(low, high), ..*whole }
        };
        Ok(whole.iter().zip(cores).map(longer).collect())
    }
}
