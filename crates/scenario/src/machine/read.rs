//! From a machine as written to a checked one: names, joints, hang points, allowances; all problems at once.

use wideberth_physics::machine::{Machine, Placement};

use super::equip::Use;
use super::frames::{FrameNames, GROUND, build_frames};
use super::load::build_load;
use super::model::{HangPoint, Joint, JointKind, MachineModel, Source as FigureSource};
use super::raw::{RawHangPoint, RawLoad, RawMachine, RawOverrun, RawSource};
use super::shapes::{Frames, build_parts, point};
use super::{hung, place::Place};
use crate::code::Code;
use crate::nearest::suggestion;
use crate::path::Path;
use crate::problem::Problems;
use crate::source::Source;
use crate::structure;

/// The format name of machine files.
pub const FORMAT: &str = "wideberth-machine";
/// The version of the format that is read.
pub const VERSION: u64 = 1;

/// Reads the text of a machine file.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read_text(text: &str) -> Result<MachineModel, Problems> {
    read_file(&Source::read(text)?)
}

/// Reads a machine file.
///
/// # Errors
/// Everything that is wrong with it.
pub fn read_file(source: &Source) -> Result<MachineModel, Problems> {
    structure::check_format(source, FORMAT, VERSION)?;
    let root = Path::root();
    let mut problems = Problems::none();
    for key in ["format", "version"].into_iter().filter(|key| source.get(&root.key(key)).is_none()) {
        let help = format!("add \"format\": \"{FORMAT}\", \"version\": {VERSION}");
        problems.add(source.problem(Code::MissingKey, &root, format!("the key \"{key}\" is missing"), help));
    }
    let raw = problems.collect(structure::read::<RawMachine>(source, &root));
    let model = raw.and_then(|raw| problems.collect(build(&raw, source, &root)));
    match model {
        Some(model) => problems.into_result(model),
        None => Err(problems),
    }
}

/// Checks a machine that stands at a path of a file: a machine file's root, or where a scenario writes it in place.
///
/// # Errors
/// Everything that is wrong with it.
pub fn build(raw: &RawMachine, source: &Source, at: &Path) -> Result<MachineModel, Problems> {
    let mut problems = Problems::none();
    let here = Place::new(source, at.clone());
    check_names(raw, &here, &mut problems);
    let names = FrameNames::of(&raw.frames);
    let frames = problems.collect(build_frames(&raw.frames, &here.key("frames")));
    let parts = problems.collect(build_parts(&raw.bodies, &here.key("bodies"), &Frames::Named(&names)));
    check_seats(raw, &here.key("bodies"), &mut problems);
    let hang_points = problems.collect(build_hang_points(raw, &here.key("hang_points"), &names));
    let load = raw.load.as_ref().and_then(|load| problems.collect(build_load(load, source, &here.key("load").path)));
    let joints: Option<Vec<_>> = frames.as_ref().map(|frames| frames.iter().filter_map(Joint::of).collect());
    let overrun = joints.and_then(|joints| problems.collect(build_overrun(raw, &here.key("overrun"), &joints)));
    problems.into_result(())?;
    let model = MachineModel {
        id: raw.id.trim().into(),
        title: raw.title.trim().into(),
        about: raw.about.clone().unwrap_or_default(),
        sources: raw.sources.iter().map(figure_source).collect(),
        overrun: overrun.unwrap_or_default(),
        frames: frames.unwrap_or_default(),
        parts: parts.unwrap_or_default(),
        hang_points: hang_points.unwrap_or_default(),
        load,
    };
    check_whole(&model, &here)?;
    Ok(model)
}

fn figure_source(raw: &RawSource) -> FigureSource {
    FigureSource { what: raw.what.clone(), source: raw.source.clone(), tag: raw.tag }
}

fn build_hang_points(raw: &RawMachine, here: &Place<'_>, names: &FrameNames) -> Result<Vec<HangPoint>, Problems> {
    let mut problems = Problems::none();
    let build = |(index, raw): (usize, &RawHangPoint)| {
        let here = here.index(index);
        let frame = problems.collect(names.find(raw.frame.as_deref(), &here.key("frame")))?;
        let deflection_m = raw.deflection.as_ref().map_or(0.0, |deflection| deflection.si);
        Some(HangPoint { name: raw.name.trim().into(), frame, at: point(raw.at.as_ref()), deflection_m })
    };
    let points: Vec<_> = raw.hang_points.iter().enumerate().filter_map(build).collect();
    problems.into_result(points)
}

