//! States of a wire that its job allows, one by one: what a closest approach stands on that was *found*.
//!
//! The bounds take ranges apart that go together and leave room around the wire. A real state does not: it has one history, one
//! weather of the job and attachments within their tolerance, and its shape is solved exactly.

use nalgebra::{Point3, Vector3};

use super::bimetal::Core;
use super::pieces::{FixedWire, LoadPieces, PieceCurve, PieceForce, SlackCore, StretchLaw};
use super::{CatenaryError, Conditions, Conductor, KnownBy, SectionState, Span, SpanState, WireDescription, WireSpan};
use crate::interval::Interval;

/// Everything that is known of a wire.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Knowledge {
    pub conductor: Conductor,
    /// As stated, where strings hang while these hang plumb.
    pub spans: Vec<Span>,
    pub known_by: KnownBy,
    pub permanent_strain: Interval,
    pub position_tolerance_m: f64,
    pub conditions: Conditions,
}

/// How a wire came to its unstretched length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WireHistory {
    /// Horizontal tension, bare and in still air, when its tautness became known, N.
    pub pull_n: f64,
    /// Conductor temperature then, °C.
    pub known_degc: f64,
    /// Conductor temperature now, °C.
    pub temperature_degc: f64,
    /// Permanent strain gained between.
    pub permanent_strain: f64,
}

/// A span of a wire in a state that the job allows.
#[derive(Clone, Debug, PartialEq)]
pub struct RealWire {
    /// Ends where they are in this state, unstretched length, law of stretching.
    pub wire: FixedWire,
    /// By how much both attachments lie from where they are stated, within their tolerance, m.
    pub shift_m: Vector3<f64>,
    /// How it came to its length.
    pub history: WireHistory,
    /// Velocity of the air at each piece, m/s; where strings hang, of which the wire there takes the part across.
    pub winds_m_per_s: Vec<Vector3<f64>>,
    /// What each piece bears.
    pub forces: Vec<PieceForce>,
}

impl RealWire {
    /// How it hangs.
    ///
    /// # Errors
    /// When the iteration does not settle or the wire is stretched beyond the model.
    pub fn curve(&self) -> Result<PieceCurve, CatenaryError> {
        self.wire.bearing(&self.forces)
    }

    /// The share of the way on the map from the near to the far end at which a point lies, 0..1.
    #[must_use]
    pub fn fraction_of(&self, point: &Point3<f64>) -> f64 {
        let level = (self.wire.to - self.wire.from).xy();
        ((point - self.wire.from).xy().dot(&level) / level.norm_squared()).clamp(0.0, 1.0)
    }
}

/// Which of the real histories, and where the attachments are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct History {
    /// From the tautest (0) to the slackest (1), all that is known in step.
    pub slack: f64,
    /// From the longest core that is possible (0) to the shortest (1).
    pub core: f64,
    /// By how much both attachments lie from where they are stated, m.
    pub shift_m: Vector3<f64>,
}

/// A length with the history that led to it.
struct Length {
    unstretched_m: f64,
    history: WireHistory,
    law: StretchLaw,
}

impl Knowledge {
    /// The unstretched length of a span by a history; none where what is known excludes that.
    fn length(&self, span: usize, history: &History) -> Option<Length> {
        let p = self.conductor.properties();
        let spans: Vec<Span> = self.spans.iter().map(|span| span.shifted(&history.shift_m)).collect();
        let chord = spans.get(span)?.chord_in_plane(0.0);
        let (taut, slack) = (1.0 - history.slack, history.slack);
        let known_degc = self.known_by.temperature_degc().at(taut);
        let temperature_degc = self.conditions.temperature_degc.at(slack);
        let permanent_strain = self.permanent_strain.at(slack);
        let hang = |conductor: &Conductor| -> Option<(f64, f64)> {
            let pull_n = self.known_by.horizontal_n(conductor, &spans, 0.0).ok()?.at(taut);
            Some((super::known::bare(conductor, chord, pull_n).ok()?.unstretched_m(), pull_n))
        };
        let whole = hang(&self.conductor)?;
        let law = StretchLaw::elastic(p.axial_stiffness_n);
        let ((known_m, pull_n), law) = match self.conductor.core() {
            None => (whole, law),
            Some(core) => {
                let excess = |degc: f64| self.excess(core, history.core, degc);
                let before = excess(known_degc);
                let alone = hang(&self.conductor.core_alone(core, before))?;
                let alone = (alone.0 / (1.0 - before), alone.1);
                let shorter = excess(temperature_degc) + permanent_strain;
                let slack_core = SlackCore { axial_stiffness_n: core.axial_stiffness_n, shorter };
                // Whole or core, whichever pulls more: at a known tension the longer of the two.
                let longer = if alone.0 > whole.0 { alone } else { whole };
                (longer, StretchLaw { core: Some(slack_core), ..law })
            }
        };
        let growth = (1.0 + p.expansion_per_k * (temperature_degc - known_degc)) * (1.0 + permanent_strain);
        let history = WireHistory { pull_n, known_degc, temperature_degc, permanent_strain };
        Some(Length { unstretched_m: known_m * growth, history, law })
    }

    /// By what share the free core is shorter than the free whole at a temperature, without strain gained since it was known.
    fn excess(&self, core: &Core, share: f64, degc: f64) -> f64 {
        let free_degc = core.free_degc.at(1.0 - share);
        let difference = self.conductor.properties().expansion_per_k - core.expansion_per_k;
        difference * (degc - free_degc) + core.set.at(share)
    }

