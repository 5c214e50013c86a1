//! Nearest point of a body to a point: Gilbert, Johnson and Keerthi's descent over a support function.
//!
//! Source: E. G. Gilbert, D. W. Johnson, S. S. Keerthi, "A fast procedure for computing the distance between complex
//! objects in three-dimensional space", IEEE J. Robotics and Automation 4(2), 1988. Nearest point of a simplex: by
//! trying its faces. Whatever the number of steps, the point returned is a convex combination of support points, so it
//! belongs to the body and its distance is an upper bound.

use nalgebra::{Isometry3, Point3, Vector3};

use crate::machine::Feature;

/// A point or ring of a body, placed in the site frame.
#[derive(Clone, Copy, Debug)]
pub struct PlacedFeature {
    /// Point, or centre of the ring, m.
    pub at: Point3<f64>,
    /// Axis of the ring; any unit vector for a point.
    pub axis: Vector3<f64>,
    /// Radius of the ring, m; zero for a point.
    pub ring_m: f64,
}

impl PlacedFeature {
    /// A feature where its frame is.
    #[inline]
    #[must_use]
    pub fn new(feature: &Feature, frame: &Isometry3<f64>) -> Self {
        let ring = feature.ring.map(|ring| (frame.rotation * ring.axis.into_inner(), ring.radius_m));
        let (axis, ring_m) = ring.unwrap_or((Vector3::z(), 0.0));
        Self { at: frame * feature.at, axis, ring_m }
    }

    /// The point of the feature farthest along a direction.
    fn support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        if self.ring_m == 0.0 {
            return self.at;
        }
        let across = direction - self.axis * self.axis.dot(direction);
        let length = across.norm();
        if length > 1e-12 * direction.norm() { self.at + across * (self.ring_m / length) } else { self.at }
    }
}

const STEPS: usize = 60;
const RELATIVE_GAP: f64 = 1e-12;

/// The point of the hull of `features` that is nearest to `target` (the target itself when it lies inside).
#[must_use]
pub fn nearest_on_hull(features: &[PlacedFeature], target: &Point3<f64>) -> Point3<f64> {
    let points = features.iter().all(|f| f.ring_m == 0.0);
    match features {
        [only] if points => only.at,
        [from, to] if points => nearest_on_segment(&from.at, &to.at, target),
        _ => descend(features, target),
    }
}

