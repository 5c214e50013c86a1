//! The spans of a wire from what is known of it: held rigidly, or in a section with strings.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use nalgebra::Point3;

use super::bimetal::CoreLaw;
use super::real::Knowledge;
use super::rise::Rise;
use super::section::{Hung, Sway, WindNumbers, span_shape};
use super::uneven::{LoadSet, StretchLaw, Tube, UnevenSpan, WindFan};
use super::wire::position_margin_m;
use super::{
    Conditions, Conductor, ConductorProperties, LoadModel, LoadsAlongSpan, Piece, Section, SectionBox, SectionError,
    SectionState, Span, SpanState, StateBox, StateShape, Strand, SuspensionString, Tautness, WindDirection, WireError,
    WireMargins, WireSpan,
};
use crate::interval::Interval;

/// What all spans of a wire share.
pub(super) struct Stringing<'a> {
    pub knowledge: Arc<Knowledge>,
    pub load: LoadModel,
    pub conductor: &'a Conductor,
    pub properties: ConductorProperties,
    /// Horizontal tension when clamped in, N.
    pub clamped_n: Interval,
    /// For each span.
    pub tautness: Vec<Tautness>,
    pub permanent_strain: Interval,
    pub position_tolerance_m: f64,
    pub conditions: &'a Conditions,
}

/// Where a span belongs that hangs on strings.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Strung {
    pub section: Arc<Section>,
    /// All states of the section.
    pub piece: Arc<Piece>,
    /// Index of the span in its section.
    pub place: usize,
    pub sway: Sway,
}

