//! Controls as the scenario lists them, and whether each one counts.

use std::fmt;

use jiff::civil::Date;
use wideberth_rules::ControlKind;

/// A control, for computing and for reports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Control {
    /// Name.
    pub name: String,
    /// Kind.
    pub kind: ControlKind,
    /// How far it has come.
    pub state: ControlState,
    /// Index of the machine that it holds; none for all.
    pub machine: Option<usize>,
    /// Index of the line that it is about; none for all.
    pub line: Option<usize>,
    /// Index of the structure that it holds upright.
    pub structure: Option<usize>,
    /// What it sets, in the words of the file; empty where it sets nothing.
    pub says: String,
    /// Role of the person who answers for it.
    pub owner: Option<String>,
    /// What shows that it is in place.
    pub evidence: Option<Evidence>,
    /// How long it holds.
    pub expires: Option<Expiry>,
    /// Whether the crew can tell on site that it must stop; true for all that is no cut-off.
    pub measurable: bool,
    /// Whether it counts.
    pub standing: Standing,
}

impl Control {
    /// Whether it counts.
    #[must_use]
    pub fn counts(&self) -> bool {
        self.standing == Standing::Counts
    }
}

/// How far a control has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControlState {
    /// Only proposed.
    Proposed,
    /// In place.
    InPlace,
    /// In place and tested.
    Verified,
}

impl ControlState {
    /// In words, as files write it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Proposed => "proposed",
            Self::InPlace => "in place",
            Self::Verified => "verified",
        }
    }
}

/// What shows that something is so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Letter, lock-out number, photo, test sheet.
    pub what: String,
    /// Its day.
    pub date: Date,
}

/// How long something holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expiry {
    /// As long as the job.
    Never,
    /// Up to this day.
    After(Date),
}

/// Whether a control counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It counts.
    Counts,
    /// It does not.
    Not(WhyNot),
}

/// Why a control does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyNot {
    /// It is only proposed.
    Proposed,
    /// It ends before the work does.
    Expired(Date),
    /// Its evidence is dated after the work begins.
    FromTheFuture(Date),
    /// Nobody says on which day the work is, so that nothing with a date can be relied on.
    NoDay,
    /// Nothing shows that it is in place, where that is needed.
    NoEvidence,
    /// The owner of the line has not confirmed it.
    NotConfirmed,
    /// No grounds at the site.
    NotGrounded,
    /// Goal posts for a machine that does more than pass.
    NotPassing,
    /// A machine of the plan stands on the ground that it fences off.
    StandsInside,
    /// The computation was asked to leave controls out.
    LeftOut,
}

impl fmt::Display for WhyNot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Proposed => f.write_str("it is only proposed"),
            Self::Expired(day) => write!(f, "it expired on {day}, before the work ends"),
            Self::FromTheFuture(day) => write!(f, "its evidence is dated {day}, after the work begins"),
            Self::NoDay => f.write_str("the day of the work is not known, so its dates cannot be judged"),
            Self::NoEvidence => f.write_str("nothing shows that it is in place"),
            Self::NotConfirmed => f.write_str("the line's owner has not confirmed it"),
            Self::NotGrounded => f.write_str("the line is not grounded at the site"),
            Self::NotPassing => {
                f.write_str("goal posts hold down only what passes between them, and this machine does more")
            }
            Self::StandsInside => f.write_str("a machine that it holds stands on the ground that it fences off"),
            Self::LeftOut => f.write_str("it was left out on purpose"),
        }
    }
}
