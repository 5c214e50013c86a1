//! Checks of a scenario whose structure is right: one file per subject. Each reports everything that it finds.

mod attachments;
mod conductor;
mod known;
mod names;
mod supports;
mod voltage;
mod wind;

use crate::catalogue::Catalogue;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::{RawConditions, RawLine, RawScenario};

/// Names that must differ.
pub(crate) fn names(raw: &RawScenario, here: &Here<'_>) -> Problems {
    names::check(raw, here)
}

/// The conditions of the scenario.
pub(crate) fn conditions(raw: &RawConditions, here: &Here<'_>) -> Problems {
    raw.wind_from.as_ref().map_or_else(Problems::none, |wind| wind::check(wind, &here.key("wind_from")))
}

/// One line.
pub(crate) fn line(raw: &RawLine, here: &Here<'_>, catalogue: &Catalogue) -> Problems {
    let mut problems = supports::check(&raw.supports, &here.key("supports"));
    problems.extend(voltage::check(&raw.voltage, &here.key("voltage")));
    if let Some(wind) = raw.conditions.as_ref().and_then(|change| change.wind_from.as_ref()) {
        problems.extend(wind::check(wind, &here.key("conditions").key("wind_from")));
    }
    for (index, wire) in raw.wires.iter().enumerate() {
        let here = here.key("wires").index(index);
        problems.extend(conductor::check(&wire.conductor, &here.key("conductor"), catalogue));
        problems.extend(attachments::check(wire, &raw.supports, &here.key("attachments")));
        problems.extend(known::check(wire, &raw.supports, &here.key("known_by")));
        if let Some(voltage) = &wire.voltage {
            problems.extend(voltage::check(voltage, &here.key("voltage")));
        }
    }
    problems
}
