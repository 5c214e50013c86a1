//! People for scale, where people may stand: a spotter outside all that machines reach, and somebody behind.

use bevy::prelude::*;
use nalgebra::{Point3, Vector3};

use super::paint;
use super::stage::{SceneThing, Shown, Stage, Worst};
use crate::frame::SceneFrame;
use crate::solid::{Surface, capsule};
use crate::terrain::Terrain;
use crate::theme::{self, Rgb};

/// People for scale.
pub struct PeoplePlugin;

impl Plugin for PeoplePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn);
    }
}

/// Height of a person, m.
pub const PERSON_M: f64 = 1.75;

fn spawn(
    mut commands: Commands,
    shown: Res<Shown>,
    worst: Res<Worst>,
    frame: Res<SceneFrame>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let terrain = Terrain::of(&shown.job);
    let subject = &worst.subject;
    // A second person stands behind the first, farther from the machine.
    let away = (subject.spotter - subject.base).try_normalize(1e-6).unwrap_or(Vector3::x());
    let helper = subject.spotter + away * 1.2 + away.cross(&Vector3::z()) * 0.9;
    for place in [subject.spotter, helper] {
        let foot = terrain.point(place.x, place.y);
        let facing = (subject.gap - foot).cross(&Vector3::z()).try_normalize(1e-6).unwrap_or(Vector3::x());
        for (surface, rgb) in person(&foot, &facing) {
            let mesh = Mesh3d(meshes.add(frame.mesh(&surface)));
            commands.spawn((SceneThing, mesh, MeshMaterial3d(materials.add(paint::matte(rgb)))));
        }
    }
}

/// A person at a foot point with shoulders along a direction.
fn person(foot: &Point3<f64>, side: &Vector3<f64>) -> Vec<(Surface, Rgb)> {
    let at = |sideways: f64, up: f64| foot + side * sideways + Vector3::z() * up;
    let pair = |a: (f64, f64), b: (f64, f64), radius_m: f64| {
        let mut both = capsule(&at(a.0, a.1), &at(b.0, b.1), radius_m, 12);
        both.add(&capsule(&at(-a.0, a.1), &at(-b.0, b.1), radius_m, 12));
        both
    };
    let mut vest = capsule(&at(0.0, 0.98), &at(0.0, 1.30), 0.17, 14);
    vest.add(&pair((0.22, 1.34), (0.27, 0.92), 0.06));
    vec![
        (pair((0.10, 0.08), (0.09, 0.85), 0.085), theme::TROUSERS),
        (vest, theme::VEST),
        (capsule(&at(0.0, 1.56), &at(0.0, 1.60), 0.105, 14), theme::SKIN),
        (capsule(&at(0.0, 1.65), &at(0.0, PERSON_M - 0.09), 0.12, 14), theme::HELMET),
    ]
}
