//! A wire over one or more spans, with everything that its states depend on.

use std::sync::Arc;

use nalgebra::Point3;
use thiserror::Error;

use super::bimetal::CoreLaw;
use super::real::Knowledge;
use super::stringing::{Stringing, Strung};
use super::uneven::Tube;
use super::{
    Catenary, CatenaryError, Conditions, ConditionsError, Conductor, Envelope, KnownBy, KnownError, Load, LoadModel,
    SectionError, Span, StateBox, SuspensionString, Tautness,
};
use crate::interval::Interval;

/// What is known of a wire; turned into a [`Wire`] by [`Wire::new`].
#[derive(Clone, Debug, PartialEq)]
pub struct WireDescription {
    /// Name, as people know it.
    pub name: String,
    /// What it is made of.
    pub conductor: Conductor,
    /// Its spans in order, attached rigidly at all ends; where strings hang, as they are while these hang plumb.
    pub spans: Vec<Span>,
    /// How its tautness is known.
    pub known_by: KnownBy,
    /// Permanent strain (creep, heavy load) gained since then.
    pub permanent_strain: Interval,
    /// How far each attachment may lie from where it is stated, in any direction, m.
    pub position_tolerance_m: f64,
}

/// A wire whose every state within its conditions has a shape.
///
/// Where it is known only as one of several (conductors, ranges of conditions), it holds the spans of each of these
/// variants, and whoever covers all its spans covers whichever is true.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    name: String,
    spans: Vec<WireSpan>,
    in_any_load: InAnyLoad,
}

/// A wire whose wind and ice are the same along each span, under wind and ice that differ along it.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum InAnyLoad {
    /// It covers that itself, or nothing differs.
    #[default]
    Covered,
    /// The same wire under loads that differ.
    Wire(Box<Wire>),
    /// Nothing is known of it under such loads: nothing is proven of it.
    Unbounded,
}

/// One span of a wire: everything that gives its shape in a state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strand {
    pub(super) span: Span,
    pub(super) load: LoadModel,
    pub(super) axial_stiffness_n: f64,
    pub(super) core: Option<CoreLaw>,
}

/// One span of a wire and its range of states.
#[derive(Clone, Debug, PartialEq)]
pub struct WireSpan {
    pub(super) index: usize,
    pub(super) variant: usize,
    pub(super) strand: Strand,
    pub(super) expansion_per_k: f64,
    pub(super) tautness: Tautness,
    pub(super) permanent_strain: Interval,
    pub(super) temperature_degc: Interval,
    pub(super) states: StateBox,
    pub(super) envelope: Envelope,
    /// Bounds under loads that differ along it, where they may.
    pub(super) tube: Option<Arc<Tube>>,
    pub(super) margins: WireMargins,
    pub(super) knowledge: Arc<Knowledge>,
    /// Greatest sag, movement of the strings and radius together, m.
    pub(super) hang_m: f64,
    pub(super) strung: Option<Strung>,
}

/// Room around a wire that its bounds leave for what they do not hold otherwise, m. Less is attained, so it counts for lower
/// ends of distances alone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WireMargins {
    /// For the tolerance of its attachments, m.
    pub attachments_m: f64,
    /// For its sway: as the job states it, m.
    pub sway_m: f64,
    /// For wind along a span that rises, m.
    pub rising_m: f64,
}

impl WireMargins {
    /// All together, m.
    #[must_use]
    pub fn sum_m(&self) -> f64 {
        self.attachments_m + self.sway_m + self.rising_m
    }
}

/// One state of a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanState {
    /// Unstretched length at its temperature, all tolerances included, m.
    pub unstretched_m: f64,
    /// Wind across the span, m/s, positive when it pushes to the span's left.
    pub wind_m_per_s: f64,
    /// Radial ice, m.
    pub ice_m: f64,
}

/// The wire in one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StateShape {
    /// Between the ends that the wire has in this state.
    pub span: Span,
    /// Shape in the plane of the load.
    pub catenary: Catenary,
    /// Angle of that plane from the vertical, rad, positive to the span's left.
    pub swing_rad: f64,
    /// Total load, N/m.
    pub load_n_per_m: f64,
    /// Radius of the wire with its ice, m.
    pub radius_m: f64,
}

impl StateShape {
    /// Horizontal tension (across the load), N.
    #[must_use]
    pub fn horizontal_n(&self) -> f64 {
        self.catenary.constant_m() * self.load_n_per_m
    }

