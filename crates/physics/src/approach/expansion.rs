//! Taylor expansion of one feature's n·p over a box of poses. Proof in `docs/theory/certified-search.md`.
//!
//! Taylor about the middle of the box. For hinges i ≤ j the second derivative of p is ωᵢ×(ωⱼ×r), for a hinge before a
//! slide ωᵢ×s, else zero; the third is bounded alike. The distance of p from an axis grows over the box by at most what
//! the joints after it can move p. Two bounds are made, the better one counts: to second order with the remainder's
//! absolute value, and to third order with the second-order part as a quadratic.

use nalgebra::{Point3, Vector3};

use super::hull::PlacedFeature;
use super::links;
use super::posed::{CarriedFeature, Joints, Posed, Step};
use super::quadratic::Quadratic;
use super::support::{NOTHING, Near, Support};
use crate::machine::MAX_JOINTS;

/// Boxes in which the hinges turn further than this in sum, rad, are not worth the third-order bound.
const THIRD_ORDER_TURN_RAD: f64 = 3.0;

/// How much the second-order part still counts as looseness where the third-order bound is used: the plane's direction
/// is right in one pose of the cell only.
const CURVATURE_WEIGHT: f64 = 0.1;

/// Distances below this count as this when guessing the nearest pose, m.
const LEAST_DISTANCE_M: f64 = 0.05;

/// Boxes in which the hinges turn less than this in sum, rad, are bounded more sharply by their Taylor expansion than
/// link by link.
const LEAST_LINK_TURN_RAD: f64 = 0.4;

/// Least n × a for which the ring's smooth bound is used.
const LEAST_ACROSS: f64 = 1e-3;

/// Taylor expansion of one feature's n·p over a box, scaled by the half-widths.
pub struct Expansion<'a> {
    feature: &'a CarriedFeature<'a>,
    middle: &'a Posed,
    half: &'a Joints,
    normal: &'a Vector3<f64>,
    placed: &'a PlacedFeature,
    /// Value at the middle, m.
    value_m: f64,
    /// Derivatives by the joints.
    rates: Joints,
    /// Velocity of the point by each joint.
    velocities: [Vector3<f64>; MAX_JOINTS],
    /// Greatest distance from each hinge's axis over the box, m.
    radii_m: Joints,
    /// Second-order remainder, m.
    second_m: f64,
    /// What of it goes away when a joint is held, m; a pair counts for both.
    looseness_m: Joints,
    /// The same for the ring's axis.
    ring: Option<RingExpansion>,
}

/// Expansion of m = n·a, a the axis of a ring.
struct RingExpansion {
    radius_m: f64,
    /// m at the middle.
    along: f64,
    /// |n × a| at the middle.
    across: f64,
    /// Velocity of the axis by each joint.
    velocities: [Vector3<f64>; MAX_JOINTS],
    /// Greatest turn of the axis over the box, rad.
    turn: f64,
    /// Second-order remainder of the axis.
    remainder: f64,
}

impl RingExpansion {
    /// Greatest |n × a| over the box, at most.
    fn rough(&self) -> f64 {
        (self.across + self.turn + self.remainder).min(1.0)
    }
}

impl<'a> Expansion<'a> {
    /// The expansion of a feature about the middle of a box.
    pub fn new(
        feature: &'a CarriedFeature<'a>,
        placed: &'a PlacedFeature,
        middle: &'a Posed,
        half: &'a Joints,
        normal: &'a Vector3<f64>,
    ) -> Self {
        let mut expansion = Self {
            feature,
            middle,
            half,
            normal,
            placed,
            value_m: normal.dot(&placed.at.coords),
            rates: [0.0; MAX_JOINTS],
            velocities: [Vector3::zeros(); MAX_JOINTS],
            radii_m: [0.0; MAX_JOINTS],
            second_m: 0.0,
            looseness_m: [0.0; MAX_JOINTS],
            ring: None,
        };
        expansion.expand_point(placed.at);
        if placed.ring_m > 0.0 {
            expansion.ring = Some(expansion.expand_ring());
        }
        expansion
    }

