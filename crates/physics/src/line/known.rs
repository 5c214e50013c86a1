//! How the tautness of a wire is known, and the unstretched length that follows.

use argmin::core::{CostFunction, Error as SolverError, Executor, State};
use argmin::solver::brent::BrentRoot;
use thiserror::Error;

use super::{Catenary, CatenaryError, Chord, Conductor, Span};
use crate::GRAVITY_M_PER_S2;
use crate::interval::Interval;

/// What somebody knows of a bare wire in still air, without ice. Each range carries its tolerance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum KnownBy {
    /// The horizontal tension at a conductor temperature.
    Tension {
        /// Horizontal tension, N.
        horizontal_n: Interval,
        /// Conductor temperature then, °C.
        temperature_degc: Interval,
    },
    /// The horizontal tension as a share of the rated strength, at a conductor temperature.
    StrengthShare {
        /// Share of the rated tensile strength, 0..1.
        share: Interval,
        /// Conductor temperature then, °C.
        temperature_degc: Interval,
    },
    /// A measured height of the wire in one of its spans, at a conductor temperature.
    Height {
        /// Index of the span.
        span: usize,
        /// Where along the span, 0 at its near end, 1 at its far end; a range where the place is not known exactly.
        fraction: Interval,
        /// Height in the site frame (z), m, with the tolerance of the measurement.
        height_m: Interval,
        /// Conductor temperature then, °C.
        temperature_degc: Interval,
    },
}

/// Why what is known cannot be so.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum KnownError {
    /// A share of strength, but the conductor's strength is not known.
    #[error(
        "the tension is given as a share of the rated strength, but this conductor states none: give the tension or a measured height"
    )]
    NoStrength,
    /// A tension that is not positive or above the strength.
    #[error("a horizontal tension of {tension_n:.0} N is not between 0 and the rated strength of {strength_n:.0} N")]
    Tension {
        /// Tension, N.
        tension_n: f64,
        /// Rated strength, N.
        strength_n: f64,
    },
    /// A height at or above the straight line between the attachments.
    #[error(
        "a wire as high as {height_m:.2} m, by its measurement, and {attachments_m:.2} m higher against attachments that may lie {tolerance_m:.2} m elsewhere, would hang at or above the straight line between these ({chord_m:.2} m there): check the height, its tolerance and the attachments and theirs"
    )]
    NoSag {
        /// Greatest height that was measured, its tolerance included, m.
        height_m: f64,
        /// What the tolerance of the attachments adds to that, m.
        attachments_m: f64,
        /// The tolerance of the attachments, m.
        tolerance_m: f64,
        /// Height of the chord there, m.
        chord_m: f64,
    },
    /// No tension gives this height.
    #[error(
        "no tension lets this wire hang {sag_m:.2} m below the straight line between its attachments: check the height and the conductor"
    )]
    NoTension {
        /// Sag, m.
        sag_m: f64,
    },
    /// A place along the span outside it, or a span that does not exist.
    #[error(
        "the height was measured at {fraction} of span {span}, of which there are {spans}: the place must lie inside a span"
    )]
    Place {
        /// Index of the span.
        span: usize,
        /// Number of spans.
        spans: usize,
        /// Fraction.
        fraction: f64,
    },
    /// No shape.
    #[error(transparent)]
    Shape(#[from] CatenaryError),
}

/// The unstretched length of one span, known as a range at a range of temperatures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tautness {
    /// Unstretched length, m.
    pub unstretched_m: Interval,
    /// Conductor temperature at which it holds, °C.
    pub at_degc: Interval,
}

impl Tautness {
    /// Unstretched lengths over a range of temperatures and of permanent strain gained since:
    /// L₀(T) = L₀·(1 + α·(T − T₀))·(1 + ε_p), which rises with each of its parts.
    #[must_use]
    pub fn unstretched_over(
        &self,
        expansion_per_k: f64,
        temperature_degc: Interval,
        permanent_strain: Interval,
    ) -> Interval {
        let low_k = temperature_degc.low() - self.at_degc.high();
        let high_k = temperature_degc.high() - self.at_degc.low();
        Interval::hull(
            self.unstretched_m.low() * (1.0 + expansion_per_k * low_k) * (1.0 + permanent_strain.low()),
            self.unstretched_m.high() * (1.0 + expansion_per_k * high_k) * (1.0 + permanent_strain.high()),
        )
    }
}

