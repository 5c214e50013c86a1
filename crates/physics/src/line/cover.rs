//! A box of states of one span with bounds over them, as the search divides it.

use std::sync::Arc;

use nalgebra::{Point3, Vector3};

use super::section::{Hints, Sway, span_shape};
use super::uneven::{Across, Farthest, Tube};
use super::{
    CatenaryError, DIMENSIONS, Envelope, Piece, SectionError, SectionState, Span, SpanState, StateBox, StateShape,
    Strand, StringSwing, WireSpan,
};
use crate::interval::Interval;

/// A box of states of one span with bounds over them.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    span: Span,
    sway: Sway,
    envelope: Envelope,
    /// Where loads may differ along the span: it bounds all states at once.
    tube: Option<Arc<Tube>>,
    states: CoveredStates,
}

/// How far a wire reaches along a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// No point of the wire lies farther along the direction, m.
    pub reach_m: f64,
    /// Fraction of the span where that is, about.
    pub fraction: f64,
    /// The range of n·d, by which the sag counts.
    pub drops: Interval,
}

/// Which states.
#[derive(Clone, Debug, PartialEq)]
pub enum CoveredStates {
    /// Those of a span between rigid attachments.
    Rigid(StateBox),
    /// Those of a section with strings, of which the span is one.
    Strung {
        /// The section's.
        piece: Arc<Piece>,
        /// Index of the span in its section.
        place: usize,
    },
}

/// A span in one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedState {
    /// Its own state.
    pub state: SpanState,
    /// The state of its section, where strings hang.
    pub section: Option<SectionState>,
    /// Its shape.
    pub shape: StateShape,
}

impl Cover {
    /// The span; where strings hang, between the middles of where its ends can be.
    #[must_use]
    pub fn span(&self) -> &Span {
        &self.span
    }

    /// Bounds on its sag and swing.
    #[must_use]
    pub fn envelope(&self) -> &Envelope {
        &self.envelope
    }

    /// Which states.
    #[must_use]
    pub fn states(&self) -> &CoveredStates {
        &self.states
    }

    /// Whether loads may differ along the span: all states are then covered at once, and dividing them gains nothing.
    #[must_use]
    pub fn is_uneven(&self) -> bool {
        self.tube.is_some()
    }

    /// A number that n·x exceeds for no point x of the wire between two fractions of the span in any state.
    #[must_use]
    pub fn reach(&self, normal: &Vector3<f64>, from: f64, to: f64) -> Reach {
        let drops = self.envelope.drop_range(&self.span, normal);
        let start_m = normal.dot(&self.span.from().coords);
        if let Some(tube) = &self.tube {
            let chord_m = normal.dot(&self.span.chord());
            let Farthest { reach_m, fraction } = tube.reach(&self.across(normal), chord_m, from, to);
            return Reach { reach_m: start_m + reach_m, fraction, drops };
        }
        let (reach_m, fraction) = self.envelope.reach_m(&self.span, normal, drops.high(), from, to);
        Reach { reach_m: start_m + reach_m + self.sway_m(normal, from, to), fraction, drops }
    }

    /// About the point at a fraction of the span where the wire reaches farthest along a direction, where loads may differ.
    #[must_use]
    pub fn farthest_point(&self, normal: &Vector3<f64>, fraction: f64) -> Option<Point3<f64>> {
        let tube = self.tube.as_ref()?;
        let off = tube.off_m(&self.across(normal), fraction);
        Some(self.span.from() + self.span.chord() * fraction - Vector3::z() * off.x + self.span.lateral() * off.y)
    }

    /// The part of a direction square to the run of the span: down and left.
    fn across(&self, normal: &Vector3<f64>) -> Across {
        Across::new(-normal.z, normal.dot(&self.span.lateral()))
    }

    /// How far the strings may move the wire along a direction between two fractions of the span, m.
    #[must_use]
    pub fn sway_m(&self, normal: &Vector3<f64>, from: f64, to: f64) -> f64 {
        self.sway.reach_m(normal, from, to)
    }

    /// The most that the strings may move any point of the span, m.
    #[must_use]
    pub fn greatest_sway_m(&self) -> f64 {
        self.sway.greatest_m()
    }

    /// The ranges of the numbers that make a state: unstretched length, wind, ice; or those of a section.
    #[must_use]
    pub fn ranges(&self) -> Vec<Interval> {
        match &self.states {
            CoveredStates::Rigid(states) => vec![states.unstretched_m, states.wind_m_per_s, states.ice_m],
            CoveredStates::Strung { piece, .. } => piece.states().ranges.to_vec(),
        }
    }

    pub(crate) fn hints(&self) -> Option<&Hints> {
        match &self.states {
            CoveredStates::Rigid(_) => None,
            CoveredStates::Strung { piece, place } => Some(piece.hints(*place)),
        }
    }

    /// The range along which bounds of the halves are known, where there is such a one.
    pub(crate) fn divided(&self) -> Option<usize> {
        match &self.states {
            CoveredStates::Rigid(_) => None,
            CoveredStates::Strung { piece, .. } => piece.divided(),
        }
    }

    fn rigid(strand: &Strand, states: StateBox) -> Result<Self, CatenaryError> {
        let envelope = strand.envelope(&states)?;
        let states = CoveredStates::Rigid(states);
        Ok(Self { span: *strand.span(), sway: Sway::none(), envelope, tube: None, states })
    }
}