    fn expand_point(&mut self, at: Point3<f64>) {
        let mut moved = at;
        // How far the joints passed so far can move the point within the box, each and in sum.
        let (mut below, mut count) = ([(0, 0.0); MAX_JOINTS], 0);
        let mut travel_m = 0.0;
        for step in &self.feature.steps {
            let (joint, travels_m) = match *step {
                Step::Plumb(frame) => {
                    (moved, travel_m) = (self.middle.hang_point(frame), 0.0);
                    count = 0;
                    continue;
                }
                Step::Slide(joint) => {
                    self.velocities[joint] = self.middle.axes[joint];
                    (joint, self.half[joint])
                }
                Step::Hinge(joint) => {
                    self.velocities[joint] = self.middle.axes[joint].cross(&(moved - self.middle.origins[joint]));
                    (joint, self.turn(joint, travel_m, &below[..count]))
                }
            };
            self.rates[joint] = self.normal.dot(&self.velocities[joint]);
            below[count] = (joint, travels_m);
            count += 1;
            travel_m += travels_m;
        }
    }

    /// Counts what turning a hinge does to second order; how far it moves the point at most, m.
    fn turn(&mut self, joint: usize, travel_m: f64, below: &[(usize, f64)]) -> f64 {
        let (half, radius_m) = (self.half[joint], self.velocities[joint].norm() + travel_m);
        self.radii_m[joint] = radius_m;
        let alone_m = 0.5 * radius_m * half * half;
        self.second_m += alone_m + half * travel_m;
        self.looseness_m[joint] += alone_m + half * travel_m;
        below.iter().for_each(|(other, travels_m)| self.looseness_m[*other] += half * travels_m);
        radius_m * half
    }

    fn expand_ring(&self) -> RingExpansion {
        let axis = self.placed.axis;
        let mut ring = RingExpansion {
            radius_m: self.placed.ring_m,
            along: self.normal.dot(&axis),
            across: self.normal.cross(&axis).norm(),
            velocities: [Vector3::zeros(); MAX_JOINTS],
            turn: 0.0,
            remainder: 0.0,
        };
        for step in &self.feature.steps {
            match *step {
                Step::Plumb(_) => break,
                Step::Slide(_) => {}
                Step::Hinge(joint) => {
                    let (half, velocity) = (self.half[joint], self.middle.axes[joint].cross(&axis));
                    let rate = velocity.norm() + ring.turn;
                    ring.velocities[joint] = velocity;
                    ring.remainder += half * (0.5 * rate * half + ring.turn);
                    ring.turn += rate * half;
                }
            }
        }
        ring
    }

    fn linear_m(&self, rates: &Joints) -> f64 {
        rates.iter().zip(self.half).map(|(rate, half)| rate.abs() * half).sum()
    }

    /// Value less linear part less the second-order remainder.
    pub fn second_order(&self) -> Support {
        let mut support = Support { lower_m: self.value_m - self.second_m, rates: self.rates, ..NOTHING };
        support.looseness_m = self.looseness_m;
        for (moves_m, (velocity, half)) in support.moves_m.iter_mut().zip(self.velocities.iter().zip(self.half)) {
            *moves_m = velocity.norm() * half;
        }
        if let Some(ring) = &self.ring {
            self.widen(&mut support, ring);
        }
        support.lower_m -= self.linear_m(&support.rates);
        support.at.iter_mut().zip(&support.rates).for_each(|(at, rate)| *at = if *rate > 0.0 { -1.0 } else { 1.0 });
        support
    }

    /// Subtracts R·|n × a| over the box: how far the ring reaches beyond its centre against n.
    ///
    /// With v = n × a: |v + δ| ≤ |v| + v·δ/|v| + |δ|²/(2|v|), or |v| + |δ|, and never above 1.
    fn widen(&self, support: &mut Support, ring: &RingExpansion) {
        let rough_m = ring.rough();
        let smooth_m = ring.across + ring.remainder + ring.turn * ring.turn / (2.0 * ring.across);
        let mut smooth = support.rates;
        for (rate, velocity) in smooth.iter_mut().zip(&ring.velocities) {
            *rate += ring.radius_m * ring.along * self.normal.dot(velocity) / ring.across;
        }
        let smooth_total_m = ring.radius_m * smooth_m + self.linear_m(&smooth);
        let rough_total_m = ring.radius_m * rough_m + self.linear_m(&support.rates);
        let used_m = if ring.across > LEAST_ACROSS && smooth_total_m <= rough_total_m {
            support.rates = smooth;
            smooth_m
        } else {
            rough_m
        };
        support.lower_m -= ring.radius_m * used_m;
        self.share(&mut support.looseness_m, ring.radius_m * (used_m - ring.across));
    }

