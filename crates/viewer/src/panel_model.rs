//! What the panel offers: sliders over the moment, each inside its range, and ranges for the certified answer.

use std::f64::consts::TAU;

use serde_json::{Map, Value, json};
use wideberth_report::Units;
use wideberth_report::quantity::angle;
use wideberth_report::words::compass;
use wideberth_scenario::Job;
use wideberth_scenario::bounds::{Bounded, JointAngle, JointTravel};
use wideberth_scenario::job::{JointInfo, JointUnit};
use wideberth_scenario::quantity::parse;
use wideberth_scenario::source::Source;

use crate::loaded::Loaded;
use crate::moment::{Moment, Tautness, conditions};
use crate::strings::Strings;
use crate::view_model::joint_value;

/// What a slider moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Control {
    /// A joint of a machine.
    Joint {
        /// Index of the machine.
        machine: usize,
        /// Index of the joint.
        joint: usize,
    },
    /// The hour of the job's weather.
    Hour,
    /// Conductor temperature.
    Temperature,
    /// Wind speed.
    Wind,
    /// Bearing from which the wind blows.
    WindFrom,
}

/// A slider; its numbers are SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Slider {
    /// What it moves.
    pub control: Control,
    /// Its name.
    pub label: String,
    /// Value.
    pub value: f64,
    /// Least value.
    pub low: f64,
    /// Greatest value.
    pub high: f64,
}

/// Sliders of each machine, with its name.
#[must_use]
pub fn joint_sliders(job: &Job, moment: &Moment) -> Vec<(String, Vec<Slider>)> {
    let machines = job.machines.iter().zip(&job.study.machines).zip(&moment.poses).enumerate();
    machines
        .map(|(machine, ((info, study), pose))| {
            let joints = info.joints.iter().zip(study.ranges()).zip(pose).enumerate();
            let sliders = joints.map(|(joint, ((info, range), value))| Slider {
                control: Control::Joint { machine, joint },
                label: info.name.clone(),
                value: *value,
                low: range.low(),
                high: range.high(),
            });
            (info.name.clone(), sliders.collect())
        })
        .collect()
}

/// Sliders of the weather, with one for the hour where the scenario has hours.
#[must_use]
pub fn weather_sliders(loaded: &Loaded, moment: &Moment, strings: &Strings) -> Vec<Slider> {
    let (allowed, weather) = (conditions(&loaded.job), &moment.weather);
    let slider = |control, label: &str, value, low, high| Slider { control, label: label.into(), value, low, high };
    let (heat, wind) = (allowed.temperature_degc, allowed.wind_m_per_s);
    let last = loaded.hours.len().saturating_sub(1) as f64;
    let hour = weather.hour.as_ref().map_or(0.0, |hour| hour.index as f64);
    vec![
        slider(Control::Hour, strings.hour, hour, 0.0, last),
        slider(Control::Temperature, strings.temperature, weather.temperature_degc, heat.low(), heat.high()),
        slider(Control::Wind, strings.wind, weather.wind_m_per_s, wind.low(), wind.high()),
        slider(Control::WindFrom, strings.wind_from, weather.wind_from_rad, 0.0, TAU),
    ]
}

/// Moves what a slider moves. A bearing outside the scenario's sector is not taken; an hour is taken as a whole, in its strongest
/// wind.
pub fn apply(loaded: &Loaded, control: Control, value: f64, moment: &mut Moment) {
    if !matches!(control, Control::Joint { .. } | Control::WindFrom) {
        moment.weather.section = None;
    }
    match control {
        Control::Hour => {
            if let Some(hour) = loaded.hours.get(value.round() as usize) {
                moment.weather = hour.weather(0.5, &moment.weather);
            }
        }
        Control::Joint { machine, joint } => moment.poses[machine][joint] = value,
        Control::Temperature => {
            moment.weather.temperature_degc = value;
            moment.weather.hour = None;
            moment.weather.tautness = Tautness::AsStated;
        }
        Control::Wind => moment.weather.wind_m_per_s = value,
        Control::WindFrom if conditions(&loaded.job).wind_direction.holds(value) => {
            moment.weather.wind_from_rad = value
        }
        Control::WindFrom => {}
    }
}

