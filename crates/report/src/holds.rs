//! What an answer holds for, as a document and in words.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_plan::readiness::{Holds, holds_only_while};
use wideberth_scenario::control::Expiry;
use wideberth_scenario::job::{Job, JointUnit};

use crate::quantity::{Units, degrees};

/// One condition without which the answer says nothing.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct HoldsResult {
    /// place, joint, height, reach, conductor-temperature, wind, weather, days or control.
    pub what: &'static str,
    /// Name of the machine, line or control; left out where it is the whole job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// Name of the joint.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joint: Option<String>,
    /// Lower end, in the unit that is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Upper end, in the unit that is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
    /// Unit of both: rad, m, degC or m/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
    /// For a place: east, north, up, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_m: Option<[f64; 3]>,
    /// First and last day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub days: Option<[String; 2]>,
    /// Role that answers for a control.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// Last day of a control, or "never".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
    /// In words, in SI.
    pub words: String,
}

/// Everything that an answer holds for.
pub(crate) fn of(job: &Job) -> Vec<HoldsResult> {
    holds_only_while(job).iter().map(|holds| result(job, holds)).collect()
}

fn result(job: &Job, holds: &Holds) -> HoldsResult {
    let empty = HoldsResult {
        what: "weather",
        of: None,
        joint: None,
        low: None,
        high: None,
        unit: None,
        at_m: None,
        days: None,
        owner: None,
        until: None,
        words: words(job, holds, Units::Si),
    };
    let machine = |index: usize| job.machines.get(index).map(|machine| machine.name.clone());
    let line = |index: usize| job.lines.get(index).map(|line| line.name.clone());
    match holds {
        Holds::Place { machine: index, at } => {
            HoldsResult { what: "place", of: machine(*index), at_m: Some(at.coords.into()), ..empty }
        }
        Holds::Range { machine: index, joint, unit, working } => HoldsResult {
            what: "joint",
            of: machine(*index),
            joint: Some(joint.clone()),
            low: Some(working.low()),
            high: Some(working.high()),
            unit: Some(if *unit == JointUnit::Metre { "m" } else { "rad" }),
            ..empty
        },
        Holds::Height { machine: index, most_m } => {
            HoldsResult { what: "height", of: machine(*index), high: Some(*most_m), unit: Some("m"), ..empty }
        }
        Holds::Reach { machine: index, most_m } => {
            HoldsResult { what: "reach", of: machine(*index), high: Some(*most_m), unit: Some("m"), ..empty }
        }
        Holds::WireTemperature { line: index, degc } => HoldsResult {
            what: "conductor-temperature",
            of: line(*index),
            low: Some(degc.low()),
            high: Some(degc.high()),
            unit: Some("degC"),
            ..empty
        },
        Holds::Wind { line: index, m_per_s, .. } => HoldsResult {
            what: "wind",
            of: line(*index),
            low: Some(m_per_s.low()),
            high: Some(m_per_s.high()),
            unit: Some("m/s"),
            ..empty
        },
        Holds::Weather => empty,
        Holds::Days(days) => {
            HoldsResult { what: "days", days: Some([days.first.to_string(), days.last.to_string()]), ..empty }
        }
        Holds::Control { control } => {
            let control = job.controls.get(*control);
            HoldsResult {
                what: "control",
                of: control.map(|control| control.name.clone()),
                owner: control.and_then(|control| control.owner.clone()),
                until: control.and_then(|control| control.expires).map(until),
                ..empty
            }
        }
    }
}

fn until(expiry: Expiry) -> String {
    match expiry {
        Expiry::Never => "never".into(),
        Expiry::After(day) => day.to_string(),
    }
}

/// A condition in words.
fn words(job: &Job, holds: &Holds, units: Units) -> String {
    let machine = |index: usize| job.machines.get(index).map_or("", |machine| machine.name.as_str());
    let line = |index: usize| job.lines.get(index).map_or("", |line| line.name.as_str());
    match holds {
        Holds::Place { machine: index, at } => {
            let (east, north) = (units.length(at.x), units.length(at.y));
            format!("{} stands at {east} east, {north} north", machine(*index))
        }
        Holds::Range { machine: index, joint, unit: JointUnit::Metre, working } => {
            let (low, high) = (units.length_rough(working.low()), units.length_rough(working.high()));
            format!("{joint} of {} stays within {low} to {high}", machine(*index))
        }
        Holds::Range { machine: index, joint, working, .. } => {
            let (low, high) = (degrees(working.low()), degrees(working.high()));
            format!("{joint} of {} stays within {low:.1} to {high:.1} deg", machine(*index))
        }
        Holds::Height { machine: index, most_m } => {
            format!("no part of {} comes higher than {}", machine(*index), units.length_down(*most_m))
        }
        Holds::Reach { machine: index, most_m } => {
            format!("no part of {} comes farther out than {}", machine(*index), units.length_down(*most_m))
        }
        Holds::WireTemperature { line: index, degc } => {
            let (low, high) = (units.temperature(degc.low()), units.temperature(degc.high()));
            format!("wires of {} stay within {low} to {high}", line(*index))
        }
        Holds::Wind { line: index, m_per_s, sector } => {
            let most = units.speed_down(m_per_s.high());
            let from = if *sector { ", from the stated sector alone" } else { "" };
            format!("gusts at {} stay at or below {most}{from}", line(*index))
        }
        Holds::Weather => "the weather is as stated, hour by hour".into(),
        Holds::Days(days) if days.first == days.last => format!("on {}", days.first),
        Holds::Days(days) => format!("from {} to {}", days.first, days.last),
        Holds::Control { control } => job.controls.get(*control).map_or(String::new(), |control| {
            let owner = control.owner.as_deref().unwrap_or("nobody");
            format!("\"{}\" stays in place (owner: {owner})", control.name)
        }),
    }
}
