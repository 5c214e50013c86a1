//! How wires move from moment to moment in one series of gusts: what a picture in motion needs. A sample, no bound.

use nalgebra::Point3;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use rayon::prelude::*;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{Cable, Gusts, Picture, SwayError, Turbulence, node_positions_m};
use wideberth_scenario::Job;
use wideberth_scenario::climate::hull;

use super::{CALM_M_PER_S, ELEMENTS, STEP_S, SpanWind, SwayQuestion, SwayStudyError, turbulent, within};

/// Steps in time between two pictures.
const EVERY: usize = 2;
/// Length of what is kept, s.
pub const SHOWN_S: f64 = 60.0;

/// Which span of a job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanAt<'a> {
    /// Index of the line in the study.
    pub line: usize,
    /// Index of the wire in the line.
    pub wire: usize,
    /// Place among the spans of the wire.
    pub place: usize,
    /// The span.
    pub span: &'a WireSpan,
}

/// The state that a span sways about; none for one that is not followed. The sign of its wind says to which side the gusts
/// blow; where it is calm they come from the side that has the stronger wind.
pub type StateOf<'a> = dyn Fn(&SpanAt<'_>) -> Option<SpanState> + Sync + 'a;

/// A span from moment to moment.
#[derive(Clone, Debug, PartialEq)]
pub struct SpanMotion {
    /// Index of the line in the study.
    pub line: usize,
    /// Index of the wire in the line.
    pub wire: usize,
    /// Place among the spans of the wire.
    pub place: usize,
    /// Index of the span along the line.
    pub span: usize,
    /// Whether the span hangs on suspension strings, which are taken as still here.
    pub strung: bool,
    /// The wind.
    pub wind: SpanWind,
    /// Radius of the wire with its ice, m.
    pub radius_m: f64,
    /// Allowance for the tolerance of its attachments, without that for its sway, m.
    pub margin_m: f64,
    pictures: Vec<Picture>,
}

/// The wires of a job through the minute of the widest swing.
#[derive(Clone, Debug, PartialEq)]
pub struct SwayMotion {
    /// Every span that was followed.
    pub spans: Vec<SpanMotion>,
    /// The series of gusts.
    pub seed: u64,
    /// When the part that is kept begins, s from the beginning of the gusts.
    pub begin_s: f64,
    /// How long it lasts, s.
    pub length_s: f64,
    /// When the widest swing comes, s after the beginning of the part that is kept.
    pub widest_s: f64,
}

/// Follows spans through the first series of gusts of a question, and keeps the minute of the widest swing.
///
/// # Errors
/// No span with wind, a duration of less than 10 s or more than an hour, a wire that cannot be followed.
pub fn motion(job: &Job, question: &SwayQuestion, state: &StateOf<'_>) -> Result<SwayMotion, SwayStudyError> {
    within("the duration in s", question.duration_s, 10.0, 3600.0)?;
    let mut wanted = Vec::new();
    for (line, each) in job.study.lines.iter().enumerate() {
        for (wire, each) in each.wires.iter().enumerate() {
            let spans = each.spans().iter().enumerate();
            let at = spans.map(|(place, span)| SpanAt { line, wire, place, span });
            wanted.extend(at.filter_map(|at| Some((at, state(&at)?))));
        }
    }
    let followed = wanted.par_iter().map(|(at, state)| follow(job, question, at, state));
    let followed: Vec<(SpanMotion, Swing)> = followed.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
    let widest = followed.iter().map(|(_, swing)| *swing).max_by(|a, b| a.aside_m.total_cmp(&b.aside_m));
    let no_wind = || SwayStudyError::NoWind { line: job.lines[0].name.clone(), span: 1 };
    let widest = widest.ok_or_else(no_wind)?;
    let begin_s = (widest.time_s - 0.5 * SHOWN_S).clamp(0.0, (question.duration_s - SHOWN_S).max(0.0));
    let length_s = SHOWN_S.min(question.duration_s);
    let spans = followed.into_iter().map(|(span, _)| span.part(begin_s, length_s)).collect();
    Ok(SwayMotion { spans, seed: question.first_seed, begin_s, length_s, widest_s: widest.time_s - begin_s })
}

/// How far a wire swings at most from the vertical plane of its chord, and when.
#[derive(Clone, Copy)]
struct Swing {
    aside_m: f64,
    time_s: f64,
}

