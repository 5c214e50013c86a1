//! Controls as a table: one row each.

use serde::Serialize;

use super::{FixResult, FixesDocument, MachineFixesResult};

/// The columns, which stand even where there is nothing to mend.
const COLUMNS: [&str; 14] = [
    "title",
    "machine",
    "together",
    "class",
    "kind",
    "clear",
    "words",
    "spare_lower_m",
    "spare_upper_m",
    "next_milder",
    "next_milder_verdict",
    "stricter_is_clear",
    "given_up_share",
    "settings",
];

#[derive(Serialize)]
struct Row<'a> {
    title: &'a str,
    machine: &'a str,
    together: bool,
    class: &'a str,
    kind: &'a str,
    clear: bool,
    words: &'a str,
    spare_lower_m: Option<f64>,
    spare_upper_m: Option<f64>,
    next_milder: Option<&'a str>,
    next_milder_verdict: Option<&'static str>,
    stricter_is_clear: bool,
    given_up_share: f64,
    settings: String,
}

/// The controls as CSV text with a header.
///
/// # Errors
/// When the table cannot be written, which no document causes.
pub fn to_csv(document: &FixesDocument) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().has_headers(false).from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for machine in &document.machines {
        let singles = machine.controls.iter().map(|fix| (false, fix));
        for (together, fix) in singles.chain(machine.pairs.iter().map(|fix| (true, fix))) {
            writer.serialize(row(document, machine, together, fix))?;
        }
    }
    crate::cells::finish(writer)
}

fn row<'a>(
    document: &'a FixesDocument,
    machine: &'a MachineFixesResult,
    together: bool,
    fix: &'a FixResult,
) -> Row<'a> {
    let settings: Vec<String> = fix.settings.iter().map(|(key, value)| format!("{key}={value}")).collect();
    Row {
        title: &document.title,
        machine: &machine.machine,
        together,
        class: fix.class,
        kind: fix.kind,
        clear: fix.clear,
        words: &fix.words,
        spare_lower_m: fix.spare.map(|spare| spare.lower_m),
        spare_upper_m: fix.spare.map(|spare| spare.upper_m),
        next_milder: fix.next_milder.as_ref().map(|milder| milder.words.as_str()),
        next_milder_verdict: fix.next_milder.as_ref().map(|milder| milder.verdict.name()),
        stricter_is_clear: fix.stricter_is_clear,
        given_up_share: fix.given_up_share,
        settings: settings.join("; "),
    }
}
