//! What an answer holds for: place, ranges, weather, days and controls. Outside of it nothing is proven.

use nalgebra::Point3;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::WindDirection;
use wideberth_scenario::days::Days;
use wideberth_scenario::job::{Job, JointUnit};

/// One condition without which the answer says nothing. Indices are those of the job.
#[derive(Clone, Debug, PartialEq)]
pub enum Holds {
    /// The machine stands there.
    Place {
        /// Machine.
        machine: usize,
        /// Its reference point in the site frame, m.
        at: Point3<f64>,
    },
    /// A joint stays in its working range, overrun excluded.
    Range {
        /// Machine.
        machine: usize,
        /// Name of the joint.
        joint: String,
        /// Unit of the range.
        unit: JointUnit,
        /// The range, rad or m.
        working: Interval,
    },
    /// No part comes higher above the ground at the machine's reference point, m.
    Height {
        /// Machine.
        machine: usize,
        /// The height, m.
        most_m: f64,
    },
    /// No part comes farther from the machine's reference point on the map, m.
    Reach {
        /// Machine.
        machine: usize,
        /// The reach, m.
        most_m: f64,
    },
    /// The wires of a line stay at these temperatures, °C. Not told where they come from the weather.
    WireTemperature {
        /// Line.
        line: usize,
        /// The range, °C.
        degc: Interval,
    },
    /// The wind at the wires of a line stays in this range, gusts included, m/s. Not told where it comes from the weather.
    Wind {
        /// Line.
        line: usize,
        /// The range, m/s.
        m_per_s: Interval,
        /// Whether it comes from a sector alone.
        sector: bool,
    },
    /// The weather is what the scenario says hour by hour.
    Weather,
    /// The days.
    Days(Days),
    /// A control that counts stays in place.
    Control {
        /// Control.
        control: usize,
    },
}

/// Everything that an answer holds for, in the order in which a crew meets it.
#[must_use]
pub fn holds_only_while(job: &Job) -> Vec<Holds> {
    let days = job.days.map(Holds::Days);
    let controls = job.controls.iter().enumerate().filter(|(_, control)| control.counts());
    let controls = controls.map(|(control, _)| Holds::Control { control });
    let weather = job.climate.as_ref().map(|_| Holds::Weather);
    days.into_iter().chain(machines(job)).chain(lines(job)).chain(weather).chain(controls).collect()
}

fn machines(job: &Job) -> impl Iterator<Item = Holds> + '_ {
    job.machines.iter().enumerate().flat_map(|(machine, info)| {
        let joints = info.joints.iter().filter_map(move |joint| {
            let range = joint.range.as_ref()?;
            Some(Holds::Range { machine, joint: joint.name.clone(), unit: joint.unit, working: range.working })
        });
        let height = info.ceiling_m.map(|most_m| Holds::Height { machine, most_m: most_m - info.position.z });
        let reach = info.reach_m.map(|most_m| Holds::Reach { machine, most_m });
        [Holds::Place { machine, at: info.position }].into_iter().chain(joints).chain(height).chain(reach)
    })
}

fn lines(job: &Job) -> impl Iterator<Item = Holds> + '_ {
    let ranges = job.lines.iter().enumerate().filter(|(_, line)| !line.off && job.climate.is_none());
    ranges.flat_map(|(line, info)| {
        let conditions = &info.conditions;
        let sector = matches!(conditions.wind_direction, WindDirection::Sector { .. });
        [
            Holds::WireTemperature { line, degc: conditions.temperature_degc },
            Holds::Wind { line, m_per_s: conditions.wind_m_per_s, sector },
        ]
    })
}