    /// Greatest tension, at the higher end, N.
    #[must_use]
    pub fn greatest_tension_n(&self) -> f64 {
        let (near, far) = self.catenary.end_tension_ratios();
        self.horizontal_n() * near.max(far)
    }
}

/// Why a wire cannot be as described.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum WireError {
    /// A wire without spans.
    #[error("a wire needs at least one span")]
    NoSpan,
    /// Impossible conditions.
    #[error(transparent)]
    Conditions(#[from] ConditionsError),
    /// What is known of the tension cannot be so.
    #[error(transparent)]
    Known(#[from] KnownError),
    /// Permanent strain or tolerance beyond sense.
    #[error("{quantity} {value} is outside {min}..{max}")]
    OutOfRange {
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
    },
    /// Strings that cannot hang so.
    #[error("counted from support {first} of the wire: {source}")]
    Strings {
        /// Index of the support where the section begins; the source counts supports from there.
        first: usize,
        /// What failed.
        source: SectionError,
    },
    /// No shape in an extreme state.
    #[error("span {span}: {source}")]
    Shape {
        /// Index of the span.
        span: usize,
        /// What failed.
        source: CatenaryError,
    },
    /// The wind along a steep span could lift the wire.
    #[error(
        "span {span} rises {slope:.2} m per metre: the wind along it could lift {:.0} % of the wire's weight, and for a wire that hangs so the model covers {:.0} %; narrow the wind's speed or its directions",
        100.0 * share, 100.0 * most
    )]
    Lifted {
        /// Index of the span.
        span: usize,
        /// Rise over run.
        slope: f64,
        /// Lift over weight.
        share: f64,
        /// The most that is covered there.
        most: f64,
    },
    /// Torn in an extreme state.
    #[error(
        "span {span}: in the coldest, windiest, iciest state the tension is {tension_n:.0} N, above the rated strength of {strength_n:.0} N: such a state cannot occur with this wire; check tension, temperature, wind and ice"
    )]
    AboveStrength {
        /// Index of the span.
        span: usize,
        /// Tension, N.
        tension_n: f64,
        /// Rated strength, N.
        strength_n: f64,
    },
}

impl Wire {
    /// The wire under a range of conditions.
    ///
    /// # Errors
    /// When the description or the conditions are impossible, or an extreme state has no shape or tears the wire.
    pub fn new(description: WireDescription, conditions: &Conditions) -> Result<Self, WireError> {
        Self::with_strings(description, &[], conditions)
    }

    /// The wire under a range of conditions, hung on suspension strings at some of its supports: `strings` has an entry for
    /// each support from the first, none where the wire is held rigidly or the list ends.
    ///
    /// # Errors
    /// As for [`Wire::new`]; and when strings cannot hang so, are lifted in some state, or their balance cannot be proven.
    pub fn with_strings(
        description: WireDescription,
        strings: &[Option<SuspensionString>],
        conditions: &Conditions,
    ) -> Result<Self, WireError> {
        conditions.check()?;
        let WireDescription { name, conductor, spans, known_by, permanent_strain, position_tolerance_m } = description;
        check_range("permanent strain", permanent_strain.low(), -0.001, 0.01)?;
        check_range("permanent strain", permanent_strain.high(), -0.001, 0.01)?;
        check_range("attachment tolerance (m)", position_tolerance_m, 0.0, 5.0)?;
        if spans.is_empty() {
            return Err(WireError::NoSpan);
        }
        let p = *conductor.properties();
        let load = LoadModel::new(
            &conductor,
            conditions.air_density_kg_per_m3,
            conditions.drag,
            conditions.ice_density_kg_per_m3,
        )
        .with_ice(conditions.ice_m.high() > 0.0);
        let last = spans.len();
        if let Some(support) = [0, last].into_iter().find(|at| strings.get(*at).is_some_and(Option::is_some)) {
            return Err(WireError::Strings { first: 0, source: SectionError::AtEnd { support } });
        }
        let knowledge = Arc::new(Knowledge {
            conductor,
            spans: spans.clone(),
            known_by,
            permanent_strain,
            position_tolerance_m,
            conditions: *conditions,
        });
        let stringing = Stringing {
            knowledge,
            load,
            conductor: &conductor,
            properties: p,
            clamped_n: known_by.horizontal_n(&conductor, &spans, position_tolerance_m)?,
            tautness: known_by.tautness(&conductor, &spans, position_tolerance_m)?,
            permanent_strain,
            position_tolerance_m,
            conditions,
        };
        let mut hung = Vec::with_capacity(last);
        while hung.len() < last {
            let first = hung.len();
            let hangers: Vec<_> = strings.iter().skip(first + 1).map_while(|string| *string).collect();
            let section = &spans[first..=first + hangers.len()];
            if hangers.is_empty() {
                hung.push(stringing.rigid(first, section[0])?);
            } else {
                hung.extend(stringing.strung(first, section, &hangers)?);
            }
        }
        Ok(Self { name, spans: hung, in_any_load: InAnyLoad::Covered })
    }

