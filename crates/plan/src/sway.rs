//! How far each wire of a job sways in gusts, and by how much that leaves the shapes of steady wind.
//!
//! The wire is followed through seeded gusts in the corner states of its box (shortest and longest wire, least and most ice): span
//! by span between rigid attachments, all spans of a section together on strings. What it finds is a sample of what gusts do, not a bound; `docs/theory/sway.md` says what is left out.

mod hung;
mod motion;

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use thiserror::Error;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{Cable, CableState, Direction, Gusts, GustsError, Mode, StillRegion, SwayError, run};
use wideberth_physics::weather::wind::{Terrain, WindError};
use wideberth_scenario::Job;
use wideberth_scenario::bounds::{Bounded, WindSpeed};
use wideberth_scenario::climate::hull;

use hung::{Group, Hung, groups};
pub use motion::{SHOWN_S, SpanAt, SpanMotion, StateOf, SwayMotion, motion};

/// What to follow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwayQuestion {
    /// Speed of the gusts at the wires, m/s, across every span from both sides; none for that of the job's conditions.
    pub gust_m_per_s: Option<f64>,
    /// What covers the ground upwind.
    pub terrain: Terrain,
    /// How long each wire is followed, s.
    pub duration_s: f64,
    /// How many different series of gusts.
    pub seeds: u32,
    /// The first seed; the others follow.
    pub first_seed: u64,
}

impl Default for SwayQuestion {
    /// Open country, ten minutes (the time of the mean wind), eight series.
    fn default() -> Self {
        Self { gust_m_per_s: None, terrain: Terrain::Open, duration_s: 600.0, seeds: 8, first_seed: 1 }
    }
}

/// How one span sways.
#[derive(Clone, Debug, PartialEq)]
pub struct SpanSway {
    /// Index of the line in the study.
    pub line: usize,
    /// Index of the wire in the line.
    pub wire: usize,
    /// Index of the span along the line.
    pub span: usize,
    /// Whether the span hangs on suspension strings, which swing with all spans of their section.
    pub strung: bool,
    /// The wind.
    pub wind: SpanWind,
    /// Lowest frequency across the span, Hz, of the longest wire without wind.
    pub across_hz: f64,
    /// Lowest symmetric frequency in the plane of sag, Hz.
    pub symmetric_hz: Option<f64>,
    /// Lowest antisymmetric frequency in the plane of sag, Hz.
    pub antisymmetric_hz: Option<f64>,
    /// Greatest distance from the vertical plane of the chord at rest in steady wind, m.
    pub still_reach_m: f64,
    /// Greatest distance from the vertical plane of the chord in gusts, m.
    pub gust_reach_m: f64,
    /// For each seed, how far the wire left the shapes of steady wind at most, m.
    pub outside_m: Vec<f64>,
}

/// The wind on a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanWind {
    /// Range of the steady wind across the span that the proven search covers, m/s.
    pub steady_m_per_s: Interval,
    /// Speed of the gusts, m/s.
    pub gust_m_per_s: f64,
    /// Mean over ten minutes: v_m = v_p/√(1 + 7·I_v), m/s.
    pub mean_m_per_s: f64,
    /// Standard deviation, m/s.
    pub deviation_m_per_s: f64,
    /// Length scale of the gusts, m.
    pub scale_m: f64,
}

impl SpanWind {
    /// The strongest wind comes from one side (1 blows to the left); where both sides have it, the swing is mirrored.
    fn side(&self) -> f64 {
        if self.steady_m_per_s.high() >= -self.steady_m_per_s.low() { 1.0 } else { -1.0 }
    }
}

impl SpanSway {
    /// How far the wire left the shapes of steady wind at most over all seeds, m.
    #[must_use]
    pub fn greatest_outside_m(&self) -> f64 {
        self.outside_m.iter().copied().fold(0.0, f64::max)
    }

    /// The allowance that covers what was found, rounded up to whole centimetres, m.
    #[must_use]
    pub fn allowance_m(&self) -> f64 {
        (self.greatest_outside_m() * 100.0).ceil() / 100.0
    }
}

