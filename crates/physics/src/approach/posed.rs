//! One body of a machine, made ready for fast evaluation: its placed features, joint axes and bounds in a box of poses.

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

struct CarriedFeature<'a> {
    feature: &'a Feature,
    frame: usize,
    /// From the feature's frame up to the site: the joints and plumb points on the way.
    steps: Vec<Step>,
}

#[derive(Clone, Copy)]
enum Step {
    Hinge(usize),
    Slide(usize),
    /// Index of the plumb frame.
    Plumb(usize),
}

/// The body in one pose.
pub struct Posed {
    /// Its features.
    pub features: Vec<PlacedFeature>,
    frames: Vec<Isometry3<f64>>,
    axes: [Vector3<f64>; MAX_JOINTS],
    origins: [Point3<f64>; MAX_JOINTS],
}

/// A lower bound of n·p over the points p of a body in a box of poses.
#[derive(Clone, Copy, Debug)]
pub struct Support {
    /// The bound, m.
    pub lower_m: f64,
    /// Derivative by each joint at the centre, for the feature that gives the bound.
    pub rates: Joints,
    /// Part of the remainder that each joint causes, m.
    pub remainders_m: Joints,
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

    /// Working ranges of those joints.
    pub fn ranges(&self) -> &[Interval] {
        &self.ranges
    }

    /// An empty place to pose the body in.
    pub fn blank(&self) -> Posed {
        Posed {
            features: Vec::with_capacity(self.features.len()),
            frames: Vec::with_capacity(self.frames.len()),
            axes: [Vector3::zeros(); MAX_JOINTS],
            origins: [Point3::origin(); MAX_JOINTS],
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
            let place = &posed.frames[carried.frame];
            let (axis, ring_m) = carried
                .feature
                .ring
                .map_or((Vector3::z(), 0.0), |r| (place.rotation * r.axis.into_inner(), r.radius_m));
            posed.features.push(PlacedFeature { at: place * carried.feature.at, axis, ring_m });
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

    /// Lower bound of n·p over all points p of the hull (its radius not counted) in the box `posed centre ± half`.
    ///
    /// To second order, with the remainder over the whole box: for a hinge i before a hinge j the second derivative of p
    /// is at most the distance of p from axis j, for a hinge before a slide 1, else 0. The distance from an axis grows
    /// over the box by at most what the joints after it can move p. See `docs/theory/certified-search.md`.
    pub fn support(&self, posed: &Posed, half: &Joints, normal: &Vector3<f64>) -> Support {
        let mut best = Support { lower_m: f64::INFINITY, rates: [0.0; MAX_JOINTS], remainders_m: [0.0; MAX_JOINTS] };
        for (carried, placed) in self.features.iter().zip(&posed.features) {
            let support = feature_support(carried, placed, posed, half, normal);
            if support.lower_m < best.lower_m {
                best = support;
            }
        }
        best
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

fn feature_support(
    carried: &CarriedFeature,
    placed: &PlacedFeature,
    posed: &Posed,
    half: &Joints,
    normal: &Vector3<f64>,
) -> Support {
    let mut support = point_support(carried, placed, posed, half, normal);
    if placed.ring_m > 0.0 {
        widen_by_ring(&mut support, carried, placed, posed, half, normal);
    }
    let linear: f64 = support.rates.iter().zip(half).map(|(rate, h)| rate.abs() * h).sum();
    support.lower_m -= linear;
    support
}

/// n·p at the centre less the remainder; the linear part is left to the caller.
fn point_support(
    carried: &CarriedFeature,
    placed: &PlacedFeature,
    posed: &Posed,
    half: &Joints,
    normal: &Vector3<f64>,
) -> Support {
    let mut support =
        Support { lower_m: normal.dot(&placed.at.coords), rates: [0.0; MAX_JOINTS], remainders_m: [0.0; MAX_JOINTS] };
    let mut moved = placed.at;
    // How far the joints passed so far can move the point within the box.
    let mut travel_m = 0.0;
    for step in &carried.steps {
        match *step {
            Step::Plumb(frame) => {
                moved = posed.frames[frame].translation.vector.into();
                travel_m = 0.0;
            }
            Step::Slide(joint) => {
                support.rates[joint] = normal.dot(&posed.axes[joint]);
                travel_m += half[joint];
            }
            Step::Hinge(joint) => {
                let velocity = posed.axes[joint].cross(&(moved - posed.origins[joint]));
                support.rates[joint] = normal.dot(&velocity);
                let radius_m = velocity.norm() + travel_m;
                support.remainders_m[joint] = half[joint] * (0.5 * radius_m * half[joint] + travel_m);
                travel_m += radius_m * half[joint];
            }
        }
    }
    support.lower_m -= support.remainders_m.iter().sum::<f64>();
    support
}

/// Subtracts R·|n × a| over the box, a the ring's axis: how far the ring reaches beyond its centre against n.
///
/// With v = n × a: |v + δ| ≤ |v| + v·δ/|v| + |δ|²/(2|v|), or |v| + |δ| where |v| is small, and never above 1.
fn widen_by_ring(
    support: &mut Support,
    carried: &CarriedFeature,
    placed: &PlacedFeature,
    posed: &Posed,
    half: &Joints,
    normal: &Vector3<f64>,
) {
    let along = normal.dot(&placed.axis);
    let across = normal.cross(&placed.axis).norm();
    let mut slopes: Joints = [0.0; MAX_JOINTS];
    let (mut turn, mut remainder) = (0.0, 0.0);
    for step in &carried.steps {
        match *step {
            Step::Plumb(_) => break,
            Step::Slide(_) => {}
            Step::Hinge(joint) => {
                let velocity = posed.axes[joint].cross(&placed.axis);
                slopes[joint] = along * normal.dot(&velocity);
                let rate = velocity.norm() + turn;
                remainder += half[joint] * (0.5 * rate * half[joint] + turn);
                turn += rate * half[joint];
            }
        }
    }
    let ring_m = placed.ring_m;
    let linear = |rates: &Joints| -> f64 { rates.iter().zip(half).map(|(rate, h)| rate.abs() * h).sum() };
    let mut smooth = support.rates;
    if across > 0.0 {
        smooth.iter_mut().zip(&slopes).for_each(|(rate, slope)| *rate += ring_m * slope / across);
    }
    let smooth_m = across + remainder + turn * turn / (2.0 * across);
    let rough_m = (across + turn + remainder).min(1.0);
    if across > 0.0 && ring_m * smooth_m + linear(&smooth) <= ring_m * rough_m + linear(&support.rates) {
        support.rates = smooth;
        support.lower_m -= ring_m * smooth_m;
        spread(&mut support.remainders_m, carried, half, ring_m * (smooth_m - across));
    } else {
        support.lower_m -= ring_m * rough_m;
        spread(&mut support.remainders_m, carried, half, ring_m * (rough_m - across));
    }
}

/// Shares a remainder among the hinges that turn a ring, by their half-widths.
fn spread(remainders_m: &mut Joints, carried: &CarriedFeature, half: &Joints, amount_m: f64) {
    let hinges = || {
        carried.steps.iter().take_while(|s| !matches!(s, Step::Plumb(_))).filter_map(|s| match s {
            Step::Hinge(joint) => Some(*joint),
            _ => None,
        })
    };
    let total: f64 = hinges().map(|j| half[j]).sum();
    if total > 0.0 {
        hinges().for_each(|j| remainders_m[j] += amount_m * half[j] / total);
    }
}
