//! What has been done before the work starts, as it is written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::RawEvidence;
use crate::record::{RecordKind, Role, Topic};

/// The briefing of everybody on site.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawBriefing {
    /// Role of the person who gives it.
    #[schemars(length(min = 1, max = 120))]
    pub given_by: String,
    /// Its day, such as "2031-05-04".
    pub date: String,
    /// Those who said that they understood it: each as a role that the plan knows, such as {"role": "operator", "machine": "the crane"},
    /// or in words, which count for nobody else.
    #[schemars(length(min = 1, max = 100))]
    pub acknowledged_by: Vec<RawAcknowledged>,
}

/// A duty of your own rules that has been done.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawDutyDone {
    /// What the rule says must be done, in its words.
    #[schemars(length(min = 1, max = 1000))]
    pub duty: String,
    /// Role of the person who answers for it.
    #[schemars(length(min = 1, max = 120))]
    pub owner: String,
    /// What shows that it is done.
    pub evidence: RawEvidence,
}

/// What a part of the plan rests on: who answers for it, since when, what shows it, how long it holds.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawRecord {
    /// What kind of record it is.
    pub kind: RecordKind,
    /// What it covers: docs/records.md says which kind may cover what.
    #[schemars(length(min = 1, max = 40))]
    pub covers: Vec<Topic>,
    /// Name of the machine that it is about; all where left out.
    pub machine: Option<String>,
    /// Name of the line that it is about; all where left out.
    pub line: Option<String>,
    /// Name of the structure that it is about; all where left out.
    pub structure: Option<String>,
    /// Role of the person who answers for it.
    #[schemars(length(min = 1, max = 120))]
    pub role: String,
    /// Its day, such as "2031-05-02".
    pub date: String,
    /// What shows it, and where that is kept.
    #[schemars(length(min = 1, max = 300))]
    pub evidence: String,
    /// Last day on which it holds, such as "2031-05-30"; "never" where it lasts as long as the job.
    pub valid_until: String,
}

/// Somebody who said that they understood the briefing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum RawAcknowledged {
    /// A role that the plan knows.
    Role(RawAcknowledgedRole),
    /// Anybody else, in words.
    Other(String),
}

/// A role that the plan knows.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawAcknowledgedRole {
    /// The role.
    pub role: Role,
    /// For an operator: name of the machine; of every machine where left out.
    pub machine: Option<String>,
}
