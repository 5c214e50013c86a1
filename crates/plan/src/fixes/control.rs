//! What can be changed, and in what order it should be tried.

use nalgebra::{Point2, Vector2};

/// Class of a control, the strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// The danger is taken away, or the work is.
    Eliminate,
    /// Something smaller does the work.
    Substitute,
    /// Something solid or automatic holds it.
    Engineer,
    /// People hold it.
    Administrate,
}

impl Class {
    /// Every class, the strongest first.
    pub const ALL: [Self; 4] = [Self::Eliminate, Self::Substitute, Self::Engineer, Self::Administrate];

    /// Stable name.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Eliminate => "eliminate",
            Self::Substitute => "substitute",
            Self::Engineer => "engineer",
            Self::Administrate => "administrate",
        }
    }
}

/// Which end of a joint's range a stop holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The joint must not go below.
    Least,
    /// The joint must not go above.
    Most,
}

/// One change. Lengths in m, angles in rad, bearings clockwise from north.
#[derive(Clone, Debug, PartialEq)]
pub enum Control {
    /// The line's owner switches it off and grounds it.
    LineOff {
        /// Index of the line.
        line: usize,
    },
    /// The line's owner raises it, as taut as it is.
    LineRaised {
        /// Index of the line.
        line: usize,
        /// By how much.
        by_m: f64,
    },
    /// The line's owner moves it aside, as taut and as high as it is.
    LineMoved {
        /// Index of the line.
        line: usize,
        /// By how much.
        by_m: f64,
        /// Toward where.
        bearing_rad: f64,
        /// The same as a step east and north, in whole centimetres, m.
        step_m: Vector2<f64>,
    },
    /// The machine stands elsewhere, turned as it is.
    WorkMoved {
        /// By how much.
        by_m: f64,
        /// Toward where.
        bearing_rad: f64,
        /// Its new place, in whole centimetres, m.
        to: Point2<f64>,
    },
    /// A machine that is lower throughout.
    LowerMachine {
        /// By how much.
        by_m: f64,
    },
    /// A machine of the library that does the same with less reach.
    OtherMachine {
        /// Its id.
        id: &'static str,
    },
    /// A load of less length.
    ShorterLoad {
        /// Its length, m.
        most_m: f64,
    },
    /// A joint is held at one end of its range.
    Stop {
        /// Index of the joint.
        joint: usize,
        /// Which end.
        end: End,
        /// Where the stop is set, rad or m; overrun comes on top.
        at: f64,
        /// Whether the joint is a length that a smaller machine does not have.
        shortens: bool,
    },
    /// A turning joint is held between two stops.
    Sector {
        /// Index of the joint.
        joint: usize,
        /// First stop.
        from_rad: f64,
        /// Second stop.
        to_rad: f64,
    },
    /// No part comes higher.
    HeightLimit {
        /// Above the ground where the machine stands.
        most_m: f64,
    },
    /// A limiter leaves out the poses in which a part is surely higher.
    HeightStop {
        /// Above the ground where the machine stands.
        most_m: f64,
    },
    /// No part comes farther from the reference point, on the map.
    ReachLimit {
        /// The radius.
        most_m: f64,
    },
    /// A limiter leaves out the poses in which a part is surely farther from the reference point, on the map.
    ReachStop {
        /// The radius.
        most_m: f64,
    },
    /// No part passes an upright plane along the line.
    Barrier {
        /// Index of the line.
        line: usize,
        /// From the middle of the line to the plane, on the map.
        from_line_m: f64,
        /// From the machine's reference point to the plane.
        from_machine_m: f64,
        /// Bearing from the machine to the plane.
        bearing_rad: f64,
    },
    /// Work stops in stronger wind.
    WindCutOff {
        /// Strongest wind, gusts included, m/s.
        most_m_per_s: f64,
    },
    /// Work stops with hotter wires.
    HeatCutOff {
        /// Hottest conductor, °C.
        most_degc: f64,
    },
    /// Work at certain hours of the date only.
    Hours {
        /// When it begins on the site's clock, such as "06:00".
        from: String,
        /// When it ends.
        to: String,
    },
    /// Two of the others together.
    Both(Box<(Self, Self)>),
}

impl Control {
    /// Its class; of two the weaker.
    #[must_use]
    pub fn class(&self) -> Class {
        match self {
            Self::LineOff { .. } | Self::LineRaised { .. } | Self::LineMoved { .. } | Self::WorkMoved { .. } => {
                Class::Eliminate
            }
            Self::LowerMachine { .. }
            | Self::OtherMachine { .. }
            | Self::ShorterLoad { .. }
            | Self::Stop { shortens: true, .. } => Class::Substitute,
            Self::Stop { .. }
            | Self::Sector { .. }
            | Self::HeightLimit { .. }
            | Self::HeightStop { .. }
            | Self::ReachLimit { .. }
            | Self::ReachStop { .. }
            | Self::Barrier { .. } => Class::Engineer,
            Self::WindCutOff { .. } | Self::HeatCutOff { .. } | Self::Hours { .. } => Class::Administrate,
            Self::Both(pair) => pair.0.class().max(pair.1.class()),
        }
    }

    /// Stable name.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::LineOff { .. } => "line-off",
            Self::LineRaised { .. } => "line-raised",
            Self::LineMoved { .. } => "line-moved",
            Self::WorkMoved { .. } => "stand-elsewhere",
            Self::LowerMachine { .. } => "lower-machine",
            Self::OtherMachine { .. } => "other-machine",
            Self::ShorterLoad { .. } => "shorter-load",
            Self::Stop { shortens: true, .. } => "shorter",
            Self::Stop { .. } => "stop",
            Self::Sector { .. } => "sector",
            Self::HeightLimit { .. } => "height-limit",
            Self::HeightStop { .. } => "height-stop",
            Self::ReachLimit { .. } => "reach-limit",
            Self::ReachStop { .. } => "reach-stop",
            Self::Barrier { .. } => "barrier",
            Self::WindCutOff { .. } => "wind-cut-off",
            Self::HeatCutOff { .. } => "heat-cut-off",
            Self::Hours { .. } => "hours",
            Self::Both(_) => "both",
        }
    }

    /// Whether a stricter setting allows a part of what a milder one allows, so that stricter is clear as well.
    #[must_use]
    pub fn is_nested(&self) -> bool {
        !matches!(
            self,
            Self::LineOff { .. }
                | Self::LineRaised { .. }
                | Self::LineMoved { .. }
                | Self::WorkMoved { .. }
                | Self::LowerMachine { .. }
                | Self::OtherMachine { .. }
        )
    }
}
