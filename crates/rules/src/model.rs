//! The nouns of a rule table, checked and in SI.

use serde::Serialize;

use crate::quantity::{PrintedLength, kv_text};
use crate::words::{
    Basis, BelowFirstRow, BetweenRows, Crew, Force, Measured, Origin, PartSteps, Provenance, Purpose, Scope, Status,
    TableCurrent, Work,
};

/// One table of one instrument, with everything that decides when it may be used.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RuleSet {
    /// The name by which a scenario asks for it.
    pub id: String,
    /// The place where it holds.
    pub place: String,
    /// Other names of the place.
    pub place_also: Vec<String>,
    /// The larger places that this one lies in, whose rules may hold as well.
    pub within: Vec<String>,
    /// Statute, regulation, standard or page.
    pub instrument: String,
    /// Section or table in it.
    pub section: String,
    /// Edition or date, as far as known.
    pub edition: String,
    /// What stands behind it.
    pub force: Force,
    /// Whether the edition is in force.
    pub status: Status,
    /// The rule to look at instead of a superseded or unconfirmed one.
    pub instead: Option<String>,
    /// Chosen by place, or only by id.
    pub scope: Scope,
    /// Limits to keep or heights of lines.
    pub purpose: Purpose,
    /// The kinds of work that it has rows for.
    pub work: Vec<Work>,
    /// Who may use it.
    pub crew: Crew,
    /// For whom or what it is, in words.
    pub who: String,
    /// Between what its voltages are measured.
    pub basis: Basis,
    /// The current that rows are for unless they say otherwise.
    pub current: TableCurrent,
    /// Along what the distance is measured.
    pub measured: Measured,
    /// What happens between two rows that do not touch.
    pub between_rows: BetweenRows,
    /// What happens below the first row.
    pub below_first_row: BelowFirstRow,
    /// How the rows came here unless they say otherwise.
    pub provenance: Provenance,
    /// The rows; empty where the rule sets no number here.
    pub rows: Vec<Row>,
    /// What the rule says about an unknown voltage.
    pub unknown_voltage: UnknownVoltage,
    /// Distances that start a duty.
    pub triggers: Vec<Trigger>,
    /// Who must do what, when, with which lead time.
    pub duties: Vec<Duty>,
    /// Remarks in our own words.
    pub notes: Vec<String>,
    /// Where it was read, or where the text stands.
    pub source: Vec<String>,
    /// Delivered with the program or supplied by the user.
    pub origin: Origin,
}

/// One row: a range of voltage and its distance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Lower edge; none reaches down to zero.
    pub lower: Option<Edge>,
    /// Upper edge; none is open.
    pub upper: Option<Edge>,
    /// The current that it is for.
    pub current: TableCurrent,
    /// The distance, a formula or words.
    pub distance: Distance,
    /// Other figures printed for the same row; the largest counts.
    pub other_prints: Vec<OtherPrint>,
    /// A fact about the line that must be confirmed before the row counts.
    pub condition: Option<Condition>,
    /// What the row is for, where the table says so.
    pub label: Option<String>,
    /// How the row came here.
    pub provenance: Provenance,
}

/// An edge of a row.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Edge {
    /// The voltage of the edge, kV, on the basis of the table.
    pub voltage_kv: f64,
    /// Whether the edge itself belongs to the row.
    pub inclusive: bool,
}

/// What a row prints as its distance.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Distance {
    /// One length.
    Fixed(PrintedLength),
    /// A length that grows with the voltage.
    PerKv(PerKv),
    /// A length that grows with the height of a structure.
    PerHeight(PerHeight),
    /// No number: who sets it, or what to do.
    Words(String),
}

/// `base + add · (U − above) / per`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PerKv {
    /// The length at the start.
    pub base: PrintedLength,
    /// The voltage where it starts to grow, kV.
    pub above_kv: f64,
    /// The increment.
    pub add: PrintedLength,
    /// The step of voltage for one increment, kV.
    pub per_kv: f64,
    /// How a part of a step counts.
    pub part_steps: PartSteps,
}

/// `times · height + add`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PerHeight {
    /// The factor on the height.
    pub times: f64,
    /// The constant part.
    pub add: PrintedLength,
    /// What the height is, in words.
    pub height: String,
}

