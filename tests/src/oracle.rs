//! The distance of one pose and one state, found without any code of the search: frames through `Machine::place`, bodies
//! through parry3d's shapes and closed forms, the wire through its shape on a grid with golden-section refinement.
//!
//! Every number is attained by points of the body and the wire (to rounding), so it is never below the true distance.

use nalgebra::{Isometry3, Point3, Vector3};
use parry3d_f64::math::Vector;
use parry3d_f64::query::PointQuery;
use parry3d_f64::shape::{Cuboid, Segment, Triangle};
use wideberth_physics::line::{StateShape, WireSpan};
use wideberth_physics::machine::{Body, Feature, FrameId, Machine};

const GRID: usize = 24;
const GOLDEN_STEPS: usize = 40;
const RING_POINTS: usize = 48;

/// A body, made ready for distances in many poses.
pub enum Solid {
    /// A box along the axes of its frame.
    Block {
        /// Frame.
        frame: FrameId,
        /// Its middle in the frame, m.
        center: Point3<f64>,
        /// Its half sizes.
        half: Cuboid,
    },
    /// Two rings (or tips) about one line of a frame.
    Frustum {
        /// Frame.
        frame: FrameId,
        /// Near end in the frame, m.
        from: Point3<f64>,
        /// To the far end, m.
        along: Vector3<f64>,
        /// Radius at the near end, m.
        near_m: f64,
        /// Radius at the far end, m.
        far_m: f64,
    },
    /// Points and rings in any frames.
    Mixed(Vec<Feature>),
}

/// A solid in one pose.
pub enum Posed {
    /// In the frame of its body.
    Local(Isometry3<f64>),
    /// As points in the site frame.
    Points(Vec<Point3<f64>>),
}

fn vector(p: Point3<f64>) -> Vector {
    Vector::new(p.x, p.y, p.z)
}

impl Solid {
    /// Recognises the kind of a body.
    #[must_use]
    pub fn new(body: &Body) -> Self {
        block(body).or_else(|| frustum(body)).unwrap_or_else(|| Self::Mixed(body.features.clone()))
    }

    /// Poses it.
    #[must_use]
    pub fn pose(&self, frames: &[Isometry3<f64>]) -> Posed {
        match self {
            Self::Block { frame, .. } | Self::Frustum { frame, .. } => Posed::Local(frames[frame.0].inverse()),
            Self::Mixed(features) => Posed::Points(features.iter().flat_map(|f| spread(f, frames)).collect()),
        }
    }

    /// Distance of a point from the hull of the features, m.
    #[must_use]
    pub fn distance_m(&self, posed: &Posed, point: &Point3<f64>) -> f64 {
        match (self, posed) {
            (Self::Block { center, half, .. }, Posed::Local(to_local)) => {
                half.distance_to_local_point(vector(Point3::from((to_local * point) - center)), true)
            }
            (Self::Frustum { from, along, near_m, far_m, .. }, Posed::Local(to_local)) => {
                frustum_distance_m(&((to_local * point) - from), along, *near_m, *far_m)
            }
            (_, Posed::Points(points)) => points_distance_m(points, point),
            (Self::Mixed(_), Posed::Local(_)) => f64::INFINITY,
        }
    }
}

fn block(body: &Body) -> Option<Solid> {
    let [first, .., last] = body.features.as_slice() else { return None };
    let half = 0.5 * (last.at - first.at);
    let center = nalgebra::center(&first.at, &last.at);
    let corner = |f: &Feature| (0..3).all(|k| ((f.at - center)[k].abs() - half[k].abs()).abs() < 1e-12);
    let alike = body.features.iter().all(|f| f.frame == first.frame && f.ring.is_none() && corner(f));
    let half = Cuboid::new(vector(Point3::from(half.abs())));
    (body.features.len() == 8 && alike).then_some(Solid::Block { frame: first.frame, center, half })
}

fn frustum(body: &Body) -> Option<Solid> {
    let [near, far] = body.features.as_slice() else { return None };
    let (along, axis) = (far.at - near.at, near.ring.or(far.ring)?.axis);
    let coaxial = |f: &Feature| f.ring.is_none_or(|r| r.axis.cross(&along).norm() < 1e-12 * along.norm());
    let alike = near.frame == far.frame && coaxial(near) && coaxial(far) && axis.cross(&along).norm() < 1e-9;
    let radius = |f: &Feature| f.ring.map_or(0.0, |r| r.radius_m);
    (alike && along.norm() > 1e-6).then_some(Solid::Frustum {
        frame: near.frame,
        from: near.at,
        along,
        near_m: radius(near),
        far_m: radius(far),
    })
}

