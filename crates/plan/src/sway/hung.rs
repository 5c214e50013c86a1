//! Spans that move together, as a cable at rest, and the gusts on it.

use std::ops::Range;

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{Cable, CableState, Gusts, GustsError, StrungCable, SwayError, Turbulence};
use wideberth_scenario::Job;

use super::{ELEMENTS, LEAST_ELEMENTS, STEP_S, SpanWind, SwayQuestion, SwayStudyError};

/// Spans that move together: those of a section on strings, or one between rigid attachments.
pub(super) struct Group<'a> {
    pub line: usize,
    pub wire: usize,
    /// Place of the first of them among the spans of the wire.
    pub first: usize,
    pub spans: &'a [WireSpan],
}

pub(super) fn groups(job: &Job) -> Vec<Group<'_>> {
    let wires = job
        .study
        .lines
        .iter()
        .enumerate()
        .flat_map(|(line, each)| each.wires.iter().enumerate().map(move |(wire, each)| (line, wire, each.spans())));
    let parts = wires.flat_map(|(line, wire, spans)| {
        let mut next = 0;
        spans.chunk_by(WireSpan::hangs_with).map(move |spans| {
            let first = next;
            next += spans.len();
            Group { line, wire, first, spans }
        })
    });
    parts.collect()
}

impl Group<'_> {
    pub fn failed(&self, job: &Job, source: SwayError) -> SwayStudyError {
        let wire = job.lines[self.line].wires[self.wire].name.clone();
        SwayStudyError::Wire { wire, span: self.spans[0].index() + 1, source }
    }
}

/// A group at rest without wind.
pub(super) struct Hung {
    pub cable: Cable,
    pub calm: CableState,
    /// Between two nodes, m.
    apart_m: f64,
    /// The inner nodes of each span, the lower ends of its strings too.
    pub nodes: Vec<Range<usize>>,
}

impl Hung {
    /// The state of one of its spans stands for that of the group.
    pub fn new(group: &Group<'_>, span: &WireSpan, state: &SpanState) -> Result<Self, SwayError> {
        let mean_run_m = group.spans.iter().map(|span| span.span().run_m()).sum::<f64>() / group.spans.len() as f64;
        let run_m = span.span().run_m();
        let elements = ((ELEMENTS as f64 * run_m / mean_run_m).round() as usize).clamp(LEAST_ELEMENTS, 512);
        let apart_m = run_m / elements as f64;
        if let Some(StrungCable { cable, rest, spans, .. }) = StrungCable::new(span, state, elements)? {
            return Ok(Self { cable, calm: rest, apart_m, nodes: spans });
        }
        let (cable, calm) = Cable::new(span.strand(), state, elements)?;
        let nodes = 0..cable.nodes();
        Ok(Self { cable, calm, apart_m, nodes: vec![nodes] })
    }

    /// One series of gusts, toward the left (1) or the right (-1).
    pub fn gusts(&self, wind: &SpanWind, side: f64, seed: u64, question: &SwayQuestion) -> Result<Gusts, GustsError> {
        let steps = (question.duration_s / STEP_S).ceil() as usize;
        let turbulence = Turbulence {
            mean_m_per_s: wind.mean_m_per_s,
            deviation_m_per_s: wind.deviation_m_per_s,
            scale_m: wind.scale_m,
        };
        let mut dice = ChaCha8Rng::seed_from_u64(seed);
        let mut deviates = std::iter::from_fn(|| Some(StandardNormal.sample(&mut dice)));
        let places = (self.cable.nodes(), self.apart_m);
        Ok(Gusts::new(&turbulence, places, (steps, STEP_S), &mut deviates)?.toward(side))
    }
}
