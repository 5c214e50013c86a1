//! How far each wire of a job sways in gusts, and by how much that leaves the shapes of steady wind.
//!
//! For each span the wire is followed through seeded gusts in the corner states of its box (shortest and longest wire, least
//! and most ice). What it finds is a sample of what gusts do, not a bound; `docs/theory/sway.md` says what is left out.

mod motion;

use std::ops::Range;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use thiserror::Error;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{
    Cable, CableState, Direction, Gusts, GustsError, Mode, StillRegion, StrungCable, SwayError, Turbulence, run,
};
use wideberth_physics::weather::wind::{Terrain, WindError};
use wideberth_scenario::Job;
use wideberth_scenario::bounds::{Bounded, WindSpeed};

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
    /// Range of the steady wind across the span that the certified search covers, m/s.
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

/// Elements per span.
const ELEMENTS: usize = 40;
/// Step in time, s: a twentieth of the period of the quickest gusts that are followed.
const STEP_S: f64 = 0.025;
/// Below this a wind moves nothing that counts, m/s.
const CALM_M_PER_S: f64 = 0.1;

/// Follows every span of every wire of a job.
///
/// # Errors
/// The first that fails in the order of the job: no wind, a duration of less than 10 s or more than an hour, a wire that
/// cannot be followed.
pub fn sway(job: &Job, question: &SwayQuestion) -> Result<Vec<SpanSway>, SwayStudyError> {
    within("the duration in s", question.duration_s, 10.0, 3600.0)?;
    within("the number of series", f64::from(question.seeds), 1.0, 1000.0)?;
    let spans = job.study.lines.iter().enumerate().flat_map(|(line, each)| {
        each.wires
            .iter()
            .enumerate()
            .flat_map(move |(wire, each)| each.spans().iter().map(move |span| (line, wire, span)))
    });
    spans
        .collect::<Vec<_>>()
        .into_par_iter()
        .map(|(line, wire, span)| follow(job, line, wire, span, question))
        .collect()
}

fn within(quantity: &'static str, value: f64, min: f64, max: f64) -> Result<(), SwayStudyError> {
    if (min..=max).contains(&value) { Ok(()) } else { Err(SwayStudyError::OutOfRange { quantity, value, min, max }) }
}

fn follow(
    job: &Job,
    line: usize,
    wire: usize,
    span: &WireSpan,
    question: &SwayQuestion,
) -> Result<SpanSway, SwayStudyError> {
    let wind = wind_of(job, line, span, question)?;
    let fail = |source| {
        let wire = job.lines[line].wires[wire].name.clone();
        SwayStudyError::Wire { wire, span: span.index() + 1, source }
    };
    let corners = corners(span, &wind).map_err(fail)?;
    let modes = corners[corners.len() - 1].modes().map_err(fail)?;
    let first = |direction| modes.iter().find(|mode| mode.direction == direction).map(|mode| mode.frequency_hz);
    let seeds: Vec<u64> = (0..u64::from(question.seeds)).map(|k| question.first_seed.wrapping_add(k)).collect();
    let swings = seeds.par_iter().map(|seed| one_seed(&corners, &wind, *seed, question, &fail));
    let swings: Vec<Swing> = swings.collect::<Result<_, _>>()?;
    Ok(SpanSway {
        line,
        wire,
        span: span.index(),
        strung: span.is_strung(),
        wind,
        across_hz: first(Direction::Across).unwrap_or(modes[0].frequency_hz),
        symmetric_hz: first(Direction::InPlaneSymmetric),
        antisymmetric_hz: first(Direction::InPlaneAntisymmetric),
        still_reach_m: corners
            .iter()
            .map(|corner| corner.region.reach_m(&corner.cable, corner.nodes.clone()))
            .fold(0.0, f64::max),
        gust_reach_m: swings.iter().map(|swing| swing.reach_m).fold(0.0, f64::max),
        outside_m: swings.iter().map(|swing| swing.outside_m).collect(),
    })
}

/// The wind of a span, from the side that has the stronger one.
fn wind_of(job: &Job, line: usize, span: &WireSpan, question: &SwayQuestion) -> Result<SpanWind, SwayStudyError> {
    let steady_m_per_s = steady(span, question)?;
    let gust_m_per_s = steady_m_per_s.high().max(-steady_m_per_s.low());
    if gust_m_per_s < CALM_M_PER_S {
        return Err(SwayStudyError::NoWind { line: job.lines[line].name.clone(), span: span.index() + 1 });
    }
    turbulent(job, line, span, (steady_m_per_s, gust_m_per_s), question.terrain)
}

