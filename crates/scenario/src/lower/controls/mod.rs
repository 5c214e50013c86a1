//! Controls: read, judged whether they count, and applied to the scenario.

mod apply;
mod keys;
mod read;
mod stops;

pub(super) use apply::{Changed, applied};
pub(super) use read::{corners, evidence_of, find, read};

/// Which controls are computed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Counted {
    /// Those that count.
    Standing,
    /// None at all.
    None,
}