/// A second figure for the same row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherPrint {
    /// The figure.
    pub distance: PrintedLength,
    /// Where it stands.
    pub place_of_print: String,
}

/// A fact about the line on which a row depends.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Condition {
    /// The name by which a query confirms it.
    pub id: String,
    /// The fact in words.
    pub says: String,
    /// False for controls and consents: they never shorten a distance here.
    pub confirmable: bool,
}

/// What the rule says when nobody knows the voltage.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct UnknownVoltage {
    /// The rule's own distances; empty where it has none.
    pub defaults: Vec<UnknownDefault>,
    /// Remark in our own words.
    pub note: Option<String>,
}

/// The rule's own distance for an unknown voltage.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnknownDefault {
    /// Only for lines confirmed to be no more than this, kV.
    pub not_above_kv: Option<f64>,
    /// The distance.
    pub distance: PrintedLength,
    /// Other figures; the largest counts.
    pub other_prints: Vec<OtherPrint>,
    /// How it came here.
    pub provenance: Provenance,
}

/// A distance that starts a duty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trigger {
    /// The distance.
    pub distance: PrintedLength,
    /// Along what it is measured.
    pub measured: Measured,
    /// Only for voltages over this, kV.
    pub over_kv: Option<f64>,
    /// Only for voltages up to this, kV.
    pub up_to_kv: Option<f64>,
    /// Who must act.
    pub who: String,
    /// What they must do.
    pub does: String,
    /// How it came here.
    pub provenance: Provenance,
}

/// Who must do what, when.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Duty {
    /// Who must act.
    pub who: String,
    /// What they must do.
    pub does: String,
    /// When.
    pub when: String,
    /// How long before, in words.
    pub lead_time: Option<String>,
    /// How it came here.
    pub provenance: Provenance,
}

impl Row {
    /// The range of voltage in words, such as `over 50 kV up to 200 kV`.
    pub fn range_text(&self) -> String {
        let lower = self
            .lower
            .map(|edge| format!("{} {}", if edge.inclusive { "from" } else { "over" }, kv_text(edge.voltage_kv)));
        let upper = self
            .upper
            .map(|edge| format!("{} {}", if edge.inclusive { "up to" } else { "below" }, kv_text(edge.voltage_kv)));
        match (lower, upper) {
            _ if self.is_point() => format!("at {}", kv_text(self.lower_kv())),
            (Some(lower), Some(upper)) => format!("{lower} {upper}"),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => "any voltage".into(),
        }
    }

    /// Whether the voltage, kV on the basis of the table, belongs to the row.
    pub fn holds(&self, voltage_kv: f64) -> bool {
        let above = self
            .lower
            .is_none_or(|edge| voltage_kv > edge.voltage_kv || edge.inclusive && voltage_kv == edge.voltage_kv);
        let below = self
            .upper
            .is_none_or(|edge| voltage_kv < edge.voltage_kv || edge.inclusive && voltage_kv == edge.voltage_kv);
        above && below
    }

    pub(crate) fn lower_kv(&self) -> f64 {
        self.lower.map_or(0.0, |edge| edge.voltage_kv)
    }

    pub(crate) fn upper_kv(&self) -> f64 {
        self.upper.map_or(f64::INFINITY, |edge| edge.voltage_kv)
    }

    pub(crate) fn is_point(&self) -> bool {
        self.lower.is_some() && self.lower_kv() == self.upper_kv()
    }

    pub(crate) fn is_for_any_voltage(&self) -> bool {
        self.lower.is_none() && self.upper.is_none()
    }
}

impl Distance {
    /// What the table prints, such as `10 ft + 0.4 in per 1 kV above 50 kV`.
    pub fn text(&self) -> String {
        match self {
            Self::Fixed(length) => length.text.clone(),
            Self::PerKv(f) => {
                format!("{} + {} per {} above {}", f.base.text, f.add.text, kv_text(f.per_kv), kv_text(f.above_kv))
            }
            Self::PerHeight(f) => format!("{} x height + {}", f.times, f.add.text),
            Self::Words(words) => words.clone(),
        }
    }
}
