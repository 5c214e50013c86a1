//! Digging near buried lines: notice, life of a ticket, tolerance zone and the rule for digging by hand, by place.
//!
//! The rows are data (`assets/rules/ground.json`), each with its source and whether it was seen or is from memory. Where
//! prints disagree, the wider zone and the shorter life stand in the row and its note says so.

use serde::Deserialize;

use crate::nearest::nearest;
use crate::quantity::parse_length;
use crate::words::Provenance;

/// What a place says about digging.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundRule {
    /// The place.
    pub place: String,
    /// How long before the work the locate must be asked for.
    pub notice: Option<String>,
    /// How long a ticket holds, in words.
    pub ticket_life: Option<String>,
    /// How long a ticket holds, in calendar days, where it is printed so.
    pub ticket_days: Option<u32>,
    /// How long a ticket holds, in working days, where it is printed so.
    pub ticket_working_days: Option<u32>,
    /// Within how many calendar days the work must begin, where that is printed.
    pub start_within_days: Option<u32>,
    /// Tolerance zone to each side of the mark, m.
    pub zone_m: Option<f64>,
    /// The zone as printed.
    pub zone: Option<String>,
    /// How to dig inside the zone.
    pub hand_dig: Option<String>,
    /// Remark.
    pub note: Option<String>,
    /// How the row came here.
    pub provenance: Provenance,
    /// Where it was read, or where the text stands.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: String,
    version: u32,
    rows: Vec<RawRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawRow {
    place: String,
    notice: Option<String>,
    ticket_life: Option<String>,
    ticket_days: Option<u32>,
    ticket_working_days: Option<u32>,
    start_within_days: Option<u32>,
    zone: Option<String>,
    hand_dig: Option<String>,
    note: Option<String>,
    provenance: String,
    source: String,
}

/// The rules for digging, by place.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundRules(Vec<GroundRule>);

impl GroundRules {
    /// The rows delivered with the program.
    ///
    /// # Panics
    /// Never in a tested build: the embedded file does not depend on any input, and a test reads it.
    #[must_use]
    pub fn embedded() -> Self {
        let text = include_str!("../../../assets/rules/ground.json");
        read(text).unwrap_or_else(|problem| panic!("assets/rules/ground.json: {problem}"))
    }

    /// Every row.
    #[must_use]
    pub fn rows(&self) -> &[GroundRule] {
        &self.0
    }

    /// The row of a place, ignoring case.
    #[must_use]
    pub fn find(&self, place: &str) -> Option<&GroundRule> {
        self.0.iter().find(|rule| rule.place.to_lowercase() == place.trim().to_lowercase())
    }

    /// Places with a name like this one.
    #[must_use]
    pub fn nearest(&self, place: &str) -> Vec<String> {
        nearest(place, self.0.iter().map(|rule| rule.place.as_str()))
    }
}

fn read(text: &str) -> Result<GroundRules, String> {
    let file: File = serde_json::from_str(text).map_err(|error| error.to_string())?;
    if (file.format.as_str(), file.version) != ("wideberth-ground-rules", 1) {
        return Err(format!("unknown format {} {}", file.format, file.version));
    }
    file.rows.into_iter().map(row).collect::<Result<_, _>>().map(GroundRules)
}

fn row(raw: RawRow) -> Result<GroundRule, String> {
    let zone = raw.zone.as_deref().map(parse_length).transpose().map_err(|error| error.to_string())?;
    let provenance = Provenance::from_words(&raw.provenance).ok_or(format!("\"{}\"?", raw.provenance))?;
    Ok(GroundRule {
        place: raw.place,
        notice: raw.notice,
        ticket_life: raw.ticket_life,
        ticket_days: raw.ticket_days,
        ticket_working_days: raw.ticket_working_days,
        start_within_days: raw.start_within_days,
        zone_m: zone.as_ref().map(|length| length.length_m),
        zone: raw.zone,
        hand_dig: raw.hand_dig,
        note: raw.note,
        provenance,
        source: raw.source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_read_with_their_zones() {
        let rules = GroundRules::embedded();
        let zone_m = |place: &str| rules.find(place).and_then(|rule| rule.zone_m);
        assert_eq!(zone_m("mississippi"), Some(0.4572));
        assert_eq!(zone_m("Alberta"), Some(1.0));
        assert_eq!(zone_m("Nebraska"), None);
        assert!(rules.find("Atlantis").is_none());
        assert!(rules.rows().iter().all(|rule| !rule.source.is_empty()));
    }

    /// Seen in the pages that the rows name.
    #[test]
    fn lives_of_tickets_are_those_printed() {
        let rules = GroundRules::embedded();
        let life = |place: &str| {
            let rule = rules.find(place).expect("a row");
            (rule.ticket_days, rule.ticket_working_days, rule.start_within_days)
        };
        assert_eq!(life("Nebraska"), (Some(17), None, None));
        assert_eq!(life("South Carolina"), (None, Some(15), None));
        assert_eq!(life("Illinois"), (Some(28), None, None));
        assert_eq!(life("British Columbia"), (Some(30), None, Some(14)));
        assert_eq!(life("France"), (None, None, None));
        let told = |rule: &GroundRule| rule.ticket_days.is_some() || rule.ticket_working_days.is_some();
        assert!(rules.rows().iter().all(|rule| rule.ticket_life.is_some() == told(rule)));
    }

    #[test]
    fn a_state_that_is_not_named_takes_the_widest_zone() {
        let rules = GroundRules::embedded();
        let states = ["Colorado", "Mississippi", "Florida", "Pennsylvania", "California"];
        let widest_m = states.iter().filter_map(|state| rules.find(state)?.zone_m).fold(0.0, f64::max);
        assert!(rules.find("United States").and_then(|rule| rule.zone_m).is_some_and(|zone_m| zone_m >= widest_m));
    }
}
