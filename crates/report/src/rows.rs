//! Findings as a table: one row per machine and wire, numbers in SI with their unit in the column's name. A file without findings
//! has a row too.

use serde::Serialize;

use crate::document::FindingResult;
use crate::plan::MissingResult;
use crate::record::{Record, Refusal};

/// One row.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
struct Row<'a> {
    file: &'a str,
    exit: u8,
    problem: &'a str,
    title: &'a str,
    machine: &'a str,
    line: &'a str,
    wire: &'a str,
    verdict: &'static str,
    closest_approach_lower_m: Option<f64>,
    closest_approach_upper_m: Option<f64>,
    limit_m: Option<f64>,
    spare_lower_m: Option<f64>,
    spare_upper_m: Option<f64>,
    limit_source: &'a str,
    part: &'a str,
    between: String,
    along_m: Option<f64>,
    conductor_temperature_degc: Option<f64>,
    wind_across_m_per_s: Option<f64>,
    wind_from_rad: Option<f64>,
    swing_rad: Option<f64>,
    wire_above_ground_m: Option<f64>,
    stopped: &'static str,
    cells: Option<u64>,
    ready: bool,
    judged_on: Option<&'a str>,
    missing: String,
    due_before_start: String,
    holds_only_while: String,
}

/// The columns and what they mean, in their order.
pub const COLUMNS: &[(&str, &str)] = &[
    ("file", "the file, as it was named"),
    ("exit", "exit code for this file alone"),
    ("problem", "of a refused file, the first problem; the columns after it are then empty"),
    ("title", "the job"),
    ("machine", "name of the machine"),
    ("line", "name of the line"),
    ("wire", "name of the wire"),
    ("verdict", "clear, not-proven, too-close or contact"),
    ("closest_approach_lower_m", "proven: nothing comes closer, m"),
    ("closest_approach_upper_m", "attained by a pose and a state that were found, m"),
    ("limit_m", "limit of approach, m"),
    ("spare_lower_m", "closest approach less limit, lower end, m"),
    ("spare_upper_m", "closest approach less limit, upper end, m"),
    ("limit_source", "where the limit comes from"),
    ("part", "the machine's part that comes closest"),
    ("between", "the supports of the span"),
    ("along_m", "distance along the map from the first of them, m"),
    ("conductor_temperature_degc", "conductor temperature of that state, degC"),
    ("wind_across_m_per_s", "wind across the span in that state, m/s"),
    ("wind_from_rad", "bearing from which it blows, rad clockwise from north; empty without wind"),
    ("swing_rad", "swing of the wire, rad, positive to the left along the line"),
    ("wire_above_ground_m", "height of the wire there above the ground between the supports, m"),
    ("stopped", "why the search stopped"),
    ("cells", "cells that the search examined"),
    ("ready", "whether the whole plan is clear and nothing is missing"),
    ("judged_on", "the day on which it was judged"),
    ("missing", "what is missing now, each with its code, separated by semicolons"),
    ("due_before_start", "what is due before the work starts, likewise"),
    ("holds_only_while", "what the answer holds for, separated by semicolons"),
];

/// The header.
///
/// # Errors
/// When the table cannot be written, which no document causes.
pub fn header() -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS.iter().map(|(name, _)| *name))?;
    crate::cells::finish(writer)
}

/// The rows of a file's answer, without a header.
///
/// # Errors
/// As [`header`].
pub fn of_record(record: &Record) -> Result<String, csv::Error> {
    let result = &record.result;
    let head = Row { file: &record.file, exit: record.exit, title: &result.title, ..Row::default() };
    if result.findings.is_empty() {
        return written([Row { verdict: result.verdict.name(), ..head }]);
    }
    written(result.findings.iter().map(|finding| row(head.clone(), record, finding)))
}

/// The row of a file without an answer, without a header.
///
/// # Errors
/// As [`header`].
pub fn of_refusal(refusal: &Refusal) -> Result<String, csv::Error> {
    let file = refusal.file.as_deref().unwrap_or_default();
    let problem = refusal.problems.first().map_or("", |problem| problem.message.as_str());
    written([Row { file, exit: refusal.exit, problem, ..Row::default() }])
}

fn written<'a>(rows: impl IntoIterator<Item = Row<'a>>) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    for row in rows {
        writer.serialize(row)?;
    }
    crate::cells::finish(writer)
}

fn row<'a>(head: Row<'a>, record: &'a Record, finding: &'a FindingResult) -> Row<'a> {
    let witness = &finding.witness;
    Row {
        machine: &finding.machine,
        line: &finding.line,
        wire: &finding.wire,
        verdict: finding.verdict.name(),
        closest_approach_lower_m: Some(finding.closest_approach.lower_m),
        closest_approach_upper_m: Some(finding.closest_approach.upper_m),
        limit_m: Some(finding.limit_m),
        spare_lower_m: Some(finding.spare.lower_m),
        spare_upper_m: Some(finding.spare.upper_m),
        limit_source: record.result.limit_of(finding).map_or("", |limit| limit.source.as_str()),
        part: &witness.body,
        between: witness.between.join(" and "),
        along_m: Some(witness.along_m),
        conductor_temperature_degc: Some(witness.conductor_temperature_degc),
        wind_across_m_per_s: Some(witness.wind_across_m_per_s),
        wind_from_rad: witness.wind_from_rad,
        swing_rad: Some(witness.swing_rad),
        wire_above_ground_m: Some(witness.wire_above_ground_m),
        stopped: finding.stopped,
        cells: Some(finding.cells),
        ready: record.result.ready,
        judged_on: record.result.judged_on.as_deref(),
        missing: listed(&record.result.missing),
        due_before_start: listed(&record.result.due_before_start),
        holds_only_while: joined(record.result.holds_only_while.iter().map(|holds| holds.words.clone())),
        ..head
    }
}

fn listed(missing: &[MissingResult]) -> String {
    joined(missing.iter().map(|missing| format!("{}: {}", missing.code, missing.words)))
}

fn joined(words: impl Iterator<Item = String>) -> String {
    words.collect::<Vec<_>>().join("; ")
}