/// The value of a slider in words.
#[must_use]
pub fn value_words(loaded: &Loaded, control: Control, value: f64, units: Units) -> String {
    match control {
        Control::Hour => loaded.hours.get(value.round() as usize).map_or_else(String::new, |hour| hour.clock.clone()),
        Control::Joint { machine, joint } => joint_value(&loaded.job.machines[machine].joints[joint], value, units),
        Control::Temperature => units.temperature(value),
        Control::Wind => units.speed(value),
        Control::WindFrom => format!("{} ({})", angle(value), compass(value)),
    }
}

/// Ranges of the certified answer: low and high end, SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ranges {
    /// Of each joint of each machine that the scenario can set.
    pub joints: Vec<Vec<[f64; 2]>>,
    /// Of the conductor temperature, °C.
    pub temperature_degc: [f64; 2],
    /// Of the wind, m/s.
    pub wind_m_per_s: [f64; 2],
}

impl Ranges {
    /// The ranges of a scenario: as its text states them, or as the study has them.
    #[must_use]
    pub fn of(text: &str, job: &Job) -> Self {
        let source = Source::read(text).ok();
        let written = |machine: usize, joint: &JointInfo| {
            let pointer = format!("/machines/{machine}/working");
            let value = source.as_ref()?.value().pointer(&pointer)?.get(&joint.name)?;
            written_range(value, joint)
        };
        let machines = job.machines.iter().zip(&job.study.machines).enumerate();
        let joints = machines.map(|(machine, (info, study))| {
            let ranges = info.joints.iter().zip(study.ranges());
            ranges.map(|(joint, range)| written(machine, joint).unwrap_or([range.low(), range.high()])).collect()
        });
        let allowed = conditions(job);
        Self {
            joints: joints.collect(),
            temperature_degc: [allowed.temperature_degc.low(), allowed.temperature_degc.high()],
            wind_m_per_s: [allowed.wind_m_per_s.low(), allowed.wind_m_per_s.high()],
        }
    }

    /// The scenario's text with what differs from its own ranges written in; none where the text cannot be read.
    #[must_use]
    pub fn rewrite(&self, text: &str, job: &Job) -> Option<String> {
        let mut value = Source::read(text).ok()?.value().clone();
        let own = Self::of(text, job);
        for (machine, info) in job.machines.iter().enumerate() {
            let entry = value.pointer_mut(&format!("/machines/{machine}"))?.as_object_mut()?;
            for (joint, info) in info.joints.iter().enumerate() {
                if self.joints[machine][joint] != own.joints[machine][joint] {
                    let working = entry.entry("working").or_insert_with(|| Value::Object(Map::new()));
                    working.as_object_mut()?.insert(info.name.clone(), joint_range(self.joints[machine][joint], info));
                }
            }
        }
        let allowed = value.pointer_mut("/conditions")?.as_object_mut()?;
        let pair = |[low, high]: [f64; 2], unit: &str| json!([format!("{low} {unit}"), format!("{high} {unit}")]);
        if self.temperature_degc != own.temperature_degc {
            allowed.insert("conductor_temperature".into(), pair(self.temperature_degc, "degC"));
        }
        if self.wind_m_per_s != own.wind_m_per_s {
            allowed.insert("wind_speed".into(), pair(self.wind_m_per_s, "m/s"));
        }
        // A lesson may show what narrower ranges no longer hold.
        value.as_object_mut()?.remove("lesson");
        Some(value.to_string())
    }
}

fn joint_range([low, high]: [f64; 2], joint: &JointInfo) -> Value {
    let word = |value: f64| match joint.unit {
        JointUnit::Radian => format!("{} deg", value.to_degrees()),
        JointUnit::Metre => format!("{value} m"),
    };
    json!([word(low), word(high)])
}

fn written_range(value: &Value, joint: &JointInfo) -> Option<[f64; 2]> {
    let bound = match joint.unit {
        JointUnit::Radian => JointAngle::BOUND,
        JointUnit::Metre => JointTravel::BOUND,
    };
    let one = |value: &Value| Some(parse(value.as_str()?, &[bound]).ok()?.0.si);
    match value {
        Value::Array(ends) => Some([one(ends.first()?)?, one(ends.get(1)?)?]),
        single => one(single).map(|value| [value, value]),
    }
}
