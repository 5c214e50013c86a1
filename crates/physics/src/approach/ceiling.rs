//! A height that a control leaves to a machine: poses in which some part is certainly higher are left out.
//!
//! A cell is left out when one point of the machine, taken as low as every tolerance allows, lies above the ceiling in all
//! of its poses. A trial counts when no such point lies above it. Both look only at points that the joints of the body in
//! question decide, so that less is left out than could be: the lower end holds all the same. For a cell that the ceiling
//! cuts, a multiplier λ ≥ 0 makes a bound of its own: z ≤ H for each point p of the body, so
//! n·p ≥ (n + λ·ẑ)·p − λ·H. With λ = −n_z the height of the body plays no part in it any more.

use std::collections::BTreeMap;

use nalgebra::Vector3;

use super::bound::ROUNDING_PAD_M;
use super::hull::PlacedFeature;
use super::posed::{Carried, Joints, Posed};
use super::support::{Support, feature_support, support};
use crate::machine::{Body, Machine};

/// Directions with a smaller level part than this count as straight down.
const LEAST_SHARE: f64 = 1e-12;

/// Nothing on a site lies farther than this from its origin, m.
const FARTHEST_M: f64 = 2e5;

/// Steps on the way to the ceiling at most.
const STEPS: usize = 9;

/// A pose so close below the ceiling will do, m.
const CLOSE_ENOUGH_M: f64 = 1e-4;

/// The points of a machine, those of a body that the same joints move as one part; with each part what surely rises above
/// its points, negative where allowances are larger than the body is thick.
#[derive(Default)]
pub struct Tops(Vec<(Body, f64)>);

impl Tops {
    /// The points and rings of all bodies.
    pub fn of(machine: &Machine) -> Self {
        let tops = machine.bodies().iter().flat_map(|body| {
            let above_m = above_m(body);
            parts(machine, body).into_iter().map(move |part| (part, above_m))
        });
        Self(tops.collect())
    }
}

/// The points of a body by the joints that move them.
fn parts(machine: &Machine, body: &Body) -> Vec<Body> {
    let mut parts: BTreeMap<Vec<usize>, Body> = BTreeMap::new();
    for feature in &body.features {
        let alone = Body { name: body.name.clone(), features: vec![*feature], radius_m: 0.0, allowance_m: 0.0 };
        let joints = machine.joints_of(&alone);
        parts.entry(joints).and_modify(|part| part.features.push(*feature)).or_insert(alone);
    }
    parts.into_values().collect()
}

/// What surely rises above a point of a body, m: it is thick by its radius less allowances, and may sit lower by the
/// allowances again.
fn above_m(body: &Body) -> f64 {
    body.radius_m - 2.0 * body.allowance_m
}

/// The ceiling as it concerns one body: the points that its joints alone decide.
pub struct Ceiling<'a> {
    ceiling_m: f64,
    /// The height that it leaves to the points of the body in question, m.
    own_m: f64,
    parts: Vec<CeilingPart<'a>>,
}

/// Points that the same joints move.
struct CeilingPart<'a> {
    carried: Carried<'a>,
    /// For each of its joints, which one it is among the joints of the body in question.
    joints: Vec<usize>,
    above_m: f64,
}

impl<'a> Ceiling<'a> {
    /// The ceiling of a machine for one of its bodies; none where it has no ceiling.
    pub fn of(machine: &'a Machine, tops: &'a Tops, body: &Carried<'_>) -> Option<Self> {
        let ceiling_m = machine.ceiling_m()?;
        let parts = tops.0.iter().filter_map(|(top, above_m)| {
            let carried = Carried::new(machine, top);
            let local = |joint: &usize| body.joints().iter().position(|own| own == joint);
            let joints = carried.joints().iter().map(local).collect::<Option<Vec<_>>>()?;
            Some(CeilingPart { carried, joints, above_m: *above_m })
        });
        let above_m = above_m(body.body());
        Some(Self { ceiling_m, own_m: ceiling_m - above_m, parts: parts.collect() })
    }

    /// Whether some point lies above the ceiling in every pose of a box.
    pub fn excludes(&self, center: &Joints, half: &Joints) -> bool {
        self.parts.iter().any(|part| part.surely_above(center, half, self.ceiling_m + ROUNDING_PAD_M))
    }