fn build_overrun(raw: &RawMachine, here: &Place<'_>, joints: &[Joint]) -> Result<Vec<(String, f64)>, Problems> {
    let mut problems = Problems::none();
    for (name, value) in &raw.overrun {
        let here = here.key(name);
        match joints.iter().find(|joint| joint.name == *name) {
            None => problems.add(here.problem(
                Code::UnknownJoint,
                format!("the machine has no joint \"{name}\""),
                suggestion(name, joints.iter().map(|joint| joint.name.as_str())),
            )),
            Some(joint) if joint.kind != overrun_of(value).1 => {
                problems.add(here.problem(Code::JointKind, joint.kind.mismatch(name), joint.kind.wanted()));
            }
            Some(_) => {}
        }
    }
    problems.into_result(raw.overrun.iter().map(|(name, value)| (name.clone(), overrun_of(value).0)).collect())
}

/// The value of an overrun, rad or m, and the kind of joint that it suits.
#[must_use]
pub fn overrun_of(raw: &RawOverrun) -> (f64, JointKind) {
    match raw {
        RawOverrun::First(angle) => (angle.si, JointKind::Hinge),
        RawOverrun::Second(length) => (length.si, JointKind::Slide),
    }
}

/// Names must be unique, and not those of a hung load where one can hang.
fn check_names(raw: &RawMachine, here: &Place<'_>, problems: &mut Problems) {
    let reserved: &[&str] = if raw.hang_points.is_empty() { &[GROUND] } else { &RESERVED };
    unique(raw.frames.iter().map(|frame| frame.name.trim()), reserved, &here.key("frames"), problems);
    unique(raw.bodies.iter().map(|body| body.name.trim()), &[hung::ROPE], &here.key("bodies"), problems);
    unique(raw.hang_points.iter().map(|point| point.name.trim()), &[], &here.key("hang_points"), problems);
    if let Some(load) = &raw.load {
        check_load(raw, load, &here.key("load"), problems);
    }
}

/// One part at most carries the operator.
fn check_seats(raw: &RawMachine, here: &Place<'_>, problems: &mut Problems) {
    let seats = raw.bodies.iter().enumerate().filter(|(_, body)| body.seat == Some(true));
    for (index, _) in seats.skip(1) {
        let message = "another part has the operator's seat already";
        problems.add(here.index(index).key("seat").problem(Code::Needless, message, "keep one of them"));
    }
}

/// Names that no frame of a machine with hang points may bear.
const RESERVED: [&str; 7] = {
    let [a, b, c, d, e, f] = hung::LOAD_JOINTS;
    [GROUND, a, b, c, d, e, f]
};

pub(super) fn unique<'a>(
    names: impl Iterator<Item = &'a str>,
    reserved: &[&str],
    here: &Place<'_>,
    problems: &mut Problems,
) {
    let mut seen = Vec::new();
    for (index, name) in names.enumerate() {
        let at = here.index(index).key("name");
        if reserved.contains(&name) {
            let message = format!("the name \"{name}\" is taken: it has a meaning of its own");
            problems.add(at.problem(Code::DuplicateName, message, "give it another name"));
        } else if seen.contains(&name) {
            let message = format!("the name \"{name}\" stands twice");
            problems.add(at.problem(Code::DuplicateName, message, "give each a name of its own"));
        }
        seen.push(name);
    }
}

fn check_load(raw: &RawMachine, load: &RawLoad, here: &Place<'_>, problems: &mut Problems) {
    let (wanted, names) = (load.hangs_from.trim(), raw.hang_points.iter().map(|point| point.name.trim()));
    if !names.clone().any(|name| name == wanted) {
        let message = format!("the machine has no hang point \"{wanted}\"");
        problems.add(here.key("hangs_from").problem(Code::UnknownHangPoint, message, suggestion(wanted, names)));
    }
    for body in load.rigging.iter().chain(&load.bodies) {
        if raw.bodies.iter().any(|other| other.name.trim() == body.name.trim()) {
            let message = format!("a body of the load and one of the machine are both named \"{}\"", body.name.trim());
            problems.add(here.problem(Code::DuplicateName, message, "give each a name of its own"));
        }
    }
}

/// What only the whole shows: the physics accepts it, standing on level ground.
fn check_whole(model: &MachineModel, here: &Place<'_>) -> Result<(), Problems> {
    let refused = |why: String| Problems::from(here.problem(Code::Machine, why, "correct the part that is named"));
    let equipped = model
        .equip(&Use::default())
        .map_err(|errors| refused(errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")))?;
    Machine::new(&*model.id, &level(), equipped.frames, equipped.bodies).map_err(|error| refused(error.to_string()))?;
    Ok(())
}

fn level() -> Placement {
    Placement {
        position: nalgebra::Point3::origin(),
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m: 0.0,
        heading_tolerance_rad: 0.0,
    }
}
