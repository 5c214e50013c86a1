//! Spans of a balanced section as shapes, and the checks over all its states.

use super::balance::Balanced;
use super::{Piece, Section, SectionBox, SectionError, SectionState, StringSwing};
use crate::line::{CatenaryError, SpanState, StateShape, Strand};

impl Section {
    /// Proves the balance over all states of a job.
    ///
    /// # Errors
    /// When a state has no balance, a string is lifted, or the proof does not succeed.
    pub fn prove_all(&self, states: SectionBox) -> Result<Piece, SectionError> {
        self.prove(states, &self.balanced_at_rest(states.ranges[0].center())?)
    }

    /// The balance in a state, sought from the middle of a piece.
    fn near(&self, piece: &Piece, state: &SectionState) -> Result<Balanced, CatenaryError> {
        self.balanced(state, piece.center()).map_err(|error| match error {
            SectionError::Shape(source) => source,
            _ => {
                let span = &self.members[0].rest;
                let chord_m = span.chord().norm();
                CatenaryError::NotConverged { unstretched_m: state.growth * chord_m, chord_m }
            }
        })
    }

    /// The span with the greatest tension in the shortest, windiest, iciest state of a piece, and that tension, N.
    ///
    /// # Errors
    /// When that state has no balance.
    pub fn greatest_tension_n(&self, piece: &Piece) -> Result<(usize, f64), SectionError> {
        let wind = piece.states().ranges[2];
        let strongest = if wind.high() >= -wind.low() { 1.0 } else { 0.0 };
        let state = piece.states().at(&[1.0, 0.0, strongest, 0.5, 1.0]);
        let balanced = self.balanced(&state, piece.center())?;
        let parts = self.parts(&state)?;
        let tensions = (0..self.members.len()).map(|span| {
            let cable = self.cable(&parts, &balanced.unknowns, span);
            (span, cable.force_n.norm().max((cable.force_n - cable.total_n).norm()))
        });
        Ok(tensions.fold((0, 0.0), |best, next| if next.1 > best.1 { next } else { best }))
    }
}

/// A span of a section in a state: its own state, and its shape between the ends that it has there.
pub fn span_shape(
    section: &Section,
    piece: &Piece,
    strand: &Strand,
    place: usize,
    state: &SectionState,
) -> Result<(SpanState, StateShape), CatenaryError> {
    let balanced = section.near(piece, state)?;
    let unstretched_m = section.clamped_m(place, state.clamped_n)? * state.growth;
    let wind_m_per_s = state.wind_across(section.members[place].left_rad);
    let own = SpanState { unstretched_m, wind_m_per_s, ice_m: state.ice_m };
    let chord_m = strand.span().chord().norm();
    let span = section.span_in(&balanced, place).map_err(|_| CatenaryError::NotConverged { unstretched_m, chord_m })?;
    let (load, plumb) = section.load_and_plumb(&section.members[place], state);
    Ok((own, strand.between(span.with_plumb(plumb)).shape_under(&own, &load)?))
}

/// How the strings at the ends of a span swing in a state.
pub fn swings(
    section: &Section,
    piece: &Piece,
    place: usize,
    state: &SectionState,
) -> Result<[Option<StringSwing>; 2], CatenaryError> {
    let balanced = section.near(piece, state)?;
    Ok([place, place + 1].map(|support| section.swing(&balanced, support)))
}
