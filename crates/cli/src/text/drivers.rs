//! The answer of `drivers`.

use wideberth_report::Units;
use wideberth_report::drivers::DriversDocument;

use super::{BOLD, paragraph, styled, table};

/// Gains below this are left out on the screen, m.
const LEAST_GAIN_M: f64 = 0.005;
/// Rows on the screen; JSON has them all.
const MOST_ROWS: usize = 15;

/// The table.
pub fn render(document: &DriversDocument, units: Units) -> String {
    let DriversDocument { machine, line, wire, spare, .. } = document;
    let head = format!("What the spare of {machine} to wire \"{wire}\" of {line} depends on");
    let shown = document.drivers.iter().filter(|driver| driver.gain.lower_m >= LEAST_GAIN_M).take(MOST_ROWS);
    let rows: Vec<Vec<String>> = shown
        .map(|driver| {
            let gain = units.length_range(driver.gain.lower_m, driver.gain.upper_m);
            vec![driver.input.clone(), driver.change.clone(), gain]
        })
        .collect();
    let spare = units.length_range(spare.lower_m, spare.upper_m);
    [
        styled(&head, BOLD) + "\n\n",
        paragraph(&format!("The spare is {spare} as it is. It gains, with one input changed at a time:")),
        table(&["Input", "Change", "Gain, proven"], &[false, false, true], rows),
        "\n".into(),
        paragraph("Measure better what stands on top. Inputs work together, so the gains do not add up."),
        paragraph(document.caution),
    ]
    .concat()
}