impl KnownBy {
    /// Temperature at which it is known, °C.
    #[must_use]
    pub fn temperature_degc(&self) -> Interval {
        match self {
            Self::Tension { temperature_degc, .. }
            | Self::StrengthShare { temperature_degc, .. }
            | Self::Height { temperature_degc, .. } => *temperature_degc,
        }
    }

    /// The range of horizontal tension that it means, N. All spans between two dead ends share it, as strung.
    ///
    /// `position_tolerance_m` is how far each attachment may lie from where it is stated: a height measured at the wire
    /// says less of its sag when the attachments are uncertain.
    ///
    /// # Errors
    /// When no possible tension fits.
    pub fn horizontal_n(
        &self,
        conductor: &Conductor,
        spans: &[Span],
        position_tolerance_m: f64,
    ) -> Result<Interval, KnownError> {
        let strength_n = conductor.properties().rated_strength_n;
        let tension_n = match *self {
            Self::Tension { horizontal_n, .. } => horizontal_n,
            Self::StrengthShare { share, .. } => {
                let strength_n = strength_n.ok_or(KnownError::NoStrength)?;
                Interval::hull(share.low() * strength_n, share.high() * strength_n)
            }
            Self::Height { span, fraction, height_m, .. } => {
                let place = spans.get(span).filter(|_| fraction.low() > 0.0 && fraction.high() < 1.0);
                let beside = if fraction.low() > 0.0 { fraction.high() } else { fraction.low() };
                let place = place.ok_or(KnownError::Place { span, spans: spans.len(), fraction: beside })?;
                tension_from_height(conductor, place, fraction, height_m, position_tolerance_m)?
            }
        };
        let strength_n = strength_n.unwrap_or(f64::INFINITY);
        if tension_n.low() > 0.0 && tension_n.high() <= strength_n {
            Ok(tension_n)
        } else {
            let tension_n = if tension_n.low() > 0.0 { tension_n.high() } else { tension_n.low() };
            Err(KnownError::Tension { tension_n, strength_n })
        }
    }

    /// The unstretched length of each span of a conductor of one piece.
    pub(super) fn elastic_tautness(
        &self,
        conductor: &Conductor,
        spans: &[Span],
        position_tolerance_m: f64,
    ) -> Result<Vec<Tautness>, KnownError> {
        let tension_n = self.horizontal_n(conductor, spans, position_tolerance_m)?;
        let hang = |span: &Span, tension_n| bare(conductor, span.chord_in_plane(0.0), tension_n);
        spans
            .iter()
            .map(|span| {
                let taut = hang(span, tension_n.high())?.unstretched_m();
                let slack = hang(span, tension_n.low())?.unstretched_m();
                Ok(Tautness { unstretched_m: Interval::hull(taut, slack), at_degc: self.temperature_degc() })
            })
            .collect()
    }
}

/// The bare wire in still air at a horizontal tension.
pub(super) fn bare(conductor: &Conductor, chord: Chord, tension_n: f64) -> Result<Catenary, CatenaryError> {
    let p = conductor.properties();
    Catenary::with_tension(chord, tension_n, p.mass_kg_per_m * GRAVITY_M_PER_S2, p.axial_stiffness_n)
}

/// The tensions with which a wire has a height at a place, or anywhere in a range of places.
fn tension_from_height(
    conductor: &Conductor,
    span: &Span,
    fraction: Interval,
    height_m: Interval,
    tolerance_m: f64,
) -> Result<Interval, KnownError> {
    let ends = [fraction.low(), fraction.high()];
    let turn = tension_turns_at(span, height_m.center()).filter(|t| fraction.contains(*t));
    let each = ends.into_iter().chain(turn).map(|t| tension_at(conductor, span, t, height_m, tolerance_m));
    let each: Vec<Interval> = each.collect::<Result<_, _>>()?;
    let low_n = each.iter().map(Interval::low).fold(f64::INFINITY, f64::min);
    Ok(Interval::hull(low_n, each.iter().map(Interval::high).fold(low_n, f64::max)))
}

