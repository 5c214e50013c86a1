//! What somebody must hold before a clear plan is ready, each with an entry to paste.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Value, json};
use wideberth_scenario::job::Job;
use wideberth_scenario::machine::{JointKind, JointRange};
use wideberth_scenario::{FreeEnd, record::Topic};

use super::entry::value;

/// One thing that nobody holds.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct HoldResult {
    /// What it is, and what holds it.
    pub words: String,
    /// An entry of the scenario's "controls" that holds it, as a proposal; left out where a record holds it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<Value>,
}

/// What must be held: ends of ranges, and places of machines by their indices.
pub(super) fn to_hold(job: &Job, ends: &[FreeEnd], places: &[usize]) -> Vec<HoldResult> {
    let ends = ends.iter().map(|end| of_end(job, end));
    ends.chain(places.iter().filter_map(|machine| of_place(job, *machine))).collect()
}

fn of_end(job: &Job, end: &FreeEnd) -> HoldResult {
    match end {
        FreeEnd::Joint { machine, joint } => {
            let info = job.machines.get(*machine);
            let name = info.map_or("", |info| info.name.as_str());
            let range = info.and_then(|info| info.joints.iter().find(|own| own.name == *joint)?.range.as_ref());
            let entry = range.map(|range| proposed(&format!("{joint} stop of {name}"), stop(name, joint, range)));
            HoldResult { words: format!("{joint} of {name}: a stop"), entry }
        }
        FreeEnd::Wind => {
            let most = job.lines.iter().map(|line| line.conditions.wind_m_per_s.high()).fold(0.0, f64::max);
            let entry = json!({"kind": "wind cut-off", "wind_speed": format!("{most} m/s")});
            HoldResult { words: says("wind", Topic::Wind), entry: Some(proposed("wind cut-off", entry)) }
        }
        FreeEnd::WireTemperature => {
            let hottest = job.lines.iter().map(|line| line.conditions.temperature_degc.high());
            let most = hottest.fold(f64::NEG_INFINITY, f64::max);
            let entry = json!({"kind": "temperature cut-off", "wire_temperature": format!("{most} degC")});
            let entry = Some(proposed("temperature cut-off", entry));
            HoldResult { words: says("heat of the wires", Topic::WireTemperature), entry }
        }
        FreeEnd::WindFrom => HoldResult { words: says("direction of the wind", Topic::WindFrom), entry: None },
    }
}

fn says(what: &str, topic: Topic) -> String {
    format!("{what}: a cut-off, or a weather record that covers \"{}\"", topic.words())
}

fn of_place(job: &Job, machine: usize) -> Option<HoldResult> {
    let name = &job.machines.get(machine)?.name;
    let entry = proposed(&format!("place of {name}"), json!({"kind": "marked place", "machine": name}));
    Some(HoldResult { words: format!("place of {name}: marked on the ground"), entry: Some(entry) })
}

fn stop(machine: &str, joint: &str, range: &JointRange) -> Value {
    let kind: JointKind = range.joint.kind;
    let ends = [value(kind, range.working.low()), value(kind, range.working.high())];
    json!({"kind": "joint stop", "machine": machine, "joint": joint, "range": ends})
}

/// An entry with its name, proposed: whoever takes it over names owner, evidence and days.
fn proposed(name: &str, mut entry: Value) -> Value {
    if let Value::Object(entry) = &mut entry {
        entry.insert("name".into(), json!(super::entry::short(name)));
        entry.insert("state".into(), json!("proposed"));
    }
    entry
}
