//! How high something may be that passes along a route.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_plan::stand::{Clearway, Route};
use wideberth_scenario::Job;

use crate::quantity::Units;
use crate::words::{CAUTION, VerdictName};

/// The greatest height along a route.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct ClearwayDocument {
    /// Always "wideberth-clearway".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// The job in one line.
    pub title: String,
    /// Name of the machine whose limits hold.
    pub machine: String,
    /// Places along the middle of the route, east and north, m.
    pub route_m: Vec<[f64; 2]>,
    /// Its width, m.
    pub width_m: f64,
    /// Everything up to this height above the ground keeps the limits: proven, m; left out where nothing does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear_m: Option<f64>,
    /// The next greater height, which is not clear, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_clear_m: Option<f64>,
    /// What the result is not.
    pub caution: &'static str,
}

/// The answer as JSON text.
///
/// # Errors
/// When a number cannot be written, which no answer contains.
pub fn clearway_json(job: &Job, route: &Route, found: Option<&Clearway>) -> Result<String, serde_json::Error> {
    let document = ClearwayDocument {
        format: "wideberth-clearway",
        version: 1,
        title: job.title.clone(),
        machine: job.machines.get(route.machine).map_or_else(String::new, |machine| machine.name.clone()),
        route_m: route.along.iter().map(|place| place.coords.into()).collect(),
        width_m: route.width_m,
        clear_m: found.map(|found| found.clear_m),
        not_clear_m: found.and_then(|found| found.not_clear_m),
        caution: CAUTION,
    };
    serde_json::to_string_pretty(&document).map(|text| text + "\n")
}

/// The answer as CSV text with a header.
///
/// # Errors
/// When the table cannot be written, which no answer causes.
pub fn clearway_csv(route: &Route, found: Option<&Clearway>) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["width_m", "clear_m", "not_clear_m"])?;
    let text = |m: Option<f64>| m.map_or_else(String::new, |m| m.to_string());
    writer.write_record([
        route.width_m.to_string(),
        text(found.map(|found| found.clear_m)),
        text(found.and_then(|found| found.not_clear_m)),
    ])?;
    crate::cells::finish(writer)
}

/// What a route came to, in words.
#[must_use]
pub fn clearway_words(route: &Route, found: Option<&Clearway>, units: Units) -> String {
    let width = units.length(route.width_m);
    match found {
        None => format!("NOT CLEAR. Nothing may pass along this route, {width} wide: even the ground is too close."),
        Some(Clearway { clear_m, not_clear_m: None, .. }) => {
            format!("CLEAR up to {} at least, over a width of {width}.", units.length_down(*clear_m))
        }
        Some(Clearway { clear_m, not_clear_m: Some(more_m), verdict }) => {
            let verdict = verdict.map_or("not clear", |verdict| VerdictName::from(verdict).name());
            format!(
                "CLEAR up to {} above the ground, proven over the whole route, {width} wide ({}: {verdict}). Goal posts at both \
                 ends must be no higher; take off what the load may bounce.",
                units.length_down(*clear_m),
                units.length(*more_m)
            )
        }
    }
}
