//! The machines that come with the programs.

use super::{MachineModel, read_text};
use crate::nearest::nearest;
use crate::problem::Problems;

/// One machine of the library.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name in scenario files.
    pub id: &'static str,
    /// What it does, in a word: machines with the same word may stand in for each other, where their joints suit.
    pub does: &'static str,
    /// Its file, in the same format as a user's own.
    pub text: &'static str,
}

impl Entry {
    /// The machine.
    ///
    /// # Errors
    /// Everything that is wrong with its file; a test sees to it that there is nothing.
    pub fn model(&self) -> Result<MachineModel, Problems> {
        read_text(self.text)
    }
}

/// The machines that come with the programs, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Library {
    entries: &'static [Entry],
}

macro_rules! embedded {
    ($($id:literal $does:literal),* $(,)?) => {
        &[$(Entry { id: $id, does: $does, text: include_str!(concat!("../../../../assets/machines/", $id, ".json")) }),*]
    };
}

/// In alphabetical order; a test compares the list with the folder.
const EMBEDDED: &[Entry] = embedded![
    "bin-shell-tilt" "tilts a shell",
    "boom-platform" "carries people",
    "concrete-boom" "pours",
    "crane-with-shell" "lifts a shell",
    "end-dump-trailer" "tips",
    "excavator" "digs",
    "grain-auger" "conveys",
    "hand-pipe" "is carried",
    "harvester" "harvests",
    "ladder" "is climbed",
    "mast-rig" "drives",
    "mobile-crane" "lifts",
    "rigid-tipper" "tips",
    "telehandler" "lifts",
];

impl Library {
    /// The machines embedded into the programs.
    #[must_use]
    pub fn embedded() -> Self {
        Self { entries: EMBEDDED }
    }

    /// All machines, in alphabetical order.
    #[must_use]
    pub fn entries(&self) -> &'static [Entry] {
        self.entries
    }

    /// Names of all machines, in alphabetical order.
    pub fn ids(&self) -> impl Iterator<Item = &'static str> {
        self.entries.iter().map(|entry| entry.id)
    }

    /// The machine of a name.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&'static Entry> {
        self.entries.iter().find(|entry| entry.id == id)
    }

    /// The name that looks most like one that is not there, if any comes near.
    #[must_use]
    pub fn nearest(&self, id: &str) -> Option<&'static str> {
        nearest(id, self.ids())
    }
}
