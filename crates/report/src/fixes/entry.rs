//! Controls as numbers, and as entries of a scenario.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use wideberth_plan::fixes::{Control, End};
use wideberth_scenario::machine::JointKind;

use super::say::Sayer;
use crate::quantity::degrees;

/// The settings of a control, with their unit in the key.
pub(super) fn settings(control: &Control) -> BTreeMap<String, f64> {
    let of = |pairs: &[(&str, f64)]| pairs.iter().map(|(key, value)| ((*key).to_string(), *value)).collect();
    match control {
        Control::LineOff { .. } | Control::OtherMachine { .. } | Control::Hours { .. } => BTreeMap::new(),
        Control::LineRaised { by_m, .. } | Control::LowerMachine { by_m } => of(&[("by_m", *by_m)]),
        Control::LineMoved { by_m, bearing_rad, step_m, .. } => {
            of(&[("by_m", *by_m), ("bearing_rad", *bearing_rad), ("east_m", step_m.x), ("north_m", step_m.y)])
        }
        Control::WorkMoved { by_m, bearing_rad, to } => {
            of(&[("by_m", *by_m), ("bearing_rad", *bearing_rad), ("to_east_m", to.x), ("to_north_m", to.y)])
        }
        Control::Stop { at, shortens, .. } => of(&[(if *shortens { "most_m" } else { "at_rad_or_m" }, *at)]),
        Control::Sector { from_rad, to_rad, .. } => of(&[("from_rad", *from_rad), ("to_rad", *to_rad)]),
        Control::HeightLimit { most_m }
        | Control::HeightStop { most_m }
        | Control::ReachLimit { most_m }
        | Control::ReachStop { most_m }
        | Control::ShorterLoad { most_m } => of(&[("most_m", *most_m)]),
        Control::Barrier { from_line_m, from_machine_m, bearing_rad, .. } => {
            of(&[("from_line_m", *from_line_m), ("from_machine_m", *from_machine_m), ("bearing_rad", *bearing_rad)])
        }
        Control::WindCutOff { most_m_per_s } => of(&[("most_m_per_s", *most_m_per_s)]),
        Control::HeatCutOff { most_degc } => of(&[("most_degc", *most_degc)]),
        Control::Both(pair) => {
            let numbered = |number: u32, control: &Control| {
                settings(control).into_iter().map(move |(key, value)| (format!("{number}_{key}"), value))
            };
            numbered(1, &pair.0).chain(numbered(2, &pair.1)).collect()
        }
    }
}

/// Entries of a scenario's "controls", as proposals: the crew fills in what [`missing`] names. A height or a
/// reach that nothing passes, allowances included, has no entry: a scenario's stops leave room for the allowances.
pub(super) fn entries(sayer: &Sayer<'_>, control: &Control) -> Vec<Value> {
    if let Control::Both(pair) = control {
        return [&pair.0, &pair.1].into_iter().flat_map(|part| entries(sayer, part)).collect();
    }
    let Some((kind, mut keys)) = keyed(sayer, control) else { return Vec::new() };
    if let Value::Object(object) = &mut keys {
        object.insert("name".into(), json!(short(&sayer.words(control))));
        object.insert("kind".into(), json!(kind));
        object.insert("state".into(), json!("proposed"));
    }
    vec![keys]
}

/// Names have at most 120 characters.
pub(super) fn short(words: &str) -> String {
    words.chars().take(120).collect()
}

