//! Suspension strings, and why a section with them cannot be.

use thiserror::Error;

use super::SectionState;
use crate::line::CatenaryError;

/// A string of insulators: a straight, rigid link of even weight that hangs from a fixed point and is free to swing both ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SuspensionString {
    /// From the fixed point to the wire, m.
    pub length_m: f64,
    /// Weight with all fittings, N.
    pub weight_n: f64,
    /// Area that the wind across the line meets, m²; the wires' drag coefficient holds for it.
    pub wind_area_m2: f64,
}

/// How far a string hangs from plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StringSwing {
    /// Along the line, rad, positive toward its far end.
    pub along_rad: f64,
    /// Across the line, rad, positive to its left.
    pub across_rad: f64,
}

/// Why a section has no state that the model covers.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum SectionError {
    /// A string without extent, or beyond sense.
    #[error("support {support}: the string's {quantity} of {value} is outside {min}..{max}")]
    String {
        /// Index of the support.
        support: usize,
        /// Which quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
    },
    /// A string where the wire ends.
    #[error("support {support}: a string hangs where the wire ends, so nothing holds the wire along the line")]
    AtEnd {
        /// Index of the support.
        support: usize,
    },
    /// A string at a bend of the line.
    #[error(
        "support {support}: the line turns by {turn_deg:.1} deg where a string hangs; the model covers turns up to {most_deg} deg"
    )]
    Turns {
        /// Index of the support.
        support: usize,
        /// Turn, degrees.
        turn_deg: f64,
        /// Greatest turn, degrees.
        most_deg: f64,
    },
    /// More spans than the model solves at once.
    #[error("{spans} spans follow each other without a rigid attachment; the model covers {most}")]
    TooLong {
        /// How many.
        spans: usize,
        /// Most.
        most: usize,
    },
    /// The wire lifts a string.
    #[error(
        "support {support}: the wire lifts the string at a clamped-in tension of {:.0} N, {:.5} of the length it had then, a wind of {:.1} m/s and {:.1} mm of ice; a string cannot push, so this state cannot occur",
        state.clamped_n, state.growth, state.wind_m_per_s.abs(), 1000.0 * state.ice_m
    )]
    Uplift {
        /// Index of the support.
        support: usize,
        /// In which state.
        state: SectionState,
    },
    /// No balance was found.
    #[error(
        "the forces on the strings did not balance in the iteration; check tensions, strings and attachment heights"
    )]
    NotBalanced,
    /// The balance was found for single states, but could not be proven over the whole range.
    #[error(
        "the balance of the strings could not be proven over the whole range of states; narrow temperatures, wind, ice or tolerances"
    )]
    NotProven,
    /// The outer wires may go slack.
    #[error(
        "the outer wires may go slack: the tension may fall to {least_n:.0} N, and the core may carry alone below {knee_n:.0} N; on strings the model covers wires with a core only while their outer wires pull"
    )]
    Knee {
        /// Least tension that is proven, N.
        least_n: f64,
        /// Greatest tension at which the outer wires may go slack, N.
        knee_n: f64,
    },
    /// A span has no shape.
    #[error(transparent)]
    Shape(#[from] CatenaryError),
}

const LENGTH_M: (f64, f64) = (0.05, 20.0);
const WEIGHT_N: (f64, f64) = (1.0, 100_000.0);
const WIND_AREA_M2: (f64, f64) = (0.0, 20.0);

impl SuspensionString {
    pub(super) fn check(&self, support: usize) -> Result<(), SectionError> {
        let rows = [
            ("length (m)", self.length_m, LENGTH_M),
            ("weight (N)", self.weight_n, WEIGHT_N),
            ("wind area (m²)", self.wind_area_m2, WIND_AREA_M2),
        ];
        rows.into_iter().try_for_each(|(quantity, value, (min, max))| {
            let fits = (min..=max).contains(&value);
            if fits { Ok(()) } else { Err(SectionError::String { support, quantity, value, min, max }) }
        })
    }
}

/// The ruling span: the one level span whose tension changes with temperature as that of the section, as long as strings
/// give way freely: S_r = √(Σℓ³/Σℓ), m. A check only; nothing in the search rests on it.
#[must_use]
pub fn ruling_span_m(runs_m: &[f64]) -> f64 {
    let cubes: f64 = runs_m.iter().map(|run| run.powi(3)).sum();
    (cubes / runs_m.iter().sum::<f64>()).sqrt()
}
