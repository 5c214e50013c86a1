//! The answer of `stand`.

use wideberth_report::Units;
use wideberth_report::quantity::rounded;
use wideberth_report::stand::StandDocument;
use wideberth_report::words::CAUTION;

use super::{BOLD, labelled, paragraph, styled};

/// What the map comes to.
pub fn render(document: &StandDocument, units: Units) -> String {
    let head = format!("Where {} may stand", document.machine);
    let total_m2 = document.clear_m2 + document.too_close_m2 + document.not_proven_m2 + document.left_out_m2;
    let share = |area_m2: f64| format!("{} m2 ({} %)", rounded(area_m2, 0), rounded(100.0 * area_m2 / total_m2, 1));
    let size = document.size_m.map(|side| units.length(side)).join(" by ");
    let center = document.center_m.map(|place| units.length(place));
    let map = format!(
        "{size}, along and across the line, about east {}, north {}; the edge is found to {}",
        center[0],
        center[1],
        units.length(document.resolution_m)
    );
    let remarks: String = document.remarks_in(units).iter().map(|remark| paragraph(remark)).collect();
    [
        styled(&head, BOLD) + "\n\n",
        labelled("Job", &document.title),
        labelled("Map", &map),
        labelled("Clear", &share(document.clear_m2)),
        labelled("Too close", &share(document.too_close_m2)),
        labelled("Not proven", &format!("{}: do not stand there", share(document.not_proven_m2))),
        labelled("Left out", &format!("{}: too near a support, or fenced", share(document.left_out_m2))),
        "\n".into(),
        remarks,
        paragraph("Each piece is proven as a whole, wherever in it the reference point stands. --svg, --png and --geojson write the map."),
        paragraph(document.caution),
    ]
    .concat()
}

/// How high something may be that passes.
pub fn passing(words: &str) -> String {
    paragraph(words) + "\n" + &paragraph(CAUTION)
}
