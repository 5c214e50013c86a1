//! Surfaces of tubes, balls, bodies and bands in site coordinates, for drawing.

use nalgebra::{Point3, Unit, Vector3};
use parry3d_f64::math::Vector;
use parry3d_f64::transformation::try_convex_hull;
use wideberth_physics::approach::PlacedFeature;

/// Points about a ring.
const RING_POINTS: usize = 40;
/// Faces that meet more bluntly than this look smooth.
const CREASE_COSINE: f64 = 0.8;

/// Triangles with a normal for each point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surface {
    /// Points, m.
    pub points: Vec<Point3<f64>>,
    /// Outward unit normals.
    pub normals: Vec<Vector3<f64>>,
    /// Corners, turning about the outward normal.
    pub triangles: Vec<[u32; 3]>,
    /// Linear colour of each point; empty where the material alone gives it.
    pub colors: Vec<[f64; 4]>,
}

impl Surface {
    /// Adds another surface.
    pub fn add(&mut self, other: &Self) {
        let shift = self.points.len() as u32;
        self.points.extend(&other.points);
        self.normals.extend(&other.normals);
        self.colors.extend(&other.colors);
        self.triangles.extend(other.triangles.iter().map(|t| t.map(|corner| corner + shift)));
    }

    /// Rows of points as a sheet: `row_length` points in each, joined at the ends of the rows where `closed`.
    fn sheet(points: Vec<Point3<f64>>, normals: Vec<Vector3<f64>>, row_length: usize, closed: bool) -> Self {
        let rows = points.len() / row_length;
        let columns = if closed { row_length } else { row_length - 1 };
        let mut triangles = Vec::with_capacity(2 * columns * rows.saturating_sub(1));
        for row in 1..rows {
            for column in 0..columns {
                let next = (column + 1) % row_length;
                let at = |row: usize, column: usize| (row * row_length + column) as u32;
                let (a, b) = (at(row - 1, column), at(row - 1, next));
                let (c, d) = (at(row, column), at(row, next));
                triangles.extend([[a, b, d], [a, d, c]]);
            }
        }
        Self { points, normals, triangles, colors: Vec::new() }
    }
}

/// Two directions square to one and to each other.
fn across(along: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let other = if along.z.abs() < 0.9 * along.norm() { Vector3::z() } else { Vector3::x() };
    let first = along.cross(&other).normalize();
    (first, along.cross(&first).normalize())
}

/// A tube along a polyline with a radius at each point, m. Open at its ends.
#[must_use]
pub fn tube(path: &[Point3<f64>], radius_m: impl Fn(usize) -> f64, sides: usize) -> Surface {
    let (mut points, mut normals) = (Vec::new(), Vec::new());
    if path.len() < 2 {
        return Surface::default();
    }
    for (index, at) in path.iter().enumerate() {
        let along = path[(index + 1).min(path.len() - 1)] - path[index.saturating_sub(1)];
        let (first, second) = across(&along.try_normalize(1e-9).unwrap_or(Vector3::x()));
        for side in 0..sides {
            let (sin, cos) = (std::f64::consts::TAU * side as f64 / sides as f64).sin_cos();
            let normal = first * cos + second * sin;
            points.push(at + normal * radius_m(index));
            normals.push(normal);
        }
    }
    Surface::sheet(points, normals, sides, true)
}

/// A tube of one radius (m) with round ends.
#[must_use]
pub fn capsule(from: &Point3<f64>, to: &Point3<f64>, radius_m: f64, sides: usize) -> Surface {
    let along = (to - from).try_normalize(1e-9).unwrap_or(Vector3::z());
    let steps = (sides / 4).max(2);
    let cap = |k: usize| {
        let (sin, cos) = (std::f64::consts::FRAC_PI_2 * k as f64 / steps as f64).sin_cos();
        (sin * radius_m, cos * radius_m)
    };
    let near = (0..=steps).map(|k| (*from, -1.0, cap(k)));
    let far = (0..=steps).rev().map(|k| (*to, 1.0, cap(k)));
    let (first, second) = across(&along);
    let (mut points, mut normals) = (Vec::new(), Vec::new());
    for (center, side, (ring_m, out_m)) in near.chain(far) {
        for k in 0..sides {
            let (sin, cos) = (std::f64::consts::TAU * k as f64 / sides as f64).sin_cos();
            let offset = (first * cos + second * sin) * ring_m + along * (side * out_m);
            points.push(center + offset);
            normals.push(offset / radius_m.max(1e-9));
        }
    }
    Surface::sheet(points, normals, sides, true)
}

