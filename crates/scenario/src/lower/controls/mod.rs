//! Controls: read, judged whether they count, and applied to the scenario.

mod apply;
mod keys;
mod read;
mod stops;

pub(super) use apply::{Changed, applied};
pub(super) use read::{corners, evidence_of, expiry_of, find, read};

/// Which controls are computed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Those that count.
    Standing,
    /// None at all.
    None,
    /// Only the one with this index, if it counts.
    Only(usize),
    /// Those that count, without the one with this index.
    Except(usize),
}

impl Counted {
    /// Whether a control is left out, whatever it says.
    fn leaves_out(self, index: usize) -> bool {
        match self {
            Self::Standing => false,
            Self::None => true,
            Self::Only(only) => index != only,
            Self::Except(out) => index == out,
        }
    }
}
