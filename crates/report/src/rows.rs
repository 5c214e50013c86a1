//! Findings as a table: one row per machine and wire, numbers in SI with their unit in the column's name.

use serde::Serialize;

use crate::document::{FindingResult, ResultDocument};

/// One row.
#[derive(Clone, Debug, PartialEq, Serialize)]
struct Row<'a> {
    title: &'a str,
    machine: &'a str,
    line: &'a str,
    wire: &'a str,
    verdict: &'static str,
    closest_approach_lower_m: f64,
    closest_approach_upper_m: f64,
    limit_m: f64,
    spare_lower_m: f64,
    spare_upper_m: f64,
    limit_source: &'a str,
    part: &'a str,
    between: String,
    along_m: f64,
    conductor_temperature_degc: f64,
    wind_across_m_per_s: f64,
    wind_from_rad: Option<f64>,
    swing_rad: f64,
    wire_above_ground_m: f64,
    stopped: &'static str,
    cells: u64,
}

/// The columns and what they mean, in their order.
pub const COLUMNS: &[(&str, &str)] = &[
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
];

/// The findings of documents as CSV text with a header.
///
/// # Errors
/// When the table cannot be written, which no document causes.
pub fn to_csv<'a>(documents: impl IntoIterator<Item = &'a ResultDocument>) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().has_headers(true).from_writer(Vec::new());
    for document in documents {
        for finding in &document.findings {
            writer.serialize(row(document, finding))?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn row<'a>(document: &'a ResultDocument, finding: &'a FindingResult) -> Row<'a> {
    let witness = &finding.witness;
    Row {
        title: &document.title,
        machine: &finding.machine,
        line: &finding.line,
        wire: &finding.wire,
        verdict: finding.verdict.name(),
        closest_approach_lower_m: finding.closest_approach.lower_m,
        closest_approach_upper_m: finding.closest_approach.upper_m,
        limit_m: finding.limit_m,
        spare_lower_m: finding.spare.lower_m,
        spare_upper_m: finding.spare.upper_m,
        limit_source: document.limit_of(finding).map_or("", |limit| limit.source.as_str()),
        part: &witness.body,
        between: witness.between.join(" and "),
        along_m: witness.along_m,
        conductor_temperature_degc: witness.conductor_temperature_degc,
        wind_across_m_per_s: witness.wind_across_m_per_s,
        wind_from_rad: witness.wind_from_rad,
        swing_rad: witness.swing_rad,
        wire_above_ground_m: witness.wire_above_ground_m,
        stopped: finding.stopped,
        cells: finding.cells,
    }
}
