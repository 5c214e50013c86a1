//! What the panel offers: sliders over the moment, each inside its range, and ranges for the proven answer.

use std::f64::consts::TAU;

use serde_json::{Map, Value, json};
use wideberth_physics::interval::Interval;
use wideberth_report::Units;
use wideberth_report::quantity::angle;
use wideberth_report::words::compass;
use wideberth_scenario::Job;
use wideberth_scenario::job::{JointInfo, JointUnit};
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
            // Nobody moves what no range can be given for: the error of the heading is a tolerance.
            let joints = joints.filter(|(_, ((info, _), _))| info.range.is_some());
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
    // Beside weather of no hour stands none: below the first.
    let none = if loaded.hours.is_empty() { 0.0 } else { -1.0 };
    let (hour, least) = weather.hour.as_ref().map_or((none, none), |hour| (hour.index as f64, 0.0));
    vec![
        slider(Control::Hour, strings.hour, hour, least, last.max(least)),
        slider(Control::Temperature, strings.temperature, weather.temperature_degc, heat.low(), heat.high()),
        slider(Control::Wind, strings.wind, weather.wind_m_per_s, wind.low(), wind.high()),
        slider(Control::WindFrom, strings.wind_from, weather.wind_from_rad, 0.0, TAU),
    ]
}

/// Moves what a slider moves. A bearing outside the scenario's sector is not taken; an hour is taken as a whole, as its proven worst
/// case.
pub fn apply(loaded: &Loaded, control: Control, value: f64, moment: &mut Moment) {
    if !matches!(control, Control::Joint { .. } | Control::WindFrom) {
        moment.weather.pinned = None;
    }
    match control {
        Control::Hour => {
            if let Some(hour) = loaded.hours.get(value.round().max(0.0) as usize) {
                *moment = hour.moment();
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
        Control::Hour if value < -0.5 => "—".into(),
        Control::Hour => loaded.hours.get(value.round() as usize).map_or_else(String::new, |hour| hour.clock.clone()),
        Control::Joint { machine, joint } => joint_value(&loaded.job.machines[machine].joints[joint], value, units),
        Control::Temperature => units.temperature(value),
        Control::Wind => units.speed(value),
        Control::WindFrom => format!("{} ({})", angle(value), compass(value)),
    }
}

/// Ranges of the proven answer: low and high end, SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ranges {
    /// Of each joint of each machine, in the order of a pose.
    pub joints: Vec<Vec<[f64; 2]>>,
    /// Of the conductor temperature, °C.
    pub temperature_degc: [f64; 2],
    /// Of the wind, m/s.
    pub wind_m_per_s: [f64; 2],
}

impl Ranges {
    /// The ranges for which a job is proven: what controls leave, without what a joint may overrun on stopping.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let machines = job.machines.iter().zip(&job.study.machines);
        let joints = machines.map(|(info, study)| {
            let working =
                |(joint, range): (&JointInfo, Interval)| joint.range.as_ref().map_or(range, |own| own.working);
            let ranges = info.joints.iter().zip(study.ranges()).map(working);
            ranges.map(|range| [range.low(), range.high()]).collect()
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
        let own = Self::of(job);
        for (machine, info) in job.machines.iter().enumerate() {
            let entry = value.pointer_mut(&format!("/machines/{machine}"))?.as_object_mut()?;
            for (joint, info) in info.joints.iter().enumerate().filter(|(_, info)| info.range.is_some()) {
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

    /// What differs from the scenario's own ranges, in words, such as "tilt 0 deg to 3 deg (file: 0 deg to 90 deg)"; empty where nothing
    /// does.
    #[must_use]
    pub fn differences(&self, own: &Self, job: &Job, units: Units, strings: &Strings) -> String {
        let pair = |[low, high]: [f64; 2], words: &dyn Fn(f64) -> String| format!("{} to {}", words(low), words(high));
        let mut all = Vec::new();
        let mut tell = |name: &str, new: [f64; 2], old: [f64; 2], words: &dyn Fn(f64) -> String| {
            if new != old {
                all.push(format!("{name} {} ({}: {})", pair(new, words), strings.file, pair(old, words)));
            }
        };
        for ((info, new), old) in job.machines.iter().zip(&self.joints).zip(&own.joints) {
            for ((joint, new), old) in info.joints.iter().zip(new).zip(old) {
                tell(&joint.name, *new, *old, &|value| joint_value(joint, value, units));
            }
        }
        tell(strings.temperature, self.temperature_degc, own.temperature_degc, &|value| units.temperature(value));
        tell(strings.wind, self.wind_m_per_s, own.wind_m_per_s, &|value| units.speed(value));
        all.join(", ")
    }
}

fn joint_range([low, high]: [f64; 2], joint: &JointInfo) -> Value {
    let word = |value: f64| match joint.unit {
        JointUnit::Radian => format!("{} deg", value.to_degrees()),
        JointUnit::Metre => format!("{value} m"),
    };
    json!([word(low), word(high)])
}
