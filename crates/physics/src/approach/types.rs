//! What the search is asked and what it answers.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use nalgebra::Point3;
use thiserror::Error;

use crate::bracket::Bracket;
use crate::line::{CatenaryError, SectionError, SectionState, SpanState};
use crate::study::Pairing;

/// How hard to search.
#[derive(Clone, Debug)]
pub struct Options {
    /// Stop when the bracket is this narrow, m.
    pub tolerance_m: f64,
    /// Stop after this many cells, whatever the bracket.
    pub max_cells: u64,
    /// Stop when nothing closer than this is possible, m: of no interest beyond, for instance because another wire is closer.
    pub enough_m: Option<f64>,
    /// Stop as soon as a pose and a state closer than this are found, m: closer still is of no interest.
    pub found_m: Option<f64>,
    /// The limit that is asked about, m: where it lies within the bracket, the search goes on to a hundredth of the tolerance.
    pub limit_m: Option<f64>,
    /// Stop when somebody sets this: a person, or a clock outside.
    pub cancel: Option<Arc<AtomicBool>>,
}

impl Default for Options {
    /// One centimetre, and a budget that keeps the memory of one search below about 100 MB.
    fn default() -> Self {
        Self { tolerance_m: 0.01, max_cells: 300_000, enough_m: None, found_m: None, limit_m: None, cancel: None }
    }
}

impl Options {
    /// Whether somebody asked to stop.
    #[must_use]
    pub fn cancelled(&self) -> bool {
        self.cancel.as_ref().is_some_and(|flag| flag.load(Ordering::Relaxed))
    }
}

/// Why a search stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StopReason {
    /// The bracket is as narrow as asked.
    Tolerance,
    /// Nothing is as close as the distance that was called enough.
    FarEnough,
    /// A pose and a state were found in which the machine touches the wire.
    Contact,
    /// A pose and a state were found that are closer than the distance that was asked about.
    Found,
    /// The budget of cells is spent; the bracket still holds.
    CellBudget,
    /// The bounds cannot be made sharper: what is left of every dimension is as small as rounding. The bracket still holds.
    Resolution,
    /// Somebody asked to stop, or the time is spent; the bracket still holds.
    Cancelled,
    /// The lower end is as high as the bound on loads that differ along the wire goes: no closer state was found, and none is
    /// ruled out between the two ends.
    LoadsDiffer,
}

/// One pose and one state, and how close they come.
#[derive(Clone, Debug, PartialEq)]
pub struct Witness {
    /// Joint values of the machine, rad or m, in the order of its movers.
    pub pose: Vec<f64>,
    /// Index of the body.
    pub body: usize,
    /// Index among the wire's spans.
    pub span: usize,
    /// Place on the span's chord, 0..1.
    pub fraction: f64,
    /// State of the wire.
    pub state: SpanState,
    /// State of its section, where strings hang.
    pub section: Option<SectionState>,
    /// Conductor temperature that the state stands for, °C.
    pub temperature_degc: f64,
    /// Swing of the wire, rad, positive to the span's left.
    pub swing_rad: f64,
    /// Nearest point of the body's surface, m.
    pub on_body: Point3<f64>,
    /// Nearest point of the wire's surface, m.
    pub on_wire: Point3<f64>,
    /// Distance between the surfaces, less all margins where a search says it, m; zero in contact.
    pub distance_m: f64,
}

/// What a lower end leaves room for and no state attains, by name, m. Each counts for the lower end alone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Margins {
    /// For attachments that lie elsewhere than stated, beyond the shift that was found to bring the wire closest, m.
    pub attachments_m: f64,
    /// For the sway of the wire, as the job states it, m.
    pub sway_m: f64,
    /// For wind along a span that rises, m.
    pub rising_m: f64,
    /// What the proof leaves open: ranges taken apart that go together, and the tolerance of the search, m.
    pub proof_m: f64,
}

/// What a search found of the distance of one machine to one wire, less all margins around the wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Approach {
    /// Surface-to-surface distance less margins over all poses, states and tolerances. Its lower end is one of the distance
    /// itself; its upper end need not be attained: see [`super::attained`].
    pub distance: Bracket,
    /// Where the upper end lies, in the states that the bounds take.
    pub witness: Witness,
    /// Why the search stopped.
    pub stop: StopReason,
    /// Cells examined.
    pub cells: u64,
}

/// Why there is no answer.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ApproachError {
    /// No machine and no wire were paired.
    #[error("there is nothing to assess: no machine is paired with a wire")]
    NothingToAssess,
    /// A pairing names a machine, line or wire that the study does not have.
    #[error("the pairing {0:?} names a machine, line or wire that the study does not have")]
    NoSuchPair(Pairing),
    /// A control holds the machine so low or so near that it cannot take any pose, or none was found.
    #[error(
        "no pose of \"{machine}\" was found that keeps {limits}, where a control holds it: give more room, or narrower working ranges"
    )]
    NoPose {
        /// Name of the machine.
        machine: String,
        /// The height and the reach that are left to it.
        limits: String,
    },
    /// A state inside the range has no shape.
    #[error("a wire has no shape in one of its states: {0}")]
    Shape(#[from] CatenaryError),
    /// A section inside the range has no proven balance.
    #[error("the strings of a wire could not be followed: {0}")]
    Strings(#[from] SectionError),
}
