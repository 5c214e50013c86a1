//! One body of a machine, made ready for fast evaluation: its placed features and joint axes.

use nalgebra::{Isometry3, Point3, Vector3};

use super::hull::PlacedFeature;
use crate::interval::Interval;
use crate::machine::{Body, Feature, FrameId, MAX_JOINTS, Machine, Motion};

/// Values of the joints that a body depends on; unused places are zero.
pub type Joints = [f64; MAX_JOINTS];

/// A body with the frames and joints that it depends on.
pub struct Carried<'a> {
    body: &'a Body,
    /// Joint numbers of the machine, in order.
    joints: Vec<usize>,
    ranges: Vec<Interval>,
    frames: Vec<CarriedFrame<'a>>,
    features: Vec<CarriedFeature<'a>>,
}

struct CarriedFrame<'a> {
    frame: &'a crate::machine::Frame,
    parent: Option<usize>,
    joint: Option<usize>,
}

/// A feature and what moves it.
pub struct CarriedFeature<'a> {
    feature: &'a Feature,
    frame: usize,
    /// From the feature's frame up to the site: the joints and plumb points on the way.
    pub steps: Vec<Step>,
}

/// One joint or plumb point above a feature.
#[derive(Clone, Copy)]
pub enum Step {
    /// A hinge, by its joint.
    Hinge(usize),
    /// A slide, by its joint.
    Slide(usize),
    /// A plumb frame, by its index.
    Plumb(usize),
}

/// The body in one pose.
#[derive(Default)]
pub struct Posed {
    /// Its features.
    pub features: Vec<PlacedFeature>,
    frames: Vec<Isometry3<f64>>,
    /// Axis of each joint, site frame.
    pub axes: [Vector3<f64>; MAX_JOINTS],
    /// A point of each joint's axis, m.
    pub origins: [Point3<f64>; MAX_JOINTS],
}

impl Posed {
    /// Where a plumb frame hangs, m.
    pub fn hang_point(&self, frame: usize) -> Point3<f64> {
        self.frames[frame].translation.vector.into()
    }
}

impl<'a> Carried<'a> {
    /// Collects what a body of a machine depends on.
    pub fn new(machine: &'a Machine, body: &'a Body) -> Self {
        let joints = machine.joints_of(body);
        let all = machine.ranges();
        let mut needed: Vec<FrameId> = body.features.iter().flat_map(|f| machine.path(f.frame)).collect();
        needed.sort_unstable();
        needed.dedup();
        let local = |frame: FrameId| needed.iter().position(|f| *f == frame);
        let joint = |frame: FrameId| machine.joint_of(frame).and_then(|j| joints.iter().position(|k| *k == j));
        let frames = needed
            .iter()
            .map(|&id| {
                let frame = &machine.frames()[id.0];
                CarriedFrame { frame, parent: frame.parent.and_then(local), joint: joint(id) }
            })
            .collect::<Vec<_>>();
        let features = body
            .features
            .iter()
            .map(|feature| {
                let path = machine.path(feature.frame).filter_map(local);
                let steps = path.filter_map(|index| step(&frames[index], index)).collect();
                CarriedFeature { feature, frame: local(feature.frame).unwrap_or_default(), steps }
            })
            .collect();
        Self { body, ranges: joints.iter().map(|&j| all[j]).collect(), joints, frames, features }
    }

    /// The body.
    pub fn body(&self) -> &'a Body {
        self.body
    }

    /// Joint numbers of the machine that the body depends on.
    pub fn joints(&self) -> &[usize] {
        &self.joints
    }

    /// Its features, in order.
    pub fn features(&self) -> &[CarriedFeature<'a>] {
        &self.features
    }

    /// Working ranges of those joints.
    pub fn ranges(&self) -> &[Interval] {
        &self.ranges
    }

    /// Whether a joint turns; else it slides.
    pub fn is_hinge(&self, joint: usize) -> bool {
        self.frames.iter().any(|f| f.joint == Some(joint) && matches!(f.frame.motion, Motion::Hinge { .. }))
    }

    /// An empty place to pose the body in.
    pub fn blank(&self) -> Posed {
        Posed {
            features: Vec::with_capacity(self.features.len()),
            frames: Vec::with_capacity(self.frames.len()),
            ..Posed::default()
        }
    }

    /// Poses the body.
    pub fn pose(&self, values: &Joints, posed: &mut Posed) {
        posed.frames.clear();
        for carried in &self.frames {
            let parent = carried.parent.map_or(Isometry3::identity(), |p| posed.frames[p]);
            let place = carried.frame.place(&parent, carried.joint.map_or(0.0, |j| values[j]));
            posed.frames.push(place);
            if let (Some(joint), Motion::Hinge { axis, .. } | Motion::Slide { axis, .. }) =
                (carried.joint, carried.frame.motion)
            {
                posed.axes[joint] = place.rotation * axis.into_inner();
                posed.origins[joint] = place.translation.vector.into();
            }
        }
        posed.features.clear();
        for carried in &self.features {
            posed.features.push(PlacedFeature::new(carried.feature, &posed.frames[carried.frame]));
        }
    }

    /// A ball that holds the body in every pose: its centre and radius, m.
    pub fn reach(&self) -> (Point3<f64>, f64) {
        let root = self.frames.first().map_or(Point3::origin(), |f| f.frame.offset.translation.vector.into());
        let reach = |f: &CarriedFeature| {
            let path = std::iter::successors(Some(f.frame), |&i| self.frames[i].parent)
                .filter(|&i| self.frames[i].parent.is_some());
            let links: f64 = path
                .map(|i| self.frames[i].frame.offset.translation.vector.norm() + slide_m(&self.frames[i].frame.motion))
                .sum();
            links + f.feature.at.coords.norm() + f.feature.ring.map_or(0.0, |r| r.radius_m)
        };
        (root, self.features.iter().map(reach).fold(0.0, f64::max) + self.body.radius_m)
    }
}

fn step(carried: &CarriedFrame, index: usize) -> Option<Step> {
    match (carried.frame.motion, carried.joint) {
        (Motion::Hinge { .. }, Some(joint)) => Some(Step::Hinge(joint)),
        (Motion::Slide { .. }, Some(joint)) => Some(Step::Slide(joint)),
        (Motion::Plumb, _) => Some(Step::Plumb(index)),
        _ => None,
    }
}

fn slide_m(motion: &Motion) -> f64 {
    match motion {
        Motion::Slide { range_m, .. } => range_m.low().abs().max(range_m.high().abs()),
        _ => 0.0,
    }
}

/// Radius of a ball about the machine's place that holds all its bodies in every pose, m; more than needed, never less.
#[must_use]
pub fn reach_m(machine: &Machine) -> f64 {
    machine.bodies().iter().map(|body| Carried::new(machine, body).reach().1).fold(0.0, f64::max)
}
