//! What controls change, what is in the ground, what the wind allows, and whether the plan is ready: a few lines each.

use wideberth_report::Units;
use wideberth_report::document::ResultDocument;
use wideberth_report::plan::{ControlResult, GroundResult, LiftingResult, MissingResult, TopplingResult};
use wideberth_report::words::VerdictName;

use super::{LABEL, labelled, styled, verdict_style};

/// Missing things shown of a plan that is clear; JSON has them all.
const MOST_OF_CLEAR: usize = 6;
/// Missing things shown of a plan that is not: it has graver troubles, and the screen ends.
const MOST_OF_OTHERS: usize = 0;

/// What controls change, and which of them do not count.
pub fn controls(document: &ResultDocument, units: Units) -> String {
    let counting = |c: &&ControlResult| c.counts && c.changes_the_model;
    let names: Vec<String> = document.controls.iter().filter(counting).map(control).collect();
    let mut text = String::new();
    if let Some(bare) = document.without_controls.as_ref().filter(|_| !names.is_empty()) {
        let bare = match &bare.spare {
            Some(spare) => {
                format!("{}, spare {}", bare.verdict.shout(), units.length_range(spare.lower_m, spare.upper_m))
            }
            None => bare.verdict.shout().into(),
        };
        text += &labelled("Controls", &format!("{}; without them {bare}", names.join(", ")));
    }
    for control in document.controls.iter().filter(|control| !control.counts) {
        let why = control.why_not.as_deref().unwrap_or_default();
        text += &labelled("Does not count", &format!("{}: {why}", control.name));
    }
    text
}

fn control(control: &ControlResult) -> String {
    if control.says.is_empty() { control.name.clone() } else { format!("{} ({})", control.name, control.says) }
}

/// What enters the ground: the worst of each verdict says enough on a screen.
pub fn ground(document: &ResultDocument, units: Units) -> String {
    let worst = document.ground.iter().max_by(|a, b| {
        let near = |g: &GroundResult| g.zone_m - g.distance.lower_m;
        (rank(a.verdict), near(a)).partial_cmp(&(rank(b.verdict), near(b))).unwrap_or(std::cmp::Ordering::Equal)
    });
    let Some(worst) = worst else { return String::new() };
    let by_hand = if worst.by_hand { "; inside the zone, so by hand" } else { "" };
    let distance = units.length_range(worst.distance.lower_m, worst.distance.upper_m);
    let zone = units.length_up(worst.zone_m);
    let text = format!(
        "{}: {} comes to {distance} of {}, tolerance zone {zone} ({}){by_hand}",
        worst.verdict.shout(),
        worst.what,
        worst.buried,
        worst.zone_of
    );
    labelled("In the ground", &text)
}

/// Verdicts from good to bad.
fn rank(verdict: VerdictName) -> usize {
    VerdictName::ALL.iter().position(|each| *each == verdict).unwrap_or_default()
}

/// What the wind allows.
pub fn winds(document: &ResultDocument, units: Units) -> String {
    let lifting = |wind: &LiftingResult| {
        format!("{} lifts this load in at most {}", wind.machine, units.speed_down(wind.limit_m_per_s))
    };
    let toppling = |wind: &TopplingResult| {
        format!("{} stands in at most {}", wind.structure, units.speed_down(wind.limit_m_per_s))
    };
    let all: Vec<String> = document.lifting.iter().map(lifting).chain(document.toppling.iter().map(toppling)).collect();
    if all.is_empty() { String::new() } else { labelled("Wind", &all.join("; ")) }
}

/// Whether the plan is ready, and what is missing.
pub fn ready(document: &ResultDocument) -> String {
    if document.ready {
        let days = document.days.as_ref().map_or(String::new(), |[first, last]| {
            if first == last { format!(" on {first}") } else { format!(" from {first} to {last}") }
        });
        let text = labelled("Ready", &format!("YES{days}: nothing is missing{}", judged(document)));
        return text.replacen("YES", &styled("YES", verdict_style(VerdictName::Clear)), 1);
    }
    let missing: Vec<&MissingResult> = document.missing.iter().filter(|missing| missing.code != "not-clear").collect();
    let due = &document.due_before_start;
    let shown = if document.verdict == VerdictName::Clear { MOST_OF_CLEAR } else { MOST_OF_OTHERS };
    let things = |count: usize| if count == 1 { "1 thing is".to_string() } else { format!("{count} things are") };
    let head = match (document.verdict, missing.len()) {
        (VerdictName::Clear, 0) => format!("NO: {} due before the work starts", things(due.len())),
        (VerdictName::Clear, count) => format!("NO: {} missing", things(count)),
        (_, 0) => "NO: it is not clear".into(),
        (_, count) => format!("NO: it is not clear, and {} missing (--format json)", things(count)),
    };
    let lines = missing.iter().take(shown).map(|missing| item(missing)).collect::<String>();
    let more = missing.len().saturating_sub(shown);
    let rest =
        if more > 0 && shown > 0 { labelled("", &format!("- {more} more: see --format json")) } else { String::new() };
    let head = labelled("Ready", &format!("{head}{}", judged(document)));
    head.replacen("NO", &styled("NO", verdict_style(VerdictName::NotProven)), 1)
        + &lines
        + &rest
        + &before_start(document)
}

/// One missing thing, with the code that `explain` knows.
fn item(missing: &MissingResult) -> String {
    let indent = " ".repeat(LABEL);
    let (first, next) = (format!("{indent}- "), format!("{indent}  "));
    let options = textwrap::Options::new(super::width()).initial_indent(&first).subsequent_indent(&next);
    textwrap::fill(&format!("{}: {}", missing.code, missing.words), options) + "\n"
}

/// The day on which it was judged.
fn judged(document: &ResultDocument) -> String {
    document.judged_on.as_ref().map_or(String::new(), |day| format!(" (judged on {day})"))
}

/// What is due before the work starts, of a plan that is clear.
fn before_start(document: &ResultDocument) -> String {
    if document.verdict != VerdictName::Clear || document.due_before_start.is_empty() {
        return String::new();
    }
    let due = document.due_before_start.iter().map(|missing| {
        let day = missing.due.as_deref().unwrap_or_default();
        format!("{} ({}, by {day})", missing.words, missing.code)
    });
    labelled("Before start", &due.collect::<Vec<_>>().join("; "))
}

/// What a clear answer holds for, shortly: JSON has each range, place and control.
pub fn holds(document: &ResultDocument) -> String {
    if document.verdict != VerdictName::Clear {
        return String::new();
    }
    let of =
        |kinds: &'static [&'static str]| document.holds_only_while.iter().filter(|each| kinds.contains(&each.what));
    let told = of(&["conductor-temperature", "wind", "weather", "height", "reach"]).map(|each| each.words.clone());
    let things = |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
    let counted = [
        things(of(&["place"]).count(), "place"),
        things(of(&["joint"]).count(), "working range"),
        things(of(&["control"]).count(), "control"),
    ];
    let counted = format!("{} stay as stated (--format json)", counted.join(", "));
    labelled("Holds only while", &told.chain([counted]).collect::<Vec<_>>().join("; "))
}
