//! Cells as a table: one row each.

use serde::Serialize;
use wideberth_plan::stand::StandMap;

use super::verdict_of;

#[derive(Serialize)]
struct Row {
    verdict: &'static str,
    left_out: bool,
    east_m: f64,
    north_m: f64,
    along_half_m: f64,
    across_half_m: f64,
    along_bearing_rad: f64,
}

/// The cells as CSV text with a header: middle on the map, half sizes along and across, bearing of "along".
///
/// # Errors
/// When the table cannot be written, which no map causes.
pub fn to_csv(map: &StandMap) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().has_headers(true).from_writer(Vec::new());
    let along = map.area.along;
    for cell in &map.cells {
        let middle = map.area.place(cell.at_m);
        writer.serialize(Row {
            verdict: verdict_of(cell.ground).name(),
            left_out: cell.left_out,
            east_m: middle.x,
            north_m: middle.y,
            along_half_m: cell.half_m[0],
            across_half_m: cell.half_m[1],
            along_bearing_rad: along.x.atan2(along.y).rem_euclid(std::f64::consts::TAU),
        })?;
    }
    crate::cells::finish(writer)
}
