//! The answer of `sway`: a row for each span and the allowance.

use wideberth_report::Units;
use wideberth_report::sway::{SpanResult, SwayDocument};

use super::{BOLD, paragraph, styled, table};

/// The whole answer.
pub fn render(document: &SwayDocument, units: Units) -> String {
    let spans = document.spans.iter().map(|span| span_text(span, units));
    let head = format!(
        "Each wire followed through {} series of gusts of {:.0} s each (seeds {} and on), beside its shapes in steady wind.",
        document.seeds, document.duration_s, document.first_seed
    );
    [
        styled(&document.title, BOLD) + "\n",
        paragraph(&head),
        spans.collect(),
        format!("\n{}\n", styled(&allowance(document, units), BOLD)),
        paragraph(document.note),
        paragraph(document.caution),
    ]
    .concat()
}

fn span_text(span: &SpanResult, units: Units) -> String {
    let [from, to] = &span.between;
    let place = format!("{}, wire \"{}\", {from} to {to}", span.line, span.wire);
    let strung = if span.strung {
        " It hangs on strings, which swing with it; the frequencies are those of the span between still ends."
    } else {
        ""
    };
    let wind = format!(
        "Gusts of {} over a mean wind of {}.{strung}",
        units.speed(span.gust_m_per_s),
        units.speed(span.mean_m_per_s)
    );
    let hertz = |value: Option<f64>| value.map_or_else(|| "-".into(), |hz| format!("{hz:.2} Hz"));
    let rows = [
        ("Swing", format!("{} (every {:.1} s)", hertz(Some(span.across_hz)), span.swing_period_s)),
        ("Up and down", format!("{}, {}", hertz(span.symmetric_hz), hertz(span.antisymmetric_hz))),
        ("Aside in steady wind", units.length_up(span.still_reach_m)),
        ("Aside in gusts", units.length_up(span.gust_reach_m)),
        ("Outside, mean", units.length_up(span.outside_mean_m)),
        ("Outside, most", units.length_up(span.outside_greatest_m)),
    ];
    let rows = rows.map(|(name, value)| vec![name.to_string(), value]).to_vec();
    format!("\n{}\n{}{}", styled(&place, BOLD), paragraph(&wind), table(&["What", "Value"], &[false, false], rows))
}

fn allowance(document: &SwayDocument, units: Units) -> String {
    let (needed, stated) = (document.allowance_m, document.stated_allowance_m);
    let comparison = if stated >= needed { "covers it" } else { "is less than that" };
    format!(
        "Sway allowance needed: {}. The scenario's {} {comparison}.",
        units.length_up(needed),
        units.length_down(stated)
    )
}
