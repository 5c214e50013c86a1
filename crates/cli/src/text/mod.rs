//! Answers as text that fits a screen of 80 columns.

pub mod chart;
pub mod check;
pub mod day;
pub mod demo;
pub mod drivers;
pub mod fixes;
pub mod limit;
pub mod problems;
mod ready;
pub mod sag;
pub mod stand;
pub mod sway;

use anstyle::{AnsiColor, Style};
use wideberth_report::record::Refusal;
use wideberth_report::words::VerdictName;
use wideberth_scenario::invisible::plain;

/// Columns of a screen: 80, or fewer where the terminal says that it has fewer.
fn width() -> usize {
    let columns = std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse().ok());
    columns.map_or(80, |columns: usize| columns.clamp(40, 80))
}

/// Columns of labels.
const LABEL: usize = 18;

/// Bold.
const BOLD: Style = Style::new().bold();

/// The look of a verdict. The words say the same.
fn verdict_style(verdict: VerdictName) -> Style {
    let color = match verdict {
        VerdictName::Clear => AnsiColor::Green,
        VerdictName::NotProven => AnsiColor::Yellow,
        VerdictName::TooClose | VerdictName::Contact => AnsiColor::Red,
    };
    BOLD.fg_color(Some(color.into()))
}

/// A text in a style.
fn styled(text: &str, style: Style) -> String {
    format!("{style}{text}{style:#}")
}

/// A paragraph, wrapped.
fn paragraph(text: &str) -> String {
    textwrap::fill(text, width()) + "\n"
}

/// A label and a text that wraps beside it.
fn labelled(label: &str, text: &str) -> String {
    let (first, rest) = (format!("{label:<LABEL$}"), " ".repeat(LABEL));
    let options = textwrap::Options::new(width()).initial_indent(&first).subsequent_indent(&rest);
    textwrap::fill(text, options) + "\n"
}

/// The name of a file, above its answer.
pub fn file_head(file: &str) -> String {
    format!("{}\n", styled(&format!("== {}", plain(file)), BOLD))
}

/// A file without an answer, among others.
pub fn refused(refusal: &Refusal) -> String {
    let problems = refusal.problems.len();
    let (count, first) = (
        if problems == 1 { "1 problem".into() } else { format!("{problems} problems") },
        refusal.problems.first().map_or("", |problem| problem.message.as_str()),
    );
    paragraph(&format!("NO ANSWER (exit {}). {count}, the first: {}", refusal.exit, plain(first)))
}

/// A code and its explanation.
pub fn explanation(code: &str, text: &str) -> String {
    format!("{}\n\n{}", styled(code, BOLD), paragraph(&text.split_whitespace().collect::<Vec<_>>().join(" ")))
}

/// A table without frame lines: columns apart, numbers to the right where `right` says so.
fn table(header: &[&str], right: &[bool], rows: Vec<Vec<String>>) -> String {
    let mut table = comfy_table::Table::new();
    table.load_preset(comfy_table::presets::NOTHING).set_header(header.iter().copied());
    table.add_rows(rows);
    for (index, column) in table.column_iter_mut().enumerate() {
        column.set_padding((0, if header.len() > 6 { 1 } else { 2 }));
        if right.get(index).copied().unwrap_or(false) {
            column.set_cell_alignment(comfy_table::CellAlignment::Right);
        }
    }
    let lines = table.to_string();
    lines.lines().map(|line| line.trim_end().to_string() + "\n").collect()
}