/// Why a job cannot be followed in gusts.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum SwayStudyError {
    /// The conditions hold no wind.
    #[error("the conditions of \"{line}\" hold no wind across span {span}, so nothing sways: state a wind")]
    NoWind {
        /// Name of the line.
        line: String,
        /// Number of the span, from 1.
        span: usize,
    },
    /// The wind has no profile at the wire.
    #[error(transparent)]
    Wind(#[from] WindError),
    /// No gusts.
    #[error(transparent)]
    Gusts(#[from] GustsError),
    /// A wire could not be followed.
    #[error("\"{wire}\", span {span}: {source}")]
    Wire {
        /// Name of the wire.
        wire: String,
        /// Number of the span, from 1.
        span: usize,
        /// What failed.
        source: SwayError,
    },
    /// A duration or number of seeds outside its range.
    #[error("{quantity} must lie between {min} and {max}, not {value}")]
    OutOfRange {
        /// Which.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
    },
}

/// Elements per span; of a section on strings on average.
const ELEMENTS: usize = 40;
/// Least elements of the span that a section is divided by.
const LEAST_ELEMENTS: usize = 8;
/// Step in time, s: a twentieth of the period of the quickest gusts that are followed.
const STEP_S: f64 = 0.025;
/// Below this a wind moves nothing that counts, m/s.
const CALM_M_PER_S: f64 = 0.1;

/// What is reported while it runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Wires followed through a series of gusts in one state.
    pub done: usize,
    /// All of them.
    pub total: usize,
}

/// Follows every span of every wire of a job.
///
/// # Errors
/// The first that fails in the order of the job: no wind, a duration of less than 10 s or more than an hour, a wire that
/// cannot be followed.
pub fn sway(
    job: &Job,
    question: &SwayQuestion,
    listen: &(dyn Fn(Progress) + Sync),
) -> Result<Vec<SpanSway>, SwayStudyError> {
    within("the duration in s", question.duration_s, 10.0, 3600.0)?;
    within("the number of series", f64::from(question.seeds), 1.0, 1000.0)?;
    let groups = groups(job);
    let prepared: Vec<Prepared> =
        groups.into_par_iter().map(|group| Prepared::new(job, group, question)).collect::<Result<_, _>>()?;
    let total = prepared.iter().map(|each| each.corners.len()).sum::<usize>() * question.seeds as usize;
    let done = AtomicUsize::new(0);
    let step = || listen(Progress { done: done.fetch_add(1, Ordering::Relaxed) + 1, total });
    let followed = prepared.par_iter().map(|each| each.follow(job, question, &step));
    Ok(followed.collect::<Result<Vec<_>, _>>()?.concat())
}

fn within(quantity: &'static str, value: f64, min: f64, max: f64) -> Result<(), SwayStudyError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(SwayStudyError::OutOfRange { quantity, value, min, max }) }
}