/// Where along a span the tension for a height at that place is greatest or least: H of the parabola is ∝ t·(1 − t)/(A + B·t),
/// with A + B·t the sag, so t* = (−A + √(A² + A·B))/B, which is A/(A + √(A² + A·B)).
fn tension_turns_at(span: &Span, height_m: f64) -> Option<f64> {
    let (a, b) = (span.from().z - height_m, span.chord().z);
    let root = a * a + a * b;
    (a > 0.0 && root >= 0.0).then(|| a / (a + root.sqrt()))
}

fn tension_at(
    conductor: &Conductor,
    span: &Span,
    fraction: f64,
    height_m: Interval,
    tolerance_m: f64,
) -> Result<Interval, KnownError> {
    let attachments_m = sag_error_m(span, fraction, height_m.low(), tolerance_m);
    let chord_m = span.from().z + fraction * span.chord().z;
    let widened_m = height_m.widened(attachments_m);
    if widened_m.high() >= chord_m {
        return Err(KnownError::NoSag { height_m: height_m.high(), attachments_m, tolerance_m, chord_m });
    }
    let tension = |sag_m| tension_for_sag(conductor, span.chord_in_plane(0.0), fraction, sag_m);
    Ok(Interval::hull(tension(chord_m - widened_m.low())?, tension(chord_m - widened_m.high())?))
}

/// How far the sag at a measured place may be from chord less height when the attachments may be off by δ in any
/// direction: δ for the chord's height, δ·(h/ℓ + 4·S_mid/ℓ) for its shift along chord and wire, and δ·4·S/ℓ for the span's
/// length, which the tension follows.
fn sag_error_m(span: &Span, fraction: f64, height_m: f64, tolerance_m: f64) -> f64 {
    let run_m = span.run_m();
    let sag_m = (span.from().z + fraction * span.chord().z - height_m).max(0.0);
    let middle_m = sag_m / (4.0 * fraction * (1.0 - fraction));
    tolerance_m * (1.0 + (span.chord().z.abs() + 4.0 * middle_m + 4.0 * sag_m) / run_m)
}

/// Horizontal tension for which the bare wire hangs `sag_m` below its chord at `fraction`; the sag falls as it rises.
fn tension_for_sag(conductor: &Conductor, chord: Chord, fraction: f64, sag_m: f64) -> Result<f64, KnownError> {
    let weight_n_per_m = conductor.properties().mass_kg_per_m * GRAVITY_M_PER_S2;
    // Parabola: H = w·c·ℓ·t·(1−t)/(2·S)
    let guess_n = weight_n_per_m * chord.length_m() * chord.run_m * fraction * (1.0 - fraction) / (2.0 * sag_m);
    let no_tension = KnownError::NoTension { sag_m };
    let problem = SagGap { conductor, chord, fraction, sag_m };
    let bracket =
        [1.25_f64, 2.0, 4.0].into_iter().map(|factor| ((guess_n / factor).ln(), (guess_n * factor).ln())).find(
            |&(low, high)| matches!((problem.cost(&low), problem.cost(&high)), (Ok(a), Ok(b)) if a >= 0.0 && b <= 0.0),
        );
    let (low, high) = bracket.ok_or(no_tension)?;
    let run = Executor::new(problem, BrentRoot::new(low, high, 1e-15))
        .configure(|state| state.param(0.5 * (low + high)).max_iters(200));
    let result = run.run().map_err(|_| no_tension)?;
    let log_tension = result.state().get_best_param().copied().ok_or(no_tension)?;
    let gap_m = result.state().get_best_cost();
    if gap_m.abs() <= 1e-9 * sag_m.max(1.0) { Ok(log_tension.exp()) } else { Err(no_tension) }
}

/// Sag at a place minus the wanted sag, by the logarithm of the horizontal tension.
struct SagGap<'a> {
    conductor: &'a Conductor,
    chord: Chord,
    fraction: f64,
    sag_m: f64,
}

impl CostFunction for SagGap<'_> {
    type Param = f64;
    type Output = f64;

    fn cost(&self, log_tension: &f64) -> Result<f64, SolverError> {
        Ok(bare(self.conductor, self.chord, log_tension.exp())?.sag_m(self.fraction) - self.sag_m)
    }
}
