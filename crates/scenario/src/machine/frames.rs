//! From frames as written to frames of the physics.

use nalgebra::{Isometry3, Translation3, Unit, UnitQuaternion, Vector3};
use wideberth_physics::machine::{Frame, FrameId, FrameRole, Motion};

use super::place::Place;
use super::raw::{AxisName, RawAxis, RawFrame, RawTurn};
use super::shapes::point;
use crate::code::Code;
use crate::nearest::suggestion;
use crate::problem::Problems;

/// Name of the frame in which a machine stands.
pub const GROUND: &str = "ground";

/// The names of the frames so far; the first one is the ground.
#[derive(Clone, Debug, Default)]
pub(super) struct FrameNames(Vec<String>);

impl FrameNames {
    /// The ground and all frames as written.
    pub(super) fn of(frames: &[RawFrame]) -> Self {
        Self(std::iter::once(GROUND.into()).chain(frames.iter().map(|frame| frame.name.trim().into())).collect())
    }

    /// The frame of a name; the ground where none is given.
    pub(super) fn find(&self, name: Option<&str>, here: &Place<'_>) -> Result<FrameId, Problems> {
        let name = name.unwrap_or(GROUND);
        self.0.iter().position(|known| known == name).map(FrameId).ok_or_else(|| {
            let message = format!("there is no frame \"{name}\" before this place");
            here.problem(Code::UnknownFrame, message, suggestion(name, self.0.iter().map(String::as_str))).into()
        })
    }
}

/// The ground and the frames as written.
pub(super) fn build_frames(raw: &[RawFrame], here: &Place<'_>) -> Result<Vec<Frame>, Problems> {
    let mut problems = Problems::none();
    let mut names = FrameNames::of(&[]);
    let (role, offset) = (FrameRole::Place, Isometry3::identity());
    let ground = Frame { name: GROUND.into(), role, parent: None, offset, motion: Motion::Fixed };
    let mut frames = vec![ground];
    for (index, raw) in raw.iter().enumerate() {
        frames.extend(problems.collect(build_frame(raw, &names, &here.index(index))));
        names.0.push(raw.name.trim().into());
    }
    problems.into_result(frames)
}

fn build_frame(raw: &RawFrame, names: &FrameNames, here: &Place<'_>) -> Result<Frame, Problems> {
    let mut problems = Problems::none();
    let parent = problems.collect(names.find(raw.on.as_deref(), &here.key("on")));
    let turn = problems.collect(fixed_turn(raw.turn.as_ref(), &here.key("turn"))).unwrap_or_default();
    let motion = problems.collect(motion(raw, here)).unwrap_or(Motion::Fixed);
    let offset = Isometry3::from_parts(Translation3::from(point(raw.at.as_ref())), turn);
    problems.into_result(Frame { name: raw.name.trim().into(), role: FrameRole::Part, parent, offset, motion })
}

fn fixed_turn(raw: Option<&RawTurn>, here: &Place<'_>) -> Result<UnitQuaternion<f64>, Problems> {
    let Some(turn) = raw else { return Ok(UnitQuaternion::identity()) };
    let axis = unit_axis(turn.axis, &here.key("axis"))?;
    Ok(UnitQuaternion::from_axis_angle(&axis, turn.angle.si))
}

fn motion(raw: &RawFrame, here: &Place<'_>) -> Result<Motion, Problems> {
    let plumb = raw.plumb.unwrap_or(false);
    match (&raw.hinge, &raw.slide, plumb) {
        (None, None, false) => Ok(Motion::Fixed),
        (None, None, true) => Ok(Motion::Plumb),
        (Some(hinge), None, false) => {
            let axis = unit_axis(hinge.axis, &here.key("hinge").key("axis"))?;
            Ok(Motion::Hinge { axis, range_rad: hinge.range.si })
        }
        (None, Some(slide), false) => {
            let axis = unit_axis(slide.axis, &here.key("slide").key("axis"))?;
            Ok(Motion::Slide { axis, range_m: slide.range.si })
        }
        _ => {
            let message = format!("the frame \"{}\" moves in several ways at once", raw.name);
            let help = "give one of \"hinge\", \"slide\", \"plumb\", and another frame on it for the next movement";
            Err(here.problem(Code::OneOf, message, help).into())
        }
    }
}

fn unit_axis(raw: RawAxis, here: &Place<'_>) -> Result<Unit<Vector3<f64>>, Problems> {
    match raw {
        RawAxis::Named(AxisName::X) => Ok(Vector3::x_axis()),
        RawAxis::Named(AxisName::Y) => Ok(Vector3::y_axis()),
        RawAxis::Named(AxisName::Z) => Ok(Vector3::z_axis()),
        RawAxis::Vector(numbers) => {
            let vector = Vector3::from(numbers.map(|number| number.value));
            Unit::try_new(vector, 1e-6).ok_or_else(|| {
                let help = "write \"x\", \"y\", \"z\", or three numbers that are not all 0";
                here.problem(Code::Machine, "the axis has no length, so it points nowhere", help).into()
            })
        }
    }
}
