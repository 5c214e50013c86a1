//! The answer: one distance, and everything that says why it is this one.

use serde::Serialize;

use crate::model::{Duty, Trigger};
use crate::quantity::{LengthUnit, kv_text};
use crate::words::{Force, Measured, Origin, Provenance, Work};

/// The distance that applies, with its source.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LimitChoice {
    /// The distance to keep, m.
    pub distance_m: f64,
    /// The distance as the table prints it, or as its formula gives it in the printed unit.
    pub printed: String,
    /// The unit of `printed`.
    pub printed_unit: LengthUnit,
    /// Along what it is measured.
    pub measured: Measured,
    /// Id of the rule set.
    pub rule_id: String,
    /// The place of the rule.
    pub place: String,
    /// Statute, regulation, standard or page.
    pub instrument: String,
    /// Section or table.
    pub section: String,
    /// Edition or date.
    pub edition: String,
    /// What stands behind the rule.
    pub force: Force,
    /// For whom or what the rule is.
    pub who: String,
    /// The row; none where the distance comes from an unknown voltage.
    pub row: Option<RowRef>,
    /// How the number came into the table.
    pub provenance: Provenance,
    /// Delivered with the program or supplied by the user.
    pub origin: Origin,
    /// The kind of work asked for.
    pub work: Work,
    /// The voltage that was looked up, kV on the basis of the table; none when unknown.
    pub table_voltage_kv: Option<f64>,
    /// Conversions between voltages to ground and between phases.
    pub conversions: Vec<Conversion>,
    /// On what the answer for an unknown voltage rests.
    pub unknown_voltage: Option<UnknownVoltageBasis>,
    /// What stands in, where the place has no table of its own.
    pub stand_in: Option<StandIn>,
    /// Doubts that were resolved to the safe side.
    pub resolutions: Vec<Resolution>,
    /// What the user should know before relying on the number.
    pub warnings: Vec<String>,
    /// Remarks on the rule.
    pub notes: Vec<String>,
    /// Distances that start a duty.
    pub triggers: Vec<Trigger>,
    /// Who must do what, when.
    pub duties: Vec<Duty>,
    /// Other rules of the place and what they would say.
    pub others: Vec<OtherRule>,
    /// Where the rule was read.
    pub source: Vec<String>,
}

/// What stands in for the table that a place does not have.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StandIn {
    /// The place that was asked for.
    pub place: String,
    /// What was taken instead.
    pub by: StandInBy,
    /// Known names like it, in case it was mistyped.
    pub nearest: Vec<String>,
}

/// What is taken for a place without a table of its own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StandInBy {
    /// The law of the larger place.
    LawAbove {
        /// The larger place.
        law: String,
    },
    /// The largest distance that any part of the same country asks for.
    LargestOfCountry {
        /// The country.
        country: String,
        /// The place whose distance it is.
        of: String,
    },
    /// The largest distance that any known table asks for.
    LargestKnown {
        /// The place whose distance it is.
        of: String,
    },
    /// Common practice, which is larger than any known table asks for.
    CommonPractice,
}

impl StandIn {
    /// What stands in and why, in words.
    pub fn words(&self) -> String {
        let taken = match &self.by {
            StandInBy::LawAbove { law } => format!("the law of {law} is taken"),
            StandInBy::LargestOfCountry { country, of } => {
                format!("the largest distance known in {country} is taken, that of {of}")
            }
            StandInBy::LargestKnown { of } => format!("the largest distance known anywhere is taken, that of {of}"),
            StandInBy::CommonPractice => "7 m is taken, which is common practice and more than any known table".into(),
        };
        let near = match self.nearest.as_slice() {
            [] => String::new(),
            near => format!(" (or did you mean {}?)", near.join(" or ")),
        };
        format!(
            "no table of limits is known for {}{near}; {taken}; ask the line's owner which distance holds there",
            self.place
        )
    }
}

/// The row that was used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RowRef {
    /// Index in the table, from 0.
    pub index: usize,
    /// Its voltages in words.
    pub range: String,
    /// What it prints.
    pub prints: String,
    /// What it is for, where the table says so.
    pub label: Option<String>,
    /// The confirmed condition that it rests on.
    pub condition: Option<String>,
}

/// A voltage brought to the basis of the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Conversion {
    /// The voltage given, kV.
    pub given_kv: f64,
    /// The voltage looked up, kV.
    pub table_kv: f64,
    /// How and why.
    pub note: String,
}

/// On what the distance for an unknown voltage rests.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnknownVoltageBasis {
    /// The rule's own distance for it.
    RuleDefault,
    /// The rule has one distance for every voltage.
    SameForAll,
    /// The rule says nothing: common practice.
    CommonPractice,
    /// The rule says nothing: its own largest distance, which is above common practice.
    LargestRow,
}