/// A closed sleeve through loops of equally many points, each with its middle, from which its normals point.
#[must_use]
pub fn wrapped(loops: &[(Vec<Point3<f64>>, Point3<f64>)]) -> Surface {
    let Some(length) = loops.first().map(|(points, _)| points.len()).filter(|length| *length > 2) else {
        return Surface::default();
    };
    let normal =
        |point: &Point3<f64>, middle: &Point3<f64>| (point - middle).try_normalize(1e-9).unwrap_or(Vector3::z());
    let normals = loops.iter().flat_map(|(points, middle)| points.iter().map(move |point| normal(point, middle)));
    let normals = normals.collect();
    let points = loops.iter().flat_map(|(points, _)| points.iter().copied()).collect();
    Surface::sheet(points, normals, length, true)
}

/// A closed sleeve through loops of equally many points.
#[must_use]
pub fn sleeve(loops: &[Vec<Point3<f64>>]) -> Surface {
    let Some(length) = loops.first().map(Vec::len).filter(|length| *length > 2) else { return Surface::default() };
    let mut normals = Vec::new();
    for points in loops {
        let middle = points.iter().map(|p| p.coords).sum::<Vector3<f64>>() / length as f64;
        normals.extend(points.iter().map(|p| (p.coords - middle).try_normalize(1e-9).unwrap_or(Vector3::z())));
    }
    Surface::sheet(loops.concat(), normals, length, true)
}

/// A sheet of rows of equally many points, facing up.
#[must_use]
pub fn field(rows: &[Vec<Point3<f64>>], normal: impl Fn(&Point3<f64>) -> Vector3<f64>) -> Surface {
    let Some(length) = rows.first().map(Vec::len) else { return Surface::default() };
    let points = rows.concat();
    let normals = points.iter().map(normal).collect();
    Surface::sheet(points, normals, length, false)
}

/// A box from one corner to the other along the axes of its coordinates.
#[must_use]
pub fn block(least: Point3<f64>, greatest: Point3<f64>) -> Surface {
    let pick = |corner: usize, axis: usize| if corner >> axis & 1 == 0 { least[axis] } else { greatest[axis] };
    let corners: Vec<_> = (0..8).map(|c| Point3::new(pick(c, 0), pick(c, 1), pick(c, 2))).collect();
    hull(&corners)
}

/// The hull of points; sharp where it bends much. Points without extent have no surface.
#[must_use]
pub fn hull(points: &[Point3<f64>]) -> Surface {
    let given: Vec<Vector> = points.iter().map(|p| Vector::new(p.x, p.y, p.z)).collect();
    let Ok((corners, faces)) = try_convex_hull(&given) else { return Surface::default() };
    let corners: Vec<Point3<f64>> = corners.iter().map(|p| Point3::new(p.x, p.y, p.z)).collect();
    creased(&corners, &faces)
}

/// Normals: the mean of the faces about a corner that bend little against each face.
fn creased(corners: &[Point3<f64>], faces: &[[u32; 3]]) -> Surface {
    let face_normal = |face: &[u32; 3]| {
        let [a, b, c] = face.map(|corner| corners[corner as usize]);
        (b - a).cross(&(c - a))
    };
    let areas: Vec<Vector3<f64>> = faces.iter().map(face_normal).collect();
    let mut around = vec![Vec::new(); corners.len()];
    for (index, face) in faces.iter().enumerate() {
        face.iter().for_each(|corner| around[*corner as usize].push(index));
    }
    let mut surface = Surface::default();
    for (face, area) in faces.iter().zip(&areas) {
        let own = area.try_normalize(1e-15).unwrap_or(Vector3::z());
        let first = surface.points.len() as u32;
        for corner in face {
            let near = around[*corner as usize].iter().map(|f| areas[*f]);
            let sum: Vector3<f64> = near.filter(|n| n.dot(&own) > CREASE_COSINE * n.norm()).sum();
            surface.points.push(corners[*corner as usize]);
            surface.normals.push(sum.try_normalize(1e-15).unwrap_or(own));
        }
        surface.triangles.push([first, first + 1, first + 2]);
    }
    surface
}

