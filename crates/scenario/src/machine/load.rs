//! From a hung load as written to a checked one.

use wideberth_physics::machine::BodyRole;
use wideberth_rules::{Shape, WindLoads};

use super::hung;
use super::model::{HungLoad, Sail, Yaw};
use super::place::Place;
use super::raw::{RawLoad, RawSail, RawYaw};
use super::read::unique;
use super::shapes::{Frames, build_parts};
use crate::code::Code;
use crate::path::Path;
use crate::problem::Problems;
use crate::source::Source;

/// Checks a load that stands at a path of a file. Whether its hang point exists shows when a machine is equipped with it.
///
/// # Errors
/// Everything that is wrong with it.
pub fn build_load(raw: &RawLoad, source: &Source, at: &Path) -> Result<HungLoad, Problems> {
    let mut problems = Problems::none();
    let here = Place::new(source, at.clone());
    let mut parts = Vec::new();
    let kinds = [("rigging", &raw.rigging, BodyRole::Rigging), ("bodies", &raw.bodies, BodyRole::Load)];
    for (key, bodies, role) in kinds {
        let here = here.key(key);
        unique(bodies.iter().map(|body| body.name.trim()), &[hung::ROPE], &here, &mut problems);
        parts.extend(problems.collect(build_parts(bodies, &here, &Frames::Load(role))).unwrap_or_default());
    }
    let rigging = |name: &str| raw.rigging.iter().any(|body| body.name.trim() == name);
    if let Some(body) = raw.bodies.iter().find(|body| rigging(body.name.trim())) {
        let message = format!("rigging and load both have a body \"{}\"", body.name.trim());
        problems.add(here.problem(Code::DuplicateName, message, "give each a name of its own"));
    }
    if raw.swing.is_none() && raw.sail.is_none() {
        let help = "give \"swing\", or \"sail\" with area and mass, from which the wind's swing follows";
        problems.add(here.problem(
            Code::MissingKey,
            "neither \"swing\" nor \"sail\" says how far the load swings",
            help,
        ));
    }
    let yaw = match &raw.yaw {
        None | Some(RawYaw::Word(_)) => Yaw::Free,
        Some(RawYaw::Held(range)) => Yaw::Held(range.si),
    };
    problems.into_result(HungLoad {
        name: raw.name.trim().into(),
        hangs_from: raw.hangs_from.trim().into(),
        rope_m: raw.rope.si,
        rope_radius_m: raw.rope_radius.si,
        swing_rad: raw.swing.as_ref().map_or(0.0, |swing| swing.si),
        swing_stated: raw.swing.is_some(),
        sail: raw.sail.as_ref().map(sail),
        yaw,
        parts,
        rigging: raw.rigging.len(),
    })
}

/// A drag that is not stated is that of a load of unknown shape, from the table that the lifting wind takes as well.
fn sail(raw: &RawSail) -> Sail {
    let printed = || WindLoads::embedded().lifting_drag(Shape::Unknown).map_or(f64::INFINITY, |row| row.drag);
    let drag = raw.drag.map_or_else(printed, |drag| drag.value);
    Sail { area_m2: raw.area.si, drag, mass_kg: raw.mass.si }
}