/// A doubt that was resolved to the safe side.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Resolution {
    /// The voltage stands in two rows; the larger was taken.
    EdgePrintedTwice {
        /// The voltage, kV.
        voltage_kv: f64,
        /// The distance that was not taken, m.
        smaller_m: f64,
    },
    /// The voltage stands between rows; the larger neighbour was taken.
    BetweenRows {
        /// The voltage, kV.
        voltage_kv: f64,
        /// The distance that was not taken, m; none where the neighbour prints no number.
        smaller_m: Option<f64>,
    },
    /// The rule allows interpolation, which was done.
    Interpolated {
        /// The voltage, kV.
        voltage_kv: f64,
        /// Printed voltage below, kV.
        lower_kv: f64,
        /// Printed voltage above, kV.
        upper_kv: f64,
    },
    /// The voltage lies below the table; its first row was taken.
    BelowFirstRow {
        /// The voltage, kV.
        voltage_kv: f64,
        /// The start of the table, kV.
        first_kv: f64,
    },
    /// The same row is printed with two figures; the larger was taken.
    TwoPrints {
        /// The larger figure.
        larger: String,
        /// The smaller figure.
        smaller: String,
        /// Where the other figure stands.
        place_of_print: String,
    },
    /// The voltage was rounded before it was converted, and an edge is near; the row beyond the edge was taken.
    NearEdge {
        /// The converted voltage, kV.
        voltage_kv: f64,
        /// The distance that was not taken, m.
        smaller_m: f64,
    },
    /// The rule has no row for the work; its operating limit was taken, which is stricter.
    OperatingLimit {
        /// The work asked for.
        work: Work,
    },
    /// Several rules of the place give a distance; the largest was taken.
    LargestOfSeveral {
        /// How many.
        count: usize,
    },
}

impl Resolution {
    /// The resolution in words.
    pub fn text(&self) -> String {
        match self {
            Self::EdgePrintedTwice { voltage_kv, smaller_m } => {
                format!(
                    "{} stands in two rows; the larger distance is used, not {smaller_m:.2} m",
                    kv_text(*voltage_kv)
                )
            }
            Self::BetweenRows { voltage_kv, .. } => {
                format!("{} stands between two rows; the larger of the two is used", kv_text(*voltage_kv))
            }
            Self::Interpolated { voltage_kv, lower_kv, upper_kv } => {
                format!(
                    "interpolated for {} between {} and {}",
                    kv_text(*voltage_kv),
                    kv_text(*lower_kv),
                    kv_text(*upper_kv)
                )
            }
            Self::BelowFirstRow { voltage_kv, first_kv } => format!(
                "{} is below the table, which starts at {}; its first row is used, on the safe side",
                kv_text(*voltage_kv),
                kv_text(*first_kv)
            ),
            Self::TwoPrints { larger, smaller, place_of_print } => {
                format!("printed as {larger} and as {smaller} ({place_of_print}); the larger is used")
            }
            Self::NearEdge { voltage_kv, smaller_m } => format!(
                "the converted {} lies within rounding of an edge; the larger distance is used, not {smaller_m:.2} m",
                kv_text(*voltage_kv)
            ),
            Self::OperatingLimit { work } => {
                format!("the rule has no row of its own for \"{work}\"; its operating limit is used, which is stricter")
            }
            Self::LargestOfSeveral { count } => {
                format!("{count} rules of the place give a distance; the largest is used")
            }
        }
    }
}

/// Another rule of the place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherRule {
    /// Its id.
    pub rule_id: String,
    /// For whom or what it is.
    pub who: String,
    /// Its distance, m; none where it refuses.
    pub distance_m: Option<f64>,
    /// Its distance as printed, or why it refuses.
    pub says: String,
    /// False for special rules, which count only when named.
    pub general: bool,
}

impl LimitChoice {
    /// One line that says where the distance comes from, such as
    /// `29 CFR 1926 Subpart CC, 1926.1408 Table A (2010), row over 50 kV up to 200 kV: 15 ft; value seen in a copy of the source`.
    pub fn provenance_line(&self) -> String {
        let user = if self.origin == Origin::User { "; table supplied by the user" } else { "" };
        let Self { instrument, section, edition, printed, .. } = self;
        format!("{instrument}, {section} ({edition}), {}: {printed}; {}{user}", self.row_text(), self.provenance_text())
    }

    /// Whether any part of the number is from memory.
    pub fn is_from_memory(&self) -> bool {
        !matches!(self.provenance, Provenance::Seen | Provenance::Relayed)
            && self.unknown_voltage != Some(UnknownVoltageBasis::CommonPractice)
    }

    /// Whether somebody must compare the number with the law's own text before work rests on it: it is from memory, or the place
    /// has no table of its own.
    pub fn needs_a_check(&self) -> bool {
        self.is_from_memory() || self.stand_in.is_some()
    }

    fn row_text(&self) -> String {
        match (&self.row, self.unknown_voltage) {
            (Some(row), _) => {
                format!("row {}{}", row.range, row.label.as_ref().map_or(String::new(), |label| format!(" ({label})")))
            }
            (None, Some(UnknownVoltageBasis::CommonPractice)) => "no row for an unknown voltage".into(),
            (None, Some(UnknownVoltageBasis::LargestRow)) => "voltage unknown, largest distance of the table".into(),
            (None, _) => "voltage unknown".into(),
        }
    }

    fn provenance_text(&self) -> &'static str {
        match (self.unknown_voltage, self.provenance) {
            (Some(UnknownVoltageBasis::CommonPractice), _) => "common practice, not the rule",
            (_, Provenance::Seen) => "value seen in a copy of the source",
            (_, Provenance::Relayed) => "value seen on a page that relays the source, not in the source itself",
            (_, Provenance::PartlySeen) => "distance seen, voltages of the row from memory",
            (_, Provenance::Memory) => "value from memory, not seen",
            (_, Provenance::Unconfirmed) => "value unconfirmed",
        }
    }
}
