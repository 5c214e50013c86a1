//! What is asked: where, at which voltage, for which work, by whom.

use serde::Serialize;

use crate::words::{Crew, Current, VoltageBasis, Work};

/// A question to the rule book. Start with [`Query::named`] and add what is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Query {
    /// The id of a rule set or the name of a place.
    pub name: String,
    /// The voltage of the line.
    pub voltage: Voltage,
    /// The kind of work.
    pub work: Work,
    /// Who works; [`Crew::Ordinary`] unless said otherwise.
    pub crew: Crew,
    /// Ids of the conditions of rows that somebody confirmed, such as `insulated full length`.
    pub confirmed: Vec<String>,
    /// Height of the structure for rules that depend on it, m.
    pub structure_height_m: Option<f64>,
}

/// What is known about the voltage of a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Voltage {
    /// The voltage is known.
    Known {
        /// The voltage, kV.
        voltage_kv: f64,
        /// Between what it is measured.
        basis: VoltageBasis,
        /// Alternating or direct current.
        current: Current,
        /// Who confirmed it, if anybody.
        confirmed_by: Option<String>,
    },
    /// Nobody knows the voltage.
    Unknown {
        /// A voltage that the line is confirmed not to exceed, kV on the basis of the rule.
        not_above_kv: Option<f64>,
    },
}

impl Voltage {
    /// A known alternating voltage, kV, not confirmed by anybody yet.
    pub fn ac(voltage_kv: f64, basis: VoltageBasis) -> Self {
        Self::Known { voltage_kv, basis, current: Current::Ac, confirmed_by: None }
    }

    /// A known direct voltage, kV, not confirmed by anybody yet.
    pub fn dc(voltage_kv: f64, basis: VoltageBasis) -> Self {
        Self::Known { voltage_kv, basis, current: Current::Dc, confirmed_by: None }
    }

    /// An unknown voltage without any upper bound.
    pub fn unknown() -> Self {
        Self::Unknown { not_above_kv: None }
    }

    /// The same voltage, confirmed by somebody. An unknown voltage stays as it is.
    #[must_use]
    pub fn confirmed_by(mut self, who: &str) -> Self {
        if let Self::Known { confirmed_by, .. } = &mut self {
            *confirmed_by = Some(who.into());
        }
        self
    }
}

impl Query {
    /// Asks a rule set by its id, or all rules of a place by its name, for an ordinary crew.
    pub fn named(name: &str, voltage: Voltage, work: Work) -> Self {
        Self { name: name.into(), voltage, work, crew: Crew::Ordinary, confirmed: Vec::new(), structure_height_m: None }
    }

    /// The same question for another crew.
    #[must_use]
    pub fn by(mut self, crew: Crew) -> Self {
        self.crew = crew;
        self
    }

    /// The same question with one more condition confirmed.
    #[must_use]
    pub fn confirming(mut self, condition: &str) -> Self {
        self.confirmed.push(condition.into());
        self
    }

    /// The same question about a structure of this height, m.
    #[must_use]
    pub fn for_structure_height_m(mut self, height_m: f64) -> Self {
        self.structure_height_m = Some(height_m);
        self
    }
}
