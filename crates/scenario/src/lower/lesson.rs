//! The lesson: machines, joints and values that exist, within what the scenario allows.

use std::collections::BTreeMap;

use wideberth_physics::interval::Interval;
use wideberth_physics::line::Conditions;
use wideberth_physics::machine::Machine;

use crate::bounds::{JointAngle, JointTravel};
use crate::code::Code;
use crate::here::Here;
use crate::job::{JointUnit, Lesson, LessonJoint, LessonQuestion, LessonStep, MachineInfo};
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::quantity::Either;
use crate::raw::{RawLesson, RawLessonStep, RawLessonWeather};

type Value = Either<JointAngle, JointTravel>;

/// What a lesson may show.
pub(super) struct Allowed<'a> {
    pub machines: &'a [Machine],
    pub infos: &'a [MachineInfo],
    pub conditions: &'a Conditions,
    /// Whether steps must stay inside the scenario's ranges. Controls narrow these, and a lesson may show what they prevent.
    pub bounded: bool,
}

/// The lesson of a scenario.
pub(super) fn lower(raw: &RawLesson, allowed: &Allowed<'_>, here: &Here<'_>) -> Result<Lesson, Problems> {
    let mut problems = Problems::none();
    let steps = raw
        .steps
        .iter()
        .enumerate()
        .filter_map(|(index, step)| problems.collect(lower_step(step, allowed, &here.key("steps").index(index))));
    let steps = steps.collect();
    problems.into_result(Lesson { title: raw.title.clone(), steps })
}

fn lower_step(raw: &RawLessonStep, allowed: &Allowed<'_>, here: &Here<'_>) -> Result<LessonStep, Problems> {
    let mut problems = Problems::none();
    let mut joints = Vec::new();
    for (name, values) in &raw.joints {
        let here = here.key("joints").key(name);
        joints.extend(problems.collect(lower_joints(name, values, allowed, &here)).into_iter().flatten());
    }
    if let Some(weather) = &raw.conditions {
        problems.extend(check_weather(weather, allowed, &here.key("conditions")));
    }
    let weather = raw.conditions.as_ref();
    problems.into_result(LessonStep {
        caption: raw.caption.clone(),
        from: raw.from.unwrap_or_default(),
        joints,
        temperature_degc: weather.and_then(|w| w.conductor_temperature.as_ref()).map(|t| t.si),
        wind_m_per_s: weather.and_then(|w| w.wind_speed.as_ref()).map(|v| v.si),
        wind_from_rad: weather.and_then(|w| w.wind_from.as_ref()).map(|b| b.si),
        camera: raw.camera,
        play: raw.play,
        question: raw.question.as_ref().map(|q| LessonQuestion { ask: q.ask.clone(), answer: q.answer.clone() }),
    })
}

fn lower_joints(
    name: &str,
    values: &BTreeMap<String, Value>,
    allowed: &Allowed<'_>,
    here: &Here<'_>,
) -> Result<Vec<LessonJoint>, Problems> {
    let Some(machine) = allowed.infos.iter().position(|info| info.name == name) else {
        let names: Vec<&str> = allowed.infos.iter().map(|info| info.name.as_str()).collect();
        let message = format!("the scenario has no machine \"{name}\"");
        return Err(here.key_problem(Code::LessonMachine, message, suggestion(name, names)).into());
    };
    let mut problems = Problems::none();
    let found = values
        .iter()
        .filter_map(|(joint, value)| problems.collect(lower_joint(machine, joint, value, allowed, &here.key(joint))));
    let found = found.collect();
    problems.into_result(found)
}

fn lower_joint(
    machine: usize,
    name: &str,
    value: &Value,
    allowed: &Allowed<'_>,
    here: &Here<'_>,
) -> Result<LessonJoint, Problems> {
    let joints = &allowed.infos[machine].joints;
    let Some(joint) = joints.iter().position(|joint| joint.name == name) else {
        let names: Vec<&str> = joints.iter().map(|joint| joint.name.as_str()).collect();
        let message = format!("the machine has no joint \"{name}\"");
        return Err(here.key_problem(Code::UnknownJoint, message, suggestion(name, names)).into());
    };
    let (si, written) = match (value, joints[joint].unit) {
        (Either::First(angle), JointUnit::Radian) => (angle.si, &angle.written),
        (Either::Second(length), JointUnit::Metre) => (length.si, &length.written),
        (_, JointUnit::Radian) => {
            let message = format!("\"{name}\" is a hinge, which turns, but the value is a length");
            return Err(here.problem(Code::JointKind, message, "write an angle, such as \"30 deg\"").into());
        }
        (_, JointUnit::Metre) => {
            let message = format!("\"{name}\" slides, but the value is an angle");
            return Err(here.problem(Code::JointKind, message, "write a length, such as \"2 m\"").into());
        }
    };
    let range = allowed.machines[machine].ranges()[joint];
    if !allowed.bounded || range.contains(si) {
        return Ok(LessonJoint { machine, joint, value: si });
    }
    let words = match joints[joint].unit {
        JointUnit::Radian => degrees(&range),
        JointUnit::Metre => format!("{:.2} m to {:.2} m", range.low(), range.high()),
    };
    let message = format!("\"{name}\" at {written} is outside what the scenario allows, {words}");
    Err(here
        .problem(Code::LessonOutside, message, "show a value inside the working range, or widen \"working\"")
        .into())
}

fn degrees(range: &Interval) -> String {
    format!("{:.1} deg to {:.1} deg", range.low().to_degrees(), range.high().to_degrees())
}

fn check_weather(raw: &RawLessonWeather, allowed: &Allowed<'_>, here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    if !allowed.bounded {
        return problems;
    }
    let conditions = allowed.conditions;
    let mut outside = |key: &str, written: &str, words: String| {
        let message = format!("{written} is outside what the scenario's conditions allow, {words}");
        problems.add(here.key(key).problem(
            Code::LessonOutside,
            message,
            "show weather inside \"conditions\", or widen them",
        ));
    };
    let range = |range: &Interval, unit: &str| format!("{} {unit} to {} {unit}", range.low(), range.high());
    let (heat, wind) = (&conditions.temperature_degc, &conditions.wind_m_per_s);
    if let Some(t) = raw.conductor_temperature.as_ref().filter(|t| !heat.contains(t.si)) {
        outside("conductor_temperature", &t.written, range(heat, "degC"));
    }
    if let Some(v) = raw.wind_speed.as_ref().filter(|v| !wind.contains(v.si)) {
        outside("wind_speed", &v.written, range(wind, "m/s"));
    }
    if let Some(b) = raw.wind_from.as_ref().filter(|b| !conditions.wind_direction.holds(b.si)) {
        outside("wind_from", &b.written, "the sector of \"wind_from\"".into());
    }
    problems
}
