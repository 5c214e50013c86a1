//! What has been done before the work starts, as it is written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::RawEvidence;

/// The briefing of everybody on site.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RawBriefing {
    /// Role of the person who gives it.
    #[schemars(length(min = 1, max = 120))]
    pub given_by: String,
    /// Its day, such as "2031-05-04".
    pub date: String,
    /// Roles of those who said that they understood it.
    #[schemars(length(min = 1, max = 100))]
    pub acknowledged_by: Vec<String>,
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
