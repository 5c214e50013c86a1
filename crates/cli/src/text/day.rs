//! The answer of `day`: first when the job is clear, then each hour of a day, or each month of a longer spell.

use std::collections::BTreeMap;

use wideberth_report::Units;
use wideberth_report::day::{DayDocument, DayHour, DayWindow, cause_words};
use wideberth_report::words::VerdictName;

use super::{BOLD, labelled, paragraph, styled, table, verdict_style};

/// Most hours of which each has a row.
const MOST_ROWS: usize = 50;
/// Most spells that are told.
const MOST_TOLD: usize = 8;

/// The whole answer.
pub fn render(document: &DayDocument, units: Units) -> String {
    let rows = if document.hours.len() <= MOST_ROWS { hours(document, units) } else { months(document, units) };
    let told = if document.searched { [headline(document), why(document, units)] } else { Default::default() };
    let [headline, why] = told;
    let warnings = document.warnings.iter().map(|warning| labelled("Mind:", warning));
    [
        styled(&document.title, BOLD) + "\n",
        headline,
        "\n".into(),
        rows,
        why,
        based_on(document),
        ready(document),
        warnings.collect(),
        "\n".into(),
        paragraph(document.caution),
    ]
    .concat()
}

/// Whether the plan may begin; what is missing is told by `check`.
fn ready(document: &DayDocument) -> String {
    match (document.ready, document.missing.len()) {
        (None, _) => String::new(),
        (Some(true), _) => labelled("Ready", "YES: nothing is missing"),
        (Some(false), 0) => labelled("Ready", "NO: it is not clear"),
        (Some(false), 1) => labelled("Ready", "NO: 1 thing is missing, as `wideberth check` says"),
        (Some(false), count) => {
            labelled("Ready", &format!("NO: {count} things are missing, as `wideberth check` says"))
        }
    }
}

/// The clock part of a time such as 2026-07-14T05:00:00-04:00; midnight at the end of a spell is 24:00.
fn clock(stamp: &str, end: bool) -> &str {
    match stamp.get(11..16) {
        Some("00:00") if end => "24:00",
        Some(clock) => clock,
        None => stamp,
    }
}

/// A time, with its date where the document has several.
fn time(document: &DayDocument, stamp: &str, end: bool) -> String {
    let several = document.hours.len() > 25;
    match stamp.get(0..10).filter(|_| several) {
        Some(date) => format!("{date} {}", stamp.get(11..16).unwrap_or_default()),
        None => clock(stamp, end).into(),
    }
}

fn span(document: &DayDocument, window: &DayWindow) -> String {
    format!("{} to {}", time(document, &window.from, false), time(document, &window.to, true))
}

fn is_clear(window: &DayWindow) -> bool {
    window.verdict == VerdictName::Clear
}

/// When it is clear, in one sentence.
fn headline(document: &DayDocument) -> String {
    let clear: Vec<&DayWindow> = document.windows.iter().filter(|window| is_clear(window)).collect();
    let hours: usize = clear.iter().map(|window| window.hours).sum();
    let text = if hours == document.hours.len() {
        format!("CLEAR through all {hours} hours")
    } else if hours == 0 {
        format!("{} in every hour", if document.verdict == VerdictName::NotProven { "NOT PROVEN" } else { "NOT CLEAR" })
    } else if clear.len() > 4 {
        format!("CLEAR in {hours} of {} hours", document.hours.len())
    } else {
        let spans: Vec<String> = clear.iter().map(|window| span(document, window)).collect();
        format!("CLEAR {}; not otherwise", spans.join(" and "))
    };
    let looks = if hours == 0 { document.verdict } else { VerdictName::Clear };
    styled(&text, verdict_style(looks)) + "\n"
}

/// A row for each hour.
fn hours(document: &DayDocument, units: Units) -> String {
    let (degrees, length) = (units.temperature_unit(), units.length_unit());
    let searched = ["Closest", "Spare", ""].map(String::from);
    let mut header = vec![
        "Hour".to_string(),
        format!("Air {degrees}"),
        "Gust".into(),
        format!("Wires {degrees}"),
        format!("Lowest {length}"),
    ];
    header.extend(searched.into_iter().filter(|_| document.searched));
    let row = |hour: &DayHour| {
        let hottest = hour.wires_degc.iter().fold(f64::NEG_INFINITY, |most, wire| most.max(wire.greatest));
        let coldest = hour.wires_degc.iter().fold(f64::INFINITY, |least, wire| least.min(wire.least));
        let lowest = hour.heights_m.iter().fold(f64::INFINITY, |least, spot| least.min(spot.least));
        let degrees = |low: f64, high: f64| {
            format!("{:.0} to {:.0}", units.of_temperature(low).floor(), units.of_temperature(high).ceil())
        };
        let lowest = if lowest.is_finite() { format!("{:.2}", units.of_length(lowest)) } else { String::new() };
        let mut cells = vec![
            time(document, &hour.from, false),
            degrees(hour.air_degc.least, hour.air_degc.greatest),
            units.speed(hour.gust_m_per_s),
            degrees(coldest, hottest),
            lowest,
        ];
        if let Some(verdict) = hour.verdict {
            let down = |value: Option<f64>| value.map_or_else(String::new, |value| units.length_down(value));
            let words = if verdict == VerdictName::Clear { "clear" } else { verdict.shout() };
            cells.extend([down(hour.closest_approach_lower_m), down(hour.spare_lower_m), words.into()]);
        }
        cells
    };
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let right = [false, true, true, true, true, true, true, false];
    table(&header, &right, document.hours.iter().map(row).collect())
}

