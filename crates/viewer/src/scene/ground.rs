//! The ground with its metric grid: a line every metre near the machine, a stronger one every ten.

use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use nalgebra::{Point3, Vector3};

use super::paint;
use super::stage::{SceneThing, Shown, Stage};
use crate::frame::SceneFrame;
use crate::solid::{Surface, field};
use crate::terrain::Terrain;
use crate::theme;

/// The ground.
pub struct GroundPlugin;

/// How far the fine grid reaches, m.
const FINE_M: f64 = 40.0;
/// How far the coarse grid reaches, m.
const COARSE_M: f64 = 300.0;
/// Pieces of a line on uneven ground, m.
const PIECE_M: f64 = 4.0;
/// How high lines lie above the ground, m.
const LIFT_M: f64 = 0.02;
/// How far the ground reaches, m.
const FAR_M: f64 = 2_500.0;

impl Plugin for GroundPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn);
    }
}

fn spawn(
    mut commands: Commands,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let terrain = Terrain::of(&shown.job);
    let mut lay = |surface: &Surface, rgb| {
        let mesh = Mesh3d(meshes.add(frame.mesh(surface)));
        let paint = StandardMaterial { perceptual_roughness: 1.0, reflectance: 0.0, ..paint::matte(rgb) };
        commands.spawn((SceneThing, mesh, MeshMaterial3d(materials.add(paint)), NotShadowCaster));
    };
    lay(&land(&terrain, &frame.origin), theme::GROUND);
    lay(&grid(&terrain, &frame.origin, (1.0, FINE_M, 0.035)), theme::GRID_FINE);
    lay(&grid(&terrain, &frame.origin, (10.0, COARSE_M, 0.10)), theme::GRID_COARSE);
}

/// Fine near the origin, coarse far away.
fn land(terrain: &Terrain, origin: &Point3<f64>) -> Surface {
    let near = (-60..=60).map(|k| f64::from(k) * 2.0);
    let far = [200.0, 400.0, 800.0, 1_500.0, FAR_M];
    let steps: Vec<f64> = far.iter().rev().map(|m| -m).chain(near).chain(far).collect();
    let row = |north: &f64| steps.iter().map(|east| terrain.point(origin.x + east, origin.y + north)).collect();
    let rows: Vec<Vec<Point3<f64>>> = steps.iter().map(row).collect();
    field(&rows, |point| terrain.normal(point))
}

/// Lines both ways: spacing, reach and width, m.
fn grid(terrain: &Terrain, origin: &Point3<f64>, (spacing_m, reach_m, width_m): (f64, f64, f64)) -> Surface {
    let count = (reach_m / spacing_m) as i32;
    let pieces = if terrain.is_flat() { 1 } else { (2.0 * reach_m / PIECE_M) as usize };
    let mut surface = Surface::default();
    for k in -count..=count {
        let offset_m = f64::from(k) * spacing_m;
        for northward in [false, true] {
            let point = |along_m: f64, side_m: f64| {
                let (a, b) = (along_m, offset_m + side_m);
                let (east, north) = if northward { (b, a) } else { (a, b) };
                terrain.point(origin.x + east, origin.y + north) + Vector3::z() * LIFT_M
            };
            let edge = |side_m: f64| -> Vec<Point3<f64>> {
                let step = 2.0 * reach_m / pieces as f64;
                (0..=pieces).map(|i| point(-reach_m + i as f64 * step, side_m)).collect()
            };
            let half_m = if northward { -0.5 * width_m } else { 0.5 * width_m };
            surface.add(&field(&[edge(-half_m), edge(half_m)], |_| Vector3::z()));
        }
    }
    surface
}