impl Stringing<'_> {
    /// A span between rigid attachments.
    pub fn rigid(&self, index: usize, span: Span) -> Result<WireSpan, WireError> {
        let unstretched_m = self.over_conditions(&self.tautness[index]);
        let (degc, strain) = (self.conditions.temperature_degc, self.permanent_strain);
        let core = CoreLaw::new(self.conductor, self.tautness[index], degc, strain, unstretched_m);
        let strand = Strand { core, ..self.strand(span) };
        let rise = Rise::new(index, &span, &self.load, self.conditions)?;
        let wind_m_per_s = self.conditions.wind_across(&span);
        let states = StateBox { unstretched_m, wind_m_per_s, ice_m: self.conditions.ice_m };
        strand.check_strength(index, &states, self.properties.rated_strength_n)?;
        match self.conditions.loads_along_span {
            LoadsAlongSpan::Differ => self.unevenly_loaded(index, strand, states),
            LoadsAlongSpan::Uniform => self.uniformly_loaded(index, strand, states, &rise),
        }
    }

    /// Each place of the span has a load of its own, between still air and the strongest wind.
    fn unevenly_loaded(&self, index: usize, strand: Strand, states: StateBox) -> Result<WireSpan, WireError> {
        let wind = states.wind_m_per_s;
        let wind_m_per_s = Interval::hull(wind.low().min(0.0), wind.high().max(0.0));
        let states = StateBox { wind_m_per_s, ..states };
        let envelope = strand.envelope(&states).map_err(|source| WireError::Shape { span: index, source })?;
        let tube = Tube::new(self.uneven(index, &strand, states.unstretched_m));
        let wire = self.span(index, strand, states, envelope, None);
        let sag_m = tube.farthest_m();
        let margins = self.margins(sag_m, strand.span());
        Ok(WireSpan { margins, hang_m: sag_m + envelope.radius_m(), tube: Some(Arc::new(tube)), ..wire })
    }

    /// The same load along the whole span, met by the direction of the chord.
    fn uniformly_loaded(
        &self,
        index: usize,
        strand: Strand,
        states: StateBox,
        rise: &Rise,
    ) -> Result<WireSpan, WireError> {
        let states = StateBox { wind_m_per_s: self.with_calm(rise.winds(states.wind_m_per_s)), ..states };
        let envelope = strand.envelope(&states).map_err(|source| WireError::Shape { span: index, source })?;
        let elastic_m = strand.core().is_none().then(|| states.unstretched_m.high());
        let lifted_m = rise.margin_m(index, strand.span(), &envelope, elastic_m)?;
        let wire = self.span(index, strand, states, envelope, None);
        Ok(WireSpan { margins: WireMargins { rising_m: lifted_m, ..wire.margins }, ..wire })
    }

    fn uneven(&self, index: usize, strand: &Strand, unstretched_m: Interval) -> UnevenSpan {
        let (span, ice_m) = (strand.span(), self.conditions.ice_m);
        let one = Tautness { unstretched_m: Interval::hull(1.0, 1.0), at_degc: self.tautness[index].at_degc };
        UnevenSpan {
            run_m: span.run_m(),
            slope: -span.chord().z / span.run_m(),
            whole: StretchLaw { unstretched_m, stiffness_n: self.properties.axial_stiffness_n },
            core: strand.core().map(|core| core.stretch(unstretched_m)),
            growth: self.over_conditions(&one),
            loads: LoadSet { load: self.load, fan: WindFan::new(self.conditions, span), ice_m },
        }
    }

    /// The spans of a section, which begins at a support of the wire.
    pub fn strung(
        &self,
        first: usize,
        spans: &[Span],
        strings: &[SuspensionString],
    ) -> Result<Vec<WireSpan>, WireError> {
        let fail = |source: SectionError| WireError::Strings { first, source };
        let stiffness_n = self.properties.axial_stiffness_n;
        let rises = spans.iter().enumerate().map(|(k, span)| Rise::new(first + k, span, &self.load, self.conditions));
        let rises: Vec<Rise> = rises.collect::<Result<_, _>>()?;
        let section = Section::new(spans, strings, self.load, stiffness_n, self.clamped_n.center()).map_err(fail)?;
        let piece = Arc::new(section.prove_all(self.states(spans)).map_err(fail)?);
        let lift = rises.iter().map(Rise::lift).fold(0.0, f64::max);
        self.check_knee(&piece, lift).map_err(fail)?;
        if let Some(strength_n) = self.properties.rated_strength_n {
            let (index, tension_n) = section.greatest_tension_n(&piece).map_err(fail)?;
            if tension_n > strength_n {
                return Err(WireError::AboveStrength { span: first + index, tension_n, strength_n });
            }
        }
        let section = Arc::new(section);
        let hang = |place: usize| {
            let Hung { strand, sway, states, envelope } = piece.hung(&section, &self.strand(spans[place]), place)?;
            let strung = Strung { section: Arc::clone(&section), piece: Arc::clone(&piece), place, sway };
            Ok(self.span(first + place, strand, states, envelope, Some(strung)))
        };
        (0..spans.len()).map(hang).collect::<Result<_, SectionError>>().map_err(fail)
    }

    /// Refuses a section whose outer wires may go slack: while they pull, the wire is as of one piece.
    fn check_knee(&self, piece: &Piece, lift: f64) -> Result<(), SectionError> {
        let Some(core) = self.conductor.core() else { return Ok(()) };
        let Conditions { temperature_degc, ice_m, .. } = *self.conditions;
        let knee_n = |degc: Interval, strain: Interval| {
            let excess = core.excess(self.properties.expansion_per_k, degc, strain);
            core.knee_n(self.properties.axial_stiffness_n, excess.high())
        };
        let least_n = piece.least_constant_m() * self.load.down_n_per_m(ice_m.low()) * (1.0 - lift);
        let (now_n, then_n) = (
            knee_n(temperature_degc, self.permanent_strain),
            knee_n(self.tautness[0].at_degc, Interval::hull(0.0, 0.0)),
        );
        match (least_n >= now_n, self.clamped_n.low() >= then_n) {
            (true, true) => Ok(()),
            (false, _) => Err(SectionError::Knee { least_n, knee_n: now_n }),
            (true, false) => Err(SectionError::Knee { least_n: self.clamped_n.low(), knee_n: then_n }),
        }
    }

    fn strand(&self, span: Span) -> Strand {
        Strand { span, load: self.load, axial_stiffness_n: self.properties.axial_stiffness_n, core: None }
    }

    /// Drag by Reynolds number is an upper bound: a smaller push is that of a slower wind, which the range must hold.
    fn with_calm(&self, wind_m_per_s: Interval) -> Interval {
        let (low, high) = (wind_m_per_s.low(), wind_m_per_s.high());
        if self.load.by_reynolds() { Interval::hull(low.min(0.0), high.max(0.0)) } else { wind_m_per_s }
    }

    fn over_conditions(&self, tautness: &Tautness) -> Interval {
        tautness.unstretched_over(
            self.properties.expansion_per_k,
            self.conditions.temperature_degc,
            self.permanent_strain,
        )
    }

    fn span(
        &self,
        index: usize,
        strand: Strand,
        states: StateBox,
        envelope: super::Envelope,
        strung: Option<Strung>,
    ) -> WireSpan {
        let sag_m = envelope.most().greatest_sag_m();
        let sway_m = strung.as_ref().map_or(0.0, |strung| strung.sway.greatest_m());
        WireSpan {
            index,
            variant: 0,
            strand,
            expansion_per_k: self.properties.expansion_per_k,
            tautness: self.tautness[index],
            permanent_strain: self.permanent_strain,
            temperature_degc: self.conditions.temperature_degc,
            states,
            envelope,
            tube: None,
            margins: self.margins(sag_m, strand.span()),
            knowledge: Arc::clone(&self.knowledge),
            hang_m: sag_m + sway_m + envelope.radius_m(),
            strung,
        }
    }

    fn margins(&self, sag_m: f64, span: &Span) -> WireMargins {
        WireMargins {
            attachments_m: position_margin_m(self.position_tolerance_m, sag_m, span.run_m()),
            sway_m: self.conditions.sway_allowance_m,
            rising_m: 0.0,
        }
    }

    /// The states of a section. On a straight and level one only the wind across counts: it blows square to the line, either
    /// way.
    fn states(&self, spans: &[Span]) -> SectionBox {
        let at_degc = self.tautness[0].at_degc;
        let one = Tautness { unstretched_m: Interval::hull(1.0, 1.0), at_degc };
        let growth = self.over_conditions(&one);
        let (speed_m_per_s, second, wind) = self.winds(spans);
        let ranges = [self.clamped_n, growth, self.with_calm(speed_m_per_s), second, self.conditions.ice_m];
        SectionBox { ranges, wind }
    }

    /// The ranges of the two numbers of the wind, and what they are.
    fn winds(&self, spans: &[Span]) -> (Interval, Interval, WindNumbers) {
        let (left, conditions) = (spans[0].lateral(), self.conditions);
        let left_rad = left.x.atan2(left.y);
        let straight = spans.iter().all(|span| (span.lateral() - left).norm() < 1e-9);
        let level = spans.iter().all(|span| span.chord().z == 0.0);
        let (across, speed) = (conditions.wind_across(&spans[0]), conditions.wind_m_per_s);
        let bearings = |from_rad, sweep_rad| Interval::hull(from_rad, from_rad + sweep_rad);
        match conditions.wind_direction {
            _ if straight && level => (across, bearings(left_rad + PI, 0.0), WindNumbers::SpeedAndBearing),
            WindDirection::Any if straight => {
                let wind = WindNumbers::AcrossAndAlong { most_m_per_s: speed.high(), left_rad };
                (across, Interval::hull(-1.0, 1.0), wind)
            }
            WindDirection::Any => (speed, bearings(0.0, TAU), WindNumbers::SpeedAndBearing),
            WindDirection::Sector { from_rad, sweep_rad } => {
                (speed, bearings(from_rad, sweep_rad), WindNumbers::SpeedAndBearing)
            }
        }
    }
}