impl Group<'_> {
    /// The wind, from the side that has the stronger one.
    fn wind(&self, job: &Job, question: &SwayQuestion) -> Result<SpanWind, SwayStudyError> {
        let winds = self.spans.iter().map(|span| steady(span, question)).collect::<Result<Vec<_>, _>>()?;
        let steady_m_per_s = winds.into_iter().reduce(hull).unwrap_or(self.spans[0].states().wind_m_per_s);
        let gust_m_per_s = steady_m_per_s.high().max(-steady_m_per_s.low());
        if gust_m_per_s < CALM_M_PER_S {
            let line = job.lines[self.line].name.clone();
            return Err(SwayStudyError::NoWind { line, span: self.spans[0].index() + 1 });
        }
        turbulent(job, self.line, self.spans, (steady_m_per_s, gust_m_per_s), question.terrain)
    }

    /// The unstretched length of the first span in the shortest and in the longest state of the group.
    fn ends_m(&self) -> Result<Vec<f64>, SwayError> {
        let growths = self.spans.iter().map(|span| {
            let range = span.states().unstretched_m;
            Ok((span.growth(range.low())?, span.growth(range.high())?))
        });
        let growths: Vec<(f64, f64)> = growths.collect::<Result<_, SwayError>>()?;
        let least = growths.iter().map(|growth| growth.0).fold(f64::INFINITY, f64::min);
        let most = growths.iter().map(|growth| growth.1).fold(f64::NEG_INFINITY, f64::max);
        let first = self.spans[0].states().unstretched_m;
        let ends = if most > least { vec![least, most] } else { vec![least] };
        Ok(ends.into_iter().map(|growth| first.low() * growth / growths[0].0).collect())
    }

    /// Shortest wire first, longest last.
    fn corners(&self, wind: &SpanWind) -> Result<Vec<Corner>, SwayError> {
        let ice_m = self.spans[0].states().ice_m;
        let ices = if ice_m.width() > 0.0 { vec![ice_m.low(), ice_m.high()] } else { vec![ice_m.low()] };
        let lengths = self.ends_m()?;
        let all = lengths.iter().flat_map(|length| ices.iter().map(move |ice| (*length, *ice)));
        all.map(|(unstretched_m, ice_m)| {
            let state = SpanState { unstretched_m, wind_m_per_s: 0.0, ice_m };
            Corner::new(self, &state, wind)
        })
        .collect()
    }

    /// The lowest frequencies of each span between still ends, of the longest wire without wind.
    fn tones(&self) -> Result<Vec<Tones>, SwayError> {
        let each = self.spans.iter().map(|span| {
            let states = span.states();
            let state =
                SpanState { unstretched_m: states.unstretched_m.high(), wind_m_per_s: 0.0, ice_m: states.ice_m.high() };
            let (cable, calm) = Cable::new(span.strand(), &state, ELEMENTS)?;
            Ok(Tones::new(&cable.modes(&calm, 8)?))
        });
        each.collect()
    }
}

/// The lowest frequencies of a span, Hz.
struct Tones {
    across_hz: f64,
    symmetric_hz: Option<f64>,
    antisymmetric_hz: Option<f64>,
}

impl Tones {
    fn new(modes: &[Mode]) -> Self {
        let first = |direction| modes.iter().find(|mode| mode.direction == direction).map(|mode| mode.frequency_hz);
        Self {
            across_hz: first(Direction::Across).unwrap_or(modes[0].frequency_hz),
            symmetric_hz: first(Direction::InPlaneSymmetric),
            antisymmetric_hz: first(Direction::InPlaneAntisymmetric),
        }
    }
}

/// A group with all that its motion starts from.
struct Prepared<'a> {
    group: Group<'a>,
    wind: SpanWind,
    corners: Vec<Corner>,
    tones: Vec<Tones>,
}

impl<'a> Prepared<'a> {
    fn new(job: &Job, group: Group<'a>, question: &SwayQuestion) -> Result<Self, SwayStudyError> {
        let wind = group.wind(job, question)?;
        let corners = group.corners(&wind).map_err(|source| group.failed(job, source))?;
        let tones = group.tones().map_err(|source| group.failed(job, source))?;
        Ok(Self { group, wind, corners, tones })
    }

    fn follow(
        &self,
        job: &Job,
        question: &SwayQuestion,
        step: &(dyn Fn() + Sync),
    ) -> Result<Vec<SpanSway>, SwayStudyError> {
        let fail = |source| self.group.failed(job, source);
        let seeds: Vec<u64> = (0..u64::from(question.seeds)).map(|k| question.first_seed.wrapping_add(k)).collect();
        let swings = seeds.par_iter().map(|seed| {
            let mut swings = vec![Swing::default(); self.group.spans.len()];
            let gusts = self.corners[0].hung.gusts(&self.wind, self.wind.side(), *seed, question)?;
            for corner in &self.corners {
                corner.follow(&self.wind, &gusts, &mut swings).map_err(fail)?;
                step();
            }
            Ok(swings)
        });
        let swings: Vec<Vec<Swing>> = swings.collect::<Result<_, SwayStudyError>>()?;
        Ok((0..self.group.spans.len()).map(|place| self.span(place, &swings)).collect())
    }