/// Gusts at the wire's mean height above the feet of its supports, and the turbulence that goes with them.
fn turbulent(
    job: &Job,
    line: usize,
    span: &WireSpan,
    (steady_m_per_s, gust_m_per_s): (Interval, f64),
    terrain: Terrain,
) -> Result<SpanWind, SwayStudyError> {
    let feet = [span.index(), span.index() + 1].map(|k| job.lines[line].supports[k].foot.z);
    let ends = span.span().from().z + span.span().to().z;
    let height_m = (0.5 * (ends - feet[0] - feet[1])).max(0.0);
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

/// A wire of one length and ice.
struct Corner {
    /// The span alone, its ends at rest: for its frequencies.
    alone: (Cable, CableState),
    cable: Cable,
    calm: CableState,
    region: StillRegion,
    apart_m: f64,
    /// The nodes of the span.
    nodes: Range<usize>,
}

impl Corner {
    fn new(span: &WireSpan, unstretched_m: f64, ice_m: f64, wind: &SpanWind) -> Result<Self, SwayError> {
        let state = SpanState { unstretched_m, wind_m_per_s: 0.0, ice_m };
        let alone = Cable::new(span.strand(), &state, ELEMENTS)?;
        let (cable, calm, nodes) = match StrungCable::new(span, &state, ELEMENTS)? {
            Some(StrungCable { cable, rest, nodes }) => (cable, rest, nodes),
            None => (alone.0.clone(), alone.1.clone(), 0..alone.0.nodes()),
        };
        let region = StillRegion::new(&cable, &calm, wind.steady_m_per_s)?;
        Ok(Self { alone, cable, calm, region, apart_m: span.span().run_m() / ELEMENTS as f64, nodes })
    }

    fn modes(&self) -> Result<Vec<Mode>, SwayError> {
        self.alone.0.modes(&self.alone.1, 8)
    }
}

/// Shortest wire first, longest last.
fn corners(span: &WireSpan, wind: &SpanWind) -> Result<Vec<Corner>, SwayError> {
    let ends = |range: Interval| if range.width() > 0.0 { vec![range.low(), range.high()] } else { vec![range.low()] };
    let (lengths, ices) = (ends(span.states().unstretched_m), ends(span.states().ice_m));
    let all = lengths.iter().flat_map(|length| ices.iter().map(move |ice| (*length, *ice)));
    all.map(|(length, ice)| Corner::new(span, length, ice, wind)).collect()
}

/// What one series of gusts does.
#[derive(Clone, Copy, Default)]
struct Swing {
    reach_m: f64,
    outside_m: f64,
}

fn one_seed(
    corners: &[Corner],
    wind: &SpanWind,
    seed: u64,
    question: &SwayQuestion,
    fail: &(impl Fn(SwayError) -> SwayStudyError + Sync),
) -> Result<Swing, SwayStudyError> {
    let steps = (question.duration_s / STEP_S).ceil() as usize;
    let turbulence = Turbulence {
        mean_m_per_s: wind.mean_m_per_s,
        deviation_m_per_s: wind.deviation_m_per_s,
        scale_m: wind.scale_m,
    };
    // The strongest wind comes from one side; where both sides have it, the swing is mirrored.
    let side = if wind.steady_m_per_s.high() >= -wind.steady_m_per_s.low() { 1.0 } else { -1.0 };
    let mut swing = Swing::default();
    for corner in corners {
        let mut dice = ChaCha8Rng::seed_from_u64(seed);
        let mut deviates = std::iter::from_fn(|| Some(StandardNormal.sample(&mut dice)));
        let places = (corner.cable.nodes(), corner.apart_m);
        let gusts = Gusts::new(&turbulence, places, (steps, STEP_S), &mut deviates)?.toward(side);
        let start = corner.cable.rest_from_calm(&corner.calm, side * wind.mean_m_per_s).map_err(fail)?;
        run(&corner.cable, start, &gusts, |_, state| {
            swing.outside_m = swing.outside_m.max(corner.region.outside_among_m(state, corner.nodes.clone()));
            let aside = state.places_m[corner.nodes.clone()].iter().map(|place| corner.cable.aside_m(place).abs());
            swing.reach_m = aside.fold(swing.reach_m, f64::max);
        })
        .map_err(fail)?;
    }
    Ok(swing)
}