    /// A wire that is one of several, nobody knows which: other conductors or tensions over the same supports, or the same
    /// wire under other ranges of conditions. Its states are those of all of them together.
    ///
    /// # Errors
    /// When there is none to choose from.
    pub fn any_of(name: impl Into<String>, wires: Vec<Self>) -> Result<Self, WireError> {
        let mut spans: Vec<WireSpan> = Vec::new();
        for wire in wires {
            let first = spans.last().map_or(0, |span| span.variant + 1);
            spans.extend(wire.spans.into_iter().map(|span| WireSpan { variant: first + span.variant, ..span }));
        }
        if spans.is_empty() {
            return Err(WireError::NoSpan);
        }
        Ok(Self { name: name.into(), spans, in_any_load: InAnyLoad::Covered })
    }

    /// This wire, and what it is under loads that differ along its spans.
    #[must_use]
    pub fn with_any_load(self, in_any_load: InAnyLoad) -> Self {
        Self { in_any_load, ..self }
    }

    /// What it is under loads that differ along its spans.
    #[must_use]
    pub fn in_any_load(&self) -> &InAnyLoad {
        &self.in_any_load
    }

    /// Name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How many variants it may be.
    #[must_use]
    pub fn variants(&self) -> usize {
        self.spans.last().map_or(0, |span| span.variant + 1)
    }

    /// The spans of a variant, in order along the line.
    pub fn variant_spans(&self, variant: usize) -> impl Iterator<Item = &WireSpan> + '_ {
        self.spans.iter().filter(move |span| span.variant == variant)
    }

    /// The spans of all its variants.
    #[must_use]
    pub fn spans(&self) -> &[WireSpan] {
        &self.spans
    }
}

fn check_range(quantity: &'static str, value: f64, min: f64, max: f64) -> Result<(), WireError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(WireError::OutOfRange { quantity, value, min, max }) }
}

impl Strand {
    /// The same wire between other ends.
    pub(super) fn between(&self, span: Span) -> Self {
        Self { span, ..*self }
    }

    /// Geometry.
    #[must_use]
    pub fn span(&self) -> &Span {
        &self.span
    }

    /// How it is loaded.
    #[must_use]
    pub fn load(&self) -> &LoadModel {
        &self.load
    }

    /// Axial stiffness, N.
    #[must_use]
    pub fn axial_stiffness_n(&self) -> f64 {
        self.axial_stiffness_n
    }

    /// A wire of one piece over the same span, under another load and with another stiffness.
    pub(super) fn elastic(&self, load: LoadModel, axial_stiffness_n: f64) -> Self {
        Self { span: self.span, load, axial_stiffness_n, core: None }
    }

    pub(super) fn core(&self) -> Option<&CoreLaw> {
        self.core.as_ref()
    }

    /// A wire of one piece in one state.
    pub(super) fn elastic_shape(&self, state: &SpanState) -> Result<StateShape, CatenaryError> {
        self.shape_under(state, &self.load.load(state.wind_m_per_s, state.ice_m))
    }

    /// A wire of one piece in one state under a load that need not be that of its own wind.
    pub(super) fn shape_under(&self, state: &SpanState, load: &Load) -> Result<StateShape, CatenaryError> {
        let (swing_rad, load_n_per_m) = (load.swing_rad(), load.total_n_per_m());
        let chord = self.span.chord_in_plane(swing_rad);
        let catenary = Catenary::with_length(chord, state.unstretched_m, load_n_per_m, self.axial_stiffness_n)?;
        let radius_m = self.load.radius_m(state.ice_m);
        Ok(StateShape { span: self.span, catenary, swing_rad, load_n_per_m, radius_m })
    }

    /// Refuses spans that have no shape, or tear, in the state of greatest tension.
    pub(super) fn check_strength(
        &self,
        index: usize,
        states: &StateBox,
        strength_n: Option<f64>,
    ) -> Result<(), WireError> {
        let tension_n = self.greatest_tension_n(&states.tightest());
        let tension_n = tension_n.map_err(|source| WireError::Shape { span: index, source })?;
        match strength_n {
            Some(strength_n) if tension_n > strength_n => {
                Err(WireError::AboveStrength { span: index, tension_n, strength_n })
            }
            _ => Ok(()),
        }
    }
}