    fn span(&self, place: usize, swings: &[Vec<Swing>]) -> SpanSway {
        let (span, tones) = (&self.group.spans[place], &self.tones[place]);
        let still_reach_m =
            |corner: &Corner| corner.region.reach_m(&corner.hung.cable, corner.hung.nodes[place].clone());
        SpanSway {
            line: self.group.line,
            wire: self.group.wire,
            span: span.index(),
            strung: span.is_strung(),
            wind: self.wind,
            across_hz: tones.across_hz,
            symmetric_hz: tones.symmetric_hz,
            antisymmetric_hz: tones.antisymmetric_hz,
            still_reach_m: self.corners.iter().map(still_reach_m).fold(0.0, f64::max),
            gust_reach_m: swings.iter().map(|swing| swing[place].reach_m).fold(0.0, f64::max),
            outside_m: swings.iter().map(|swing| swing[place].outside_m).collect(),
        }
    }
}

/// Gusts at the wire's mean height above the feet of its supports, and the turbulence that goes with them.
fn turbulent(
    job: &Job,
    line: usize,
    spans: &[WireSpan],
    (steady_m_per_s, gust_m_per_s): (Interval, f64),
    terrain: Terrain,
) -> Result<SpanWind, SwayStudyError> {
    let height_m = |span: &WireSpan| {
        let feet = [span.index(), span.index() + 1].map(|k| job.lines[line].supports[k].foot.z);
        let ends = span.span().from().z + span.span().to().z;
        (0.5 * (ends - feet[0] - feet[1])).max(0.0)
    };
    let height_m = spans.iter().map(height_m).sum::<f64>() / spans.len() as f64;
    let intensity: f64 = terrain.turbulence_intensity(height_m)?;
    let mean_m_per_s = gust_m_per_s / (1.0 + 7.0 * intensity).sqrt();
    let scale_m = terrain.gust_scale_m(height_m)?;
    Ok(SpanWind { steady_m_per_s, gust_m_per_s, mean_m_per_s, deviation_m_per_s: intensity * mean_m_per_s, scale_m })
}

/// The range of steady winds: what is asked for from both sides, or the span's own.
fn steady(span: &WireSpan, question: &SwayQuestion) -> Result<Interval, SwayStudyError> {
    let Some(gust) = question.gust_m_per_s else { return Ok(span.states().wind_m_per_s) };
    let (quantity, min, max) = ("the speed of the gusts in m/s", 0.0, WindSpeed::BOUND.max);
    within(quantity, gust, min, max)?;
    Interval::new(-gust, gust).map_err(|_| SwayStudyError::OutOfRange { quantity, value: gust, min, max })
}

/// Wires of one length and ice.
struct Corner {
    hung: Hung,
    region: StillRegion,
}

impl Corner {
    fn new(group: &Group<'_>, state: &SpanState, wind: &SpanWind) -> Result<Self, SwayError> {
        let hung = Hung::new(group, &group.spans[0], state)?;
        let region = StillRegion::new(&hung.cable, &hung.calm, wind.steady_m_per_s)?;
        Ok(Self { hung, region })
    }

    /// Raises what is known of the swings of the spans by one series of gusts.
    fn follow(&self, wind: &SpanWind, gusts: &Gusts, swings: &mut [Swing]) -> Result<(), SwayError> {
        let Hung { cable, calm, .. } = &self.hung;
        let start = cable.rest_from_calm(calm, wind.side() * wind.mean_m_per_s)?;
        run(cable, start, gusts, |_, state| self.see(state, swings)).map(drop)
    }

    fn see(&self, state: &CableState, swings: &mut [Swing]) {
        for (swing, nodes) in swings.iter_mut().zip(&self.hung.nodes) {
            swing.outside_m = self.region.outside_at_least_m(state, nodes.clone(), swing.outside_m);
            let aside = state.places_m[nodes.clone()].iter().map(|place| self.hung.cable.aside_m(place).abs());
            swing.reach_m = aside.fold(swing.reach_m, f64::max);
        }
    }
}

/// What one series of gusts does to a span.
#[derive(Clone, Copy, Default)]
struct Swing {
    reach_m: f64,
    outside_m: f64,
}
