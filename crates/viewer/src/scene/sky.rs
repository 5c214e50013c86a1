//! Sun, sky and haze.

use bevy::light::{CascadeShadowConfigBuilder, GlobalAmbientLight, NotShadowCaster, NotShadowReceiver};
use bevy::prelude::*;
use nalgebra::{Point3, Rotation3, Vector3};

use super::flat::{Flat, Kind};
use super::paint::{Finish, color};
use super::stage::{SceneThing, Stage, Worst};
use crate::frame::{direction, local_mesh};
use crate::solid::Surface;
use crate::theme;

/// Sun, sky and haze.
pub struct SkyPlugin;

/// How far shadows reach, m.
const SHADOWS_M: f32 = 130.0;
/// How far the sky is, m.
const FAR_M: f64 = 3_000.0;
/// Rings and points of the dome.
const RINGS: usize = 24;
const AROUND: usize = 32;

impl Plugin for SkyPlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(ClearColor(color(theme::HAZE)))
            .insert_resource(GlobalAmbientLight { color: color([226, 234, 246]), brightness: 330.0, ..default() })
            .add_systems(OnEnter(Stage::Ready), spawn);
    }
}

/// Toward the sun: high, beside the camera that turns about the machine, so that the side which it shows is lit.
fn toward_sun(orbit: &Vector3<f64>) -> Vector3<f64> {
    let level = Vector3::new(orbit.x, orbit.y, 0.0).normalize();
    let beside = Rotation3::from_axis_angle(&Vector3::z_axis(), 0.9) * level;
    Vector3::new(0.75 * beside.x, 0.75 * beside.y, 0.66).normalize()
}

fn spawn(
    mut commands: Commands,
    finish: Res<Finish>,
    worst: Res<Worst>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paints: ResMut<Assets<Flat>>,
) {
    let sun = DirectionalLight {
        illuminance: 5_600.0,
        color: color([255, 247, 230]),
        shadow_maps_enabled: *finish != Finish::Plain,
        ..default()
    };
    let cascades = CascadeShadowConfigBuilder {
        num_cascades: if *finish == Finish::Fine { 2 } else { 1 },
        maximum_distance: SHADOWS_M,
        first_cascade_far_bound: 45.0,
        ..default()
    };
    let from =
        Transform::from_translation(direction(&toward_sun(&worst.subject.orbit))).looking_at(Vec3::ZERO, Vec3::Y);
    commands.spawn((SceneThing, sun, cascades.build(), from));
    let kind = Kind { culled: None, bias: 0, hazy: false };
    let paint = Flat { color: LinearRgba::WHITE, alpha_mode: AlphaMode::Opaque, kind };
    commands.spawn((
        SceneThing,
        Mesh3d(meshes.add(local_mesh(&dome()))),
        MeshMaterial3d(paints.add(paint)),
        NotShadowCaster,
        NotShadowReceiver,
    ));
}

/// Half a ball, hazy at the horizon and blue above.
fn dome() -> Surface {
    let ring = |row: usize| -> Vec<Point3<f64>> {
        let (sin, cos) = (-0.12 + (std::f64::consts::FRAC_PI_2 + 0.12) * row as f64 / RINGS as f64).sin_cos();
        let point = |k: usize| {
            let (east, north) = (std::f64::consts::TAU * k as f64 / AROUND as f64).sin_cos();
            Point3::new(FAR_M * cos * east, FAR_M * cos * north, FAR_M * sin)
        };
        (0..=AROUND).map(point).collect()
    };
    let rows: Vec<_> = (0..=RINGS).map(ring).collect();
    let mut surface = crate::solid::field(&rows, |p| -p.coords.normalize());
    surface.colors = surface.points.iter().map(|p| shade((p.z / FAR_M).clamp(0.0, 1.0))).collect();
    surface
}

fn shade(height: f64) -> [f64; 4] {
    let t = (height * 1.6).min(1.0).powf(0.6);
    let mix = |k: usize| theme::linear(theme::HAZE[k]) * (1.0 - t) + theme::linear(theme::SKY[k]) * t;
    [mix(0), mix(1), mix(2), 1.0]
}
