//! Results in words: for crews, and as stable names for programs.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::approach::StopReason;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::contributions::Cause;

/// Said wherever somebody may act on the result.
pub const CAUTION: &str = "A planning aid, not permission: the line's owner and the local code decide.";

/// A verdict, as a stable name.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum VerdictName {
    /// Proven: nothing comes closer than the limit.
    Clear,
    /// Neither proven clear nor shown to be too close.
    NotProven,
    /// A pose and a state were found that come closer than the limit.
    TooClose,
    /// A pose and a state were found that touch the wire.
    Contact,
}

impl From<Verdict> for VerdictName {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Clear => Self::Clear,
            Verdict::NotProven => Self::NotProven,
            Verdict::TooClose => Self::TooClose,
            Verdict::Contact => Self::Contact,
        }
    }
}

impl VerdictName {
    /// Every verdict.
    pub const ALL: [Self; 4] = [Self::Clear, Self::NotProven, Self::TooClose, Self::Contact];

    /// The stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::NotProven => "not-proven",
            Self::TooClose => "too-close",
            Self::Contact => "contact",
        }
    }

    /// As the first words of an answer.
    #[must_use]
    pub fn shout(self) -> &'static str {
        match self {
            Self::Clear => "CLEAR",
            Self::NotProven => "NOT PROVEN",
            Self::TooClose => "TOO CLOSE",
            Self::Contact => "CONTACT",
        }
    }

    /// What it means and what to do.
    #[must_use]
    pub fn explain(self) -> &'static str {
        match self {
            Self::Clear => {
                "In every working pose, in every weather and wire state that the scenario allows, and with every tolerance \
                 at its worst, no part comes closer to any wire than its limit. This is proven for what the scenario says; \
                 it is worth as much as the scenario is true. It is not permission to work."
            }
            Self::NotProven => {
                "The search ended before it could show that the limit is kept or that it is not: the limit lies inside \
                 the range that is proven for the closest approach. Treat it as too close. A smaller \"tolerance\" and \
                 more \"max_cells\" under \"search\", or narrower working ranges, may decide it."
            }
            Self::TooClose => {
                "A pose of the machine and a state of the wire were found, both within what the scenario allows, in which \
                 a part comes closer than the limit. The plan cannot stay as it is: stand elsewhere, use a smaller \
                 machine, hold the working range, or have the line's owner switch off, raise or move the line."
            }
            Self::Contact => {
                "A pose of the machine and a state of the wire were found, both within what the scenario allows, in which \
                 a part touches the wire once tolerances are counted. The plan must not be carried out."
            }
        }
    }
}

/// Why a search stopped, in words.
#[must_use]
pub fn stop_words(stop: StopReason) -> &'static str {
    match stop {
        StopReason::Tolerance => "the distance is known as well as asked",
        StopReason::FarEnough => "nothing is as close as the distance that was asked about",
        StopReason::Found => "a pose closer than the distance that was asked about was found",
        StopReason::Contact => "a touching pose was found",
        StopReason::CellBudget => "the allowed work was used up; what is proven still holds",
        StopReason::Cancelled => "stopped before the end; what is proven still holds",
        StopReason::LoadsDiffer => {
            "what lies between the two is the room of wind and ice that differ along the wire; what is proven holds"
        }
        StopReason::Resolution => "the bounds cannot be made sharper; what is proven still holds",
    }
}

/// A cause of the worst finding in a few words.
#[must_use]
pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::HotWire => "hot wire",
        Cause::Wind => "wind on the wire",
        Cause::LoadSwing => "swinging load",
        Cause::SettingOut => "setting-out",
        Cause::Measurement => "doubt about the wire's height",
        Cause::Allowances => "bending and overrun",
    }
}

/// What is taken where that cause is left out.
#[must_use]
pub fn cause_instead(cause: Cause) -> &'static str {
    match cause {
        Cause::HotWire => "the wire always at the coldest temperature of the conditions",
        Cause::Wind => "no wind",
        Cause::LoadSwing => "a load that hangs plumb",
        Cause::SettingOut => "no tolerance on place and heading of the machine",
        Cause::Measurement => "no tolerance on attachments, measured heights and tensions",
        Cause::Allowances => "no deflection of parts and no overrun when stopping",
    }
}

/// One of eight compass points for a bearing (rad, clockwise from north).
#[must_use]
pub fn compass(bearing_rad: f64) -> &'static str {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let eighths = (bearing_rad / std::f64::consts::FRAC_PI_4).round().rem_euclid(8.0);
    POINTS.into_iter().nth(eighths as usize).unwrap_or("north")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn compass_points_go_clockwise() {
        assert_eq!(compass(0.0), "north");
        assert_eq!(compass(std::f64::consts::FRAC_PI_2), "east");
        assert_eq!(compass(-std::f64::consts::FRAC_PI_4), "north-west");
        assert_eq!(compass(6.2), "north");
    }

    #[test]
    fn names_agree_with_the_document() {
        for verdict in VerdictName::ALL {
            assert_eq!(serde_json::to_value(verdict).ok(), Some(verdict.name().into()));
        }
    }
}