/// A row for each month.
fn months(document: &DayDocument, units: Units) -> String {
    let mut months: BTreeMap<&str, Vec<&DayHour>> = BTreeMap::new();
    for hour in &document.hours {
        months.entry(hour.from.get(0..7).unwrap_or_default()).or_default().push(hour);
    }
    let (degrees, length) = (units.temperature_unit(), units.length_unit());
    let header = [
        "Month".to_string(),
        "Hours".into(),
        "Clear".into(),
        format!("Hottest wire {degrees}"),
        format!("Lowest {length}"),
        "Gust".into(),
    ];
    let row = |(month, hours): (&str, Vec<&DayHour>)| {
        let most = |value: &dyn Fn(&DayHour) -> f64| hours.iter().fold(f64::NEG_INFINITY, |most, h| most.max(value(h)));
        let hottest = |h: &DayHour| h.wires_degc.iter().fold(f64::NEG_INFINITY, |most, wire| most.max(wire.greatest));
        let highest = |h: &DayHour| h.heights_m.iter().fold(f64::INFINITY, |least, spot| least.min(spot.least));
        let lowest = -most(&|h| -highest(h));
        let clear = hours.iter().filter(|h| h.verdict == Some(VerdictName::Clear)).count();
        vec![
            month.to_string(),
            hours.len().to_string(),
            if document.searched { clear.to_string() } else { String::new() },
            format!("{:.0}", units.of_temperature(most(&hottest)).ceil()),
            if lowest.is_finite() { format!("{:.2}", units.of_length(lowest)) } else { String::new() },
            units.speed(most(&|h| h.gust_m_per_s)),
        ]
    };
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    table(&header, &[false, true, true, true, true, true], months.into_iter().map(row).collect())
}

/// What ends each clear spell, the wind up to which it holds, and the worst hour.
fn why(document: &DayDocument, units: Units) -> String {
    let told = document.windows.iter().filter_map(|window| {
        let text = if let Some(gust) = window.clear_in_gusts_to_m_per_s {
            let beyond = window.not_clear_in_gusts_to_m_per_s;
            let beyond = beyond.map_or_else(String::new, |gust| format!(", not at {}", gust_words(units, gust)));
            format!("clear; with wires as hot as then it stays so in gusts to {}{beyond}", gust_words(units, gust))
        } else {
            format!("not clear: {}", cause_words(window.cause?))
        };
        Some(labelled(&format!("{}:", span(document, window)), &text))
    });
    let told: String = told.take(MOST_TOLD).collect();
    format!("\n{told}{}{}", worst(document, units), to_measure(document, units))
}

/// What to measure of wires that nobody knows.
fn to_measure(document: &DayDocument, units: Units) -> String {
    let told = document.measures.iter().map(|found| {
        let [from, to] = &found.between;
        let wire = &document.wires[found.wire].wire;
        let range =
            format!("{} to {}", units.length_down(found.may_be_m.least), units.length_up(found.may_be_m.greatest));
        let then = match found.clear_from_m {
            Some(height_m) => format!(
                "measured in the first hour to {} at {} or more, every hour is clear of it",
                units.length(found.measured_to_m),
                units.length_up(height_m)
            ),
            None => "no height there was proven to keep every hour clear of it".into(),
        };
        labelled(
            "To measure:",
            &format!("the height of \"{wire}\" midway from {from} to {to}, which may be {range}; {then}"),
        )
    });
    told.collect()
}

fn gust_words(units: Units, m_per_s: f64) -> String {
    match units {
        Units::Si => format!("{:.1} m/s", (m_per_s * 10.0).floor() / 10.0),
        Units::Us => units.speed(m_per_s),
    }
}

fn worst(document: &DayDocument, units: Units) -> String {
    let Some(hour) = document.hours.get(document.worst_hour) else { return String::new() };
    let when = format!("{} to {}", time(document, &hour.from, false), time(document, &hour.to, true));
    let text = match &hour.worst {
        None => when,
        Some(found) => format!(
            "{when}: \"{}\" of {} comes within {} of wire \"{}\" ({} proven), limit {}; the wire then has {} in a wind of {} across",
            found.part,
            found.machine,
            units.length(found.closest_approach.upper_m),
            found.wire,
            units.length_down(found.closest_approach.lower_m),
            units.length_up(found.limit_m),
            units.temperature(found.conductor_temperature_degc),
            units.speed(found.wind_across_m_per_s),
        ),
    };
    labelled("Worst hour:", &text)
}

fn based_on(document: &DayDocument) -> String {
    let mut known: Vec<&str> = document.wires.iter().map(|wire| wire.known_by.as_str()).collect();
    known.dedup();
    let weather = format!("{}; times at {}", document.weather, document.clock);
    let known = known.into_iter().map(|words| labelled("Wires known by:", words));
    format!("{}{}", labelled("Weather:", &weather), known.collect::<String>())
}
