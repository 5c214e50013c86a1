//! The answer of `drivers`.

use wideberth_report::Units;
use wideberth_report::drivers::DriversDocument;

use super::{BOLD, paragraph, styled, table};

/// Gains below this are left out on the screen, m.
const LEAST_GAIN_M: f64 = 0.005;
/// Rows on the screen; JSON has them all.
const MOST_ROWS: usize = 15;

/// Where no finding stands.
const NOTHING_LIVE: &str =
    "Every line is switched off and grounded: there is no live wire to come close to, so no spare depends on anything.";

/// The table.
pub fn render(document: &DriversDocument, units: Units) -> String {
    let DriversDocument { machine: Some(machine), line: Some(line), wire: Some(wire), spare: Some(spare), .. } =
        document
    else {
        return paragraph(NOTHING_LIVE) + "\n" + &paragraph(document.caution);
    };
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