    /// Shares a looseness among the hinges next to the feature, by their half-widths.
    fn share(&self, looseness_m: &mut Joints, amount_m: f64) {
        let total: f64 = self.near_hinges().map(|j| self.half[j]).sum();
        if total > 0.0 {
            self.near_hinges().for_each(|j| looseness_m[j] += amount_m * self.half[j] / total);
        }
    }

    fn near_hinges(&self) -> impl Iterator<Item = usize> + '_ {
        self.feature.steps.iter().take_while(|s| !matches!(s, Step::Plumb(_))).filter_map(|s| match s {
            Step::Hinge(joint) => Some(*joint),
            _ => None,
        })
    }

    /// Whether the third-order bound is worth while in this box.
    fn is_small(&self) -> bool {
        let turn: f64 = self.hinges().map(|joint| self.half[joint]).sum();
        turn <= THIRD_ORDER_TURN_RAD && self.ring.as_ref().is_none_or(|ring| ring.across > LEAST_ACROSS)
    }

    /// The better of a known bound and the one that turns each link on its own: sharp where the links stretch out in a
    /// row against n, however far the hinges turn.
    pub fn link_by_link(&self, known: Support) -> Support {
        let turn: f64 = self.hinges().map(|joint| self.half[joint]).sum();
        if turn < LEAST_LINK_TURN_RAD {
            return known;
        }
        let ring_m = self.ring.as_ref().map_or(0.0, |ring| ring.radius_m * ring.rough());
        let lower_m = links::lower_m(self.feature, self.placed, self.middle, self.half, self.normal) - ring_m;
        Support { lower_m: lower_m.max(known.lower_m), ..known }
    }

    fn hinges(&self) -> impl Iterator<Item = usize> + '_ {
        self.feature.steps.iter().filter_map(|step| if let Step::Hinge(joint) = step { Some(*joint) } else { None })
    }

    /// The better of a known bound and the one to third order.
    pub fn third_order(&self, known: Support, joints: usize) -> Support {
        if !self.is_small() {
            return known;
        }
        let quadratic = self.quadratic(joints);
        let rates = quadratic.linear;
        let minorant = quadratic.minorant();
        let remainder_m = self.third_remainder_m();
        // |v| ≤ (s² + |v|²)/(2s) with s = |v| at the middle and |v|² = 1 − m².
        let ring_m = self.ring.as_ref().map_or(0.0, |ring| ring.radius_m * ring.across);
        let lower_m = self.value_m - ring_m + minorant.lower - remainder_m;
        if lower_m <= known.lower_m {
            return known;
        }
        let mut support = Support { lower_m, at: minorant.at, ..known };
        let scaled = rates.iter().zip(self.half);
        for (rate, (scaled, half)) in support.rates.iter_mut().zip(scaled).take(joints) {
            *rate = if *half > 0.0 { scaled / half } else { 0.0 };
        }
        let loose_m: f64 = known.looseness_m.iter().sum();
        let scale = if loose_m > 0.0 { CURVATURE_WEIGHT + remainder_m / loose_m } else { 0.0 };
        for (looseness_m, cost) in support.looseness_m.iter_mut().zip(&minorant.cost) {
            *looseness_m = *looseness_m * scale + cost;
        }
        support
    }

    /// Linear and second-order part, scaled by the half-widths: of n·p, and of R·m²/(2s) for a ring.
    fn quadratic(&self, joints: usize) -> Quadratic {
        let mut quadratic = self.point_quadratic(joints);
        if let Some(ring) = &self.ring {
            self.add_ring(&mut quadratic, ring);
        }
        quadratic
    }

    /// Linear and second-order part of n·p, scaled: Hᵢⱼ = n·(ωᵢ×vⱼ) = (n×ωᵢ)·vⱼ for a hinge i and a joint j below it.
    fn point_quadratic(&self, joints: usize) -> Quadratic {
        let mut quadratic =
            Quadratic { size: joints, linear: [0.0; MAX_JOINTS], matrix: [[0.0; MAX_JOINTS]; MAX_JOINTS] };
        for joint in 0..joints {
            quadratic.linear[joint] = self.rates[joint] * self.half[joint];
        }
        self.for_pairs(false, |hinge, below| {
            let turned = self.normal.cross(&self.middle.axes[hinge]);
            add_symmetric(
                &mut quadratic,
                hinge,
                below,
                turned.dot(&self.velocities[below]) * self.half[hinge] * self.half[below],
            );
        });
        quadratic
    }

    /// About where the distance itself is smallest: what moves across both n and the wire lengthens it by
    /// |move|²/(2·distance). In a large box the guess stands.
    pub fn nearest(&self, guess: Joints, joints: usize, near: &Near) -> Joints {
        if !self.is_small() {
            return guess;
        }
        let mut quadratic = self.quadratic(joints);
        let across = self.normal.cross(&near.along);
        let scale = 1.0 / near.distance_m.max(LEAST_DISTANCE_M);
        let mut moves = [0.0; MAX_JOINTS];
        for (moved, (velocity, half)) in moves.iter_mut().zip(self.velocities.iter().zip(self.half)).take(joints) {
            *moved = across.dot(velocity) * half;
        }
        for i in 0..joints {
            for j in 0..joints {
                quadratic.matrix[i][j] += scale * moves[i] * moves[j];
            }
        }
        quadratic.minorant().at
    }

    /// Adds the expansion of R·m²/(2s): linear R·m·mᵢ/s, quadratic R·(mᵢ·mⱼ + m·mᵢⱼ)/s.
    fn add_ring(&self, quadratic: &mut Quadratic, ring: &RingExpansion) {
        let scale = ring.radius_m / ring.across;
        let slope = |joint: usize| self.normal.dot(&ring.velocities[joint]) * self.half[joint];
        for hinge in self.near_hinges() {
            quadratic.linear[hinge] += scale * ring.along * slope(hinge);
        }
        self.for_pairs(true, |hinge, below| {
            let turned = self.normal.cross(&self.middle.axes[hinge]);
            let bend = turned.dot(&ring.velocities[below]) * self.half[hinge] * self.half[below];
            add_symmetric(quadratic, hinge, below, scale * (slope(hinge) * slope(below) + ring.along * bend));
        });
    }

    /// Calls `visit` for each hinge and each joint at or below it in the same stretch between plumb points; `near` stops
    /// at the first plumb point and leaves slides out.
    fn for_pairs(&self, near: bool, mut visit: impl FnMut(usize, usize)) {
        let mut below = [0_usize; MAX_JOINTS];
        let mut count = 0;
        for step in &self.feature.steps {
            match *step {
                Step::Plumb(_) if near => break,
                Step::Plumb(_) => count = 0,
                Step::Slide(_) if near => {}
                Step::Slide(joint) => {
                    below[count] = joint;
                    count += 1;
                }
                Step::Hinge(joint) => {
                    below[count] = joint;
                    count += 1;
                    below[..count].iter().for_each(|&b| visit(joint, b));
                }
            }
        }
    }

    /// Third-order remainder of the point, and of the ring's R·m²/(2s), whose third derivatives along the hinges are at
    /// most 8·R/(2s).
    fn third_remainder_m(&self) -> f64 {
        let ring_m = self.ring.as_ref().map_or(0.0, |ring| {
            let hinges: f64 = self.near_hinges().map(|j| self.half[j]).sum();
            ring.radius_m / (2.0 * ring.across) * 8.0 / 6.0 * hinges * hinges * ring.turn
        });
        self.point_third_m() + ring_m
    }

    /// ⅙·Σ|third derivatives|·h·h·h: for a hinge k with hinges of sum A above it ρₖ·((A + hₖ)³ − A³), for a slide 3·hₖ·A².
    fn point_third_m(&self) -> f64 {
        let mut sum_m = 0.0;
        let mut above = 0.0;
        // From the site down to the feature; a plumb point starts anew.
        for step in self.feature.steps.iter().rev() {
            match *step {
                Step::Plumb(_) => above = 0.0,
                Step::Slide(joint) => sum_m += 3.0 * self.half[joint] * above * above,
                Step::Hinge(joint) => {
                    let with = above + self.half[joint];
                    sum_m += self.radii_m[joint] * (with.powi(3) - above.powi(3));
                    above = with;
                }
            }
        }
        sum_m / 6.0
    }
}

fn add_symmetric(quadratic: &mut Quadratic, i: usize, j: usize, value: f64) {
    quadratic.matrix[i][j] += value;
    if i != j {
        quadratic.matrix[j][i] += value;
    }
}
