//! Random machines, random boxes of poses, random directions: no pose may undercut a body's bound or leave its ball.

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};

use super::hull::PlacedFeature;
use super::posed::{Carried, Joints};
use super::support::support;
use crate::interval::Interval;
use crate::machine::{
    Body, BodyRole, Feature, Frame, FrameId, FrameRole, MAX_JOINTS, Machine, Motion, Placement, Ring,
};

/// What summing rounding over a chain of this size may cost here, m.
const ROUNDING_M: f64 = 1e-9;

/// Numbers that repeat: Knuth's linear congruence.
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + self.unit() * (high - low)
    }

    fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }

    fn vector(&mut self, size: f64) -> Vector3<f64> {
        Vector3::from_fn(|_, _| self.between(-size, size))
    }

    fn direction(&mut self) -> Unit<Vector3<f64>> {
        let axes = [Vector3::x_axis(), Vector3::y_axis(), Vector3::z_axis(), -Vector3::z_axis()];
        let any = self.vector(1.0);
        if self.unit() < 0.5 { axes[self.below(4)] } else { Unit::try_new(any, 1e-3).unwrap_or(Vector3::x_axis()) }
    }

    fn range(&mut self, middle: f64, widest: f64) -> Interval {
        let half = widest * 10_f64.powf(self.between(-3.0, 0.0));
        let middle = self.between(-middle, middle);
        Interval::new(middle - half, middle + half).expect("ordered")
    }

    fn motion(&mut self) -> Motion {
        match self.below(6) {
            0..=2 => Motion::Hinge { axis: self.direction(), range_rad: self.range(12.0, 4.0) },
            3 => Motion::Slide { axis: self.direction(), range_m: self.range(10.0, 8.0) },
            4 => Motion::Plumb,
            _ => Motion::Fixed,
        }
    }

    fn frame(&mut self, index: usize) -> Frame {
        let turn = if self.unit() < 0.5 { Vector3::zeros() } else { self.vector(3.0) };
        let place = if self.unit() < 0.3 { Vector3::zeros() } else { self.vector(10.0) };
        let offset = Isometry3::from_parts(Translation3::from(place), UnitQuaternion::from_scaled_axis(turn));
        // Mostly one chain; now and then a branch or a second one on the ground.
        let parent = if self.unit() < 0.85 { index.checked_sub(1) } else { (index > 0).then(|| self.below(index)) };
        Frame { name: String::new(), role: FrameRole::Part, parent: parent.map(FrameId), offset, motion: self.motion() }
    }

    fn feature(&mut self, frames: usize) -> Feature {
        let ring = (self.unit() < 0.5).then(|| Ring { axis: self.direction(), radius_m: self.between(0.1, 5.0) });
        let frame = FrameId(if self.unit() < 0.5 { frames - 1 } else { self.below(frames) });
        Feature { frame, at: Point3::from(self.vector(5.0)), ring }
    }

    fn machine(&mut self) -> Machine {
        let count = 1 + self.below(6);
        let frames = (0..count).map(|i| self.frame(i)).collect();
        let features = (0..=self.below(3)).map(|_| self.feature(count)).collect();
        let body = Body {
            name: String::new(),
            role: BodyRole::Part,
            features,
            radius_m: self.between(0.0, 1.0),
            allowance_m: 0.0,
        };
        let heading_tolerance_rad = if self.unit() < 0.5 { 0.0 } else { self.between(0.0, 3.0) };
        let placement = Placement {
            position: Point3::from(self.vector(50.0)),
            heading_rad: self.between(-6.0, 6.0),
            slope_rad: self.between(0.0, 0.5),
            downhill_rad: self.between(-6.0, 6.0),
            position_tolerance_m: self.between(0.0, 1.0),
            heading_tolerance_rad,
        };
        Machine::new("random", &placement, frames, vec![body]).expect("a possible machine")
    }

    /// Any direction, or one nearly along the axis of a ring.
    fn normal(&mut self, axis: Vector3<f64>) -> Vector3<f64> {
        let free = self.direction().into_inner();
        let near = axis * if self.unit() < 0.5 { 1.0 } else { -1.0 } + free * 10_f64.powf(self.between(-6.0, -0.5));
        if self.unit() < 0.5 { free } else { near.normalize() }
    }

    /// A corner of −1..1 or a place inside.
    fn shares(&mut self) -> Joints {
        let corner = self.unit() < 0.5;
        std::array::from_fn(|_| self.between(-1.0, 1.0)).map(|share: f64| if corner { share.signum() } else { share })
    }

    fn pose(&mut self, center: &Joints, half: &Joints) -> Joints {
        let shares = self.shares();
        std::array::from_fn(|j| center[j] + half[j] * shares[j])
    }
}