fn keyed(sayer: &Sayer<'_>, control: &Control) -> Option<(&'static str, Value)> {
    let (machine, line) = (sayer.machine_name(), |line: usize| sayer.line_name(line));
    let m = |m: f64| format!("{m} m");
    Some(match control {
        Control::LineOff { line: l } => ("line off", json!({ "line": line(*l) })),
        Control::LineRaised { line: l, by_m } => ("line raised", json!({ "line": line(*l), "raised_by": m(*by_m) })),
        Control::LineMoved { line: l, step_m, .. } => {
            ("line moved", json!({ "line": line(*l), "moved_by": [m(step_m.x), m(step_m.y)] }))
        }
        Control::WorkMoved { to, .. } => ("work moved", json!({ "machine": machine, "position": [m(to.x), m(to.y)] })),
        Control::Stop { joint, end, at, .. } => {
            let (name, range) = stop(sayer, *joint, *end, *at)?;
            ("joint stop", json!({ "machine": machine, "joint": name, "range": range }))
        }
        Control::Sector { joint, from_rad, to_rad } => {
            let range = [value(JointKind::Hinge, *from_rad), value(JointKind::Hinge, *to_rad)];
            ("joint stop", json!({ "machine": machine, "joint": sayer.joint_name(*joint), "range": range }))
        }
        Control::OtherMachine { id } => ("other machine", json!({ "machine": machine, "replaced_by": id })),
        Control::LowerMachine { by_m } => ("lower machine", json!({ "machine": machine, "lowered_by": m(*by_m) })),
        Control::ShorterLoad { most_m } => ("shorter load", json!({ "machine": machine, "load_length": m(*most_m) })),
        Control::ReachStop { most_m } => ("reach stop", json!({ "machine": machine, "reach": m(*most_m) })),
        Control::HeightStop { most_m } => ("height stop", json!({ "machine": machine, "height": m(*most_m) })),
        Control::Hours { from, to } => ("hours", json!({ "hours": [from, to] })),
        Control::Barrier { line: l, .. } => ("barrier", json!({ "machine": machine, "line": line(*l) })),
        Control::WindCutOff { most_m_per_s } => {
            ("wind cut-off", json!({ "wind_speed": format!("{most_m_per_s} m/s") }))
        }
        Control::HeatCutOff { most_degc } => {
            ("temperature cut-off", json!({ "wire_temperature": format!("{most_degc} degC") }))
        }
        Control::HeightLimit { .. } | Control::ReachLimit { .. } | Control::Both(_) => return None,
    })
}

/// Whether `check` computes clear once the entries are in place.
pub(super) fn is_computed(control: &Control) -> bool {
    match control {
        Control::Both(pair) => is_computed(&pair.0) && is_computed(&pair.1),
        Control::HeightLimit { .. } | Control::ReachLimit { .. } | Control::Barrier { .. } => false,
        _ => true,
    }
}

/// What must be filled in, or done, before `check` counts the control.
pub(super) fn missing(control: &Control) -> Vec<&'static str> {
    if let Control::Both(pair) = control {
        let mut all = missing(&pair.0);
        all.extend(missing(&pair.1));
        all.dedup();
        return all;
    }
    let record = "set \"state\" once it is so, and fill in \"owner\", \"evidence\" with its date and \"expires\"";
    match control {
        Control::LineOff { .. } => vec![record, "\"confirmed_by\" on the owner's side, and \"grounded\": true"],
        Control::WindCutOff { .. } => vec![record, "\"measured_with\": with what and where the crew measures the wind"],
        Control::HeatCutOff { .. } => {
            vec![record, "\"air_temperature\" at which the crew stops, and \"measured_with\""]
        }
        Control::OtherMachine { .. } => {
            vec![record, "compare the plate of the machine that arrives; see that it can do the work"]
        }
        Control::LowerMachine { .. } => {
            vec![record, "compare the data sheet of the machine that arrives: every part lower by that, in every pose"]
        }
        Control::ShorterLoad { .. } => {
            vec![record, "where the load's sail or mass is stated, state those of the shorter load"]
        }
        Control::HeightLimit { .. } => {
            vec!["no entry: it counts bending and setting-out as height; a \"height stop\" is what check computes"]
        }
        Control::ReachLimit { .. } => {
            vec!["no entry: it counts bending and setting-out as reach; a \"reach stop\" is what check computes"]
        }
        Control::Barrier { .. } => {
            vec![
                "alone it makes no plan clear: check computes nothing for it, as a barrier stops wheels and no boom; add a stop that \
                 keeps every part on this side of the plane, and run check again",
            ]
        }
        _ => vec![record],
    }
}

/// The range that a stop leaves of a joint.
fn stop(sayer: &Sayer<'_>, joint: usize, end: End, at: f64) -> Option<(String, [String; 2])> {
    let info = sayer.joint(joint)?;
    let range = info.range.as_ref()?;
    let (low, high) = match end {
        End::Most => (range.working.low(), at),
        End::Least => (at, range.working.high()),
    };
    Some((info.name.clone(), [value(range.joint.kind, low), value(range.joint.kind, high)]))
}

/// A value of a joint as a file writes it, to a millionth.
pub(super) fn value(kind: JointKind, value: f64) -> String {
    let rounded = |value: f64| (value * 1e6).round() / 1e6 + 0.0;
    match kind {
        JointKind::Hinge => format!("{} deg", rounded(degrees(value))),
        JointKind::Slide => format!("{} m", rounded(value)),
    }
}
