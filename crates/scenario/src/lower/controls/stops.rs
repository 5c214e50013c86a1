//! Stops on a joint: they cut its working range.

use std::f64::consts::TAU;

use wideberth_physics::interval::Interval;
use wideberth_rules::ControlKind;

use super::super::machine;
use super::apply::{Changed, overlap};
use crate::code::Code;
use crate::context::Context;
use crate::here::Here;
use crate::machine::{Joint, JointKind};
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::quantity::{EitherSpan, Span};
use crate::raw::RawControl;

/// Cuts the working range of a joint to the range that a stop leaves.
pub(super) fn apply(
    changed: &mut Changed,
    raw: &RawControl,
    machine: usize,
    context: &Context<'_>,
    here: &Here<'_>,
) -> Result<(), Problems> {
    let (Some(name), Some(range)) = (&raw.joint, &raw.range) else { return Ok(()) };
    let placed = &changed.raw.machines[machine];
    let at = Here::root(here.source).key("machines").index(machine);
    // What is wrong with the machine itself is said where the machine is read.
    let Ok(joints) = machine::joints_of(placed, context, &at) else { return Ok(()) };
    let joint = find(name, &joints, here)?;
    let stop = stop_range(range, joint, here)?;
    let working = placed.working.get(name).map_or(joint.range, |range| machine::span_of(range).0);
    let first = changed.set.insert((ControlKind::JointStop, machine, name.clone()), raw.name.clone());
    let left = left(joint, working, stop);
    let [left] = left[..] else { return Err(nothing_left(raw, joint, working, left.len(), first, here)) };
    let written = joint.kind.shown(&left);
    let left = match joint.kind {
        JointKind::Hinge => EitherSpan::First(Span::of(left, written)),
        JointKind::Slide => EitherSpan::Second(Span::of(left, written)),
    };
    changed.raw.machines[machine].working.insert(name.clone(), left);
    Ok(())
}

fn find<'j>(name: &str, joints: &'j [Joint], here: &Here<'_>) -> Result<&'j Joint, Problems> {
    let here = here.key("joint");
    let Some(joint) = joints.iter().find(|joint| joint.name == name) else {
        let message = format!("the machine has no joint \"{name}\"");
        let help = suggestion(name, joints.iter().map(|joint| joint.name.as_str()));
        return Err(here.problem(Code::UnknownJoint, message, help).into());
    };
    if !joint.role.is_set_by_people() {
        let message = format!("no stop holds \"{name}\": it is how a hung load swings or turns, which nobody sets");
        let help = "state the load's \"swing\", and the bearings in which tag lines hold it as its \"yaw\"";
        return Err(here.problem(Code::JointKind, message, help).into());
    }
    Ok(joint)
}

/// The range of a stop, of the joint's kind and within the machine's own range.
fn stop_range(
    range: &EitherSpan<crate::bounds::JointAngle, crate::bounds::JointTravel>,
    joint: &Joint,
    here: &Here<'_>,
) -> Result<Interval, Problems> {
    let here = here.key("range");
    let (stop, kind) = machine::span_of(range);
    if kind != joint.kind {
        return Err(here.problem(Code::JointKind, joint.kind.mismatch(&joint.name), joint.kind.wanted()).into());
    }
    if !joint.allows(stop) {
        let (given, own) = (kind.shown(&stop), kind.shown(&joint.range));
        let message = format!("the stop of \"{}\" leaves {given}, outside the machine's own range {own}", joint.name);
        return Err(here.problem(Code::JointRange, message, "give a range inside the machine's own").into());
    }
    Ok(stop)
}

/// What a stop leaves of a working range: one range, none, or two where a joint that turns all round is cut twice.
fn left(joint: &Joint, working: Interval, stop: Interval) -> Vec<Interval> {
    if !joint.turns_all_round() {
        return overlap(working, stop).into_iter().collect();
    }
    if working.width() >= TAU - 1e-9 {
        return vec![stop];
    }
    let turned = |turns: f64| Interval::new(stop.low() + turns * TAU, stop.high() + turns * TAU).ok();
    [-2.0, -1.0, 0.0, 1.0, 2.0].into_iter().filter_map(turned).filter_map(|stop| overlap(working, stop)).collect()
}

fn nothing_left(
    raw: &RawControl,
    joint: &Joint,
    working: Interval,
    parts: usize,
    first: Option<String>,
    here: &Here<'_>,
) -> Problems {
    let here = here.key("range");
    let shown = joint.kind.shown(&working);
    match (first, parts) {
        (_, 2..) => {
            let message =
                format!("the stop \"{}\" cuts the working range {shown} of \"{}\" in two", raw.name, joint.name);
            here.problem(Code::Contradiction, message, "give the one range in which it works").into()
        }
        (Some(first), _) => {
            let message =
                format!("the stops \"{first}\" and \"{}\" on \"{}\" have no position in common", raw.name, joint.name);
            here.problem(Code::Contradiction, message, "correct one of them, or keep one").into()
        }
        (None, _) => {
            let message =
                format!("the stop \"{}\" leaves nothing of the working range {shown} of \"{}\"", raw.name, joint.name);
            here.problem(Code::NoWorkLeft, message, "give a range that overlaps the working range").into()
        }
    }
}
