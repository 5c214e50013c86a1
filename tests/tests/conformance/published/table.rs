//! Writes `docs/published-values.md` from the checks and their verdicts.

use std::fmt::Write;

use crate::published::data::{Check, FILES, Kind, Output, checks};
use crate::published::judge::{Verdict, judge};

const HEAD: &str = "# Published values

What books, standards and calculation sheets print, and what this code computes from the same inputs. Generated from
`tests/data/published/` by the test that compares them; do not edit.

*Tag*: **seen** was read in the source; **from memory** was not; **recomputed** is what the printed inputs give where the
source prints a wrong number or none; **constructed** was computed for this purpose and published nowhere.
*Verdict*: **agrees** within the tolerance; **disagrees** as expected of a known misprint; **refused** as outside the model;
**later** waits for a part that does not exist yet. Where a source uses the parabola and the catenary differs by more than the
tolerance, *ours* is the parabola of the tests, followed by the value of the product in brackets.
";

/// The whole document.
pub fn document(compute: impl Fn(&Check) -> Result<crate::published::judge::Computed, String>) -> String {
    let mut text = HEAD.to_owned();
    for (file, title, _) in FILES {
        let _ = write!(text, "\n## {title}\n\n{COLUMNS}");
        for check in checks(file) {
            text.push_str(&rows(&check, &compute(&check)));
        }
    }
    text
}

const COLUMNS: &str = "| Id | What | Printed | Ours | Tolerance | Tag | Verdict | Source and remarks |
|---|---|---|---|---|---|---|---|
";

fn rows(check: &Check, computed: &Result<crate::published::judge::Computed, String>) -> String {
    let lines: Vec<Line> = check.outputs.iter().map(|o| Line::new(check, o, &judge(check, o, computed))).collect();
    if check.kind == Kind::CatalogueRow {
        return Line::joined(&lines).row(check, 0);
    }
    lines.iter().enumerate().map(|(index, line)| line.row(check, index)).collect()
}

/// The cells of one row that depend on the output.
struct Line {
    printed: String,
    ours: String,
    tolerance: String,
    tag: String,
    verdict: String,
    why: String,
}

impl Line {
    fn new(check: &Check, output: &Output, verdict: &Verdict) -> Self {
        let unit = output.unit.symbol();
        let catenary =
            if verdict.catenary.is_empty() { String::new() } else { format!(" ({})", show(output, &verdict.catenary)) };
        let name = output.name.replace('_', " ");
        Self {
            printed: format!("{name} {} {unit}", output.printed.as_slice().join(", ")).trim_end().to_owned(),
            ours: format!("{}{catenary}", show(output, &verdict.ours)),
            tolerance: output.tolerance.to_string(),
            tag: if output.tag.is_empty() { check.tag.clone() } else { output.tag.clone() },
            verdict: verdict.word.to_owned(),
            why: output.why.clone(),
        }
    }

    /// One row for several outputs.
    fn joined(lines: &[Self]) -> Self {
        let join = |cell: fn(&Self) -> &str| lines.iter().map(cell).collect::<Vec<_>>().join("; ");
        let worst = lines.iter().map(|line| line.verdict.as_str()).find(|word| *word != "agrees");
        Self {
            printed: join(|line| &line.printed),
            ours: join(|line| &line.ours),
            tolerance: join(|line| &line.tolerance),
            tag: lines.first().map(|line| line.tag.clone()).unwrap_or_default(),
            verdict: worst.unwrap_or("agrees").to_owned(),
            why: String::new(),
        }
    }

    fn row(&self, check: &Check, index: usize) -> String {
        let what = if index == 0 { check.what.as_str() } else { "" };
        let source = if index == 0 { source(check) } else { String::new() };
        let remarks = [source, self.why.clone()].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(" ");
        let Self { printed, ours, tolerance, tag, verdict, .. } = self;
        format!("| {} | {what} | {printed} | {ours} | {tolerance} | {tag} | {verdict} | {remarks} |\n", check.id)
    }
}

fn source(check: &Check) -> String {
    let stop = |text: &str| if text.is_empty() { String::new() } else { format!(" {}.", text.trim_end_matches('.')) };
    let address = if check.url.is_empty() { String::new() } else { format!(" <{}>", check.url) };
    format!("{}{address}.{}", check.source.trim_end_matches('.'), stop(&check.note)).replace('|', "/")
}

/// One digit more than printed.
fn show(output: &Output, values: &[f64]) -> String {
    let one = |(value, printed): (&f64, &String)| {
        if printed.contains('e') {
            return format!("{value:.3e}");
        }
        let digits = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len()) + 1;
        format!("{value:.digits$}")
    };
    values.iter().zip(output.printed.as_slice()).map(one).collect::<Vec<_>>().join(", ")
}