impl WireSpan {
    /// Place along the line, from 0.
    #[must_use]
    pub fn index(&self) -> usize {
        self.index
    }

    /// Which variant of the wire it belongs to, from 0.
    #[must_use]
    pub fn variant(&self) -> usize {
        self.variant
    }

    /// What gives its shape.
    #[must_use]
    pub fn strand(&self) -> &Strand {
        &self.strand
    }

    /// Geometry; where strings hang, between the middles of where the ends can be.
    #[must_use]
    pub fn span(&self) -> &Span {
        &self.strand.span
    }

    /// The range of its states.
    #[must_use]
    pub fn states(&self) -> &StateBox {
        &self.states
    }

    /// Whether it hangs on a suspension string at one end or both.
    #[must_use]
    pub fn is_strung(&self) -> bool {
        self.strung.is_some()
    }

    /// Bounds over all its states.
    #[must_use]
    pub fn envelope(&self) -> &Envelope {
        &self.envelope
    }

    /// Room around the wire that its bounds leave, m.
    #[must_use]
    pub fn margin_m(&self) -> f64 {
        self.margins.sum_m()
    }

    /// The same by name.
    #[must_use]
    pub fn margins(&self) -> &WireMargins {
        &self.margins
    }

    /// No part of the wire lies farther than this from its chord in any state, margin included, m.
    #[must_use]
    pub fn around_m(&self) -> f64 {
        self.hang_m + self.margin_m()
    }

    /// The wire in one state. Where strings hang, the state of one span does not fix that of its section: it is the state in
    /// which the wire was clamped in at the middle of the known tension and the wind blows square to this span.
    ///
    /// # Errors
    /// When that state has no shape within the model.
    pub fn shape(&self, state: &SpanState) -> Result<StateShape, CatenaryError> {
        match &self.strung {
            None => self.strand.shape(state),
            Some(strung) => strung.shape(&self.strand, state),
        }
    }

    /// A point of the wire in a state, in the site frame.
    #[must_use]
    pub fn point(&self, shape: &StateShape, t: f64) -> Point3<f64> {
        shape.span.point(t, shape.catenary.sag_m(t), shape.swing_rad)
    }

    /// The state at a conductor temperature (°C) with nominal tautness: middle of what is known, wind and ice as given.
    #[must_use]
    pub fn nominal_state(&self, temperature_degc: f64, wind_m_per_s: f64, ice_m: f64) -> SpanState {
        let rise_k = temperature_degc - self.tautness.at_degc.center();
        let grown = (1.0 + self.expansion_per_k * rise_k) * (1.0 + self.permanent_strain.center());
        SpanState { unstretched_m: self.tautness.unstretched_m.center() * grown, wind_m_per_s, ice_m }
    }

    /// The slackest still state at a conductor temperature (°C), tolerances and permanent stretch at their worst.
    #[must_use]
    pub fn slackest_still(&self, temperature_degc: f64, ice_m: f64) -> SpanState {
        let rise_k = temperature_degc - self.tautness.at_degc.low();
        let grown = (1.0 + self.expansion_per_k * rise_k) * (1.0 + self.permanent_strain.high());
        SpanState { unstretched_m: self.tautness.unstretched_m.high() * grown, wind_m_per_s: 0.0, ice_m }
    }

    /// Range of its conductor temperature, °C.
    #[must_use]
    pub fn temperature_range_degc(&self) -> Interval {
        self.temperature_degc
    }

    /// The conductor temperature that a state of the box stands for, °C, when tolerances are taken in step with it:
    /// cold with the taut end of the tolerances, hot with the slack end.
    #[must_use]
    pub fn temperature_degc(&self, state: &SpanState) -> f64 {
        let lengths = self.states.unstretched_m;
        let share = if lengths.width() > 0.0 { (state.unstretched_m - lengths.low()) / lengths.width() } else { 0.5 };
        self.temperature_degc.at(share.clamp(0.0, 1.0))
    }
}

/// Attachments moved by δ shift the chord by at most δ and change the sag by a factor of at most about 1 + 4δ/ℓ;
/// the factor is doubled here to cover the change of state.
pub(super) fn position_margin_m(tolerance_m: f64, sag_m: f64, run_m: f64) -> f64 {
    tolerance_m * (1.0 + 8.0 * sag_m / run_m)
}