/// In the half-plane through the axis the frustum is a trapezoid.
fn frustum_distance_m(offset: &Vector3<f64>, along: &Vector3<f64>, near_m: f64, far_m: f64) -> f64 {
    let length_m = along.norm();
    let height_m = offset.dot(along) / length_m;
    let radius_m = (offset - along * (height_m / length_m)).norm();
    let share = height_m / length_m;
    if (0.0..=1.0).contains(&share) && radius_m <= near_m + share * (far_m - near_m) {
        return 0.0;
    }
    let edge = |a: (f64, f64), b: (f64, f64)| {
        let (du, dv) = (b.0 - a.0, b.1 - a.1);
        let squared = du * du + dv * dv;
        let t = if squared > 0.0 { ((height_m - a.0) * du + (radius_m - a.1) * dv) / squared } else { 0.0 };
        let t = t.clamp(0.0, 1.0);
        (height_m - a.0 - t * du).hypot(radius_m - a.1 - t * dv)
    };
    let (near, far) = ((0.0, near_m), (length_m, far_m));
    edge((0.0, 0.0), near).min(edge(near, far)).min(edge(far, (length_m, 0.0)))
}

fn spread(feature: &Feature, frames: &[Isometry3<f64>]) -> Vec<Point3<f64>> {
    let place = &frames[feature.frame.0];
    let Some(ring) = feature.ring else { return vec![place * feature.at] };
    let axis = ring.axis.into_inner();
    let other = if axis.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() };
    let first = axis.cross(&other).normalize();
    let second = axis.cross(&first);
    (0..RING_POINTS)
        .map(|k| {
            let (sin, cos) = (std::f64::consts::TAU * k as f64 / RING_POINTS as f64).sin_cos();
            place * (feature.at + (first * cos + second * sin) * ring.radius_m)
        })
        .collect()
}

/// Few points: the nearest of all triangles, edges and points between them. Many (rings): the nearest of all edges.
fn points_distance_m(points: &[Point3<f64>], point: &Point3<f64>) -> f64 {
    let target = vector(*point);
    let edge_m =
        |a: &Point3<f64>, b: &Point3<f64>| Segment::new(vector(*a), vector(*b)).distance_to_local_point(target, true);
    if points.len() > 8 {
        return ring_edges(points).map(|(a, b)| edge_m(a, b)).fold(f64::INFINITY, f64::min);
    }
    let mut least_m = points.iter().map(|a| (a - point).norm()).fold(f64::INFINITY, f64::min);
    for (i, a) in points.iter().enumerate() {
        for (j, b) in points[..i].iter().enumerate() {
            if points.len() == 2 {
                least_m = least_m.min(edge_m(a, b));
            }
            for c in &points[..j] {
                let triangle = Triangle::new(vector(*a), vector(*b), vector(*c));
                least_m = least_m.min(triangle.distance_to_local_point(target, true));
            }
        }
    }
    least_m
}

/// Edges between neighbours in their order, and from ring to ring.
fn ring_edges(points: &[Point3<f64>]) -> impl Iterator<Item = (&Point3<f64>, &Point3<f64>)> {
    let neighbours = points.iter().zip(points.iter().skip(1));
    let rings =
        (1..=points.len() / RING_POINTS).flat_map(|apart| points.iter().zip(points.iter().skip(apart * RING_POINTS)));
    neighbours.chain(rings)
}

/// The machine's bodies, ready for the oracle.
#[must_use]
pub fn solids(machine: &Machine) -> Vec<Solid> {
    machine.bodies().iter().map(Solid::new).collect()
}

/// Distance between the surfaces of a posed body and a wire in a state, less the wire's margin, m; and the fraction.
///
/// A grid over the span, then golden section about its best point; refined only where it could undercut `interest_m`.
#[must_use]
pub fn surface_distance_m(
    solid: &Solid,
    posed: &Posed,
    body_m: f64,
    span: &WireSpan,
    shape: &StateShape,
    interest_m: f64,
) -> (f64, f64) {
    let thickness_m = body_m + shape.radius_m + span.margin_m();
    let at = |t: f64| solid.distance_m(posed, &span.point(shape, t)) - thickness_m;
    let step = 1.0 / GRID as f64;
    let (mut best_m, mut best_t) = (f64::INFINITY, 0.0);
    for k in 0..=GRID {
        let t = k as f64 * step;
        let d = at(t);
        if d < best_m {
            (best_m, best_t) = (d, t);
        }
    }
    // Between grid points the wire is at most half of a step away, stretched length 1.2 times the chord or so.
    if best_m - step * shape.catenary.stretched_m() > interest_m {
        return (best_m, best_t);
    }
    let refined = golden(&at, (best_t - step).max(0.0), (best_t + step).min(1.0), GOLDEN_STEPS);
    if refined.0 < best_m { refined } else { (best_m, best_t) }
}

/// A least value of a function on a range by golden section, and where.
#[must_use]
pub fn golden(at: &impl Fn(f64) -> f64, mut low: f64, mut high: f64, steps: usize) -> (f64, f64) {
    const SHARE: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (high - SHARE * (high - low), low + SHARE * (high - low));
    let (mut at_a, mut at_b) = (at(a), at(b));
    for _ in 0..steps {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - SHARE * (high - low);
            at_a = at(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + SHARE * (high - low);
            at_b = at(b);
        }
    }
    if at_a <= at_b { (at_a, a) } else { (at_b, b) }
}
