//! What a plan rests on: a few records, each with a role that answers for it, a day, evidence and validity.
//!
//! One table says which values of a scenario rest on which records ([`Topic`]). A value that makes an answer more favourable than
//! the careful one, and that no record covers, is assumed. `docs/records.md` is made from the table.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::control::Expiry;
use crate::days::Days;

/// What kind of record it is.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord)]
pub enum RecordKind {
    /// Somebody went there, looked and measured.
    #[serde(rename = "site survey")]
    SiteSurvey,
    /// The maker's sheet of a machine, load or structure, compared with what stands there.
    #[serde(rename = "machine sheet")]
    MachineSheet,
    /// The line's owner answered in writing.
    #[serde(rename = "owner's letter")]
    OwnersLetter,
    /// A forecast or climate of the place that covers the days of the work.
    #[serde(rename = "weather")]
    Weather,
    /// Who does what, by which rule.
    #[serde(rename = "method statement")]
    MethodStatement,
}

impl RecordKind {
    /// Every kind.
    pub const ALL: &[Self] =
        &[Self::SiteSurvey, Self::MachineSheet, Self::OwnersLetter, Self::Weather, Self::MethodStatement];

    /// In words, as files write it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::SiteSurvey => "site survey",
            Self::MachineSheet => "machine sheet",
            Self::OwnersLetter => "owner's letter",
            Self::Weather => "weather",
            Self::MethodStatement => "method statement",
        }
    }
}

macro_rules! topics {
    ($($(#[$doc:meta])* $variant:ident = $words:literal, [$($kind:ident),+], $keys:literal, $rests:literal;)+) => {
        /// What a record may cover: a value, or a few that belong together.
        #[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Topic { $($(#[$doc])* #[serde(rename = $words)] $variant,)+ }

        impl Topic {
            /// Every topic, in the order of the table.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// In words, as files write it.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }

            /// The kinds of record that may cover it; any one of them will do.
            #[must_use]
            pub fn kinds(self) -> &'static [RecordKind] {
                match self { $(Self::$variant => &[$(RecordKind::$kind),+]),+ }
            }

            /// The keys of a scenario whose values it is about.
            #[must_use]
            pub fn keys(self) -> &'static str {
                match self { $(Self::$variant => $keys),+ }
            }

            /// When a value needs a record: when it is more favourable than the careful one.
            #[must_use]
            pub fn rests(self) -> &'static str {
                match self { $(Self::$variant => $rests),+ }
            }
        }
    };
}

topics! {
    /// That nothing else is there.
    Surroundings = "surroundings", [SiteSurvey],
        "`lines`, `lines[].wires`, `may_topple`, `ground_work`",
        "always: that there is no other wire (service drop, guy, neutral, telephone), no other structure that may fall, and nothing else buried";
    /// Where the supports stand.
    Supports = "supports", [SiteSurvey],
        "`lines[].supports`",
        "always";
    /// Where wires are fixed.
    Attachments = "attachments", [SiteSurvey],
        "`lines[].wires[].attachments`",
        "always";
    /// How well that is known.
    AttachmentTolerance = "attachment_tolerance", [SiteSurvey],
        "`lines[].wires[].attachment_tolerance`",
        "below 0.2 m";
    /// How taut a wire is.
    KnownBy = "known_by", [SiteSurvey],
        "`lines[].wires[].known_by`",
        "always, unless the tension is \"unknown\"";
    /// What a wire is.
    Conductor = "conductor", [OwnersLetter, SiteSurvey],
        "`lines[].wires[].conductor`, `core`",
        "where one conductor is named instead of a class of lines, and where a core is given";
    /// How it has stretched.
    Stretch = "stretch", [OwnersLetter],
        "`lines[].wires[].permanent_strain`, `heaviest_load`",
        "where a wire is said to have shrunk, or its stretch is stated beside a tension";
    /// Voltage.
    Voltage = "voltage", [OwnersLetter],
        "`lines[].voltage`, `lines[].wires[].voltage`",
        "always, unless it is \"unknown\"";
    /// A stated distance.
    StatedLimit = "limit", [OwnersLetter],
        "`lines[].limit`",
        "where it is stated";
    /// What a line carries.
    LineLoad = "load of the line", [OwnersLetter],
        "`lines[].load`, `lines[].surface`",
        "where it is stated";
    /// How hot and cold wires may be.
    WireTemperature = "conductor_temperature", [Weather],
        "`conditions.conductor_temperature`, `lines[].conditions.conductor_temperature`",
        "where the range leaves out a part of -40 degC to 100 degC; below 50 degC the hot end needs a temperature cut-off as well";
    /// How hard the wind blows.
    Wind = "wind", [Weather],
        "`conditions.wind_speed`, `conditions.mean_wind`, `lines[].conditions.wind_speed`",
        "where it ends below 32.7 m/s; below 10 m/s it needs a wind cut-off as well";
    /// Where the wind comes from.
    WindFrom = "wind_from", [Weather],
        "`conditions.wind_from`, `lines[].conditions.wind_from`",
        "where it is a sector";
    /// Ice.
    Ice = "ice", [Weather],
        "`conditions.ice`, `ice_density`, `lines[].conditions.ice`",
        "where wires may be colder than 0 degC, and where a density is stated";
    /// Air and drag.
    Drag = "drag", [OwnersLetter, Weather],
        "`conditions.air_density`, `conditions.drag`, `lines[].conditions.air_density`, `drag`",
        "where an air density, a coefficient or one kind of surface is stated";
    /// Hot wires and strong wind apart.
    Coupling = "coupling", [Weather],
        "`conditions.coupling`",
        "where it is the heat balance";
    /// The weather.
    WeatherFile = "weather", [Weather],
        "`weather`, `date`, `site`",
        "where it is given";
    /// What the rule is.
    Rule = "rule", [MethodStatement],
        "`rule`, `machines[].rule`",
        "always: that this rule holds at this place, and each confirmed condition of it";
    /// What the machine is.
    Machine = "machine", [MachineSheet],
        "`machines[].machine`",
        "always: also a machine of the library stands for a class of machines, nobody has measured it";
    /// How far it runs on and bends.
    Allowances = "allowances", [MachineSheet],
        "`machines[].overrun`, `machines[].deflection`",
        "where it is stated instead of taken from the machine";
    /// What hangs from it.
    HungLoad = "load", [MachineSheet, MethodStatement],
        "`machines[].load`, `machines[].lift`",
        "where it is stated";
    /// What it does, and who.
    Work = "work", [MethodStatement],
        "`machines[].work`, `machines[].crew`",
        "where it is not to operate, or the crew is qualified";
    /// Where a machine stands.
    Position = "position", [SiteSurvey],
        "`machines[].position`, `ground`, `slope`, `heading`",
        "always";
    /// How well it stands there.
    SettingOut = "setting_out_tolerance", [SiteSurvey],
        "`machines[].setting_out_tolerance`, `heading_tolerance`, `may_topple[].setting_out_tolerance`",
        "below 0.5 m and below 5 deg";
    /// What may topple.
    Structure = "structure", [MachineSheet, SiteSurvey],
        "`may_topple`",
        "always";
    /// What is buried.
    Buried = "buried", [SiteSurvey, OwnersLetter],
        "`ground_work.buried`, `ground_work.parts`, `ground_work.points`",
        "where something enters the ground";
}

