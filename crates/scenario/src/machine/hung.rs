//! Lowering of a hung load: how it swings, pays out and turns below its hang point.

use std::f64::consts::{PI, TAU};

use nalgebra::{Isometry3, Point3, Unit, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::{Body, Feature, Frame, FrameId, Motion};

use super::model::{HangPoint, HungLoad, Part, Yaw};

/// Joint names of a hung load, which no frame of its machine may bear.
pub const LOAD_JOINTS: [&str; 6] = ["swing direction", "swing", "swing sideways", "swing fore and aft", "rope", "yaw"];

/// Name of the rope's body, which no other body may bear: its thickness is that of the load.
pub const ROPE: &str = "rope";

/// Frames and parts of a load below a hang point, for a machine that has `first` frames already.
///
/// A load that may turn freely swings in a cone: a direction all round, then an angle from plumb. One whose turn is held
/// swings about two crossed level axes instead, which leaves its bearing alone and holds the whole cone. Joints that
/// could change nothing are left out: no swing, or a round load that turns about its own axis.
#[must_use]
pub fn lowered(load: &HungLoad, point: &HangPoint, first: usize) -> (Vec<Frame>, Vec<Part>) {
    let mut chain = Chain::below(point, first);
    let top = chain.last();
    chain.swing(load);
    chain.slide("rope", -Vector3::z_axis(), load.rope_m);
    let hook = chain.last();
    chain.yaw(load);
    let carrier = chain.last();
    let rope = Part {
        body: Body::capsule(ROPE, (top, Point3::origin()), (hook, Point3::origin()), load.rope_radius_m),
        deflection_m: 0.0,
    };
    let parts = std::iter::once(rope).chain(load.parts.iter().map(|part| carried(part, carrier)));
    let moved = |part: Part| Part { deflection_m: part.deflection_m + point.deflection_m, ..part };
    (chain.frames, parts.map(moved).collect())
}

/// Frames, each on the one before.
struct Chain {
    frames: Vec<Frame>,
    first: usize,
}

impl Chain {
    fn below(point: &HangPoint, first: usize) -> Self {
        let offset = Isometry3::translation(point.at.x, point.at.y, point.at.z);
        let top = Frame { name: point.name.clone(), parent: Some(point.frame), offset, motion: Motion::Plumb };
        Self { frames: vec![top], first }
    }

    fn last(&self) -> FrameId {
        FrameId(self.first + self.frames.len() - 1)
    }

    fn push(&mut self, name: &str, motion: Motion) {
        let parent = Some(self.last());
        self.frames.push(Frame { name: name.into(), parent, offset: Isometry3::identity(), motion });
    }

    fn hinge(&mut self, name: &str, axis: Unit<Vector3<f64>>, range_rad: Option<Interval>) {
        if let Some(range_rad) = range_rad {
            self.push(name, Motion::Hinge { axis, range_rad });
        }
    }

    fn slide(&mut self, name: &str, axis: Unit<Vector3<f64>>, range_m: Interval) {
        self.push(name, Motion::Slide { axis, range_m });
    }

    fn swing(&mut self, load: &HungLoad) {
        let angle = load.swing_rad;
        match load.yaw {
            _ if angle == 0.0 => {}
            Yaw::Free => {
                self.hinge("swing direction", Vector3::z_axis(), Interval::new(-PI, PI).ok());
                self.hinge("swing", Vector3::x_axis(), Interval::new(0.0, angle).ok());
            }
            Yaw::Held(_) => {
                self.hinge("swing fore and aft", Vector3::x_axis(), Interval::new(-angle, angle).ok());
                self.hinge("swing sideways", Vector3::y_axis(), Interval::new(-angle, angle).ok());
            }
        }
    }

    fn yaw(&mut self, load: &HungLoad) {
        if load.parts.iter().all(|part| part.body.features.iter().all(round_about_rope)) {
            return;
        }
        let range = match load.yaw {
            Yaw::Free => Interval::new(-PI, PI).ok(),
            Yaw::Held(range) if range.width() > TAU => Interval::new(-PI, PI).ok(),
            Yaw::Held(range) => Some(range),
        };
        self.hinge("yaw", Vector3::z_axis(), range);
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