fn nearest_on_segment(from: &Point3<f64>, to: &Point3<f64>, target: &Point3<f64>) -> Point3<f64> {
    let along = to - from;
    let length_squared = along.norm_squared();
    let t = if length_squared > 0.0 { ((target - from).dot(&along) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    from + along * t
}

fn support(features: &[PlacedFeature], target: &Point3<f64>, direction: &Vector3<f64>) -> Vector3<f64> {
    let mut best = Vector3::zeros();
    let mut reach = f64::NEG_INFINITY;
    for feature in features {
        let offset = feature.support(direction) - target;
        let along = offset.dot(direction);
        if along > reach {
            (best, reach) = (offset, along);
        }
    }
    best
}

fn descend(features: &[PlacedFeature], target: &Point3<f64>) -> Point3<f64> {
    let mut nearest = features[0].at - target;
    let mut simplex = Simplex::new(support(features, target, &-nearest));
    nearest = simplex.corners[0];
    for _ in 0..STEPS {
        let squared = nearest.norm_squared();
        let farther = support(features, target, &-nearest);
        if squared <= 1e-24 || squared - nearest.dot(&farther) <= RELATIVE_GAP * squared || simplex.has(&farther) {
            break;
        }
        let next = simplex.extended(farther).reduced();
        if next.0.norm_squared() >= squared {
            break;
        }
        (nearest, simplex) = next;
    }
    target + nearest
}

/// Up to four points about the origin.
#[derive(Clone, Copy)]
struct Simplex {
    corners: [Vector3<f64>; 4],
    count: usize,
}

impl Simplex {
    fn new(corner: Vector3<f64>) -> Self {
        Self { corners: [corner; 4], count: 1 }
    }

    fn has(&self, corner: &Vector3<f64>) -> bool {
        self.corners[..self.count].contains(corner)
    }

    fn extended(mut self, corner: Vector3<f64>) -> Self {
        self.corners[self.count.min(3)] = corner;
        self.count = (self.count + 1).min(4);
        self
    }

    /// The nearest point of the simplex to the origin, and the smallest face that holds it.
    fn reduced(&self) -> (Vector3<f64>, Self) {
        let mut best: Option<(Vector3<f64>, Self)> = None;
        for face in 1_u8..1 << self.count {
            let part = self.part(face);
            if let Some(point) = part.inner_nearest()
                && best.as_ref().is_none_or(|(known, _)| point.norm_squared() < known.norm_squared())
            {
                best = Some((point, part));
            }
        }
        best.unwrap_or((self.corners[0], Self::new(self.corners[0])))
    }

    fn part(&self, face: u8) -> Self {
        let mut part = Self { corners: self.corners, count: 0 };
        for index in 0..self.count {
            if face >> index & 1 == 1 {
                part.corners[part.count] = self.corners[index];
                part.count += 1;
            }
        }
        part
    }

    /// Projection of the origin on the affine hull, if it falls inside the simplex.
    fn inner_nearest(&self) -> Option<Vector3<f64>> {
        let [a, b, c, d] = self.corners;
        match self.count {
            1 => Some(a),
            2 => {
                let ab = b - a;
                let t = -a.dot(&ab) / ab.norm_squared();
                (t > 0.0 && t < 1.0).then(|| a + ab * t)
            }
            3 => {
                let (ab, ac) = (b - a, c - a);
                let normal = ab.cross(&ac);
                let scale = normal.norm_squared();
                let (u, v) = (-a.cross(&ac).dot(&normal) / scale, -ab.cross(&a).dot(&normal) / scale);
                (u > 0.0 && v > 0.0 && u + v < 1.0).then(|| a + ab * u + ac * v)
            }
            _ => {
                let (ab, ac, ad) = (b - a, c - a, d - a);
                let volume = ab.dot(&ac.cross(&ad));
                let u = -a.dot(&ac.cross(&ad)) / volume;
                let v = -ab.dot(&a.cross(&ad)) / volume;
                let w = -ab.dot(&ac.cross(&a)) / volume;
                (u > 0.0 && v > 0.0 && w > 0.0 && u + v + w < 1.0).then(Vector3::zeros)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn point(x: f64, y: f64, z: f64) -> PlacedFeature {
        PlacedFeature { at: Point3::new(x, y, z), axis: Vector3::z(), ring_m: 0.0 }
    }

    fn unit_box() -> Vec<PlacedFeature> {
        (0..8).map(|c| point(f64::from(c & 1), f64::from(c >> 1 & 1), f64::from(c >> 2 & 1))).collect()
    }

    #[test]
    fn box_face_edge_corner_and_inside() {
        let near = |x, y, z| nearest_on_hull(&unit_box(), &Point3::new(x, y, z));
        assert_relative_eq!(near(0.3, 0.4, 5.0), Point3::new(0.3, 0.4, 1.0), epsilon = 1e-9);
        assert_relative_eq!(near(0.3, -2.0, 5.0), Point3::new(0.3, 0.0, 1.0), epsilon = 1e-9);
        assert_relative_eq!(near(-1.0, -2.0, -3.0), Point3::new(0.0, 0.0, 0.0), epsilon = 1e-9);
        assert_relative_eq!(near(0.3, 0.4, 0.6), Point3::new(0.3, 0.4, 0.6), epsilon = 1e-9);
    }

    #[test]
    fn cylinder_side_and_lid() {
        let ring = |z| PlacedFeature { at: Point3::new(0.0, 0.0, z), axis: Vector3::z(), ring_m: 2.0 };
        let near = |x, y, z| nearest_on_hull(&[ring(0.0), ring(5.0)], &Point3::new(x, y, z));
        assert_relative_eq!(near(3.0, 4.0, 2.5), Point3::new(1.2, 1.6, 2.5), epsilon = 1e-6);
        assert_relative_eq!(near(0.6, 0.8, 7.0), Point3::new(0.6, 0.8, 5.0), epsilon = 1e-6);
        assert_relative_eq!(near(0.0, 4.0, 7.0), Point3::new(0.0, 2.0, 5.0), epsilon = 1e-6);
    }
}
