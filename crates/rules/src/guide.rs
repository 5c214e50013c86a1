//! The tables as a page of documentation, so that the page can be compared with the data.

use std::fmt::Write;

use crate::book::RuleBook;
use crate::model::{Duty, Row, RuleSet, Trigger, UnknownDefault};
use crate::quantity::kv_text;
use crate::words::Measured;
use crate::words::TableCurrent;

/// Every rule set as Markdown: an overview, then each table with its rows, source and caveats.
pub fn markdown_guide(book: &RuleBook) -> String {
    let mut page =
        String::from("| Rule | Place | For | Work | Crew | Counts | Read |\n|---|---|---|---|---|---|---|\n");
    for rule in book.rule_sets() {
        page += &overview_row(rule);
    }
    for rule in book.rule_sets() {
        page += &section(rule);
    }
    page
}

fn overview_row(rule: &RuleSet) -> String {
    let RuleSet { id, place, who, crew, scope, provenance, .. } = rule;
    format!(
        "| [`{id}`](#{}) | {place} | {who} | {} | {crew} | {scope} | {provenance} |\n",
        id.to_lowercase(),
        work(rule)
    )
}

fn work(rule: &RuleSet) -> String {
    match rule.work.as_slice() {
        [] => rule.purpose.to_string(),
        work => work.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    }
}

fn section(rule: &RuleSet) -> String {
    let RuleSet { id, place, instrument, section, edition, force, status, basis, current, measured, who, .. } = rule;
    let mut text = format!("\n### {id}\n\n{place}. {instrument}, {section} ({edition}); {force}, {status}.\n\n");
    text += &format!("For: {who}. Voltage: {basis}, {current}. Measured: {measured}.\n\n");
    text += &rows(rule);
    text += &format!("\nUnknown voltage: {}.\n", unknown(rule));
    for list in [triggers(rule), duties(rule), rule.notes.clone()] {
        text += &list.iter().fold(String::from("\n"), |list, item| list + "- " + item + "\n");
    }
    text.truncate(text.trim_end().len());
    let source = rule.source.iter().map(|source| link(source)).collect::<Vec<_>>().join(", ");
    text + "\n\nSource: " + &source + "\n"
}

fn link(source: &str) -> String {
    if source.starts_with("http") && !source.contains(' ') { format!("<{source}>") } else { source.into() }
}

fn rows(rule: &RuleSet) -> String {
    if rule.rows.is_empty() {
        return "The rule sets no number here: ask the owner of the line.\n".into();
    }
    let head = String::from("| Voltage | Distance | Remark | Read |\n|---|---|---|---|\n");
    rule.rows.iter().fold(head, |mut table, row| {
        let _ = writeln!(table, "| {} | {} | {} | {} |", row.range_text(), prints(row), remark(row), row.provenance);
        table
    })
}

fn prints(row: &Row) -> String {
    row.other_prints
        .iter()
        .fold(row.distance.text(), |text, print| format!("{text}; {} in {}", print.distance.text, print.place_of_print))
}

fn remark(row: &Row) -> String {
    let condition = row.condition.as_ref().map(|condition| {
        let counts = if condition.confirmable { "only when confirmed" } else { "never used" };
        format!("`{}`: {} ({counts})", condition.id, condition.says)
    });
    let current = (row.current == TableCurrent::Dc).then(|| "dc".to_string());
    [current, row.label.clone(), condition].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn unknown(rule: &RuleSet) -> String {
    let default = |default: &UnknownDefault| match default.not_above_kv {
        Some(not_above_kv) => {
            format!("{} if confirmed to be no more than {}", default.distance.text, kv_text(not_above_kv))
        }
        None => default.distance.text.clone(),
    };
    let defaults: Vec<String> = rule.unknown_voltage.defaults.iter().map(default).collect();
    let own = if defaults.is_empty() { "no distance of its own".into() } else { defaults.join(", else ") };
    rule.unknown_voltage.note.as_ref().map_or(own.clone(), |note| format!("{own} ({note})"))
}

fn triggers(rule: &RuleSet) -> Vec<String> {
    let range = |over: Option<f64>, up_to: Option<f64>| {
        let over = over.map_or(String::new(), |kv| format!(" over {}", kv_text(kv)));
        over + &up_to.map_or(String::new(), |kv| format!(" up to {}", kv_text(kv)))
    };
    let text = |t: &Trigger| {
        let level = if t.measured == Measured::Horizontal { ", measured horizontally" } else { "" };
        format!(
            "Inside {}{level}{}: {}: {} ({}).",
            t.distance.text,
            range(t.over_kv, t.up_to_kv),
            t.who,
            t.does,
            t.provenance
        )
    };
    rule.triggers.iter().map(text).collect()
}

fn duties(rule: &RuleSet) -> Vec<String> {
    let lead = |lead: &Option<String>| lead.as_ref().map_or(String::new(), |lead| format!(", lead time: {lead}"));
    let text = |d: &Duty| {
        format!("Duty of the {}: {}; when: {}{} ({}).", d.who, d.does, d.when, lead(&d.lead_time), d.provenance)
    };
    rule.duties.iter().map(text).collect()
}
