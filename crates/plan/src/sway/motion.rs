//! How wires move from moment to moment in one series of gusts: what a picture in motion needs. A sample, no bound.

use std::ops::Range;

use nalgebra::Point3;
use rayon::prelude::*;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{Picture, SwayError, node_positions_m};
use wideberth_scenario::Job;
use wideberth_scenario::climate::hull;

use super::hung::{Group, Hung, groups};
use super::{CALM_M_PER_S, STEP_S, SpanWind, SwayQuestion, SwayStudyError, turbulent, within};

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
    let wanted = groups(job).into_iter().filter_map(|group| Wanted::of(group, state)).collect::<Vec<_>>();
    let followed = wanted.par_iter().map(|wanted| wanted.follow(job, question));
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

/// Spans that move together, some of which are to be followed.
struct Wanted<'a> {
    group: Group<'a>,
    /// The places of those in the group.
    places: Vec<usize>,
    /// The state of the first of them, which stands for that of the group.
    state: SpanState,
}

impl<'a> Wanted<'a> {
    /// None where no span of the group is to be followed.
    fn of(group: Group<'a>, state: &StateOf<'_>) -> Option<Self> {
        let at = |(place, span)| SpanAt { line: group.line, wire: group.wire, place: group.first + place, span };
        let each = group.spans.iter().enumerate().map(|(place, span)| (place, state(&at((place, span)))));
        let wanted: Vec<(usize, SpanState)> = each.filter_map(|(place, state)| Some((place, state?))).collect();
        let state = wanted.first()?.1;
        Some(Self { places: wanted.into_iter().map(|(place, _)| place).collect(), group, state })
    }

    /// Nothing where there is no wind across the group.
    fn follow(&self, job: &Job, question: &SwayQuestion) -> Result<Vec<(SpanMotion, Swing)>, SwayStudyError> {
        let steady = self.steady(job, question)?;
        let (left, right) = (steady.high(), -steady.low());
        let asked_m_per_s = if self.state.wind_m_per_s < 0.0 { right } else { left };
        let is_asked = self.state.wind_m_per_s.abs() >= CALM_M_PER_S && asked_m_per_s >= CALM_M_PER_S;
        let is_left = if is_asked { self.state.wind_m_per_s > 0.0 } else { left >= right };
        let (side, gust_m_per_s) = if is_left { (1.0, left) } else { (-1.0, right) };
        if gust_m_per_s < CALM_M_PER_S {
            return Ok(Vec::new());
        }
        let Group { line, spans, .. } = self.group;
        let wind = turbulent(job, line, spans, (steady, gust_m_per_s), question.terrain)?;
        let pictures = self.pictures(question, &wind, side)?.map_err(|source| self.group.failed(job, source))?;
        let motions = self.places.iter().zip(pictures).map(|(place, pictures)| {
            let swing = widest(&spans[*place], &pictures);
            (self.motion(job, *place, wind, pictures), swing)
        });
        Ok(motions.collect())
    }

    fn motion(&self, job: &Job, place: usize, wind: SpanWind, pictures: Vec<Picture>) -> SpanMotion {
        let (line, span) = (self.group.line, &self.group.spans[place]);
        SpanMotion {
            line,
            wire: self.group.wire,
            place: self.group.first + place,
            span: span.index(),
            wind,
            radius_m: span.strand().load().radius_m(self.state.ice_m),
            margin_m: span.margin_m() - job.lines[line].conditions.sway_allowance_m,
            pictures,
        }
    }

    /// The steady winds of all that the spans may be: bands of wind are parts of one wind.
    fn steady(&self, job: &Job, question: &SwayQuestion) -> Result<Interval, SwayStudyError> {
        let own = |index: usize| self.group.spans.iter().any(|span| span.index() == index);
        let wire = &job.study.lines[self.group.line].wires[self.group.wire];
        let same = wire.spans().iter().filter(|span| own(span.index()));
        let winds = same.map(|span| super::steady(span, question)).collect::<Result<Vec<_>, _>>()?;
        Ok(winds.into_iter().reduce(hull).unwrap_or(self.group.spans[0].states().wind_m_per_s))
    }

    /// Pictures of each span that is to be followed.
    fn pictures(
        &self,
        question: &SwayQuestion,
        wind: &SpanWind,
        side: f64,
    ) -> Result<Result<Vec<Vec<Picture>>, SwayError>, SwayStudyError> {
        let span = &self.group.spans[self.places[0]];
        let still = SpanState { wind_m_per_s: 0.0, ..self.state };
        let hung = match Hung::new(&self.group, span, &still) {
            Ok(hung) => hung,
            Err(error) => return Ok(Err(error)),
        };
        let gusts = hung.gusts(wind, side, question.first_seed, question)?;
        let whole = hung
            .cable
            .rest_from_calm(&hung.calm, side * wind.mean_m_per_s)
            .and_then(|start| node_positions_m(&hung.cable, &span.span().from(), start, &gusts, EVERY));
        Ok(whole.map(|whole| self.places.iter().map(|place| part_of(&whole, &hung.nodes, *place)).collect()))
    }
}

/// One span in pictures of all nodes of a cable, which begin and end with its attachments.
fn part_of(whole: &[Picture], nodes: &[Range<usize>], place: usize) -> Vec<Picture> {
    let from = if place == 0 { 0 } else { nodes[place].start + 1 };
    let to = if place + 1 == nodes.len() { nodes[place].end + 1 } else { nodes[place].end };
    whole.iter().map(|(time_s, points)| (*time_s, points[from..=to].to_vec())).collect()
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