    /// The slackness (0..1) at which a span has an unstretched length, or the nearest to it: the length rises with it.
    fn slack_of(&self, span: usize, history: History, unstretched_m: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let slack = 0.5 * (low + high);
            let short =
                self.length(span, &History { slack, ..history }).is_none_or(|l| l.unstretched_m < unstretched_m);
            if short { low = slack } else { high = slack }
        }
        // Half a step from an end is the end.
        if low == 0.0 {
            0.0
        } else if high == 1.0 {
            1.0
        } else {
            0.5 * (low + high)
        }
    }
}

/// Halvings that find a slackness.
const HALVINGS: usize = 30;

impl Span {
    /// The same span with both attachments moved alike.
    pub(super) fn shifted(&self, shift_m: &Vector3<f64>) -> Self {
        self.starting_at(self.from() + shift_m)
    }
}

impl WireSpan {
    /// What is known of its wire; the name is not kept.
    #[must_use]
    pub fn description(&self) -> WireDescription {
        let Knowledge { conductor, spans, known_by, permanent_strain, position_tolerance_m, .. } = &*self.knowledge;
        WireDescription {
            name: String::new(),
            conductor: *conductor,
            spans: spans.clone(),
            known_by: *known_by,
            permanent_strain: *permanent_strain,
            position_tolerance_m: *position_tolerance_m,
        }
    }

    /// How far the attachments may lie from where they are stated, m.
    #[must_use]
    pub fn position_tolerance_m(&self) -> f64 {
        self.knowledge.position_tolerance_m
    }

    /// The conditions of its states.
    #[must_use]
    pub fn conditions(&self) -> &Conditions {
        &self.knowledge.conditions
    }

    /// Whether its tautness is known by a height, so that attachments that lie higher mean more sag.
    pub(crate) fn is_known_by_height(&self) -> bool {
        matches!(self.knowledge.known_by, KnownBy::Height { .. })
    }

    /// The slackness at which it has an unstretched length, attachments where they are stated.
    pub(crate) fn slack_of(&self, core: f64, unstretched_m: f64) -> f64 {
        let history = History { slack: 0.0, core, shift_m: Vector3::zeros() };
        self.knowledge.slack_of(self.index, history, unstretched_m)
    }

    /// The wire between rigid attachments after a history, in weather that the job allows; none where what is known of it
    /// excludes that history.
    pub(crate) fn real(&self, history: &History, weather: &LoadPieces) -> Option<RealWire> {
        let Length { unstretched_m, history: past, law } = self.knowledge.length(self.index, history)?;
        let span = self.span().shifted(&history.shift_m);
        let wire = FixedWire { from: span.from(), to: span.to(), unstretched_m, law };
        let forces = wire.forces(self.strand.load(), weather);
        let winds_m_per_s = weather.pieces().iter().map(|piece| piece.wind_m_per_s).collect();
        Some(RealWire { wire, shift_m: history.shift_m, history: past, winds_m_per_s, forces })
    }

    /// The wire in a state of its section, with the fixed points of wire and strings moved alike, and that state; its known
    /// tension and its wind brought to the nearest that the job allows. None where no strings hang.
    ///
    /// # Errors
    /// When that state has no shape.
    pub(crate) fn real_in(
        &self,
        section: &SectionState,
        shift_m: &Vector3<f64>,
    ) -> Option<Result<(RealWire, SectionState), CatenaryError>> {
        let knowledge = &self.knowledge;
        let spans: Vec<Span> = knowledge.spans.iter().map(|span| span.shifted(shift_m)).collect();
        let pull_n = knowledge.known_by.horizontal_n(&knowledge.conductor, &spans, 0.0).ok()?;
        let clamped_n = section.clamped_n.clamp(pull_n.low(), pull_n.high());
        let section = SectionState { clamped_n, ..*section };
        let placed = self.placed_in(&section)?;
        Some(placed.map(|placed| (self.real_strung(&section, shift_m, &placed.state, &placed.shape), section)))
    }

    fn real_strung(
        &self,
        section: &SectionState,
        shift_m: &Vector3<f64>,
        state: &SpanState,
        shape: &super::StateShape,
    ) -> RealWire {
        let span = shape.span.shifted(shift_m);
        let law = StretchLaw::elastic(self.strand.axial_stiffness_n());
        let wire = FixedWire { from: span.from(), to: span.to(), unstretched_m: state.unstretched_m, law };
        let force_n_per_m = shape.span.load_direction(shape.swing_rad) * shape.load_n_per_m;
        let (sin, cos) = section.wind_from_rad.sin_cos();
        RealWire {
            wire,
            shift_m: *shift_m,
            history: self.history_of(section),
            winds_m_per_s: vec![Vector3::new(sin, cos, 0.0) * -section.wind_m_per_s],
            forces: vec![PieceForce { to_share: 1.0, force_n_per_m, ice_m: section.ice_m }],
        }
    }

    /// The history of a section's growth, all that is known in step.
    fn history_of(&self, section: &SectionState) -> WireHistory {
        let knowledge = &self.knowledge;
        let at = |slack: f64| WireHistory {
            pull_n: section.clamped_n,
            known_degc: knowledge.known_by.temperature_degc().at(1.0 - slack),
            temperature_degc: knowledge.conditions.temperature_degc.at(slack),
            permanent_strain: knowledge.permanent_strain.at(slack),
        };
        let growth = |past: &WireHistory| {
            let rise_k = past.temperature_degc - past.known_degc;
            (1.0 + self.expansion_per_k * rise_k) * (1.0 + past.permanent_strain)
        };
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let slack = 0.5 * (low + high);
            if growth(&at(slack)) < section.growth { low = slack } else { high = slack }
        }
        at(0.5 * (low + high))
    }
}
