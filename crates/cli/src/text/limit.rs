//! The answer of `limit`: the distance, why, and what comes with it.

use serde::Serialize;
use wideberth_report::Units;
use wideberth_report::quantity::four_digits;
use wideberth_report::words::CAUTION;
use wideberth_rules::{Duty, LimitChoice, LimitError, Measured, Resolution, RuleBook, RuleSet, Trigger};

use super::{BOLD, labelled, paragraph, styled, table};

/// The whole answer.
pub fn render(choice: &LimitChoice, units: Units) -> String {
    let distance = units.length_up(choice.distance_m);
    let head = format!("{} ({} as printed), measured in {}", styled(&distance, BOLD), choice.printed, choice.measured);
    let memory = choice
        .is_from_memory()
        .then(|| labelled("Note", "the value is written from memory: check it against the rule itself"));
    let resolved = choice.resolutions.iter().map(Resolution::text);
    let remarks = choice.warnings.iter().cloned().chain(resolved).chain(choice.notes.iter().cloned());
    let voltage = choice
        .table_voltage_kv
        .map_or("unknown voltage".into(), |kv| format!("{} kV on the basis of the table", four_digits(kv)));
    let others = choice.others.iter().map(|other| {
        let named = if other.general { "" } else { "; only when named" };
        labelled("Other rule", &format!("{} ({}{named}): {}", other.rule_id, other.who, other.says))
    });
    [
        head + "\n\n",
        labelled("Where", &choice.place),
        labelled("Work", &format!("{}; {}", choice.work, choice.who)),
        labelled("Voltage", &voltage),
        labelled("Source", &format!("{} ({})", choice.provenance_line(), choice.force)),
        labelled("Rule", &choice.rule_id),
        memory.unwrap_or_default(),
        remarks.map(|remark| labelled("Note", &remark)).collect(),
        choice.conversions.iter().map(|conversion| labelled("Voltage", &conversion.note)).collect(),
        choice.triggers.iter().map(trigger).collect(),
        choice.duties.iter().map(duty).collect(),
        others.collect(),
        "\n".into(),
        paragraph(CAUTION),
    ]
    .concat()
}

fn trigger(trigger: &Trigger) -> String {
    let Trigger { distance, who, does, provenance, .. } = trigger;
    let level = if trigger.measured == Measured::Horizontal { " on the map" } else { "" };
    labelled("Trigger", &format!("inside {}{level}: {who}: {does} ({provenance})", distance.text))
}

fn duty(duty: &Duty) -> String {
    let lead = duty.lead_time.as_ref().map_or(String::new(), |time| format!("; lead time {time}"));
    labelled("Duty", &format!("{}: {}; when: {}{lead} ({})", duty.who, duty.does, duty.when, duty.provenance))
}

/// Why there is no limit.
pub fn refusal(error: &LimitError) -> String {
    format!("error[{}]: {error}\n\n{}", error.code(), "No distance was made up. `wideberth explain CODE` says more.\n")
}

/// One row of the list of rules.
#[derive(Serialize)]
struct Listed<'a> {
    id: &'a str,
    place: &'a str,
    who: &'a str,
    work: String,
    scope: &'static str,
    provenance: &'static str,
}

fn listed(rule: &RuleSet) -> Listed<'_> {
    Listed {
        id: &rule.id,
        place: &rule.place,
        who: &rule.who,
        work: rule.work.iter().map(|work| work.words()).collect::<Vec<_>>().join(", "),
        scope: rule.scope.words(),
        provenance: rule.provenance.words(),
    }
}

/// Every rule, as text.
pub fn list(book: &RuleBook) -> String {
    let rows = book.rule_sets().iter().map(|rule| {
        let row = listed(rule);
        vec![row.id.into(), row.place.into(), row.work]
    });
    let places = book.places().join(", ");
    format!(
        "{}\n{}\n{}",
        table(&["Rule", "Place", "Work"], &[false; 3], rows.collect()),
        labelled("Places", &places),
        paragraph(
            "`wideberth limit --place NAME` asks every general rule of a place; special rules count only with --rule ID."
        )
    )
}

/// Every rule, as JSON.
pub fn list_json(book: &RuleBook) -> Result<String, serde_json::Error> {
    let rows: Vec<_> = book.rule_sets().iter().map(listed).collect();
    serde_json::to_string_pretty(&rows).map(|text| text + "\n")
}

/// Every rule, as CSV.
pub fn list_csv(book: &RuleBook) -> Result<String, csv::Error> {
    csv_of(book.rule_sets().iter().map(listed))
}

/// The choice in one row.
#[derive(Serialize)]
struct Chosen<'a> {
    distance_m: f64,
    printed: &'a str,
    rule_id: &'a str,
    place: &'a str,
    work: &'static str,
    source: String,
    from_memory: bool,
}

/// The answer, as CSV.
pub fn csv(choice: &LimitChoice) -> Result<String, csv::Error> {
    csv_of([Chosen {
        distance_m: choice.distance_m,
        printed: &choice.printed,
        rule_id: &choice.rule_id,
        place: &choice.place,
        work: choice.work.words(),
        source: choice.provenance_line(),
        from_memory: choice.is_from_memory(),
    }])
}

fn csv_of<T: Serialize>(rows: impl IntoIterator<Item = T>) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.serialize(row)?;
    }
    wideberth_report::cells::finish(writer)
}
