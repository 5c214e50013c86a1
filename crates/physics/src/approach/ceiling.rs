//! A height that a control leaves to a machine: poses in which some part is certainly higher are left out.
//!
//! A cell is left out when one point of the machine, taken as low as every tolerance allows, lies above the ceiling in all
//! of its poses. A trial counts when no such point lies above it. Both look only at points that the joints of the body in
//! question decide, so that less is left out than could be: the lower end holds all the same.

use nalgebra::Vector3;

use super::bound::ROUNDING_PAD_M;
use super::posed::{Carried, Joints, Posed};
use super::support::support;
use crate::machine::{Body, Machine};

/// Each point of a machine as a body of its own; its radius is what surely rises above the point, negative where
/// allowances are larger than the part is thick.
pub struct Tops(Vec<(Body, f64)>);

impl Tops {
    /// The points of all bodies. A ring counts by its middle.
    pub fn of(machine: &Machine) -> Self {
        let tops = machine.bodies().iter().flat_map(|body| {
            // The part is thick by its radius less allowances, and may sit lower by the allowances again.
            let above_m = body.radius_m - 2.0 * body.allowance_m;
            let point = |feature: &crate::machine::Feature| Body {
                name: body.name.clone(),
                features: vec![crate::machine::Feature { ring: None, ..*feature }],
                radius_m: 0.0,
                allowance_m: 0.0,
            };
            body.features.iter().map(move |feature| (point(feature), above_m))
        });
        Self(tops.collect())
    }
}

/// The ceiling as it concerns one body: the points that its joints alone decide.
pub struct Ceiling<'a> {
    ceiling_m: f64,
    points: Vec<CeilingPoint<'a>>,
}

struct CeilingPoint<'a> {
    carried: Carried<'a>,
    /// For each of its joints, which one it is among the joints of the body in question.
    joints: Vec<usize>,
    above_m: f64,
}

impl<'a> Ceiling<'a> {
    /// The ceiling of a machine for one of its bodies; none where it has no ceiling.
    pub fn of(machine: &'a Machine, tops: &'a Tops, body: &Carried<'_>) -> Option<Self> {
        let ceiling_m = machine.ceiling_m()?;
        let points = tops.0.iter().filter_map(|(top, above_m)| {
            let carried = Carried::new(machine, top);
            let local = |joint: &usize| body.joints().iter().position(|own| own == joint);
            let joints = carried.joints().iter().map(local).collect::<Option<Vec<_>>>()?;
            Some(CeilingPoint { carried, joints, above_m: *above_m })
        });
        Some(Self { ceiling_m, points: points.collect() })
    }

    /// Whether some point lies above the ceiling in every pose of a box.
    pub fn excludes(&self, center: &Joints, half: &Joints) -> bool {
        self.points.iter().any(|point| point.lowest_m(center, half) > self.ceiling_m + ROUNDING_PAD_M)
    }

    /// Whether no point lies above the ceiling in a pose.
    pub fn admits(&self, joints: &Joints) -> bool {
        self.points.iter().all(|point| point.height_m(joints) <= self.ceiling_m)
    }
}

impl CeilingPoint<'_> {
    fn own(&self, joints: &Joints) -> Joints {
        let mut own = Joints::default();
        own.iter_mut().zip(&self.joints).for_each(|(own, &joint)| *own = joints[joint]);
        own
    }

    fn posed(&self, joints: &Joints) -> Posed {
        let mut posed = self.carried.blank();
        self.carried.pose(joints, &mut posed);
        posed
    }

    /// Proven: in no pose of the box does the point lie lower, m.
    fn lowest_m(&self, center: &Joints, half: &Joints) -> f64 {
        let (center, half) = (self.own(center), self.own(half));
        support(&self.carried, &self.posed(&center), &half, &Vector3::z()).lower_m + self.above_m
    }

    fn height_m(&self, joints: &Joints) -> f64 {
        let posed = self.posed(&self.own(joints));
        posed.features.first().map_or(f64::NEG_INFINITY, |feature| feature.at.z) + self.above_m
    }
}
