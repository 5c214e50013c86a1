//! The range chart as a document and a table.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_plan::chart::{Edge, RangeChart, Sector};
use wideberth_scenario::Job;

use crate::document::Document;
use crate::words::{CAUTION, VerdictName};

/// Name of the format.
pub const CHART_FORMAT: &str = "wideberth-chart";

/// How far a machine may luff in each sector of its slew.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct ChartDocument {
    /// Always "wideberth-chart".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// Name of the machine.
    pub machine: String,
    /// Name of the joint that turns.
    pub slew: String,
    /// Name of the joint that is charted.
    pub luff: String,
    /// Working range of that joint in the scenario, rad.
    pub luff_range_rad: [f64; 2],
    /// Bearing of slew 0, clockwise from north, rad; the slew is positive to the left.
    pub heading_rad: f64,
    /// Each sector in order.
    pub sectors: Vec<SectorResult>,
    /// What the result is not.
    pub caution: &'static str,
}

/// A sector of the slew. Overrun comes on top of every stop and is counted.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SectorResult {
    /// Where it begins and ends, rad.
    pub slew_rad: [f64; 2],
    /// What is proven of the whole working range of the luff.
    pub whole: VerdictName,
    /// Luff at most, from the low end of its working range: proven clear, rad; left out where nothing is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_rad: Option<f64>,
    /// The next greater stop, which is not clear, rad.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_not_clear_rad: Option<f64>,
    /// Luff at least, up to the high end of its working range: proven clear, rad; left out where nothing is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_rad: Option<f64>,
    /// The next smaller stop, which is not clear, rad.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_not_clear_rad: Option<f64>,
}

impl Document for ChartDocument {}

impl ChartDocument {
    /// The document of a chart.
    #[must_use]
    pub fn of(job: &Job, chart: &RangeChart) -> Self {
        let machine = job.machines.get(chart.machine);
        let joint = |index: usize| {
            machine.and_then(|machine| machine.joints.get(index)).map_or_else(String::new, |joint| joint.name.clone())
        };
        Self {
            format: CHART_FORMAT,
            version: 1,
            computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
            title: job.title.clone(),
            machine: machine.map_or_else(String::new, |machine| machine.name.clone()),
            slew: joint(chart.slew),
            luff: joint(chart.luff),
            luff_range_rad: [chart.luff_range_rad.low(), chart.luff_range_rad.high()],
            heading_rad: chart.heading_rad,
            sectors: chart.sectors.iter().map(sector_of).collect(),
            caution: CAUTION,
        }
    }

    /// As CSV text with a header.
    ///
    /// # Errors
    /// When the table cannot be written, which no chart causes.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::WriterBuilder::new().has_headers(true).from_writer(Vec::new());
        self.sectors.iter().try_for_each(|sector| writer.serialize(Row::of(sector)))?;
        crate::cells::finish(writer)
    }
}

/// One row of the table.
#[derive(Serialize)]
struct Row {
    slew_from_rad: f64,
    slew_to_rad: f64,
    whole: &'static str,
    most_rad: Option<f64>,
    most_not_clear_rad: Option<f64>,
    least_rad: Option<f64>,
    least_not_clear_rad: Option<f64>,
}

impl Row {
    fn of(sector: &SectorResult) -> Self {
        Self {
            slew_from_rad: sector.slew_rad[0],
            slew_to_rad: sector.slew_rad[1],
            whole: sector.whole.name(),
            most_rad: sector.most_rad,
            most_not_clear_rad: sector.most_not_clear_rad,
            least_rad: sector.least_rad,
            least_not_clear_rad: sector.least_not_clear_rad,
        }
    }
}

fn sector_of(sector: &Sector) -> SectorResult {
    let clear = |edge: Option<Edge>| edge.map(|edge| edge.clear_rad);
    let not_clear = |edge: Option<Edge>| edge.and_then(|edge| edge.not_clear_rad);
    SectorResult {
        slew_rad: [sector.slew_rad.low(), sector.slew_rad.high()],
        whole: sector.whole.into(),
        most_rad: clear(sector.most),
        most_not_clear_rad: not_clear(sector.most),
        least_rad: clear(sector.least),
        least_not_clear_rad: not_clear(sector.least),
    }
}

/// Where the luff may be in a sector, in words of degrees.
#[must_use]
pub fn sector_words(sector: &SectorResult) -> String {
    if sector.whole == VerdictName::Clear {
        return "whole range".into();
    }
    let deg = |rad: f64| format!("{:.1}", rad.to_degrees());
    match (sector.least_rad, sector.most_rad) {
        (Some(least), Some(most)) => format!("at least {} or at most {}", deg(least), deg(most)),
        (Some(least), None) => format!("at least {}", deg(least)),
        (None, Some(most)) => format!("at most {}", deg(most)),
        (None, None) => "NOT HERE".into(),
    }
}