/// What a value belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The whole job.
    Job,
    /// A line, by its index.
    Line(usize),
    /// A machine, by its index.
    Machine(usize),
    /// A structure that may topple, by its index.
    Structure(usize),
}

/// A record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// What kind.
    pub kind: RecordKind,
    /// What it covers.
    pub covers: Vec<Topic>,
    /// What it is about; the whole job where it names no line, machine or structure.
    pub subject: Subject,
    /// Role of the person who answers for it.
    pub role: String,
    /// Its day.
    pub date: Date,
    /// What shows it, and where that is kept.
    pub evidence: String,
    /// How long it holds.
    pub valid_until: Expiry,
}

impl Record {
    /// Whether it is about this value.
    #[must_use]
    pub fn is_about(&self, topic: Topic, subject: Subject) -> bool {
        self.covers.contains(&topic) && (self.subject == Subject::Job || self.subject == subject)
    }

    /// Whether it holds on every day of the work.
    #[must_use]
    pub fn holds_on(&self, days: Days) -> bool {
        self.date <= days.first && self.lasts_through(days)
    }

    /// Whether it has not ended before the work does.
    #[must_use]
    pub fn lasts_through(&self, days: Days) -> bool {
        match self.valid_until {
            Expiry::Never => true,
            Expiry::After(last) => last >= days.last,
        }
    }
}

/// A value that is more favourable than the careful one, and so rests on a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rest {
    /// What it is about.
    pub topic: Topic,
    /// What it belongs to.
    pub subject: Subject,
}

/// The record on which a value rests; none where nothing holds it on every day of the work.
#[must_use]
pub fn holding(records: &[Record], rest: Rest, days: Option<Days>) -> Option<&Record> {
    let holds =
        |record: &&Record| record.is_about(rest.topic, rest.subject) && days.is_some_and(|days| record.holds_on(days));
    records.iter().find(holds)
}

/// A role whose holder acknowledges the briefing.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Operates a machine.
    #[serde(rename = "operator")]
    Operator,
    /// Watches the distance.
    #[serde(rename = "spotter")]
    Spotter,
    /// Slings, steadies or holds the load.
    #[serde(rename = "load handler")]
    LoadHandler,
    /// Came last.
    #[serde(rename = "newest hand")]
    NewestHand,
    /// Leads the work.
    #[serde(rename = "supervisor")]
    Supervisor,
}

impl Role {
    /// In words, as files write it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Operator => "operator",
            Self::Spotter => "spotter",
            Self::LoadHandler => "load handler",
            Self::NewestHand => "newest hand",
            Self::Supervisor => "supervisor",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_those_that_files_write() {
        let written = |value: serde_json::Value| value.as_str().map(str::to_string);
        for kind in RecordKind::ALL {
            assert_eq!(serde_json::to_value(kind).ok().and_then(written).as_deref(), Some(kind.words()));
        }
        for (index, topic) in Topic::ALL.iter().enumerate() {
            assert_eq!(serde_json::to_value(topic).ok().and_then(written).as_deref(), Some(topic.words()));
            assert!(Topic::ALL[..index].iter().all(|other| other.words() != topic.words()));
        }
    }

    #[test]
    fn a_record_holds_from_its_day_to_its_last() {
        let day = |text: &str| text.parse::<Date>().expect("a day");
        let record = Record {
            kind: RecordKind::SiteSurvey,
            covers: vec![Topic::Supports],
            subject: Subject::Line(1),
            role: "surveyor".into(),
            date: day("2031-05-02"),
            evidence: "sheet".into(),
            valid_until: Expiry::After(day("2031-05-30")),
        };
        let days = |first, last| Days { first: day(first), last: day(last) };
        assert!(record.holds_on(days("2031-05-02", "2031-05-30")));
        assert!(!record.holds_on(days("2031-05-01", "2031-05-30")));
        assert!(!record.holds_on(days("2031-05-02", "2031-05-31")));
        assert!(record.is_about(Topic::Supports, Subject::Line(1)));
        assert!(!record.is_about(Topic::Supports, Subject::Line(0)));
        assert!(!record.is_about(Topic::Attachments, Subject::Line(1)));
    }
}
