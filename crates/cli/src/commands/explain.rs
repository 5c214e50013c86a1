//! `explain`: more about a code of a refusal, of something missing, a verdict, an exit code, or a word that answers use.

use wideberth_plan::readiness::Gap;
use wideberth_report::words::VerdictName;
use wideberth_scenario::Code;
use wideberth_scenario::nearest::suggestion;

use super::terms::{TERMS, meaning};
use crate::args::Explain;
use crate::exit::{Outcome, Trouble};
use crate::reply::{Asked, Reply};
use crate::text;

/// Codes under which `limit` refuses a question, and what they mean.
const LIMIT_CODES: &[(&str, &str)] = &[
    (
        "limit-unknown-name",
        "No rule has this id and no place this name. `wideberth limit --list` lists both; spelling counts, capital letters do not.",
    ),
    (
        "limit-bad-voltage",
        "The voltage is not above 0 or is above 2000 kV, which no line has. Check the number and its unit.",
    ),
    (
        "limit-basis-mismatch",
        "Phases belong to alternating current, poles to direct current. One of the two given is wrong, and the limit could be taken from the wrong row.",
    ),
    (
        "limit-bad-structure-height",
        "The height of the structure is not above 0 or is above 500 m. Check the number and its unit.",
    ),
    (
        "limit-qualified-only",
        "The rule is for electrical workers who are qualified in its sense, with their training, tools and permits. Its shorter distances never hold for another crew. Ask the rules of the place.",
    ),
    (
        "limit-not-a-limit",
        "The table says how low a line may hang. That is no distance that a machine may keep, so it is never used as one.",
    ),
    (
        "limit-superseded",
        "The edition has been replaced. Its numbers stay for reference and are not used; the message names the rule that replaced it where one is known.",
    ),
    (
        "limit-unconfirmed",
        "Nobody could confirm the numbers of this table, so they are shown but never used as a limit.",
    ),
    (
        "limit-work-not-covered",
        "The rule has no distance for this kind of work, and no stricter one that could stand in. Another rule of the place may have one.",
    ),
    (
        "limit-current-not-covered",
        "The rule has rows for the other kind of current only. Alternating and direct current do not have the same distances. Ask the line's owner for a distance in writing.",
    ),
    (
        "limit-above-table",
        "The voltage is above the last row of the table. Beyond it the line's owner or an engineer decides; no distance is made up.",
    ),
    (
        "limit-below-table",
        "The voltage is below the first row of a rule that is for other lines. Ask the rules of the place.",
    ),
    (
        "limit-no-number",
        "The rule sets no number here; it says who decides instead, usually the line's owner. Get the distance in writing and enter it as the line's \"limit\".",
    ),
    (
        "limit-needs-structure-height",
        "The rule's distance depends on how tall a structure is. Give --structure-height, or \"structure_height\" in the scenario's rule.",
    ),
    (
        "limit-unknown-condition",
        "No row of the rule depends on this condition. The message names those that can be confirmed.",
    ),
    (
        "limit-not-confirmable",
        "Covers, links, alarms, spotters and consents never shorten the legal distance here. A distance that the line's owner gave in writing is entered as the line's \"limit\".",
    ),
    (
        "limit-nothing-for-place",
        "No general rule of this place has a distance for this work. Name a special rule by its id, or a place inside this one.",
    ),
    (
        "limit-place-refused",
        "A rule of the place refuses to give a number, so the smaller number of another rule must not stand in for it. The message gives the reasons.",
    ),
];

/// The explanation.
pub fn run(args: &Explain) -> Asked {
    let asked = args.code.join(" ");
    if asked == "list" {
        return Ok(Reply::text(names().collect::<Vec<_>>().join("\n") + "\n"));
    }
    match explanation(&asked) {
        Some(explanation) => Ok(Reply::text(text::explanation(&asked, explanation))),
        None => {
            let known: Vec<String> = names().collect();
            let help = suggestion(&asked, known.iter().map(String::as_str));
            Err(Trouble::Usage(format!("there is no code or word \"{asked}\": {help}")))
        }
    }
}

fn names() -> impl Iterator<Item = String> {
    let verdicts = VerdictName::ALL.iter().map(|verdict| verdict.name());
    let codes = Code::ALL.iter().map(|code| code.name());
    let gaps = Gap::ALL.iter().map(|gap| gap.name());
    let limits = LIMIT_CODES.iter().map(|(name, _)| *name);
    let terms = TERMS.iter().map(|(term, _)| *term);
    let exits = Outcome::ALL.iter().map(|outcome| format!("exit {}", outcome.code()));
    verdicts.chain(codes).chain(gaps).chain(limits).chain(terms).map(String::from).chain(exits)
}

fn explanation(name: &str) -> Option<&'static str> {
    let hyphened = name.trim().to_lowercase().replace([' ', '_'], "-");
    let verdict = VerdictName::ALL.iter().find(|verdict| verdict.name() == hyphened);
    let gap = || Gap::ALL.iter().find(|gap| gap.name() == hyphened).map(|gap| gap.explain());
    let limit = || LIMIT_CODES.iter().find(|(known, _)| *known == hyphened).map(|(_, text)| *text);
    verdict
        .map(|verdict| verdict.explain())
        .or_else(|| Code::from_name(&hyphened).map(Code::explain))
        .or_else(gap)
        .or_else(limit)
        .or_else(|| meaning(name.trim()))
        .or_else(|| exit(&hyphened))
}

/// What an exit code means, written as a number, with or without "exit" before it.
fn exit(name: &str) -> Option<&'static str> {
    let code: u8 = name.strip_prefix("exit-").unwrap_or(name).parse().ok()?;
    Outcome::ALL.iter().find(|outcome| outcome.code() == code).map(|outcome| outcome.explain())
}
