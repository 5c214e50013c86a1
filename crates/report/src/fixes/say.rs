//! Controls in words.

use wideberth_plan::fixes::{Control, End};
use wideberth_scenario::Job;
use wideberth_scenario::job::{JointInfo, JointUnit};

use crate::quantity::{Units, degrees};
use crate::words::compass;

/// Says controls for one machine of a job.
#[derive(Clone, Copy, Debug)]
pub struct Sayer<'a> {
    /// The job.
    pub job: &'a Job,
    /// Index of the machine.
    pub machine: usize,
    /// Units of lengths and speeds.
    pub units: Units,
}

impl Sayer<'_> {
    /// Name of the machine.
    #[must_use]
    pub fn machine_name(&self) -> &str {
        self.job.machines.get(self.machine).map_or("", |machine| &machine.name)
    }

    /// Name of a line.
    #[must_use]
    pub fn line_name(&self, line: usize) -> &str {
        self.job.lines.get(line).map_or("", |line| &line.name)
    }

    /// A joint.
    #[must_use]
    pub fn joint(&self, joint: usize) -> Option<&JointInfo> {
        self.job.machines.get(self.machine)?.joints.get(joint)
    }

    /// Name of a joint.
    #[must_use]
    pub fn joint_name(&self, joint: usize) -> &str {
        self.joint(joint).map_or("", |joint| &joint.name)
    }

    /// What to do.
    #[must_use]
    pub fn words(&self, control: &Control) -> String {
        let machine = self.machine_name();
        let setting = self.setting(control);
        match control {
            Control::LineOff { line } => {
                format!("{} switched off and grounded by its owner", self.line_name(*line))
            }
            Control::LineRaised { line, .. } => format!("{} raised {setting} by its owner", self.line_name(*line)),
            Control::LineMoved { line, .. } => format!("{} moved {setting} by its owner", self.line_name(*line)),
            Control::WorkMoved { to, .. } => {
                let (east, north) = (self.units.length(to.x), self.units.length(to.y));
                format!("{machine} stands {setting} (east {east}, north {north})")
            }
            Control::LowerMachine { .. } => format!("a machine or body lower by {setting} throughout"),
            Control::OtherMachine { .. } => format!("{setting} of the library instead of {machine}"),
            Control::Hours { .. } => format!("work only {setting}"),
            Control::HeightStop { .. } => {
                format!("a height stop of {machine} at {setting} above the ground there")
            }
            Control::ShorterLoad { .. } => format!("a load of {machine} no longer than {setting}"),
            Control::ReachStop { .. } => {
                format!("a reach stop of {machine} at {setting} from its reference point, on the map")
            }
            Control::Stop { joint, end, .. } => {
                let end = if *end == End::Most { "at most" } else { "at least" };
                format!("{} {end} {setting}", self.joint_name(*joint))
            }
            Control::Sector { joint, .. } => format!("{} only {setting}", self.joint_name(*joint)),
            Control::HeightLimit { .. } => format!("no part higher than {setting} above the ground there"),
            Control::ReachLimit { .. } => format!("no part farther than {setting} from the reference point"),
            Control::Barrier { line, bearing_rad, from_machine_m, .. } => format!(
                "no part past an upright plane along {}, {setting}: {} to the {} of the machine",
                self.line_name(*line),
                self.units.length_down(*from_machine_m),
                compass(*bearing_rad)
            ),
            Control::WindCutOff { .. } => format!("no work in wind above {setting}, gusts included"),
            Control::HeatCutOff { .. } => format!("no work with a wire hotter than {setting}"),
            Control::Both(pair) => format!("{}; and {}", self.words(&pair.0), self.words(&pair.1)),
        }
    }

    /// Its setting alone.
    #[must_use]
    pub fn setting(&self, control: &Control) -> String {
        let length = |m: f64| self.units.length(m);
        let toward =
            |by_m: f64, rad: f64| format!("{} toward {:.1} deg ({})", length(by_m), degrees(rad) + 0.0, compass(rad));
        match control {
            Control::LineOff { .. } => "off".into(),
            Control::LineRaised { by_m, .. } | Control::LowerMachine { by_m } => length(*by_m),
            Control::LineMoved { by_m, bearing_rad, .. } | Control::WorkMoved { by_m, bearing_rad, .. } => {
                toward(*by_m, *bearing_rad)
            }
            Control::Stop { joint, at, .. } => self.joint_value(*joint, *at),
            Control::Sector { from_rad, to_rad, .. } => {
                format!("from {:.1} to {:.1} deg", degrees(*from_rad), degrees(*to_rad))
            }
            Control::OtherMachine { id } => format!("\"{id}\""),
            Control::Hours { from, to } => format!("from {from} to {to}"),
            Control::HeightLimit { most_m }
            | Control::HeightStop { most_m }
            | Control::ReachLimit { most_m }
            | Control::ReachStop { most_m }
            | Control::ShorterLoad { most_m } => self.units.length_down(*most_m),
            Control::Barrier { from_line_m, .. } => format!("{} from its middle", self.units.length_up(*from_line_m)),
            Control::WindCutOff { most_m_per_s } => self.units.speed_down(*most_m_per_s),
            Control::HeatCutOff { most_degc } => self.units.temperature_down(*most_degc),
            Control::Both(pair) => format!("{}; {}", self.setting(&pair.0), self.setting(&pair.1)),
        }
    }

    /// A value of a joint.
    #[must_use]
    pub fn joint_value(&self, joint: usize, value: f64) -> String {
        match self.joint(joint).map(|joint| joint.unit) {
            Some(JointUnit::Metre) => self.units.length(value),
            _ => format!("{:.1} deg", degrees(value) + 0.0),
        }
    }
}
