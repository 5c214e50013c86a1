//! From bodies as written to bodies of the physics.

use nalgebra::Point3;
use wideberth_physics::machine::{Body, BodyRole, FrameId};

use super::frames::FrameNames;
use super::model::Part;
use super::place::Place;
use super::raw::{RawBody, RawEnd, RawFrustum, RawPoint};
use crate::code::Code;
use crate::problem::Problems;

/// Shorter than this, m, and a cylinder has no axis.
const LEAST_LENGTH_M: f64 = 1e-3;

/// In which frames bodies may sit.
pub(super) enum Frames<'a> {
    /// In those of a machine, the ground unless they say otherwise.
    Named(&'a FrameNames),
    /// In that of a load, which has no name.
    Load(BodyRole),
}

impl Frames<'_> {
    fn find(&self, name: Option<&str>, here: &Place<'_>) -> Result<FrameId, Problems> {
        match (self, name) {
            (Self::Named(names), name) => names.find(name, here),
            (Self::Load(_), None) => Ok(FrameId(0)),
            (Self::Load(_), Some(_)) => {
                let message = "the bodies of a load all sit in its own frame: origin at the hook, z up along the rope";
                Err(here.problem(Code::Needless, message, "remove the key \"frame\"").into())
            }
        }
    }
}

impl Frames<'_> {
    /// What a body is, by where it stands and what it says.
    fn role(&self, raw: &RawBody, here: &Place<'_>) -> Result<BodyRole, Problems> {
        match (self, raw.seat.unwrap_or(false)) {
            (Self::Named(_), true) => Ok(BodyRole::Seat),
            (Self::Named(_), false) => Ok(BodyRole::Part),
            (Self::Load(role), false) => Ok(*role),
            (Self::Load(_), true) => {
                let message = "no operator sits in what hangs on the rope";
                Err(here.key("seat").problem(Code::Needless, message, "remove the key \"seat\"").into())
            }
        }
    }
}

/// Bodies with their deflection.
pub(super) fn build_parts(raw: &[RawBody], here: &Place<'_>, frames: &Frames<'_>) -> Result<Vec<Part>, Problems> {
    let mut problems = Problems::none();
    let build = |(index, raw): (usize, &RawBody)| {
        let here = here.index(index);
        let role = problems.collect(frames.role(raw, &here))?;
        let body = problems.collect(build_body(raw, &here, frames))?.as_role(role);
        Some(Part { body, deflection_m: raw.deflection.as_ref().map_or(0.0, |deflection| deflection.si) })
    };
    let parts: Vec<_> = raw.iter().enumerate().filter_map(build).collect();
    problems.into_result(parts)
}

fn build_body(raw: &RawBody, here: &Place<'_>, frames: &Frames<'_>) -> Result<Body, Problems> {
    let name = raw.name.trim();
    if let Some(sphere) = &raw.sphere {
        let frame = frames.find(sphere.frame.as_deref(), &here.key("sphere").key("frame"))?;
        return Ok(Body::sphere(name, frame, point(sphere.at.as_ref()), sphere.radius.si));
    }
    if let Some(capsule) = &raw.capsule {
        let here = here.key("capsule");
        let ends = [(&capsule.from, "from"), (&capsule.to, "to")].map(|(end, key)| place(end, &here.key(key), frames));
        let [from, to] = ends;
        return Ok(Body::capsule(name, from?, to?, capsule.radius.si));
    }
    if let Some(cuboid) = &raw.cuboid {
        let frame = frames.find(cuboid.frame.as_deref(), &here.key("box").key("frame"))?;
        return Ok(Body::cuboid(name, frame, point(Some(&cuboid.from)), point(Some(&cuboid.to))));
    }
    if let Some(cylinder) = &raw.cylinder {
        let same = RawFrustum {
            frame: cylinder.frame.clone(),
            from: cylinder.from.clone(),
            to: cylinder.to.clone(),
            from_radius: cylinder.radius.clone(),
            to_radius: cylinder.radius.clone(),
        };
        return build_frustum(name, &same, &here.key("cylinder"), frames);
    }
    if let Some(frustum) = &raw.frustum {
        return build_frustum(name, frustum, &here.key("frustum"), frames);
    }
    if let Some(points) = &raw.points {
        let frame = frames.find(points.frame.as_deref(), &here.key("points").key("frame"))?;
        let at: Vec<_> = points.at.iter().map(|at| point(Some(at))).collect();
        let radius_m = points.radius.as_ref().map_or(0.0, |radius| radius.si);
        return Ok(Body::convex(name, frame, &at).thickened(radius_m));
    }
    Err(here.problem(Code::OneOf, format!("the body \"{name}\" has no shape"), "give exactly one shape").into())
}

fn place(raw: &RawEnd, here: &Place<'_>, frames: &Frames<'_>) -> Result<(FrameId, Point3<f64>), Problems> {
    Ok((frames.find(raw.frame.as_deref(), &here.key("frame"))?, point(raw.at.as_ref())))
}

fn build_frustum(name: &str, raw: &RawFrustum, here: &Place<'_>, frames: &Frames<'_>) -> Result<Body, Problems> {
    let frame = frames.find(raw.frame.as_deref(), &here.key("frame"))?;
    let (from, to) = (point(Some(&raw.from)), point(Some(&raw.to)));
    if (to - from).norm() < LEAST_LENGTH_M {
        let message = format!("both ends of \"{name}\" lie at the same place, so it has no axis");
        return Err(here.problem(Code::Machine, message, "move one of them, or use a sphere").into());
    }
    if raw.from_radius.si == 0.0 && raw.to_radius.si == 0.0 {
        let message = format!("\"{name}\" has radius 0 at both ends, so it has no thickness");
        return Err(here.problem(Code::Machine, message, "give a radius, or use a capsule for a thin rod").into());
    }
    Ok(Body::frustum(name, frame, (from, raw.from_radius.si), (to, raw.to_radius.si)))
}

/// A point in m; the origin where none is given.
pub(super) fn point(raw: Option<&RawPoint>) -> Point3<f64> {
    raw.map_or_else(Point3::origin, |[x, y, z]| Point3::new(x.si, y.si, z.si))
}
