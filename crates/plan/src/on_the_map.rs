//! How close a machine comes to a wire on the map, whatever their heights: for distances that a rule measures along the ground.

use nalgebra::{Isometry3, Point3};
use wideberth_physics::approach::{Options, closest_approach, reach_m};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::line::Wire;
use wideberth_physics::machine::{Body, Frame, FrameId, FrameRole, Machine, Motion, Placement};

use crate::decide::PlanError;

/// Nothing on a site is higher or lower than this beside the machine, m.
const TALL_M: f64 = 900.0;

/// A bracket of the least distance on the map between everything that the machine can reach and the wire. The machine is
/// taken as the upright cylinder about its reference point that holds it in every pose, so that the lower end holds; the
/// upper end is that of the cylinder, which the machine need not fill.
///
/// # Errors
/// When a search cannot run.
pub fn on_the_map(machine: &Machine, wire: &Wire, options: &Options) -> Result<Bracket, PlanError> {
    let reach_m = reach_m(machine);
    let end = |z: f64| (Point3::new(0.0, 0.0, z), reach_m);
    let column = Body::frustum("everything within reach", FrameId(0), end(-TALL_M), end(TALL_M));
    let frame = Frame {
        name: "place".into(),
        role: FrameRole::Part,
        parent: None,
        offset: Isometry3::identity(),
        motion: Motion::Fixed,
    };
    let held = Machine::new(machine.name(), &Placement::level(machine.position()), vec![frame], vec![column])?;
    Ok(closest_approach(&held, wire, options)?.distance)
}
