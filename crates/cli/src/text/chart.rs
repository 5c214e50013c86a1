//! The answer of `chart`.

use wideberth_report::chart::{ChartDocument, sector_words};

use super::{BOLD, paragraph, styled, table};

/// The table.
pub fn render(document: &ChartDocument) -> String {
    let head = format!("Range chart of {}: {} in each sector of {}", document.machine, document.luff, document.slew);
    let rows = document.sectors.iter().map(|sector| {
        let [from, to] = sector.slew_rad.map(|rad| format!("{:.1}", rad.to_degrees() + 0.0));
        vec![from, to, sector_words(sector)]
    });
    let header = [format!("{} from", document.slew), "to".into(), format!("{} (deg), proven clear", document.luff)];
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let [low, high] = document.luff_range_rad.map(f64::to_degrees);
    let about = format!(
        "Angles in degrees; {} positive to the left. \"whole range\" is {low:.1} to {high:.1}. Stops are settings: overrun comes on \
         top and is counted. Each row holds for its whole sector. --svg and --png draw the chart.",
        document.slew
    );
    [
        styled(&head, BOLD) + "\n\n",
        table(&header, &[true, true, false], rows.collect()),
        "\n".into(),
        paragraph(&about),
        paragraph(document.caution),
    ]
    .concat()
}
