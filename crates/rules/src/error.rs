//! What can be refused: a table that does not hold together, and a question that has no safe answer.

use thiserror::Error;

use crate::nearest::hint;
use crate::quantity::{QuantityError, kv_text};
use crate::words::{Current, VoltageBasis, Work};

/// Everything that is wrong with one file of tables.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TableErrors {
    /// The text is not JSON.
    #[error("the rule table is not valid JSON at line {line}, column {column}: {reason}")]
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the reader says.
        reason: String,
    },
    /// The text is JSON, but not a rule table.
    #[error("the rule table has {} problem(s):{}", .0.len(), lines(.0))]
    Problems(Vec<Problem>),
}

fn lines(problems: &[Problem]) -> String {
    problems.iter().map(|problem| format!("\n  {problem}")).collect()
}

/// One problem and where it stands.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{path}: {fault}")]
pub struct Problem {
    /// JSON path, such as `$.rule_sets[0].rows[2].up_to`.
    pub path: String,
    /// What is wrong.
    pub fault: Fault,
}

/// What is wrong at one place of a table.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Fault {
    /// A value of the wrong kind.
    #[error("{found} stands where {wanted} belongs")]
    WrongKind {
        /// What belongs here.
        wanted: &'static str,
        /// What stands here.
        found: &'static str,
    },
    /// A key that the format does not have.
    #[error("unknown key \"{key}\"{}", hint(.nearest))]
    UnknownKey {
        /// The key.
        key: String,
        /// Known keys like it.
        nearest: Vec<String>,
    },
    /// A key that must be there.
    #[error("the key \"{key}\" is missing")]
    Missing {
        /// The key.
        key: &'static str,
    },
    /// A key that stands twice in the same object.
    #[error("the key \"{key}\" stands twice; only one can count")]
    TwiceKey {
        /// The key.
        key: String,
    },
    /// A word outside a closed list.
    #[error("\"{found}\" is not one of: {}{}", .known.join(", "), hint(.nearest))]
    UnknownWord {
        /// The word.
        found: String,
        /// The list.
        known: Vec<&'static str>,
        /// Known words like it.
        nearest: Vec<String>,
    },
    /// A quantity that cannot be read.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A text without content.
    #[error("the text is empty; say what it is for")]
    Empty,
    /// Another format or version.
    #[error("expected {wanted}, found {found}")]
    WrongFormat {
        /// What this program reads.
        wanted: &'static str,
        /// What the file says.
        found: String,
    },
    /// An id that is used already.
    #[error("the id \"{id}\" is used already; give each rule set an id of its own")]
    UsedId {
        /// The id.
        id: String,
    },
    /// An id that points to no rule set.
    #[error("there is no rule set \"{id}\"{}", hint(.nearest))]
    NoSuchRule {
        /// The id.
        id: String,
        /// Known ids like it.
        nearest: Vec<String>,
    },
    /// Not exactly one way to state something.
    #[error("exactly one of {choices} must be given, {given} are")]
    OneOf {
        /// The keys.
        choices: &'static str,
        /// How many are there.
        given: usize,
    },
    /// Two keys for the same edge.
    #[error("\"{first}\" and \"{second}\" both state the same edge; keep one")]
    TwoEdges {
        /// One key.
        first: &'static str,
        /// The other.
        second: &'static str,
    },
    /// A row that holds no voltage.
    #[error("the row starts at {lower_kv} kV and ends at {upper_kv} kV, so it holds no voltage")]
    EmptyRow {
        /// Lower edge, kV.
        lower_kv: f64,
        /// Upper edge, kV.
        upper_kv: f64,
    },
    /// Two rows share more than an edge.
    #[error("the row shares voltages with row {other}; only an edge may be printed twice")]
    Overlap {
        /// Index of the other row.
        other: usize,
    },
    /// A higher voltage with a smaller distance.
    #[error(
        "the distance {length_m} m is smaller than {other_length_m} m of row {other}, which is for a lower voltage"
    )]
    Falls {
        /// This row's distance, m.
        length_m: f64,
        /// Index of the other row.
        other: usize,
        /// The other row's distance, m.
        other_length_m: f64,
    },
    /// Defaults for an unknown voltage without one that always holds.
    #[error("exactly one default must hold without \"not_above\", {given} do")]
    OpenDefault {
        /// How many hold without it.
        given: usize,
    },
    /// A limit table that is for no work.
    #[error("a table of limits must name at least one kind of work; a table of line heights none")]
    WorkAndPurpose,
    /// A formula that starts to grow inside or above its row.
    #[error("the formula grows above {above_kv} kV but the row starts at {lower_kv} kV; they must agree")]
    FormulaStart {
        /// Start of the growth, kV.
        above_kv: f64,
        /// Start of the row, kV.
        lower_kv: f64,
    },
    /// A number outside its range.
    #[error("{value} is outside the allowed range of {range}")]
    OutOfRange {
        /// The number.
        value: f64,
        /// The range in words.
        range: &'static str,
    },
}