    /// Lower bound of n·p over the points of the body that keep below the ceiling, in a box of poses; none where the
    /// direction does not point down.
    pub fn support(
        &self,
        carried: &Carried<'_>,
        middle: &Posed,
        half: &Joints,
        normal: &Vector3<f64>,
    ) -> Option<Support> {
        let multiplier = -normal.z;
        if multiplier <= 0.0 {
            return None;
        }
        let level = Vector3::new(normal.x, normal.y, 0.0);
        let share = level.norm();
        // Straight down no direction is left; sideways then counts for nothing, and the bound is the height alone.
        let sideways = level.try_normalize(LEAST_SHARE).unwrap_or(Vector3::x());
        let support = support(carried, middle, half, &sideways);
        let sideways_m = if share > LEAST_SHARE { share * support.lower_m } else { -LEAST_SHARE * FARTHEST_M };
        let scaled = |values: Joints| values.map(|value| value * share);
        Some(Support {
            lower_m: sideways_m - multiplier * self.own_m,
            rates: scaled(support.rates),
            looseness_m: scaled(support.looseness_m),
            ..support
        })
    }

    /// A pose that the machine may take, near one that it may not: on the way there from the lowest pose of the box.
    pub fn brought_down(&self, pose: &Joints, center: &Joints, half: &Joints) -> Option<Joints> {
        let highest = |a: &&CeilingPart<'_>, b: &&CeilingPart<'_>| a.height_m(pose).total_cmp(&b.height_m(pose));
        let lowest = self.parts.iter().max_by(highest)?.lowest_pose(pose, center, half);
        let at = |share: f64| -> Joints { std::array::from_fn(|j| lowest[j] + share * (pose[j] - lowest[j])) };
        let (mut low, mut high) = ((0.0, self.over_m(&lowest)), (1.0, self.over_m(pose)));
        if low.1 > 0.0 {
            return None;
        }
        for step in 0..STEPS {
            if low.1 >= -CLOSE_ENOUGH_M {
                break;
            }
            // The secant through both ends, the middle every third time: one end alone would creep.
            let secant = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
            let share = if step % 3 == 2 { 0.5 * (low.0 + high.0) } else { secant };
            let over_m = self.over_m(&at(share));
            if over_m <= 0.0 {
                low = (share, over_m);
            } else {
                high = (share, over_m);
            }
        }
        Some(at(low.0))
    }

    /// How far the highest point lies above the ceiling in a pose, m; negative below.
    fn over_m(&self, joints: &Joints) -> f64 {
        self.parts.iter().map(|part| part.height_m(joints) - self.ceiling_m).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether no point lies above the ceiling in a pose.
    pub fn admits(&self, joints: &Joints) -> bool {
        self.over_m(joints) <= 0.0
    }
}

impl CeilingPart<'_> {
    fn own(&self, joints: &Joints) -> Joints {
        let mut own = Joints::default();
        own.iter_mut().zip(&self.joints).for_each(|(own, &joint)| *own = joints[joint]);
        own
    }

    fn posed(&self, own: &Joints) -> Posed {
        let mut posed = self.carried.blank();
        self.carried.pose(own, &mut posed);
        posed
    }

    /// The pose of a box in which the point that is highest in another pose lies about lowest; joints that do not move it
    /// stay as in that pose.
    fn lowest_pose(&self, pose: &Joints, center: &Joints, half: &Joints) -> Joints {
        let highest = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
        let feature = tops_m(&self.posed(&self.own(pose))).enumerate().max_by(highest).map_or(0, |(index, _)| index);
        let (own_center, own_half) = (self.own(center), self.own(half));
        let at = feature_support(&self.carried, &self.posed(&own_center), &own_half, &Vector3::z(), feature).at;
        let mut lowest = *pose;
        for (own, &joint) in self.joints.iter().enumerate() {
            lowest[joint] = center[joint] + half[joint] * at[own];
        }
        lowest
    }

    /// Proven: in every pose of the box some one point lies above a height.
    fn surely_above(&self, center: &Joints, half: &Joints, height_m: f64) -> bool {
        let (center, half) = (self.own(center), self.own(half));
        let middle = self.posed(&center);
        let lowest_m = |feature: usize| {
            feature_support(&self.carried, &middle, &half, &Vector3::z(), feature).lower_m + self.above_m
        };
        // A point that is not above in the middle is not above in every pose.
        let mut tops = tops_m(&middle).enumerate();
        tops.any(|(feature, top_m)| top_m + self.above_m > height_m && lowest_m(feature) > height_m)
    }

    fn height_m(&self, joints: &Joints) -> f64 {
        tops_m(&self.posed(&self.own(joints))).fold(f64::NEG_INFINITY, f64::max) + self.above_m
    }
}

/// How high each point or ring reaches, m.
fn tops_m(posed: &Posed) -> impl Iterator<Item = f64> + '_ {
    let top_m =
        |feature: &PlacedFeature| feature.at.z + feature.ring_m * (1.0 - feature.axis.z.powi(2)).max(0.0).sqrt();
    posed.features.iter().map(top_m)
}