impl WireSpan {
    /// All states of the span.
    #[must_use]
    pub fn cover(&self) -> Cover {
        let (span, envelope) = (*self.span(), *self.envelope());
        match &self.strung {
            None => {
                let (tube, states) = (self.tube.clone(), CoveredStates::Rigid(*self.states()));
                Cover { span, sway: Sway::none(), envelope, tube, states }
            }
            Some(strung) => {
                let states = CoveredStates::Strung { piece: Arc::clone(&strung.piece), place: strung.place };
                Cover { span, sway: strung.sway, envelope, tube: None, states }
            }
        }
    }

    /// The halves of a cover along one of its ranges.
    ///
    /// # Errors
    /// When a half has no bounds.
    pub fn halves(&self, cover: &Cover, dimension: usize) -> Result<[Cover; 2], SectionError> {
        match (&cover.states, &self.strung) {
            (CoveredStates::Strung { piece, place }, Some(strung)) => {
                let [low, high] = piece.halves(&strung.section, dimension)?;
                let cover = |piece: Arc<Piece>| -> Result<Cover, SectionError> {
                    let hung = piece.hung(&strung.section, &self.strand, *place)?;
                    let (span, sway, envelope) = (*hung.strand.span(), hung.sway, hung.envelope);
                    let states = CoveredStates::Strung { piece, place: *place };
                    Ok(Cover { span, sway, envelope, tube: None, states })
                };
                Ok([cover(low)?, cover(high)?])
            }
            (CoveredStates::Rigid(states), _) => {
                let [low, high] = divided(states, dimension);
                let half = |states| -> Result<Cover, CatenaryError> {
                    Ok(Cover { tube: cover.tube.clone(), ..Cover::rigid(&self.strand, states)? })
                };
                Ok([half(low)?, half(high)?])
            }
            (CoveredStates::Strung { .. }, None) => Err(SectionError::NotProven),
        }
    }

    /// The span in the state with these numbers, in the order of [`Cover::ranges`].
    ///
    /// # Errors
    /// When that state has no shape.
    pub fn placed(&self, values: &[f64]) -> Result<PlacedState, CatenaryError> {
        self.placed_from(self.strung.as_ref().map(|strung| &*strung.piece), values)
    }

    /// The same, sought from the middle of a cover of the span, which is quick for states in it or close to it.
    ///
    /// # Errors
    /// As [`WireSpan::placed`].
    pub(crate) fn placed_near(&self, cover: &Cover, values: &[f64]) -> Result<PlacedState, CatenaryError> {
        match &cover.states {
            CoveredStates::Rigid(_) => self.placed(values),
            CoveredStates::Strung { piece, .. } => self.placed_from(Some(piece), values),
        }
    }

    fn placed_from(&self, piece: Option<&Piece>, values: &[f64]) -> Result<PlacedState, CatenaryError> {
        let value = |index: usize| values.get(index).copied().unwrap_or_default();
        match (&self.strung, piece) {
            (Some(strung), Some(piece)) => {
                let state = piece.states().state(std::array::from_fn::<f64, DIMENSIONS, _>(value));
                self.in_section(strung, piece, &state)
            }
            _ => {
                let state = SpanState { unstretched_m: value(0), wind_m_per_s: value(1), ice_m: value(2) };
                Ok(PlacedState { state, section: None, shape: self.strand.shape(&state)? })
            }
        }
    }

    /// The span in a state of its section; none where no strings hang.
    ///
    /// # Errors
    /// When that state has no shape.
    pub fn placed_in(&self, section: &SectionState) -> Option<Result<PlacedState, CatenaryError>> {
        self.strung.as_ref().map(|strung| self.in_section(strung, &strung.piece, section))
    }

    fn in_section(
        &self,
        strung: &super::stringing::Strung,
        piece: &Piece,
        section: &SectionState,
    ) -> Result<PlacedState, CatenaryError> {
        let (state, shape) = span_shape(&strung.section, piece, &self.strand, strung.place, section)?;
        Ok(PlacedState { state, section: Some(*section), shape })
    }

    /// How the strings at the near and far end swing in a state of the section; none at rigid attachments.
    ///
    /// # Errors
    /// When that state has no shape.
    pub fn string_swings(&self, section: &SectionState) -> Result<[Option<StringSwing>; 2], CatenaryError> {
        let Some(strung) = &self.strung else { return Ok([None, None]) };
        super::section::swings(&strung.section, &strung.piece, strung.place, section)
    }

    /// The temperature that a state stands for, °C: by its own unstretched length, or by that of its section.
    #[must_use]
    pub fn placed_degc(&self, placed: &PlacedState) -> f64 {
        match (&self.strung, &placed.section) {
            (Some(strung), Some(section)) => {
                let range = strung.piece.states().ranges[1];
                let share = if range.width() > 0.0 { (section.growth - range.low()) / range.width() } else { 0.5 };
                self.temperature_degc.at(share.clamp(0.0, 1.0))
            }
            _ => self.temperature_degc(&placed.state),
        }
    }
}

fn divided(states: &StateBox, dimension: usize) -> [StateBox; 2] {
    match dimension {
        0 => halves(states.unstretched_m).map(|unstretched_m| StateBox { unstretched_m, ..*states }),
        1 => halves(states.wind_m_per_s).map(|wind_m_per_s| StateBox { wind_m_per_s, ..*states }),
        _ => halves(states.ice_m).map(|ice_m| StateBox { ice_m, ..*states }),
    }
}

/// The two halves of a range.
fn halves(range: Interval) -> [Interval; 2] {
    let middle = range.center();
    [Interval::hull(range.low(), middle), Interval::hull(middle, range.high())]
}
