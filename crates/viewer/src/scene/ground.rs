//! The ground with its metric grid: a line every metre near the machine, a stronger one every ten.

use bevy::asset::embedded_asset;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use bevy::render::render_resource::{AsBindGroup, ShaderType};
use bevy::shader::ShaderRef;
use nalgebra::Point3;

use super::paint;
use super::stage::{SceneThing, Shown, Stage};
use crate::frame::SceneFrame;
use crate::solid::{Surface, field};
use crate::terrain::Terrain;
use crate::theme;

/// The ground.
pub struct GroundPlugin;

/// How far the fine grid reaches, m.
const FINE_M: f32 = 40.0;
/// How far the coarse grid reaches, m.
const COARSE_M: f32 = 300.0;
/// How far the ground reaches, m.
const FAR_M: f64 = 2_500.0;

impl Plugin for GroundPlugin {
    fn build(&self, app: &mut App) {
        embedded_asset!(app, "ground.wgsl");
        app.add_plugins(MaterialPlugin::<Soil>::default()).add_systems(OnEnter(Stage::Ready), spawn);
    }
}

/// What the ground is painted with: `ground.wgsl`.
#[derive(Asset, AsBindGroup, TypePath, Clone, Debug)]
struct Soil {
    #[uniform(0)]
    paint: Paint,
}

/// Its colour and its grids.
#[derive(ShaderType, Clone, Debug)]
struct Paint {
    color: LinearRgba,
    fine: Grid,
    coarse: Grid,
}

/// Lines both ways about the scene's origin.
#[derive(ShaderType, Clone, Debug)]
struct Grid {
    color: LinearRgba,
    spacing_m: f32,
    width_m: f32,
    reach_m: f32,
    padding: f32,
}

impl Material for Soil {
    fn fragment_shader() -> ShaderRef {
        "embedded://wideberth_viewer/scene/ground.wgsl".into()
    }

    fn enable_prepass() -> bool {
        false
    }
}

fn spawn(
    mut commands: Commands,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut soils: ResMut<Assets<Soil>>,
) {
    let ink = |rgb| paint::color(rgb).to_linear();
    let grid = |rgb, spacing_m, width_m, reach_m| Grid { color: ink(rgb), spacing_m, width_m, reach_m, padding: 0.0 };
    let fine = grid(theme::GRID_FINE, 1.0, 0.035, FINE_M);
    let coarse = grid(theme::GRID_COARSE, 10.0, 0.10, COARSE_M);
    let soil = Soil { paint: Paint { color: ink(theme::GROUND), fine, coarse } };
    let mesh = frame.mesh(&land(&Terrain::of(&shown.job), &frame.origin));
    commands.spawn((SceneThing, Mesh3d(meshes.add(mesh)), MeshMaterial3d(soils.add(soil)), NotShadowCaster));
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
