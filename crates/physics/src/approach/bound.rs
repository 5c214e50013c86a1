//! Lower bound of the distance over a cell, by separating planes. Proof in `docs/theory/certified-search.md`.

use nalgebra::Vector3;

use super::cell::{Cell, Dimension};
use super::posed::{Carried, Joints, Posed, Support};
use super::strand::Curve;
use crate::line::WireSpan;

/// What rounding in the transcendental functions may cost, m (argued in `docs/theory/certified-search.md`).
pub const ROUNDING_PAD_M: f64 = 1e-6;

/// How much the linear part of the bound counts, against its remainder, when choosing where to split.
const LINEAR_WEIGHT: f64 = 0.1;

/// One body and one span.
pub struct Candidate<'a> {
    /// The body.
    pub carried: &'a Carried<'a>,
    /// Index of the body in its machine.
    pub body: usize,
    /// The span.
    pub wire: &'a WireSpan,
    /// Index of the span in its wire.
    pub span: usize,
}

/// A lower bound over a cell from one plane, and what it depends on.
struct Plane {
    lower_m: f64,
    support: Support,
    /// Greatest n·d: how much the wire's sag counts toward the body.
    drop: f64,
    /// Share of the swing's range where n·d is greatest.
    lean: f64,
    /// Spread of n·d over the swing.
    drop_spread: f64,
    /// Fraction of the chord where the wire reaches farthest.
    fraction: f64,
}

/// Room for one body's pose, kept between bounds.
pub struct Scratch {
    middle: Posed,
    corner: Posed,
}