/// Why no limit can be given.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LimitError {
    /// Neither a rule set nor a place.
    #[error(
        "there is no rule set and no place named \"{name}\"{}; where no table is known write \"elsewhere\", or the country",
        hint(.nearest)
    )]
    UnknownName {
        /// The name asked for.
        name: String,
        /// Known names like it.
        nearest: Vec<String>,
    },
    /// A voltage that makes no sense.
    #[error("a voltage of {voltage_kv} kV makes no sense; give more than 0 and at most 2000 kV")]
    BadVoltage {
        /// The voltage, kV.
        voltage_kv: f64,
    },
    /// A basis that does not go with the current.
    #[error("\"{basis}\" does not go with {current}; use phases for ac and poles for dc")]
    BasisMismatch {
        /// The basis given.
        basis: VoltageBasis,
        /// The current given.
        current: Current,
    },
    /// A height that makes no sense.
    #[error("a structure height of {height_m} m makes no sense; give more than 0 and at most 500 m")]
    BadStructureHeight {
        /// The height, m.
        height_m: f64,
    },
    /// A table for qualified electrical workers, asked for another crew.
    #[error(
        "\"{rule}\" is for qualified electrical workers only and never a limit for other crews; choose the rule of the place"
    )]
    QualifiedOnly {
        /// The rule.
        rule: String,
    },
    /// A table of line heights.
    #[error("\"{rule}\" tells how low lines may hang; it is not a limit of approach")]
    NotALimit {
        /// The rule.
        rule: String,
    },
    /// An edition that is replaced.
    #[error("\"{rule}\" is superseded{}", use_instead(.instead))]
    Superseded {
        /// The rule.
        rule: String,
        /// The rule that replaced it.
        instead: Option<String>,
    },
    /// A table that nobody could confirm.
    #[error("the numbers of \"{rule}\" are unconfirmed and not used as a limit{}", use_instead(.instead))]
    Unconfirmed {
        /// The rule.
        rule: String,
        /// A rule that can be used.
        instead: Option<String>,
    },
    /// No row for this work, and no stricter row that could stand in.
    #[error("\"{rule}\" has no distance for \"{work}\", only for {}{}", work_list(.covers), try_these(.instead))]
    WorkNotCovered {
        /// The rule.
        rule: String,
        /// The work asked for.
        work: Work,
        /// The work it has rows for.
        covers: Vec<Work>,
        /// Rules of the same place that have rows for the work.
        instead: Vec<String>,
    },
    /// No row for this current.
    #[error("\"{rule}\" has no row for {current}; ask the owner of the line for the distance in writing")]
    CurrentNotCovered {
        /// The rule.
        rule: String,
        /// The current asked for.
        current: Current,
    },
    /// Above the last row.
    #[error("{} is above the last row of \"{rule}\", which ends at {}; ask the owner of the line for the distance in writing", kv_text(*.voltage_kv), kv_text(*.top_kv))]
    AboveTable {
        /// The rule.
        rule: String,
        /// The voltage on the basis of the table, kV.
        voltage_kv: f64,
        /// The end of the table, kV.
        top_kv: f64,
    },
    /// Below the first row of a rule that is for other lines.
    #[error("{} is below the first row of \"{rule}\", which starts at {}; the rule is for other lines", kv_text(*.voltage_kv), kv_text(*.first_kv))]
    BelowTable {
        /// The rule.
        rule: String,
        /// The voltage on the basis of the table, kV.
        voltage_kv: f64,
        /// The start of the table, kV.
        first_kv: f64,
    },
    /// The rule sets no number.
    #[error("\"{rule}\" sets no number here{}: ask the owner of the line for the distance in writing", in_brackets(.says))]
    NoNumber {
        /// The rule.
        rule: String,
        /// What it says instead.
        says: Option<String>,
    },
    /// The distance depends on the height of the structure.
    #[error("\"{rule}\" depends on a height ({height}); give the height of the structure")]
    NeedsStructureHeight {
        /// The rule.
        rule: String,
        /// What height, in words.
        height: String,
    },
    /// A condition that no row has.
    #[error("\"{rule}\" has no condition \"{condition}\"; it knows: {}", list(.known))]
    UnknownCondition {
        /// The rule.
        rule: String,
        /// The condition asked for.
        condition: String,
        /// The conditions that can be confirmed.
        known: Vec<String>,
    },
    /// A control or consent, which never shortens a distance.
    #[error(
        "\"{condition}\" cannot shorten the distance of \"{rule}\"; a distance that the owner gave in writing is entered as such"
    )]
    NotConfirmable {
        /// The rule.
        rule: String,
        /// The condition asked for.
        condition: String,
    },
    /// No rule of the place fits the question.
    #[error("no general rule for \"{place}\" has a distance for \"{work}\"{}", try_these(.by_name))]
    NothingForPlace {
        /// The place.
        place: String,
        /// The work asked for.
        work: Work,
        /// Special rules, or places inside this one, that can be named.
        by_name: Vec<String>,
    },
    /// A rule of the place refuses, so that no number of another may stand.
    #[error("no limit can be given for \"{place}\": {}", reasons(.refusals))]
    PlaceRefused {
        /// The place.
        place: String,
        /// The refusals.
        refusals: Vec<LimitError>,
    },
}

