//! How each wire sways in gusts: frequencies, reach, and the allowance that its region in steady wind needs.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::sway::swing_period_s;
use wideberth_plan::sway::{Progress, SpanSway, SwayQuestion, SwayStudyError, sway as follow};
use wideberth_scenario::Job;

use crate::document::Document;
use crate::state::supports;
use crate::words::CAUTION;

/// Name of the format.
pub const SWAY_FORMAT: &str = "wideberth-sway";

/// How the wires of a scenario sway.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SwayDocument {
    /// Always "wideberth-sway".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// The job in one line.
    pub title: String,
    /// How long each wire was followed, s.
    pub duration_s: f64,
    /// The first seed of the gusts.
    pub first_seed: u64,
    /// How many series of gusts.
    pub seeds: u32,
    /// Each span of each wire.
    pub spans: Vec<SpanResult>,
    /// The allowance that covers everything found, m: for "sway_allowance" of the conditions.
    pub allowance_m: f64,
    /// The allowance that the scenario has: the least of its lines', m.
    pub stated_allowance_m: f64,
    /// What the allowance is not.
    pub note: &'static str,
    /// What the result is not.
    pub caution: &'static str,
}

/// How one span sways.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SpanResult {
    /// Name of the line.
    pub line: String,
    /// Name of the wire.
    pub wire: String,
    /// The supports of the span.
    pub between: [String; 2],
    /// Whether it hangs on suspension strings, which swing with all spans of their section.
    pub strung: bool,
    /// Speed of the gusts across the span, m/s.
    pub gust_m_per_s: f64,
    /// Mean wind over ten minutes that has such gusts, m/s.
    pub mean_m_per_s: f64,
    /// Standard deviation of the wind, m/s.
    pub deviation_m_per_s: f64,
    /// Lowest natural frequency across the span, Hz.
    pub across_hz: f64,
    /// Its period, s.
    pub swing_period_s: f64,
    /// Lowest symmetric natural frequency in the plane of sag, Hz.
    pub symmetric_hz: Option<f64>,
    /// Lowest antisymmetric natural frequency in the plane of sag, Hz.
    pub antisymmetric_hz: Option<f64>,
    /// Period by 2π·√(0.8·sag/g) with the greatest sag of the conditions, s.
    pub pendulum_period_s: f64,
    /// Greatest distance from the vertical plane of the chord in steady wind, m.
    pub still_reach_m: f64,
    /// Greatest distance from the vertical plane of the chord in gusts, m.
    pub gust_reach_m: f64,
    /// How far the wire left the shapes of steady wind at most, on average over the seeds, m.
    pub outside_mean_m: f64,
    /// How far it left them at most with any seed, m.
    pub outside_greatest_m: f64,
    /// The allowance that covers that, in whole centimetres, m.
    pub allowance_m: f64,
}

/// What the allowance is not.
const NOTE: &str = "The allowance covers what these series of gusts did; it is a sample, not a proven bound. Galloping, ice that drops, \
                    vertical gusts and faults are not in it. Put it into the conditions as \"sway_allowance\".";

/// Follows every wire of a job in gusts.
///
/// # Errors
/// When the question or a wire does not allow it.
pub fn sway(
    job: &Job,
    question: &SwayQuestion,
    listen: &(dyn Fn(Progress) + Sync),
) -> Result<SwayDocument, SwayStudyError> {
    let spans: Vec<_> = follow(job, question, listen)?.iter().map(|span| result(job, span)).collect();
    let stated = job.lines.iter().map(|line| line.conditions.sway_allowance_m);
    Ok(SwayDocument {
        format: SWAY_FORMAT,
        version: 1,
        title: job.title.clone(),
        duration_s: question.duration_s,
        first_seed: question.first_seed,
        seeds: question.seeds,
        allowance_m: spans.iter().map(|span| span.allowance_m).fold(0.0, f64::max),
        stated_allowance_m: stated.fold(f64::INFINITY, f64::min),
        spans,
        note: NOTE,
        caution: CAUTION,
    })
}

fn result(job: &Job, sway: &SpanSway) -> SpanResult {
    let line = &job.lines[sway.line];
    let spans = job.study.lines[sway.line].wires[sway.wire].spans();
    let sags =
        spans.iter().filter(|span| span.index() == sway.span).map(|span| span.envelope().most().greatest_sag_m());
    SpanResult {
        line: line.name.clone(),
        wire: line.wires[sway.wire].name.clone(),
        between: supports(line, sway.span),
        strung: sway.strung,
        gust_m_per_s: sway.wind.gust_m_per_s,
        mean_m_per_s: sway.wind.mean_m_per_s,
        deviation_m_per_s: sway.wind.deviation_m_per_s,
        across_hz: sway.across_hz,
        swing_period_s: 1.0 / sway.across_hz,
        symmetric_hz: sway.symmetric_hz,
        antisymmetric_hz: sway.antisymmetric_hz,
        pendulum_period_s: swing_period_s(sags.fold(0.0, f64::max)),
        still_reach_m: sway.still_reach_m,
        gust_reach_m: sway.gust_reach_m,
        outside_mean_m: sway.outside_m.iter().sum::<f64>() / sway.outside_m.len() as f64,
        outside_greatest_m: sway.greatest_outside_m(),
        allowance_m: sway.allowance_m(),
    }
}

impl Document for SwayDocument {}

impl SwayDocument {
    /// As CSV text with a header: one row per span.
    ///
    /// # Errors
    /// When the table cannot be written, which no document causes.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(CSV_COLUMNS)?;
        for span in &self.spans {
            let names = [&span.line, &span.wire, &span.between[0], &span.between[1]].map(String::clone);
            let numbers = [
                Some(span.gust_m_per_s),
                Some(span.mean_m_per_s),
                Some(span.deviation_m_per_s),
                Some(span.across_hz),
                span.symmetric_hz,
                span.antisymmetric_hz,
                Some(span.swing_period_s),
                Some(span.pendulum_period_s),
                Some(span.still_reach_m),
                Some(span.gust_reach_m),
                Some(span.outside_mean_m),
                Some(span.outside_greatest_m),
                Some(span.allowance_m),
            ];
            let numbers = numbers.map(|number| number.map_or_else(String::new, |value| value.to_string()));
            writer.write_record(names.into_iter().chain(numbers))?;
        }
        crate::cells::finish(writer)
    }
}

/// Columns of the CSV table.
const CSV_COLUMNS: [&str; 17] = [
    "line",
    "wire",
    "from_support",
    "to_support",
    "gust_m_per_s",
    "mean_m_per_s",
    "deviation_m_per_s",
    "across_hz",
    "symmetric_hz",
    "antisymmetric_hz",
    "swing_period_s",
    "pendulum_period_s",
    "still_reach_m",
    "gust_reach_m",
    "outside_mean_m",
    "outside_greatest_m",
    "allowance_m",
];
