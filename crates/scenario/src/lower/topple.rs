//! Structures that may topple: lowered to machines that fall to any side, so that the search finds how close they come.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Isometry3, Point3, Vector3};
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};
use wideberth_rules::{Crew, Shape, Work};

use crate::code::Code;
use crate::defaults::{Defaults, SETTING_OUT_M};
use crate::here::Here;
use crate::job::{JointInfo, JointUnit, MachineInfo, Topple};
use crate::problem::Problems;
use crate::raw::{RawTopple, ShapeWord};

/// Id under which reports list a structure that may topple.
pub(super) const ID: &str = "structure-that-may-topple";

/// The structure as a machine for the physics, and for reports.
///
/// It turns to any side (first joint) and falls over the edge of its base there (second joint), from upright to lying.
/// Without a round base the nearest edge is closer than the farthest corner: the body is thickened by the most that this
/// moves any point, (r − p)·√2 with the corner's radius r and the edge's distance p.
pub(super) fn lower(
    raw: &RawTopple,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<(Machine, MachineInfo), Problems> {
    let placement = placement(raw, here, defaults);
    let (radius_m, edge_m) = base_m(raw);
    let turn = Motion::Hinge { axis: Vector3::z_axis(), range_rad: super::wire::interval(-PI, PI, here)? };
    let fall = Motion::Hinge { axis: Vector3::x_axis(), range_rad: super::wire::interval(-FRAC_PI_2, 0.0, here)? };
    let frame = |name: &str, parent, offset, motion| {
        let role = FrameRole::Part;
        Frame { name: name.into(), role, parent, offset, motion }
    };
    let frames = vec![
        frame("direction", None, Isometry3::identity(), turn),
        frame("fall", Some(FrameId(0)), Isometry3::translation(0.0, radius_m, 0.0), fall),
    ];
    let (foot, top) = (Point3::new(0.0, -radius_m, 0.0), Point3::new(0.0, -radius_m, raw.height.si));
    let body = Body::frustum(raw.name.clone(), FrameId(1), (foot, radius_m), (top, radius_m))
        .thickened((radius_m - edge_m) * std::f64::consts::SQRT_2);
    let machine = Machine::new(raw.name.clone(), &placement, frames, vec![body])
        .map_err(|error| here.problem(Code::Machine, error.to_string(), "check its sizes"))?;
    let info = info(raw, &machine, placement.position);
    Ok((machine, info))
}

/// Radius of the base's farthest corner and distance of its nearest edge, m.
fn base_m(raw: &RawTopple) -> (f64, f64) {
    let narrow_m = narrow_m(raw);
    match raw.shape {
        ShapeWord::Cylinder => (0.5 * raw.width.si, 0.5 * raw.width.si),
        ShapeWord::Box | ShapeWord::Unknown => (0.5 * raw.width.si.hypot(narrow_m), 0.5 * narrow_m),
    }
}

fn narrow_m(raw: &RawTopple) -> f64 {
    raw.narrow_width.as_ref().map_or(raw.width.si, |width| width.si)
}

fn placement(raw: &RawTopple, here: &Here<'_>, defaults: &mut Defaults) -> Placement {
    let ground_m =
        defaults.take(raw.ground.as_ref(), &here.key("ground"), 0.0, "0 m", "level of the ground where it stands");
    let position_tolerance_m = defaults.take(
        raw.setting_out_tolerance.as_ref(),
        &here.key("setting_out_tolerance"),
        SETTING_OUT_M,
        "0.5 m",
        "how far it may stand from its place",
    );
    Placement {
        position: Point3::new(raw.position[0].si, raw.position[1].si, ground_m),
        heading_rad: 0.0,
        slope_rad: 0.0,
        downhill_rad: 0.0,
        position_tolerance_m,
        heading_tolerance_rad: 0.0,
    }
}

fn info(raw: &RawTopple, machine: &Machine, position: Point3<f64>) -> MachineInfo {
    let joint = |id: &FrameId| {
        let Frame { name, role, .. } = &machine.frames()[id.0];
        JointInfo { name: name.clone(), role: *role, unit: JointUnit::Radian, range: None }
    };
    MachineInfo {
        name: raw.name.clone(),
        id: ID.into(),
        title: "a structure that may topple to any side".into(),
        about: "Falls over the edge of its base, to any side.".into(),
        sources: Vec::new(),
        work: Work::Operate,
        crew: Crew::Ordinary,
        joints: machine.movers().iter().map(joint).collect(),
        position,
        lift: None,
        ceiling_m: None,
        reach_m: None,
        load: None,
    }
}

/// What the wind is computed from.
pub(super) fn topple(raw: &RawTopple, machine: Option<usize>, here: &Here<'_>) -> Result<Topple, Problems> {
    let narrow_m = narrow_m(raw);
    let off_m = raw.eccentricity.as_ref().map_or(0.0, |length| length.si.abs());
    if narrow_m > raw.width.si {
        let message = format!("the narrow width {narrow_m} m is wider than the width {} m", raw.width.si);
        return Err(here.key("narrow_width").problem(Code::ImpossibleShape, message, "swap them").into());
    }
    if off_m >= 0.5 * narrow_m {
        let message =
            format!("with its mass {off_m} m off the middle, the structure stands on no base: it falls without wind");
        let help = "give less than half of its narrower width";
        return Err(here.key("eccentricity").problem(Code::ImpossibleShape, message, help).into());
    }
    Ok(Topple {
        name: raw.name.clone(),
        machine,
        width_m: raw.width.si,
        lever_m: 0.5 * narrow_m - off_m,
        height_m: raw.height.si,
        mass_kg: raw.mass.si,
        shape: shape_of(raw.shape),
    })
}

/// The shape as the published drags name it.
pub(super) fn shape_of(word: ShapeWord) -> Shape {
    match word {
        ShapeWord::Cylinder => Shape::Cylinder,
        ShapeWord::Box => Shape::Box,
        ShapeWord::Unknown => Shape::Unknown,
    }
}
