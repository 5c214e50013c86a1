//! A height or a reach that a limiter leaves to a machine: poses in which some part is certainly higher, or certainly farther
//! from the machine's reference point on the map, are left out.
//!
//! A cell is left out when one point of the machine, taken as low (as near) as every tolerance allows, lies beyond the limit in
//! all of its poses. A trial counts when no such point lies beyond it. Both look only at points that the joints of the body in
//! question decide, so that less is left out than could be: the lower end holds all the same. For a cell that the limit
//! cuts, multipliers make a bound of its own. Below a height z ≤ H holds for each point p of the body, so
//! n·p ≥ (n + λ·ẑ)·p − λ·H; with λ = −n_z the height of the body plays no part in it any more. Within a reach R of the
//! reference point f, u·(p − f) ≤ R holds for each level unit vector u; with u against the level part n_l of n,
//! n·p ≥ n_z·p_z + n_l·f − |n_l|·R.

use std::collections::BTreeMap;

use nalgebra::{Point3, Vector3};

use super::bound::ROUNDING_PAD_M;
use super::hull::PlacedFeature;
use super::posed::{Carried, Joints, Posed};
use super::support::{Support, feature_support, support};
use crate::machine::{Body, Machine};

/// Directions with a smaller level part than this count as straight down.
const LEAST_SHARE: f64 = 1e-12;

/// Nothing on a site lies farther than this from its origin, m.
const FARTHEST_M: f64 = 2e5;

/// Places that a limit leaves this near to the wire give no direction, m.
const LEAST_AWAY_M: f64 = 1e-9;

/// Steps on the way to the limit at most.
const STEPS: usize = 9;

/// Times that a pose is brought within each limit in turn.
const ROUNDS: usize = 4;

/// A pose so close within the limit will do, m.
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
        let alone = Body { features: vec![*feature], radius_m: 0.0, allowance_m: 0.0, ..body.clone() };
        let joints = machine.joints_of(&alone);
        parts.entry(joints).and_modify(|part| part.features.push(*feature)).or_insert(alone);
    }
    parts.into_values().collect()
}

/// What surely rises above (reaches beyond) a point of a body, m: it is thick by its radius less allowances, and may sit lower
/// (nearer) by the allowances again.
fn above_m(body: &Body) -> f64 {
    body.radius_m - 2.0 * body.allowance_m
}

/// What a limiter measures.
#[derive(Clone, Copy)]
enum Measure {
    /// Height in the site frame.
    Height,
    /// Distance on the map from the reference point, which stands here before its slides move it.
    Reach(Point3<f64>),
}

/// A limiter as it concerns one body: the points that its joints alone decide.
pub struct Limiter<'a> {
    measure: Measure,
    most_m: f64,
    /// What it leaves to the points of the body in question, m.
    own_m: f64,
    /// The height that another limiter leaves to those points, m.
    top_m: Option<f64>,
    /// Joints of the body in question that move the reference point itself, in order from it.
    carriers: Vec<usize>,
    parts: Vec<LimitedPart<'a>>,
}

/// Points that the same joints move.
struct LimitedPart<'a> {
    carried: Carried<'a>,
    /// For each of its joints, which one it is among the joints of the body in question.
    joints: Vec<usize>,
    /// Its joints that move the reference point itself: they change no reach.
    carriers: Vec<usize>,
    above_m: f64,
}

impl<'a> Limiter<'a> {
    /// The limiters of a machine for one of its bodies.
    pub fn all(machine: &'a Machine, tops: &'a Tops, body: &Carried<'_>) -> Vec<Self> {
        let height = machine.ceiling_m().map(|most_m| (Measure::Height, most_m));
        let reach = machine.reach_m().map(|most_m| (Measure::Reach(machine.position()), most_m));
        let limits = height.into_iter().chain(reach);
        limits.map(|(measure, most_m)| Self::of(measure, most_m, (machine, tops), body)).collect()
    }

    fn of(measure: Measure, most_m: f64, (machine, tops): (&'a Machine, &'a Tops), body: &Carried<'_>) -> Self {
        let carriers = match measure {
            Measure::Height => Vec::new(),
            Measure::Reach(_) => machine.carriers(),
        };
        let among = |joints: &[usize]| {
            let places = joints.iter().enumerate().filter(|(_, joint)| carriers.contains(joint));
            places.map(|(place, _)| place).collect::<Vec<_>>()
        };
        let parts = tops.0.iter().filter_map(|(top, above_m)| {
            let carried = Carried::new(machine, top);
            let local = |joint: &usize| body.joints().iter().position(|own| own == joint);
            let joints = carried.joints().iter().map(local).collect::<Option<Vec<_>>>()?;
            let carriers = among(carried.joints());
            Some(LimitedPart { carried, joints, carriers, above_m: *above_m })
        });
        let own_m = most_m - above_m(body.body());
        let top_m = machine.ceiling_m().map(|ceiling_m| ceiling_m - above_m(body.body()));
        Self { measure, most_m, own_m, top_m, parts: parts.collect(), carriers: among(body.joints()) }
    }

