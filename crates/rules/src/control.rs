//! Controls of the hazard: each kind with its class in the hierarchy of controls and what to know before relying on it.
//!
//! The classes and their order follow the hierarchy that British, Australian and French guidance share (seen); which kind
//! belongs where is our reading. The cautions are in our own words.

use std::fmt;

use serde::{Serialize, Serializer};

/// Class in the hierarchy of controls, from the strongest to the weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ControlClass {
    /// The hazard is no longer there.
    Eliminate,
    /// Something less dangerous does the work.
    Substitute,
    /// A thing, not a person, keeps the distance.
    Engineer,
    /// People keep the distance.
    Administrate,
    /// Helps beside another control; never counts alone.
    Supplement,
}

impl ControlClass {
    /// Every class, strongest first.
    pub const ALL: &[Self] = &[Self::Eliminate, Self::Substitute, Self::Engineer, Self::Administrate, Self::Supplement];

    /// The class in one word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Eliminate => "eliminate",
            Self::Substitute => "substitute",
            Self::Engineer => "engineer",
            Self::Administrate => "administrate",
            Self::Supplement => "supplement",
        }
    }
}

impl fmt::Display for ControlClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

macro_rules! controls {
    ($($(#[$doc:meta])* $variant:ident = $words:literal, $class:ident, $changes:literal, $caution:literal;)+) => {
        /// A kind of control.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ControlKind { $($(#[$doc])* $variant,)+ }

        impl ControlKind {
            /// Every kind, in the order of the hierarchy.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// The words that stand for it in files and on paper.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }

            /// Its class in the hierarchy.
            #[must_use]
            pub fn class(self) -> ControlClass {
                match self { $(Self::$variant => ControlClass::$class),+ }
            }

            /// Whether it changes what is computed. The others help people; they never shorten a distance.
            #[must_use]
            pub fn changes_the_model(self) -> bool {
                match self { $(Self::$variant => $changes),+ }
            }

            /// What to know before relying on it.
            #[must_use]
            pub fn caution(self) -> &'static str {
                match self { $(Self::$variant => $caution),+ }
            }
        }
    };
}

controls! {
    /// The line is switched off, tested and grounded at the site by its owner.
    LineOff = "line off", Eliminate, true,
        "Only the owner's own confirmation counts, with grounds that can be seen at the site. The owner need not agree to switch off.";
    /// The line's supports are moved.
    LineMoved = "line moved", Eliminate, true, "The owner moves it, not the site. It can take months.";
    /// The line is raised.
    LineRaised = "line raised", Eliminate, true,
        "The owner raises it, not the site. Measure the wires again afterwards.";
    /// The machine works at another place.
    WorkMoved = "work moved", Eliminate, true, "Mark the place on the ground, and measure it before the machine stands there.";
    /// Another machine does the work.
    OtherMachine = "other machine", Substitute, true,
        "The machine that arrives must be the one in the plan: compare its plate and its attachments.";
    /// A machine or body that is lower throughout does the work.
    LowerMachine = "lower machine", Substitute, true,
        "Every part must be lower by this, whatever the machine does: compare its data sheet, with tyres, load and attachments as used.";
    /// A load of less length does.
    ShorterLoad = "shorter load", Substitute, true,
        "Measure the load before it is lifted. Where its wind sail or mass is stated, state those of the shorter load.";
    /// A stop holds one joint in a range: slew, luff, length, rope.
    JointStop = "joint stop", Engineer, true,
        "A stop on an angle or length knows nothing of the wire's sag. Test it on site before work, and after every change of the machine.";
    /// A limiter keeps the whole machine below a height.
    HeightStop = "height stop", Engineer, true,
        "It must act on the highest part of the machine and its load, whatever they do, and fail safe.";
    /// A limiter keeps the whole machine within a reach on the map.
    ReachStop = "reach stop", Engineer, true,
        "It must act on the part of the machine and its load that reaches farthest, swing included, and fail safe.";
    /// A solid barrier that a machine cannot pass.
    Barrier = "barrier", Engineer, false, "It stops wheels, not a boom that reaches over it, and changes no distance: alone it makes no plan clear.";
    /// Rigid goal posts of non-conducting material, on both sides of the line.
    GoalPosts = "goal posts", Engineer, true,
        "They hold down what passes between them, not a boom or body that is raised later. They must span the whole way.";
    /// A fence around ground that nobody enters with a machine.
    ExclusionFence = "exclusion fence", Engineer, false, "It keeps machines off the ground below the line, not out of the air beside it.";
    /// A structure is anchored, guyed or braced, so that it cannot topple.
    Braced = "braced", Engineer, true,
        "It counts from the moment that the last anchor holds, for the wind that it was designed for.";
    /// Work stops above a wind speed.
    WindCutOff = "wind cut-off", Administrate, true,
        "Gusts count. Stopping takes time: the machine must be able to reach a safe position before the wind gets there.";
    /// Work stops above a temperature.
    TemperatureCutOff = "temperature cut-off", Administrate, true,
        "Sun and current heat a wire well above the air. Only the line's owner knows the current.";
    /// Work at certain hours only.
    Hours = "hours", Administrate, true,
        "Hours are computed only where the weather of the date is given; elsewhere give the conditions that these hours can bring. Somebody must end the work.";
    /// The place where a machine sets up is marked on the ground.
    MarkedPlace = "marked place", Administrate, false,
        "Measured from the line's supports, not from what moves. Whoever marked it looks before the machine works, and after it was moved.";
    /// Somebody who watches the distance and does nothing else.
    Spotter = "spotter", Administrate, false,
        "One spotter for each machine, with no other task and a signal that the operator cannot miss. From the ground nobody judges depth well.";
    /// A warning device that measures nothing for certain.
    ProximityAlarm = "proximity alarm", Administrate, false,
        "It can stay silent near two lines, near a cable in a tree, and when it was set up for another boom length.";
    /// A line of flags, signs or paint in the operator's view.
    WarningLine = "warning line", Administrate, false, "The operator must be able to see it from the seat; otherwise a spotter is needed too.";
    /// Everybody on site is told, and says so.
    Briefing = "briefing", Administrate, false, "It must reach the newest hand, and be repeated when the plan changes.";
    /// Covers or sleeves on the wires, fitted by the line's owner.
    Cover = "cover", Supplement, false, "A cover marks a wire. It is not insulation for a machine to rub on.";
    /// An insulating link between hook and load.
    InsulatingLink = "insulating link", Supplement, false,
        "It can protect people at the load. Boom, rope and machine above it stay as dangerous as before.";
    /// The machine is connected to ground.
    GroundedMachine = "grounded machine", Supplement, false, "It does not make the machine safe to touch, nor the ground around it safe to walk on.";
}

impl ControlKind {
    /// The kind that these words stand for, if any.
    #[must_use]
    pub fn from_words(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.words() == text)
    }
}

impl fmt::Display for ControlKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

impl Serialize for ControlKind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_stand_in_the_order_of_the_hierarchy() {
        let classes: Vec<_> = ControlKind::ALL.iter().map(|kind| kind.class()).collect();
        assert!(classes.is_sorted());
        assert!(ControlClass::ALL.iter().all(|class| classes.contains(class)));
        for &kind in ControlKind::ALL {
            assert_eq!(ControlKind::from_words(kind.words()), Some(kind));
            assert!(kind.caution().len() > 30, "{kind}");
        }
    }

    #[test]
    fn what_only_helps_people_never_changes_the_model() {
        let supplements = ControlKind::ALL.iter().filter(|kind| kind.class() == ControlClass::Supplement);
        assert!(supplements.into_iter().all(|kind| !kind.changes_the_model()));
        for kind in [ControlKind::ProximityAlarm, ControlKind::Spotter, ControlKind::WarningLine] {
            assert!(!kind.changes_the_model(), "{kind}");
        }
    }
}
