//! One machine on the site: its description, its working ranges and allowances, its load, its place.

use std::collections::BTreeMap;

use nalgebra::Point3;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Frame, FrameRole, Machine, MachineError, Motion, Placement};
use wideberth_rules::{Crew, Work};

use super::sail;
use crate::code::Code;
use crate::context::Context;
use crate::defaults::{Defaults, HEADING_TOLERANCE_DEG, SETTING_OUT_M};
use crate::here::Here;
use crate::job::{JointInfo, JointUnit, Lift, LineInfo, MachineInfo};
use crate::machine::{
    Equipped, HungLoad, Joint, JointKind, JointRange, MachineModel, Named, Use, UseError, build, build_load,
    overrun_of, read_text,
};
use crate::nearest::suggestion;
use crate::problem::{Problem, Problems};
use crate::quantity::EitherSpan;
use crate::raw::{CrewWord, RawLift, RawMachineRef, RawPlacedMachine, WorkWord};

/// The machine for the physics and for reports.
pub(super) fn lower(
    (raw, load_m): (&RawPlacedMachine, Option<f64>),
    lines: &[LineInfo],
    context: &Context<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<(Machine, MachineInfo, MachineModel), Problems> {
    let model = model_of(&raw.machine, context, &here.key("machine"))?;
    let job = use_of((raw, load_m), &model, lines, here, defaults)?;
    let load = job.load.as_ref().and_then(HungLoad::length);
    let Equipped { frames, bodies, joints } = model
        .equip(&job)
        .map_err(|errors| errors.iter().map(|error| use_problem(error, here)).collect::<Problems>())?;
    let placement = placement_of(raw, here, defaults);
    let machine =
        Machine::new(raw.name.clone(), &placement, frames, bodies).map_err(|error| whole_problem(&error, here))?;
    let info = info_of(raw, &model, (&machine, &joints), placement.position, here, defaults);
    Ok((machine, MachineInfo { load, ..info }, model))
}

/// What hangs from a machine; none where nothing does.
pub(super) fn load_of(
    raw: &RawPlacedMachine,
    context: &Context<'_>,
    here: &Here<'_>,
) -> Result<Option<HungLoad>, Problems> {
    match &raw.load {
        Some(load) => Ok(Some(build_load(load, here.source, &here.key("load").path)?)),
        None => Ok(model_of(&raw.machine, context, &here.key("machine"))?.load),
    }
}

/// The joints of a machine and its load, for those who set stops on them.
pub(super) fn joints_of(
    raw: &RawPlacedMachine,
    context: &Context<'_>,
    here: &Here<'_>,
) -> Result<Vec<Joint>, Problems> {
    let model = model_of(&raw.machine, context, &here.key("machine"))?;
    let load = raw.load.as_ref().map(|load| build_load(load, here.source, &here.key("load").path)).transpose()?;
    model.joints_in(&Use { load, ..Use::default() }).map_err(|error| use_problem(&error, here).into())
}

/// The description of the machine.
pub(super) fn model_of(raw: &RawMachineRef, context: &Context<'_>, here: &Here<'_>) -> Result<MachineModel, Problems> {
    match raw {
        RawMachineRef::Library(id) => {
            let entry = context.machines.find(id).ok_or_else(|| {
                let ids: Vec<_> = context.machines.ids().collect();
                here.problem(Code::UnknownMachine, format!("the library has no machine \"{id}\""), suggestion(id, ids))
            })?;
            read_text(entry.text).map_err(|problems| problems.in_file(id))
        }
        RawMachineRef::File(reference) => {
            let name = &reference.file;
            let text = context.read(name).map_err(|why| {
                let message = format!("the machine file \"{name}\" cannot be read: {why}");
                here.key("file").problem(Code::File, message, "check the name, relative to the scenario's folder")
            })?;
            read_text(&text).map_err(|problems| problems.in_file(name))
        }
        RawMachineRef::Inline(machine) => build(machine, here.source, &here.path),
    }
}

/// Working ranges, allowances and load, with every name and kind checked.
fn use_of(
    (raw, load_m): (&RawPlacedMachine, Option<f64>),
    model: &MachineModel,
    lines: &[LineInfo],
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Use, Problems> {
    let load = raw.load.as_ref().map(|load| build_load(load, here.source, &here.key("load").path)).transpose()?;
    let load = load.as_ref().or(model.load.as_ref());
    let shorter = load.and_then(|load| load.shortened(load_m?));
    let load = match shorter.as_ref().or(load) {
        Some(load) => Some(sail::swung(load, model.load.as_ref(), lines, &here.key("load"), defaults)?),
        None => None,
    };
    let mut job = Use { load, ..Use::default() };
    let joints = model.joints_in(&job).map_err(|error| use_problem(&error, here))?;
    let mut problems = Problems::none();
    for (name, range) in &raw.working {
        let (range, kind) = span_of(range);
        let here = here.key("working").key(name);
        if problems.collect(joint_check(name, kind, &joints, &here)).is_some() {
            job.working.insert(name.clone(), range);
        }
    }
    for (name, overrun) in &raw.overrun {
        let (value, kind) = overrun_of(overrun);
        let here = here.key("overrun").key(name);
        if problems.collect(joint_check(name, kind, &joints, &here)).is_some() {
            job.overrun.insert(name.clone(), value);
        }
    }
    job.deflection = raw.deflection.iter().map(|(name, value)| (name.clone(), value.si)).collect::<BTreeMap<_, _>>();
    problems.into_result(job)
}

pub(super) fn span_of(
    range: &EitherSpan<crate::bounds::JointAngle, crate::bounds::JointTravel>,
) -> (Interval, JointKind) {
    match range {
        EitherSpan::First(angle) => (angle.si, JointKind::Hinge),
        EitherSpan::Second(length) => (length.si, JointKind::Slide),
    }
}

/// The machine has the joint, and it is of this kind.
fn joint_check(name: &str, kind: JointKind, joints: &[Joint], here: &Here<'_>) -> Result<(), Problems> {
    let names = || joints.iter().map(|joint| joint.name.as_str());
    match joints.iter().find(|joint| joint.name == name) {
        None => {
            let names: Vec<_> = names().collect();
            let message = format!("the machine has no joint \"{name}\"");
            Err(here.key_problem(Code::UnknownJoint, message, suggestion(name, names)).into())
        }
        Some(joint) if joint.kind != kind => {
            let (message, help) = match joint.kind {
                JointKind::Hinge => {
                    ("is a hinge, which turns, but the value is a length", "write angles, such as \"30 deg\"")
                }
                JointKind::Slide => ("slides, but the value is an angle", "write lengths, such as \"2 m\""),
            };
            Err(here.problem(Code::JointKind, format!("\"{name}\" {message}"), help).into())
        }
        Some(_) => Ok(()),
    }
}

/// A refusal of a use, at the value that causes it.
fn use_problem(error: &UseError, here: &Here<'_>) -> Problem {
    let name = error.name();
    let here = match error {
        UseError::Unknown { what: Named::HangPoint, .. } => here.key("load").key("hangs_from"),
        UseError::Unknown { what: Named::Body, .. } => here.key("deflection").key(name),
        UseError::Unknown { what: Named::Joint, .. } | UseError::OutsideOwnRange { .. } | UseError::FreeTurn { .. } => {
            here.key("working").key(name)
        }
        UseError::Allowance { what, .. } => here.key(what).key(name),
    };
    match error {
        UseError::Unknown { what: Named::Body | Named::Joint, .. } => {
            here.key_problem(error.code(), error.to_string(), error.help())
        }
        _ => here.problem(error.code(), error.to_string(), error.help()),
    }
}

pub(super) fn whole_problem(error: &MachineError, here: &Here<'_>) -> Problems {
    let code = if matches!(error, MachineError::Placement(_)) { Code::Placement } else { Code::Machine };
    here.problem(code, error.to_string(), "check the machine and how it is placed").into()
}

fn placement_of(raw: &RawPlacedMachine, here: &Here<'_>, defaults: &mut Defaults) -> Placement {
    let ground_m =
        defaults.take(raw.ground.as_ref(), &here.key("ground"), 0.0, "0 m", "level of the ground where it stands");
    let (slope_rad, downhill_rad) = raw.slope.as_ref().map_or_else(
        || {
            defaults.note(&here.key("slope"), "level", "the ground where it stands is level");
            (0.0, 0.0)
        },
        |slope| (slope.angle.si, slope.downhill.si),
    );
    let words = "how far it may stand from its place";
    let position_tolerance_m = defaults.take(
        raw.setting_out_tolerance.as_ref(),
        &here.key("setting_out_tolerance"),
        SETTING_OUT_M,
        "0.5 m",
        words,
    );
    let heading_tolerance_rad = defaults.take(
        raw.heading_tolerance.as_ref(),
        &here.key("heading_tolerance"),
        HEADING_TOLERANCE_DEG.to_radians(),
        "5 deg",
        "how far its heading may be off, either way",
    );
    Placement {
        position: Point3::new(raw.position[0].si, raw.position[1].si, ground_m),
        heading_rad: raw.heading.si,
        slope_rad,
        downhill_rad,
        position_tolerance_m,
        heading_tolerance_rad,
    }
}

fn info_of(
    raw: &RawPlacedMachine,
    model: &MachineModel,
    (machine, ranges): (&Machine, &[JointRange]),
    position: Point3<f64>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> MachineInfo {
    if raw.work.is_none() {
        defaults.note(&here.key("work"), "operate", "it works near the line");
    }
    if raw.crew.is_none() {
        defaults.note(&here.key("crew"), "ordinary", "people without electrical qualification");
    }
    for joint in model.joints().iter().filter(|joint| !raw.working.contains_key(&joint.name)) {
        let here = here.key("working").key(&joint.name);
        defaults.note(&here, &range_words(joint), "the machine's whole range of this joint");
    }
    MachineInfo {
        name: raw.name.clone(),
        id: model.id.clone(),
        title: model.title.clone(),
        about: model.about.clone(),
        sources: model.sources.clone(),
        work: work_of(raw.work.unwrap_or_default()),
        crew: crew_of(raw.crew.unwrap_or_default()),
        joints: joint_infos(machine, ranges),
        position,
        lift: raw.lift.as_ref().map(lift_of),
        ceiling_m: None,
        reach_m: None,
        load: None,
    }
}

fn lift_of(raw: &RawLift) -> Lift {
    Lift {
        mass_kg: raw.mass.si,
        sail_m2: raw.sail_area.si,
        shape: super::topple::shape_of(raw.shape),
        chart_wind_m_per_s: raw.chart_wind.si,
    }
}

fn range_words(joint: &Joint) -> String {
    match joint.kind {
        JointKind::Hinge => {
            format!("{:.1} deg to {:.1} deg", joint.range.low().to_degrees(), joint.range.high().to_degrees())
        }
        JointKind::Slide => format!("{:.2} m to {:.2} m", joint.range.low(), joint.range.high()),
    }
}

/// The joints of a placed machine: first those of its place, which nobody sets, then its own and its load's, in order.
fn joint_infos(machine: &Machine, ranges: &[JointRange]) -> Vec<JointInfo> {
    let mut ranges = ranges.iter();
    let frames = machine.movers().iter().map(|mover| &machine.frames()[mover.0]);
    let info = |frame: &Frame| {
        let unit = if matches!(frame.motion, Motion::Slide { .. }) { JointUnit::Metre } else { JointUnit::Radian };
        let places = matches!(frame.role, FrameRole::Place | FrameRole::Heading);
        let range = if places { None } else { ranges.next().cloned() };
        JointInfo { name: frame.name.clone(), role: frame.role, unit, range }
    };
    frames.map(info).collect()
}

/// The work as the rules name it.
fn work_of(word: WorkWord) -> Work {
    match word {
        WorkWord::Operate => Work::Operate,
        WorkWord::TravelUnder => Work::TravelUnder,
        WorkWord::Assemble => Work::Assemble,
        WorkWord::SiteStructure => Work::SiteStructure,
    }
}

/// The crew as the rules name it.
fn crew_of(word: CrewWord) -> Crew {
    match word {
        CrewWord::Ordinary => Crew::Ordinary,
        CrewWord::Qualified => Crew::Qualified,
    }
}

/// Least distance from a machine's reference point to a support, m, whatever its base.
const LEAST_BASE_M: f64 = 0.5;

/// Refuses a machine whose base covers a support.
pub(super) fn check_supports(
    info: &MachineInfo,
    model: &MachineModel,
    lines: &[LineInfo],
    here: &Here<'_>,
) -> Problems {
    let base_m = base_radius_m(model).max(LEAST_BASE_M);
    let mut problems = Problems::none();
    for line in lines {
        for support in &line.supports {
            let apart_m = (support.foot.xy() - info.position.xy()).norm();
            if apart_m < base_m {
                let message = format!(
                    "\"{}\" stands {apart_m:.2} m from the support \"{}\" of \"{}\", but its base reaches {base_m:.2} m around it",
                    info.name, support.name, line.name
                );
                problems.add(here.key("position").problem(
                    Code::MachineOnSupport,
                    message,
                    "check both positions and their units",
                ));
            }
        }
    }
    problems
}

/// Radius of a circle about the reference point that the parts on the ground cover for certain, m: the smallest reach
/// to a side of the part that reaches furthest on its smallest side.
fn base_radius_m(model: &MachineModel) -> f64 {
    let on_ground = model.parts.iter().filter(|part| part.body.features.iter().all(|feature| feature.frame.0 == 0));
    on_ground
        .map(|part| {
            let points = || part.body.features.iter().map(|feature| feature.at);
            let reach = |side: fn(&Point3<f64>) -> f64| points().map(|p| side(&p)).fold(f64::NEG_INFINITY, f64::max);
            [reach(|p| p.x), reach(|p| -p.x), reach(|p| p.y), reach(|p| -p.y)].into_iter().fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max)
}