    /// Whether some point lies beyond the limit in every pose of a box.
    pub fn excludes(&self, center: &Joints, half: &Joints) -> bool {
        self.parts.iter().any(|part| part.surely_beyond(self.measure, center, half, self.most_m + ROUNDING_PAD_M))
    }

    /// Lower bound of n·p over the points of the body that keep within the limit, in a box of poses, beside the one of
    /// all its poses; none where the limit says nothing about the direction.
    pub fn support(
        &self,
        carried: &Carried<'_>,
        middle: &Posed,
        half: &Joints,
        (normal, free): (&Vector3<f64>, &Support),
    ) -> Option<Support> {
        match self.measure {
            Measure::Height => self.support_below(carried, middle, half, normal),
            Measure::Reach(foot) => self.support_within(&foot, (carried, middle), half, (normal, free)),
        }
    }

    fn support_below(
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

    /// The height of the body counts as it is, its level place as the limit leaves it about the reference point, wherever
    /// slides put that.
    fn support_within(
        &self,
        foot: &Point3<f64>,
        (carried, middle): (&Carried<'_>, &Posed),
        half: &Joints,
        (normal, free): (&Vector3<f64>, &Support),
    ) -> Option<Support> {
        let level = Vector3::new(normal.x, normal.y, 0.0);
        if level.norm() <= LEAST_SHARE {
            return None;
        }
        let share = normal.z.abs();
        let up = if normal.z >= 0.0 { Vector3::z() } else { -Vector3::z() };
        let upright_m = if share > 0.0 { share * support(carried, middle, half, &up).lower_m } else { 0.0 };
        // Pointing down, a height that is left as well may bound it better.
        let below_m = self.top_m.filter(|_| normal.z < 0.0).map_or(f64::NEG_INFINITY, |top_m| -share * top_m);
        let upright_m = upright_m.max(below_m);
        let foot = self.carriers.last().map_or(*foot, |&last| middle.origins[last]);
        let spread_m: f64 = self.carriers.iter().map(|&j| level.dot(&middle.axes[j]).abs() * half[j]).sum();
        let lower_m = upright_m + level.dot(&foot.coords) - spread_m - level.norm() * self.own_m;
        // Which joints to divide is seen by what the body could do without the limit.
        Some(Support { lower_m, ..*free })
    }

    /// The nearest place to a point that the limit leaves.
    fn clamped(&self, middle: &Posed, point: Point3<f64>) -> Point3<f64> {
        match self.measure {
            Measure::Height => Point3::new(point.x, point.y, point.z.min(self.own_m)),
            Measure::Reach(foot) => {
                let foot = self.carriers.last().map_or(foot, |&last| middle.origins[last]);
                let out = (point - foot).xy();
                let share = (self.own_m / out.norm()).clamp(0.0, 1.0);
                let at = foot.xy() + if share < 1.0 { out * share } else { out };
                Point3::new(at.x, at.y, point.z)
            }
        }
    }

    /// A pose that the machine may take, near one that it may not: on the way there from the pose of the box that is farthest within.
    fn brought_in(&self, pose: &Joints, center: &Joints, half: &Joints) -> Option<Joints> {
        let value_m = |part: &LimitedPart<'_>| part.value_m(self.measure, pose);
        let farthest = self.parts.iter().max_by(|a, b| value_m(a).total_cmp(&value_m(b)))?;
        let lowest = farthest.least_pose(self.measure, pose, center, half)?;
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

    /// How far the farthest point lies beyond the limit in a pose, m; negative within.
    fn over_m(&self, joints: &Joints) -> f64 {
        let over_m = |part: &LimitedPart<'_>| part.value_m(self.measure, joints) - self.most_m;
        self.parts.iter().map(over_m).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether no point lies beyond the limit in a pose.
    pub fn admits(&self, joints: &Joints) -> bool {
        self.over_m(joints) <= 0.0
    }
}

/// Directions from the wire to the body in which limits may keep a whole cell away: from a point of the wire to the nearest
/// place that each of them leaves, and that all of them leave together.
pub fn planes<'a>(
    limiters: &'a [Limiter<'_>],
    middle: &'a Posed,
    on_wire: Point3<f64>,
) -> impl Iterator<Item = Vector3<f64>> + 'a {
    let alone = limiters.iter().map(move |limiter| limiter.clamped(middle, on_wire));
    let all = (limiters.len() > 1).then(|| limiters.iter().fold(on_wire, |at, limiter| limiter.clamped(middle, at)));
    alone.chain(all).filter_map(move |place| (place - on_wire).try_normalize(LEAST_AWAY_M))
}

/// A pose that all limiters admit: the given one, or one near it within a box; none where none is found.
pub fn admitted(limiters: &[Limiter<'_>], pose: Joints, center: &Joints, half: &Joints) -> Option<Joints> {
    let bring = |pose: Joints, limiter: &Limiter<'_>| {
        if limiter.admits(&pose) { Some(pose) } else { limiter.brought_in(&pose, center, half) }
    };
    let admits = |pose: &Joints| limiters.iter().all(|limiter| limiter.admits(pose));
    let rounds = std::iter::successors(Some(pose), |pose| limiters.iter().try_fold(*pose, bring));
    rounds.take(ROUNDS).find(admits)
}

impl LimitedPart<'_> {
    /// The values of its own joints; those that carry the reference point as if it stood at its place.
    fn own(&self, joints: &Joints) -> Joints {
        let mut own = Joints::default();
        own.iter_mut().zip(&self.joints).for_each(|(own, &joint)| *own = joints[joint]);
        self.carriers.iter().for_each(|&carrier| own[carrier] = 0.0);
        own
    }