/// Least n·p over hull features, m.
fn lowest_m(features: &[PlacedFeature], normal: &Vector3<f64>) -> f64 {
    let low_m = |f: &PlacedFeature| normal.dot(&f.at.coords) - f.ring_m * normal.cross(&f.axis).norm();
    features.iter().map(low_m).fold(f64::INFINITY, f64::min)
}

/// The value that steps along single axes lead down to, within shares −1..1.
fn descended(value: &mut impl FnMut(&Joints) -> f64, mut at: Joints) -> f64 {
    let mut least = value(&at);
    for step in [0.5, 0.25, 0.1, 0.03, 0.01] {
        for axis in 0..2 * MAX_JOINTS {
            let mut next = at;
            let signed = if axis % 2 == 0 { step } else { -step };
            next[axis / 2] = (next[axis / 2] + signed).clamp(-1.0, 1.0);
            let found = value(&next);
            if found < least {
                (at, least) = (next, found);
            }
        }
    }
    least
}

fn box_of(carried: &Carried) -> (Joints, Joints) {
    let (mut center, mut half) = (Joints::default(), Joints::default());
    for (joint, range) in carried.ranges().iter().enumerate() {
        (center[joint], half[joint]) = (range.center(), range.half_width());
    }
    (center, half)
}

#[test]
fn no_pose_undercuts_the_support_bound() {
    let mut dice = Dice(7);
    let mut tightest_m = f64::INFINITY;
    for _ in 0..4000 {
        let machine = dice.machine();
        let carried = Carried::new(&machine, &machine.bodies()[0]);
        let (center, half) = box_of(&carried);
        let mut posed = carried.blank();
        carried.pose(&center, &mut posed);
        let axis = posed.features[dice.below(posed.features.len())].axis;
        let normal = dice.normal(axis);
        let lower_m = support(&carried, &posed, &half, &normal).lower_m;
        let mut low = |shares: &Joints| {
            carried.pose(&std::array::from_fn(|j| center[j] + half[j] * shares[j]), &mut posed);
            lowest_m(&posed.features, &normal)
        };
        for _ in 0..20 {
            let lowest_m = descended(&mut low, dice.shares());
            assert!(lowest_m >= lower_m - ROUNDING_M, "{lowest_m} lies below {lower_m} in {machine:?}");
            tightest_m = tightest_m.min(lowest_m - lower_m);
        }
    }
    // The bound is worth something: somewhere it is nearly attained.
    assert!(tightest_m < 1e-3);
}

/// The derivatives that the bound uses, against central differences of n·p.
#[test]
fn rates_agree_with_finite_differences() {
    const STEP: f64 = 1e-5;
    let mut dice = Dice(13);
    let mut compared = 0;
    for _ in 0..2000 {
        let machine = dice.machine();
        let mut body = machine.bodies()[0].clone();
        body.features.truncate(1);
        let carried = Carried::new(&machine, &body);
        let (center, _) = box_of(&carried);
        let mut posed = carried.blank();
        carried.pose(&center, &mut posed);
        let normal = dice.direction().into_inner();
        let feature = posed.features[0];
        if feature.ring_m > 0.0 && normal.cross(&feature.axis).norm() < 0.05 {
            continue; // a ring seen nearly face-on has no useful derivative
        }
        let rates = support(&carried, &posed, &[1e-7; MAX_JOINTS], &normal).rates;
        for joint in 0..carried.joints().len() {
            let mut at = |value: f64| {
                let mut pose = center;
                pose[joint] = value;
                carried.pose(&pose, &mut posed);
                lowest_m(&posed.features, &normal)
            };
            let rate = (at(center[joint] + STEP) - at(center[joint] - STEP)) / (2.0 * STEP);
            assert!((rate - rates[joint]).abs() <= 1e-5 * rate.abs().max(1.0), "{rate} and {}", rates[joint]);
            compared += 1;
        }
    }
    assert!(compared > 2000);
}

#[test]
fn no_pose_leaves_the_ball_of_reach() {
    let mut dice = Dice(11);
    for _ in 0..2000 {
        let machine = dice.machine();
        let carried = Carried::new(&machine, &machine.bodies()[0]);
        let (root, reach_m) = carried.reach();
        let (center, half) = box_of(&carried);
        let mut posed = carried.blank();
        for _ in 0..50 {
            carried.pose(&dice.pose(&center, &half), &mut posed);
            let farthest_m = posed.features.iter().map(|f| farthest_m(f, &root)).fold(0.0, f64::max);
            assert!(farthest_m + carried.body().radius_m <= reach_m + ROUNDING_M);
        }
    }
}

/// Greatest distance of a ring from a point: √(s² + (ρ + R)²), s along the axis and ρ across it.
fn farthest_m(feature: &PlacedFeature, from: &Point3<f64>) -> f64 {
    let offset = feature.at - from;
    let along_m = offset.dot(&feature.axis);
    let across_m = (offset - feature.axis * along_m).norm();
    if feature.ring_m == 0.0 { offset.norm() } else { along_m.hypot(across_m + feature.ring_m) }
}