/// All spans of a section in one state.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPicture {
    /// Each span with its state.
    pub spans: Vec<(SpanState, StateShape)>,
    /// The fixed point of each string, and the string, from the first support between spans.
    pub strings: Vec<(Point3<f64>, SuspensionString)>,
    /// Which of the spans is the one that was asked.
    pub place: usize,
}

impl WireSpan {
    /// How many boxes of its section's states are held in memory; none where it hangs on no strings.
    #[must_use]
    pub fn pieces_alive(&self) -> Option<usize> {
        self.strung.as_ref().map(|strung| strung.piece.alive())
    }

    /// Whether this span and the next one hang in the same section on strings.
    #[must_use]
    pub fn hangs_with(&self, next: &Self) -> bool {
        matches!((&self.strung, &next.strung), (Some(own), Some(other)) if Arc::ptr_eq(&own.piece, &other.piece))
    }

    /// The string at its near end and the point from which that hangs, m; none where it is held rigidly there.
    #[must_use]
    pub fn near_string(&self) -> Option<(Point3<f64>, SuspensionString)> {
        let strung = self.strung.as_ref()?;
        strung.section.strings().nth(strung.place.checked_sub(1)?)
    }

    /// An unstretched length (m) as a multiple of the one with which the span hangs at the middle of the known tension when it is
    /// clamped in; where no strings hang, of the middle of its range.
    ///
    /// # Errors
    /// When the span has no shape at that tension.
    pub fn growth(&self, unstretched_m: f64) -> Result<f64, super::CatenaryError> {
        let known_m = match &self.strung {
            Some(strung) => strung.section.clamped_m(strung.place, strung.piece.states().ranges[0].center())?,
            None => self.states.unstretched_m.center(),
        };
        Ok(unstretched_m / known_m)
    }

    /// The whole section in the state that a state of this span stands for; none where it hangs on no strings.
    ///
    /// # Errors
    /// When that state has no balance.
    pub fn section_picture(&self, state: &SpanState) -> Option<Result<SectionPicture, super::CatenaryError>> {
        self.strung.as_ref().map(|strung| {
            let state = strung.section_state(state)?;
            let (section, piece) = (&strung.section, &strung.piece);
            let spans = (0..section.rest_spans().count()).map(|k| span_shape(section, piece, &self.strand, k, &state));
            let spans = spans.collect::<Result<_, _>>()?;
            Ok(SectionPicture { spans, strings: section.strings().collect(), place: strung.place })
        })
    }
}

impl Strung {
    /// The state of the section that a state of this span stands for: clamped in at the middle of the tension's range, wind
    /// square to the span.
    pub fn section_state(&self, state: &SpanState) -> Result<SectionState, super::CatenaryError> {
        let clamped_n = self.piece.states().ranges[0].center();
        let left = self.section.rest_spans().nth(self.place).map_or(0.0, |span| {
            let left = span.lateral();
            left.x.atan2(left.y)
        });
        Ok(SectionState {
            clamped_n,
            growth: state.unstretched_m / self.section.clamped_m(self.place, clamped_n)?,
            wind_m_per_s: state.wind_m_per_s,
            wind_from_rad: left + PI,
            ice_m: state.ice_m,
        })
    }

    /// The span in a state of its own.
    pub fn shape(&self, strand: &Strand, state: &SpanState) -> Result<StateShape, super::CatenaryError> {
        let state = self.section_state(state)?;
        Ok(span_shape(&self.section, &self.piece, strand, self.place, &state)?.1)
    }
}