impl Candidate<'_> {
    /// Room to work in.
    pub fn scratch(&self) -> Scratch {
        Scratch { middle: self.carried.blank(), corner: self.carried.blank() }
    }

    /// What lies between centre lines and surfaces: radii of body and wire, margins, rounding, m.
    fn thickness_m(&self, radius_m: f64) -> f64 {
        self.carried.body().radius_m + radius_m + self.wire.margin_m() + ROUNDING_PAD_M
    }

    /// A lower bound over all poses and states that costs next to nothing: ball about the machine, wire within its
    /// greatest sag of its chord.
    pub fn far_bound_m(&self) -> f64 {
        let (center, reach_m) = self.carried.reach();
        let span = self.wire.span();
        let chord = span.chord();
        let t = ((center - span.from()).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0);
        let to_chord_m = (span.from() + chord * t - center).norm();
        let envelope = self.wire.envelope();
        // `reach` already counts the body's radius.
        let thickness_m = self.thickness_m(envelope.radius_m()) - self.carried.body().radius_m;
        (to_chord_m - reach_m - envelope.most().greatest_sag_m() - thickness_m).max(0.0)
    }

    /// Bounds the distance over a cell: raises its lower bound where it can, and chooses where to split next.
    pub fn bound(&self, cell: &mut Cell, prune_m: f64, scratch: &mut Scratch) {
        self.carried.pose(&cell.center, &mut scratch.middle);
        let swing_rad = cell.wire.envelope.swing_rad().center();
        let curve = Curve::new(self.wire.span(), cell.wire.envelope.most(), swing_rad);
        let pair = curve.close_pair(&scratch.middle.features, cell.from, cell.to, 2);
        let normal = pair.normal().unwrap_or(-Vector3::z());
        let mut plane = self.plane(cell, &scratch.middle, &normal);
        self.prefer(cell, &plane);
        if plane.lower_m < prune_m
            && let Some(normal) = self.corner_normal(cell, &plane, &mut scratch.corner)
        {
            let second = self.plane(cell, &scratch.middle, &normal);
            if second.lower_m > plane.lower_m {
                plane = second;
                self.prefer(cell, &plane);
            }
        }
        cell.lower_m = cell.lower_m.max(plane.lower_m);
        cell.split = self.choose_split(cell, &plane);
    }

    /// n·p over the body's cell less n·x over the wire's cell, less thicknesses: below every distance in the cell.
    fn plane(&self, cell: &Cell, middle: &Posed, normal: &Vector3<f64>) -> Plane {
        let (span, envelope) = (self.wire.span(), &cell.wire.envelope);
        let support = self.carried.support(middle, &cell.half, normal);
        let drops = envelope.drop_range(span, normal);
        let (reach_m, fraction) = envelope.reach_m(span, normal, drops.high(), cell.from, cell.to);
        let wire_m = normal.dot(&span.from().coords) + reach_m;
        let lower_m = support.lower_m - wire_m - self.thickness_m(envelope.radius_m());
        let lean = envelope.lean(span, normal);
        Plane { lower_m, support, drop: drops.high(), lean, drop_spread: drops.width(), fraction }
    }

    /// Remembers the corner of the cell that the plane's linear part prefers.
    fn prefer(&self, cell: &mut Cell, plane: &Plane) {
        cell.low_joints = 0;
        for (joint, rate) in plane.support.rates.iter().enumerate() {
            cell.low_joints |= u16::from(*rate > 0.0) << joint;
        }
        cell.prefers_sag = plane.drop > 0.0;
        cell.wind_share = plane.lean;
    }

    /// Direction from the wire to the body at the preferred corner.
    fn corner_normal(&self, cell: &Cell, plane: &Plane, corner: &mut Posed) -> Option<Vector3<f64>> {
        self.carried.pose(&cell.corner(), corner);
        let envelope = &cell.wire.envelope;
        let catenary = if plane.drop > 0.0 { envelope.most() } else { envelope.least() };
        let curve = Curve::new(self.wire.span(), catenary, envelope.swing_rad().center());
        curve.close_pair(&corner.features, cell.from, cell.to, 2).normal()
    }

    /// The dimension that loosens the bound most.
    fn choose_split(&self, cell: &Cell, plane: &Plane) -> Dimension {
        let mut best = (Dimension::Along, self.along_looseness_m(cell, plane));
        let mut offer = |dimension, looseness_m: f64| {
            if looseness_m > best.1 {
                best = (dimension, looseness_m);
            }
        };
        for joint in 0..self.carried.joints().len() {
            let linear_m = plane.support.rates[joint].abs() * cell.half[joint];
            offer(Dimension::Joint(joint as u8), plane.support.remainders_m[joint] + LINEAR_WEIGHT * linear_m);
        }
        for (dimension, looseness_m) in self.state_looseness_m(cell, plane) {
            offer(dimension, looseness_m);
        }
        best.0
    }

    /// Where the wire sags away from the body, the bound takes the ends of the stretch: short of the curve by its bulge.
    fn along_looseness_m(&self, cell: &Cell, plane: &Plane) -> f64 {
        let width = cell.to - cell.from;
        let bulge_m = cell.wire.envelope.most().greatest_sag_m() * width * width;
        if plane.drop < 0.0 { -plane.drop * bulge_m } else { 1e-9 * width }
    }

    fn state_looseness_m(&self, cell: &Cell, plane: &Plane) -> [(Dimension, f64); 3] {
        let (envelope, states) = (&cell.wire.envelope, &cell.wire.states);
        let most_m = envelope.most().sag_m(plane.fraction);
        let spread_m = (most_m - envelope.least().sag_m(plane.fraction)) * plane.drop.abs();
        let swing_m = most_m * plane.drop_spread;
        let (length_m, load_m) =
            (spread_m * envelope.length_share(), spread_m * (1.0 - envelope.length_share()) + swing_m);
        let load = self.wire.strand().load();
        let wind = states.wind_m_per_s;
        let wind_n = load.lateral_n_per_m(wind.high(), states.ice_m.high())
            - load.lateral_n_per_m(wind.low(), states.ice_m.high());
        let ice_n = load.down_n_per_m(states.ice_m.high()) - load.down_n_per_m(states.ice_m.low());
        let total_n = wind_n + ice_n;
        let part = |n: f64| if total_n > 0.0 { load_m * n / total_n } else { 0.0 };
        [
            (Dimension::Length, LINEAR_WEIGHT * length_m),
            (Dimension::Wind, LINEAR_WEIGHT * part(wind_n)),
            (Dimension::Ice, LINEAR_WEIGHT * part(ice_n)),
        ]
    }
}

/// Values of the joints of a whole machine, from those of one body and the rest at their middles.
pub fn whole_pose(carried: &Carried, values: &Joints, middles: &[f64]) -> Vec<f64> {
    let mut pose = middles.to_vec();
    for (local, &joint) in carried.joints().iter().enumerate() {
        pose[joint] = values[local];
    }
    pose
}
