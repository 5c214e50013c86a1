//! Lowering of a hung load: how it swings, pays out and turns below its hang point.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, BodyRole, Feature, Frame, FrameId, FrameRole, Motion};

use super::model::{HangPoint, HungLoad, Part, Yaw};

/// Joint names of a hung load, which no frame of its machine may bear.
pub const LOAD_JOINTS: [&str; 6] = ["swing direction", "swing", "swing sideways", "swing fore and aft", "rope", "yaw"];

/// Name of the rope's body, which no other body may bear: its thickness is that of the load.
pub const ROPE: &str = "rope";

/// Frames and parts of a load below a hang point, for a machine that has `first` frames already.
///
/// A load that may turn freely swings in a cone: a direction all round, then an angle from plumb. One whose bearing is held
/// swings about two crossed axes that are level and lie along and across the middle of its bearings, and then turns about
/// its rope. Joints that could change nothing are left out: no swing, or a round load that turns about its own axis. Both
/// hold every state, as `docs/theory/hung-loads.md` proves.
#[must_use]
pub fn lowered(load: &HungLoad, point: &HangPoint, first: usize) -> (Vec<Frame>, Vec<Part>) {
    let mut chain = Chain::below(point, first);
    let top = chain.last();
    chain.swing(load);
    chain.slide((ROPE, FrameRole::Rope), -Vector3::z_axis(), load.rope_m);
    let hook = chain.last();
    chain.yaw(load);
    let carrier = chain.last();
    let rope = Part {
        body: Body::capsule(ROPE, (top, Point3::origin()), (hook, Point3::origin()), load.rope_radius_m)
            .as_role(BodyRole::Rope),
        deflection_m: 0.0,
    };
    let parts = std::iter::once(rope).chain(load.parts.iter().map(|part| carried(part, carrier)));
    let moved = |part: Part| Part { deflection_m: part.deflection_m + point.deflection_m, ..part };
    (chain.frames, parts.map(moved).collect())
}

/// Where the bearing of a load is held: the bearings of its y axis, rad from north, positive to the left; none where it may
/// turn all round, or leans so far that the proof of a held bearing finds no end.
fn held_rad(load: &HungLoad) -> Option<Interval> {
    match load.yaw {
        Yaw::Held(bearings) if bearings.width() < TAU && least_cosine(load.swing_rad) > 0.0 => Some(bearings),
        Yaw::Held(_) | Yaw::Free => None,
    }
}

/// Whether tag lines hold the bearing of a load.
pub fn is_held(load: &HungLoad) -> bool {
    held_rad(load).is_some()
}

/// How much farther than its bearings a load may turn about its leaning rope, rad: with the rope out of plumb by β and
/// bearings within r of their middle, tan δ ≤ s·(1 − cos β + s·m) / (cos β − m/2) with s = sin r and m = sin²β / (2·cos β)
/// (`docs/theory/hung-loads.md`, section 3).
pub fn turn_beyond_rad(load: &HungLoad) -> f64 {
    let Some(bearings) = held_rad(load) else { return 0.0 };
    let sin = bearings.half_width().min(FRAC_PI_2).sin();
    let most = 1.0 - load.swing_rad.cos() + sin * crossed(load.swing_rad);
    (sin * most / least_cosine(load.swing_rad)).atan()
}

/// m of the bound above: |sin a · sin b| is at most this for the two angles of any rope within the cone.
fn crossed(swing_rad: f64) -> f64 {
    let (sin, cos) = swing_rad.sin_cos();
    sin * sin / (2.0 * cos)
}

fn least_cosine(swing_rad: f64) -> f64 {
    swing_rad.cos() - 0.5 * crossed(swing_rad)
}

/// Frames, each on the one before.
struct Chain {
    frames: Vec<Frame>,
    first: usize,
}

impl Chain {
    fn below(point: &HangPoint, first: usize) -> Self {
        let offset = Isometry3::translation(point.at.x, point.at.y, point.at.z);
        let (role, parent) = (FrameRole::HangPoint, Some(point.frame));
        let top = Frame { name: point.name.clone(), role, parent, offset, motion: Motion::Plumb };
        Self { frames: vec![top], first }
    }

    fn last(&self) -> FrameId {
        FrameId(self.first + self.frames.len() - 1)
    }

    fn push(&mut self, (name, role): (&str, FrameRole), turn_rad: f64, motion: Motion) {
        let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), turn_rad);
        let offset = Isometry3::from_parts(Translation3::identity(), turn);
        self.frames.push(Frame { name: name.into(), role, parent: Some(self.last()), offset, motion });
    }

    fn swing_hinge(&mut self, name: &str, axis: Unit<Vector3<f64>>, (low, high): (f64, f64), turn_rad: f64) {
        if let Ok(range_rad) = Interval::new(low, high) {
            self.push((name, FrameRole::Swing), turn_rad, Motion::Hinge { axis, range_rad });
        }
    }

    fn slide(&mut self, label: (&str, FrameRole), axis: Unit<Vector3<f64>>, range_m: Interval) {
        self.push(label, 0.0, Motion::Slide { axis, range_m });
    }

    fn swing(&mut self, load: &HungLoad) {
        let angle = load.swing_rad;
        match held_rad(load) {
            _ if angle == 0.0 => {}
            None => {
                self.swing_hinge("swing direction", Vector3::z_axis(), (-PI, PI), 0.0);
                self.swing_hinge("swing", Vector3::x_axis(), (0.0, angle), 0.0);
            }
            Some(bearings) => {
                self.swing_hinge("swing fore and aft", Vector3::x_axis(), (-angle, angle), bearings.center());
                self.swing_hinge("swing sideways", Vector3::y_axis(), (-angle, angle), 0.0);
            }
        }
    }

    fn yaw(&mut self, load: &HungLoad) {
        if load.parts.iter().all(|part| part.body.features.iter().all(round_about_rope)) {
            return;
        }
        let bearings = held_rad(load);
        // The swing has turned to the middle of the bearings already; the joint's value is the bearing itself.
        let turned_rad = bearings.filter(|_| load.swing_rad > 0.0).map_or(0.0, |bearings| bearings.center());
        if let Some(range_rad) = bearings.or_else(|| Interval::new(-PI, PI).ok()) {
            let motion = Motion::Hinge { axis: Vector3::z_axis(), range_rad };
            self.push(("yaw", FrameRole::Yaw), -turned_rad, motion);
        }
    }
}

/// Whether turning about the rope leaves a feature where it is.
fn round_about_rope(feature: &Feature) -> bool {
    let along = |axis: Vector3<f64>| axis.x == 0.0 && axis.y == 0.0;
    along(feature.at.coords) && feature.ring.is_none_or(|ring| along(ring.axis.into_inner()))
}

fn carried(part: &Part, carrier: FrameId) -> Part {
    let mut part = part.clone();
    part.body.features.iter_mut().for_each(|feature| feature.frame = carrier);
    part
}
