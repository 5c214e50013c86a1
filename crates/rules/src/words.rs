//! The closed vocabularies of the rule tables: each enum knows the words that stand for it in a file and on paper.

use serde::{Serialize, Serializer};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $words:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant,)+ }

        impl $name {
            /// Every value, in the order of the documentation.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// The words that stand for this value in files and on paper.
            pub fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }

            /// The value that these words stand for, if any.
            pub fn from_words(text: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|value| value.words() == text)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.words())
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.words())
            }
        }
    };
}

words! {
    /// What is being done; each kind of work has limits of its own.
    Work {
        /// A machine, load or structure is worked with near the line.
        Operate = "operate",
        /// A machine passes under the line, lowered and without load.
        TravelUnder = "travel under",
        /// A machine is put together, taken apart or rigged near the line.
        Assemble = "assemble",
        /// A building, bin or other lasting structure is sited near the line.
        SiteStructure = "site a structure",
        /// Not a limit: the distance inside which the owner must be asked first.
        Consult = "consult",
    }
}
words! {
    /// Who does the work.
    Crew {
        /// People without electrical qualification.
        Ordinary = "ordinary",
        /// Electrical workers qualified in the sense of the rule.
        Qualified = "qualified",
    }
}
words! {
    /// Between what the voltage of a table is measured.
    Basis {
        /// Between two phases.
        PhaseToPhase = "phase to phase",
        /// Between a phase and ground.
        PhaseToGround = "phase to ground",
        /// The nominal voltage of the system, phase to phase by normal usage.
        NominalSystem = "nominal system",
        /// By class of line or kind of support; a voltage is read as nominal system voltage.
        LineClass = "line class",
        /// One distance whatever the voltage.
        Any = "any",
    }
}
words! {
    /// Between what a given voltage is measured.
    VoltageBasis {
        /// Alternating current, between two phases (also the nominal system voltage).
        PhaseToPhase = "phase to phase",
        /// Alternating current, between a phase and ground (single-phase lines are often named so).
        PhaseToGround = "phase to ground",
        /// Direct current, between the two poles.
        PoleToPole = "pole to pole",
        /// Direct current, between a pole and ground.
        PoleToGround = "pole to ground",
    }
}
words! {
    /// Alternating or direct current.
    Current {
        /// Alternating current.
        Ac = "ac",
        /// Direct current.
        Dc = "dc",
    }
}
words! {
    /// The current that a table or row is for.
    TableCurrent {
        /// Alternating current only (also where the rule does not say).
        Ac = "ac",
        /// Direct current only.
        Dc = "dc",
        /// Both, as the rule says itself.
        Any = "any",
    }
}
words! {
    /// How a number came into the table.
    Provenance {
        /// Seen in the source or a copy of it.
        Seen = "seen",
        /// Seen on a page that relays the source: a utility's, a trade's, a training page. The source itself was not opened.
        Relayed = "relayed",
        /// The distance was seen, the voltages of the row are from memory.
        PartlySeen = "partly seen",
        /// From memory, not seen.
        Memory = "memory",
        /// From weak memory; never used as a limit.
        Unconfirmed = "unconfirmed memory",
    }
}
words! {
    /// What stands behind a rule.
    Force {
        /// A statute or regulation.
        Law = "law",
        /// Guidance of a public authority or insurer.
        OfficialGuidance = "official guidance",
        /// A technical standard.
        Standard = "standard",
        /// A rule of the utility that owns the lines.
        UtilityRule = "utility rule",
        /// A condition of one client's contracts.
        ContractRule = "contract rule",
        /// A trade's own guidance.
        TradeGuidance = "trade guidance",
    }
}
words! {
    /// Whether the edition is in force.
    Status {
        /// In force when read.
        Current = "current",
        /// Replaced by a later edition.
        Superseded = "superseded",
    }
}
words! {
    /// Whether a rule is chosen by place, or only by its own name.
    Scope {
        /// For every crew at this place.
        General = "general",
        /// For a special trade, site or structure: only by its id.
        Special = "special",
    }
}
words! {
    /// What the distances of the table mean.
    Purpose {
        /// Distances to keep.
        Limit = "limit",
        /// How low a line may hang; never a limit of approach.
        LineHeight = "line height",
    }
}
words! {
    /// Along what the distance is measured.
    Measured {
        /// The straight distance, in any direction.
        AnyDirection = "any direction",
        /// Horizontally, from below the outermost wire.
        Horizontal = "horizontal",
        /// Upward from the ground.
        Height = "height above ground",
    }
}
words! {
    /// What happens between two rows that do not touch.
    BetweenRows {
        /// The larger neighbour is taken.
        Larger = "larger",
        /// The rule allows linear interpolation between printed voltages.
        Interpolate = "interpolate",
    }
}
words! {
    /// What happens below the first row.
    BelowFirstRow {
        /// The first row is taken, which is on the safe side.
        FirstRow = "first row",
        /// The rule is for other lines; it is not applied.
        Refuse = "refuse",
    }
}
words! {
    /// How a part of a voltage step counts in a formula.
    PartSteps {
        /// In proportion.
        InProportion = "in proportion",
        /// As a whole step.
        RoundedUp = "rounded up",
    }
}
words! {
    /// Where a table comes from.
    Origin {
        /// Delivered with the program.
        Embedded = "embedded",
        /// Supplied by the user.
        User = "user",
    }
}
