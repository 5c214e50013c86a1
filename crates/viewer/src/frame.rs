//! The one place where f64 becomes f32 and the axes turn: the site has x east, y north, z up; the scene has x east, y up,
//! z south. The site's origin for the scene lies near the machines, so that f32 is exact enough anywhere.

use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use nalgebra::{Isometry3, Point3, UnitQuaternion, Vector3};

use crate::solid::Surface;

/// From the site to the scene.
#[derive(Clone, Copy, Debug, PartialEq, Resource)]
pub struct SceneFrame {
    /// The point of the site that is the scene's origin, m.
    pub origin: Point3<f64>,
}

/// A number for the scene.
#[must_use]
pub fn narrow(value: f64) -> f32 {
    value as f32
}

/// A direction of the site in the scene.
#[must_use]
pub fn direction(vector: &Vector3<f64>) -> Vec3 {
    Vec3::new(narrow(vector.x), narrow(vector.z), narrow(-vector.y))
}

/// A rotation of the site in the scene.
#[must_use]
pub fn rotation(turn: &UnitQuaternion<f64>) -> Quat {
    Quat::from_xyzw(narrow(turn.i), narrow(turn.k), narrow(-turn.j), narrow(turn.w))
}

impl SceneFrame {
    /// A point of the site in the scene.
    #[must_use]
    pub fn point(&self, point: &Point3<f64>) -> Vec3 {
        direction(&(point - self.origin))
    }

    /// A place of the site in the scene.
    #[must_use]
    pub fn place(&self, place: &Isometry3<f64>) -> Transform {
        Transform::from_translation(self.point(&place.translation.vector.into()))
            .with_rotation(rotation(&place.rotation))
    }

    /// A surface in site coordinates as a mesh of the scene.
    #[must_use]
    pub fn mesh(&self, surface: &Surface) -> Mesh {
        build(surface, |point| self.point(point))
    }
}

/// A surface in coordinates of its own frame as a mesh.
#[must_use]
pub fn local_mesh(surface: &Surface) -> Mesh {
    build(surface, |point| direction(&point.coords))
}

fn build(surface: &Surface, place: impl Fn(&Point3<f64>) -> Vec3) -> Mesh {
    let mut points: Vec<[f32; 3]> = surface.points.iter().map(|p| place(p).to_array()).collect();
    let mut normals: Vec<[f32; 3]> = surface.normals.iter().map(|n| direction(n).to_array()).collect();
    let mut indices: Vec<u32> = surface.triangles.iter().flatten().copied().collect();
    if indices.is_empty() {
        // The renderer takes no empty mesh: one triangle without area draws nothing.
        (points, normals, indices) = (vec![[0.0; 3]; 3], vec![[0.0, 1.0, 0.0]; 3], vec![0, 1, 2]);
    }
    let mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(indices));
    if surface.colors.is_empty() {
        mesh
    } else {
        let colors: Vec<[f32; 4]> = surface.colors.iter().map(|c| c.map(narrow)).collect();
        mesh.with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colors)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn up_is_up_and_north_is_away() {
        let frame = SceneFrame { origin: Point3::new(1e5, 2e5, 10.0) };
        assert_eq!(frame.point(&Point3::new(1e5 + 1.0, 2e5 + 2.0, 13.0)), Vec3::new(1.0, 3.0, -2.0));
    }

    #[test]
    fn turning_then_changing_axes_is_changing_axes_then_turning() {
        for axis in [Vector3::x(), Vector3::y(), Vector3::z(), Vector3::new(1.0, -2.0, 0.5)] {
            let turn = UnitQuaternion::from_scaled_axis(axis.normalize() * 0.7);
            let vector = Vector3::new(0.3, -1.2, 2.0);
            let error = direction(&(turn * vector)) - rotation(&turn) * direction(&vector);
            assert!(error.length() < 1e-6, "{error}");
        }
    }

    #[test]
    fn triangles_keep_their_side() {
        // The change of axes is a rotation, so the order of corners still turns about the outward normal.
        let (a, b) = (Vector3::x(), Vector3::y());
        let error = direction(&a).cross(direction(&b)) - direction(&a.cross(&b));
        assert!(error.length() < 1e-6);
    }
}