/// A body: the hull of features, thickened by a radius (m).
#[must_use]
pub fn body(features: &[PlacedFeature], radius_m: f64) -> Surface {
    match features {
        [only] if only.ring_m == 0.0 => capsule(&only.at, &only.at, radius_m, 24),
        [a, b] if a.ring_m == 0.0 && b.ring_m == 0.0 => capsule(&a.at, &b.at, radius_m.max(0.02), 20),
        _ => {
            let spread: Vec<Point3<f64>> = features.iter().flat_map(ring_points).collect();
            let around = if radius_m > 0.0 { ball_directions() } else { vec![Vector3::zeros()] };
            let points: Vec<_> =
                spread.iter().flat_map(|p| around.iter().map(move |direction| p + direction * radius_m)).collect();
            hull(&points)
        }
    }
}

fn ring_points(feature: &PlacedFeature) -> Vec<Point3<f64>> {
    if feature.ring_m == 0.0 {
        return vec![feature.at];
    }
    let (first, second) = across(&Unit::new_normalize(feature.axis));
    (0..RING_POINTS)
        .map(|k| {
            let (sin, cos) = (std::f64::consts::TAU * k as f64 / RING_POINTS as f64).sin_cos();
            feature.at + (first * cos + second * sin) * feature.ring_m
        })
        .collect()
}

/// The corners of a cube, its faces and its edges, as directions.
fn ball_directions() -> Vec<Vector3<f64>> {
    let steps = [-1.0, 0.0, 1.0];
    let all = steps.iter().flat_map(|x| steps.iter().flat_map(move |y| steps.map(|z| Vector3::new(*x, *y, z))));
    all.filter_map(|direction| direction.try_normalize(0.5)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(x: f64, y: f64, z: f64) -> PlacedFeature {
        PlacedFeature { at: Point3::new(x, y, z), axis: Vector3::z(), ring_m: 0.0 }
    }

    /// Volume inside a closed surface, m³: sum of a·(b × c)/6.
    fn volume_m3(surface: &Surface) -> f64 {
        let corner = |index: u32| surface.points[index as usize].coords;
        surface.triangles.iter().map(|[a, b, c]| corner(*a).dot(&corner(*b).cross(&corner(*c))) / 6.0).sum()
    }

    #[test]
    fn surfaces_face_outward_and_hold_their_volume() {
        let cube = block(Point3::new(1.0, 1.0, 1.0), Point3::new(3.0, 4.0, 5.0));
        assert!((volume_m3(&cube) - 24.0).abs() < 1e-9);
        let rod = capsule(&Point3::new(0.0, 0.0, 1.0), &Point3::new(0.0, 0.0, 5.0), 0.5, 48);
        let exact = std::f64::consts::PI * 0.25 * (4.0 + 2.0 / 3.0);
        assert!((volume_m3(&rod) - exact).abs() < 0.03 * exact, "{} {exact}", volume_m3(&rod));
    }

    #[test]
    fn a_thick_body_reaches_its_radius_beyond_its_features() {
        let box_points: Vec<_> =
            (0..8).map(|c| point(f64::from(c & 1), f64::from(c >> 1 & 1), f64::from(c >> 2 & 1))).collect();
        let surface = body(&box_points, 0.5);
        let top_m = surface.points.iter().map(|p| p.z).fold(f64::NEG_INFINITY, f64::max);
        assert!((top_m - 1.5).abs() < 1e-9);
    }

    #[test]
    fn normals_are_unit_vectors() {
        let ring = |z: f64| PlacedFeature { ring_m: 2.0, ..point(0.0, 0.0, z) };
        for surface in
            [body(&[ring(0.0), ring(5.0)], 0.2), tube(&[Point3::origin(), Point3::new(1.0, 2.0, 3.0)], |_| 0.1, 8)]
        {
            assert!(surface.normals.iter().all(|n| (n.norm() - 1.0).abs() < 1e-6));
            assert!(!surface.triangles.is_empty());
        }
    }
}