impl LimitError {
    /// A short, stable code for this refusal.
    pub fn code(&self) -> &'static str {
        match self {
            Self::UnknownName { .. } => "limit-unknown-name",
            Self::BadVoltage { .. } => "limit-bad-voltage",
            Self::BasisMismatch { .. } => "limit-basis-mismatch",
            Self::BadStructureHeight { .. } => "limit-bad-structure-height",
            Self::QualifiedOnly { .. } => "limit-qualified-only",
            Self::NotALimit { .. } => "limit-not-a-limit",
            Self::Superseded { .. } => "limit-superseded",
            Self::Unconfirmed { .. } => "limit-unconfirmed",
            Self::WorkNotCovered { .. } => "limit-work-not-covered",
            Self::CurrentNotCovered { .. } => "limit-current-not-covered",
            Self::AboveTable { .. } => "limit-above-table",
            Self::BelowTable { .. } => "limit-below-table",
            Self::NoNumber { .. } => "limit-no-number",
            Self::NeedsStructureHeight { .. } => "limit-needs-structure-height",
            Self::UnknownCondition { .. } => "limit-unknown-condition",
            Self::NotConfirmable { .. } => "limit-not-confirmable",
            Self::NothingForPlace { .. } => "limit-nothing-for-place",
            Self::PlaceRefused { .. } => "limit-place-refused",
        }
    }
}

fn use_instead(rule: &Option<String>) -> String {
    rule.as_ref().map_or_else(String::new, |rule| format!("; use \"{rule}\""))
}

fn try_these(rules: &[String]) -> String {
    if rules.is_empty() { String::new() } else { format!("; if it applies, name one of: {}", rules.join(", ")) }
}

fn in_brackets(words: &Option<String>) -> String {
    words.as_ref().map_or_else(String::new, |words| format!(" ({words})"))
}

fn work_list(work: &[Work]) -> String {
    work.iter().map(|work| format!("\"{work}\"")).collect::<Vec<_>>().join(", ")
}

fn list(names: &[String]) -> String {
    if names.is_empty() { "none".into() } else { names.join(", ") }
}

fn reasons(refusals: &[LimitError]) -> String {
    refusals.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