    fn posed(&self, own: &Joints) -> Posed {
        let mut posed = self.carried.blank();
        self.carried.pose(own, &mut posed);
        posed
    }

    /// The pose of a box in which the point that is farthest out in another pose lies about least far; joints that do not
    /// move it stay as in that pose.
    fn least_pose(&self, measure: Measure, pose: &Joints, center: &Joints, half: &Joints) -> Option<Joints> {
        let placed = self.posed(&self.own(pose));
        let values = placed.features.iter().map(|feature| outermost_m(measure, feature)).enumerate();
        let feature = values.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(index, _)| index);
        let out = outward(measure, placed.features.get(feature)?)?;
        let (own_center, own_half) = (self.own(center), self.own(half));
        let at = feature_support(&self.carried, &self.posed(&own_center), &own_half, &out, feature).at;
        let mut least = *pose;
        for (own, &joint) in self.joints.iter().enumerate().filter(|(own, _)| !self.carriers.contains(own)) {
            least[joint] = center[joint] + half[joint] * at[own];
        }
        Some(least)
    }

    /// Proven: in every pose of the box some one point lies beyond a limit.
    fn surely_beyond(&self, measure: Measure, center: &Joints, half: &Joints, most_m: f64) -> bool {
        let (center, half) = (self.own(center), self.own(half));
        let middle = self.posed(&center);
        middle.features.iter().enumerate().any(|(index, feature)| {
            // A point that is not beyond in the middle is not beyond in every pose.
            if outermost_m(measure, feature) + self.above_m <= most_m {
                return false;
            }
            let Some(out) = outward(measure, feature) else { return false };
            let from_m = match measure {
                Measure::Height => 0.0,
                Measure::Reach(foot) => out.dot(&foot.coords),
            };
            let least_m = feature_support(&self.carried, &middle, &half, &out, index).lower_m;
            least_m - from_m + self.above_m > most_m
        })
    }

    fn value_m(&self, measure: Measure, joints: &Joints) -> f64 {
        let posed = self.posed(&self.own(joints));
        let values = posed.features.iter().map(|feature| outermost_m(measure, feature));
        values.fold(f64::NEG_INFINITY, f64::max) + self.above_m
    }
}

/// How high, or how far out at most, a point or ring reaches, m.
fn outermost_m(measure: Measure, feature: &PlacedFeature) -> f64 {
    match measure {
        Measure::Height => feature.at.z + feature.ring_m * (1.0 - feature.axis.z.powi(2)).max(0.0).sqrt(),
        Measure::Reach(foot) => (feature.at - foot).xy().norm() + feature.ring_m,
    }
}

/// The direction in which a feature is measured; none for one at the reference point itself.
fn outward(measure: Measure, feature: &PlacedFeature) -> Option<Vector3<f64>> {
    match measure {
        Measure::Height => Some(Vector3::z()),
        Measure::Reach(foot) => (feature.at - foot).xy().push(0.0).try_normalize(LEAST_SHARE),
    }
}