/// None where the span has no wind across it.
fn follow(
    job: &Job,
    question: &SwayQuestion,
    at: &SpanAt<'_>,
    state: &SpanState,
) -> Result<Option<(SpanMotion, Swing)>, SwayStudyError> {
    let steady = steady(job, question, at)?;
    let (left, right) = (steady.high(), -steady.low());
    let asked_m_per_s = if state.wind_m_per_s < 0.0 { right } else { left };
    let is_asked = state.wind_m_per_s.abs() >= CALM_M_PER_S && asked_m_per_s >= CALM_M_PER_S;
    let is_left = if is_asked { state.wind_m_per_s > 0.0 } else { left >= right };
    let (side, gust_m_per_s) = if is_left { (1.0, left) } else { (-1.0, right) };
    if gust_m_per_s < CALM_M_PER_S {
        return Ok(None);
    }
    let wind = turbulent(job, at.line, std::slice::from_ref(at.span), (steady, gust_m_per_s), question.terrain)?;
    let pictures = pictures(question, at.span, state, &wind, side)?.map_err(|source| {
        let wire = job.lines[at.line].wires[at.wire].name.clone();
        SwayStudyError::Wire { wire, span: at.span.index() + 1, source }
    })?;
    let swing = widest(at.span, &pictures);
    let motion = SpanMotion {
        line: at.line,
        wire: at.wire,
        place: at.place,
        span: at.span.index(),
        strung: at.span.is_strung(),
        wind,
        radius_m: at.span.strand().load().radius_m(state.ice_m),
        margin_m: at.span.margin_m() - job.lines[at.line].conditions.sway_allowance_m,
        pictures,
    };
    Ok(Some((motion, swing)))
}

/// The steady winds of all that the span may be: bands of wind are parts of one wind.
fn steady(job: &Job, question: &SwayQuestion, at: &SpanAt<'_>) -> Result<Interval, SwayStudyError> {
    let wire = &job.study.lines[at.line].wires[at.wire];
    let same = wire.spans().iter().filter(|span| span.index() == at.span.index());
    let winds = same.map(|span| super::steady(span, question)).collect::<Result<Vec<_>, _>>()?;
    Ok(winds.into_iter().reduce(hull).unwrap_or(at.span.states().wind_m_per_s))
}

fn pictures(
    question: &SwayQuestion,
    span: &WireSpan,
    state: &SpanState,
    wind: &SpanWind,
    side: f64,
) -> Result<Result<Vec<Picture>, SwayError>, SwayStudyError> {
    let steps = (question.duration_s / STEP_S).ceil() as usize;
    let turbulence = Turbulence {
        mean_m_per_s: wind.mean_m_per_s,
        deviation_m_per_s: wind.deviation_m_per_s,
        scale_m: wind.scale_m,
    };
    let mut dice = ChaCha8Rng::seed_from_u64(question.first_seed);
    let mut deviates = std::iter::from_fn(|| Some(StandardNormal.sample(&mut dice)));
    let places = (ELEMENTS - 1, span.span().run_m() / ELEMENTS as f64);
    let gusts = Gusts::new(&turbulence, places, (steps, STEP_S), &mut deviates)?.toward(side);
    let still = SpanState { wind_m_per_s: 0.0, ..*state };
    Ok(Cable::new(span.strand(), &still, ELEMENTS).and_then(|(cable, calm)| {
        let start = cable.rest_from_calm(&calm, side * wind.mean_m_per_s)?;
        node_positions_m(&cable, span.span(), start, &gusts, EVERY)
    }))
}

fn widest(span: &WireSpan, pictures: &[Picture]) -> Swing {
    let (from, left) = (span.span().from(), span.span().lateral());
    let aside_m = |points: &[Point3<f64>]| points.iter().map(|p| (p - from).dot(&left).abs()).fold(0.0, f64::max);
    let each = pictures.iter().map(|(time_s, points)| Swing { aside_m: aside_m(points), time_s: *time_s });
    each.max_by(|a, b| a.aside_m.total_cmp(&b.aside_m)).unwrap_or(Swing { aside_m: 0.0, time_s: 0.0 })
}

impl SpanMotion {
    /// The same from a time on for a while, its times counted from there.
    fn part(mut self, begin_s: f64, length_s: f64) -> Self {
        let gap_s = EVERY as f64 * STEP_S;
        self.pictures.retain(|(time_s, _)| (begin_s - gap_s..=begin_s + length_s + gap_s).contains(time_s));
        self.pictures.iter_mut().for_each(|(time_s, _)| *time_s -= begin_s);
        self
    }

    /// Points along the wire at a time after the beginning of what is kept, attachments included, m: between the two pictures
    /// nearest in time, 0.05 s apart; the first or last one outside.
    #[must_use]
    pub fn points_m(&self, time_s: f64) -> Vec<Point3<f64>> {
        let after = self.pictures.partition_point(|(at_s, _)| *at_s <= time_s);
        let (Some(last), Some(next)) =
            (after.checked_sub(1).and_then(|k| self.pictures.get(k)), self.pictures.get(after))
        else {
            let end = if after == 0 { self.pictures.first() } else { self.pictures.last() };
            return end.map(|(_, points)| points.clone()).unwrap_or_default();
        };
        let share = (time_s - last.0) / (next.0 - last.0);
        last.1.iter().zip(&next.1).map(|(a, b)| a + (b - a) * share).collect()
    }
}
