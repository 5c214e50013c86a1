//! What the worst spare depends on, as a document and a table.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::assess::Assessment;
use wideberth_plan::drivers::{Change, Driver};
use wideberth_scenario::Job;

use crate::document::{Document, Range};
use crate::words::CAUTION;

/// Name of the format.
pub const DRIVERS_FORMAT: &str = "wideberth-drivers";

/// What the worst spare depends on.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DriversDocument {
    /// Always "wideberth-drivers".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// Machine of the worst finding; left out, like what follows, where every line is switched off and grounded.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Line of the worst finding.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Wire of the worst finding.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wire: Option<String>,
    /// The worst spare as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<Range>,
    /// Each input, the greatest gain first. Inputs work together: the gains do not add up.
    pub drivers: Vec<DriverResult>,
    /// What the result is not.
    pub caution: &'static str,
}

/// An input.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DriverResult {
    /// The input.
    pub input: String,
    /// Where it stands in the scenario, or would stand.
    pub path: String,
    /// "no tolerance", or one unit toward the safe side, such as "-1 m/s".
    pub change: String,
    /// What the spare gains by that change: proven not less than the lower end, not more than the upper, m.
    pub gain: Range,
}

impl Document for DriversDocument {}

impl DriversDocument {
    /// The document of what was found.
    #[must_use]
    pub fn of(job: &Job, assessment: &Assessment, found: &[Driver]) -> Self {
        let worst = assessment.findings.get(assessment.worst).map(|finding| finding.pairing);
        let machine = worst.and_then(|pairing| job.machines.get(pairing.machine));
        let line = worst.and_then(|pairing| job.lines.get(pairing.line));
        let wire = worst.and_then(|pairing| line?.wires.get(pairing.wire));
        Self {
            format: DRIVERS_FORMAT,
            version: 1,
            computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
            title: job.title.clone(),
            machine: machine.map(|machine| machine.name.clone()),
            line: line.map(|line| line.name.clone()),
            wire: wire.map(|wire| wire.name.clone()),
            spare: Range::finite(assessment.spare),
            drivers: found.iter().map(driver_of).collect(),
            caution: CAUTION,
        }
    }

    /// As CSV text with a header.
    ///
    /// # Errors
    /// When the table cannot be written, which no answer causes.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(["input", "path", "change", "gain_lower_m", "gain_upper_m"])?;
        for DriverResult { input, path, change, gain } in &self.drivers {
            let [lower, upper] = [gain.lower_m, gain.upper_m].map(|m| m.to_string());
            writer.write_record([input, path, change, &lower, &upper])?;
        }
        crate::cells::finish(writer)
    }
}

fn driver_of(driver: &Driver) -> DriverResult {
    let change = match &driver.change {
        Change::NoTolerance => "no tolerance".into(),
        Change::By(change) => change.clone(),
    };
    DriverResult { input: driver.input.clone(), path: driver.path.clone(), change, gain: driver.gain.into() }
}
