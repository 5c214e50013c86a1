//! Machines from their bodies, moved by their joints, each with the skin that the distance is measured to; and the proven worst case as a ghost.

use bevy::camera::visibility::NoFrustumCulling;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use nalgebra::{Isometry3, Point3};
use wideberth_physics::approach::PlacedFeature;
use wideberth_physics::machine::{Body, Feature, FrameId, Machine, Motion};
use wideberth_scenario::job::JointInfo;

use super::flat::Flat;
use super::lesson::Concealed;
use super::paint::{self, redraw};
use super::stage::{Now, Proven, SceneThing, Shown, Stage, Step, Worst};
use crate::frame::{SceneFrame, local_mesh};
use crate::solid::{Surface, body as surface_of};
use crate::theme::{self, Rgb};

/// Machines and their ghost.
pub struct MachinePlugin;

/// Depth bias by which the ghost lies behind parts that stand where its own do.
const BEHIND: i32 = -20_000;

/// How much a skin covers.
const SKIN_ALPHA: f32 = 0.28;

/// A drawn body.
#[derive(Component)]
struct Part {
    machine: usize,
    body: usize,
    /// The frame that carries all of it; none where it stretches between frames.
    rigid: Option<FrameId>,
    layer: Layer,
}

/// What of a body is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Layer {
    /// Its shape without what surrounds it: never beyond the skin.
    Core,
    /// All that the distance is measured to, tolerances and deflection included: one sees through it.
    Skin,
}

/// How much of a rod's or a ball's radius its core has.
const CORE_SHARE: f64 = 0.5;
/// Most radius of the core of a body with edges, m: its edges stay sharp.
const CORE_MOST_M: f64 = 0.03;
/// A skin thinner than this is not drawn, m.
const SKIN_LEAST_M: f64 = 0.05;

/// Radius about the features of a body in a layer, m.
fn radius_m(body: &Body, layer: Layer) -> f64 {
    let is_round = body.features.len() <= 2 && body.features.iter().all(|feature| feature.ring.is_none());
    match layer {
        Layer::Skin => body.radius_m,
        Layer::Core if is_round => CORE_SHARE * body.radius_m,
        Layer::Core => body.radius_m.min(CORE_MOST_M),
    }
}

/// The layers of a body that are drawn.
fn layers(body: &Body) -> Vec<Layer> {
    let has_skin = radius_m(body, Layer::Skin) - radius_m(body, Layer::Core) > SKIN_LEAST_M;
    if has_skin { vec![Layer::Core, Layer::Skin] } else { vec![Layer::Core] }
}

/// The worst case of a machine.
#[derive(Component)]
struct Ghost;

impl Plugin for MachinePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn).add_systems(
            Update,
            (pose, (spawn_ghost, haunt).chain()).in_set(Step::Draw).run_if(in_state(Stage::Ready)),
        );
    }
}

fn spawn(
    mut commands: Commands,
    shown: Res<Shown>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut paints: ResMut<Assets<Flat>>,
) {
    for (number, machine) in shown.job.study.machines.iter().enumerate() {
        for (index, body) in machine.bodies().iter().enumerate() {
            let rigid = carrier(body);
            let rgb = body_color(machine, body, &shown.job.machines[number].joints);
            for layer in layers(body) {
                let surface = if rigid.is_some() { at_rest(body, layer) } else { Surface::default() };
                let part = (
                    SceneThing,
                    Part { machine: number, body: index, rigid, layer },
                    Mesh3d(meshes.add(local_mesh(&surface))),
                    NoFrustumCulling,
                    Transform::default(),
                );
                if layer == Layer::Core {
                    let paint = StandardMaterial { perceptual_roughness: 0.6, ..paint::matte(rgb) };
                    commands.spawn((part, MeshMaterial3d(materials.add(paint))));
                } else {
                    let glass = MeshMaterial3d(paints.add(paint::glass(rgb, SKIN_ALPHA)));
                    commands.spawn((part, glass, NotShadowCaster));
                }
            }
        }
    }
}

/// Parts on the ground are dark, what hangs on a rope is light, the rest has the machine's colour.
fn body_color(machine: &Machine, body: &Body, joints: &[JointInfo]) -> Rgb {
    // Nobody moves what no range can be given for, such as the error of the heading.
    let is_tolerance = |joint: usize| joints.get(joint).is_some_and(|info| info.range.is_none());
    let path = |f: &Feature| machine.path(f.frame).collect::<Vec<_>>();
    let all: Vec<FrameId> = body.features.iter().flat_map(path).collect();
    let hangs = all.iter().any(|frame| machine.frames()[frame.0].motion == Motion::Plumb);
    let moves = all.iter().any(|frame| machine.joint_of(*frame).is_some_and(|joint| !is_tolerance(joint)));
    match (hangs, moves) {
        (true, _) => theme::LOAD,
        (false, true) => theme::MACHINE,
        (false, false) => theme::MACHINE_DARK,
    }
}

/// The frame that carries all features of a body.
fn carrier(body: &Body) -> Option<FrameId> {
    let first = body.features.first()?.frame;
    body.features.iter().all(|f| f.frame == first).then_some(first)
}

fn at_rest(body: &Body, layer: Layer) -> Surface {
    let placed: Vec<PlacedFeature> =
        body.features.iter().map(|f| PlacedFeature::new(f, &Isometry3::identity())).collect();
    surface_of(&placed, radius_m(body, layer))
}

/// A body in a pose, in site coordinates.
fn in_pose(body: &Body, frames: &[Isometry3<f64>], layer: Layer) -> Surface {
    let placed: Vec<PlacedFeature> = body.features.iter().map(|f| PlacedFeature::new(f, &frames[f.frame.0])).collect();
    surface_of(&placed, radius_m(body, layer))
}

fn pose(
    now: Res<Now>,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    mut parts: Query<(&Part, &Mesh3d, &mut Transform)>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut last: Local<Vec<Vec<f64>>>,
) {
    if !now.is_changed() || (*last == now.moment.poses && !shown.is_changed()) {
        return;
    }
    last.clone_from(&now.moment.poses);
    let machines = &shown.job.study.machines;
    let frames: Vec<Vec<Isometry3<f64>>> =
        machines.iter().zip(&now.moment.poses).map(|(machine, pose)| machine.place(pose)).collect();
    for (part, mesh, mut transform) in &mut parts {
        let (body, frames) = (&machines[part.machine].bodies()[part.body], &frames[part.machine]);
        match part.rigid {
            Some(carrier) => *transform = frame.place(&frames[carrier.0]),
            None => redraw(&mut meshes, mesh, frame.mesh(&in_pose(body, frames, part.layer))),
        }
    }
}

fn spawn_ghost(
    mut commands: Commands,
    shown: Res<Shown>,
    worst: Res<Worst>,
    frame: Res<SceneFrame>,
    old: Query<Entity, With<Ghost>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paints: ResMut<Assets<Flat>>,
) {
    if !worst.is_changed() && !old.is_empty() {
        return;
    }
    old.iter().for_each(|ghost| commands.entity(ghost).despawn());
    let Some(pairing) = shown.job.study.pairings.get(worst.gaps.least) else { return };
    let machine = &shown.job.study.machines[pairing.machine];
    let frames = machine.place(&worst.moment.poses[pairing.machine]);
    let mut surface = Surface::default();
    let joints = &shown.job.machines[pairing.machine].joints;
    let moving = machine.bodies().iter().filter(|body| body_color(machine, body, joints) != theme::MACHINE_DARK);
    moving.for_each(|body| surface.add(&in_pose(body, &frames, Layer::Skin)));
    let mut paint = paint::glass(theme::GHOST, 0.22);
    paint.kind.bias = BEHIND;
    commands.spawn((
        SceneThing,
        Ghost,
        Mesh3d(meshes.add(frame.mesh(&surface))),
        MeshMaterial3d(paints.add(paint)),
        NotShadowCaster,
        Visibility::Hidden,
    ));
}

/// The ghost shows where the machine is not.
fn haunt(
    now: Res<Now>,
    worst: Res<Worst>,
    (hidden, proven): (Res<Concealed>, Res<Proven>),
    mut ghosts: Query<&mut Visibility, With<Ghost>>,
) {
    let tells = is_apart(&now, &worst) && !hidden.answer() && proven.is_current();
    let wanted = if tells { Visibility::Inherited } else { Visibility::Hidden };
    ghosts.iter_mut().filter(|ghost| **ghost != wanted).for_each(|mut ghost| *ghost = wanted);
}

/// Whether the moment differs from the worst case so that one sees it: its gap lies elsewhere.
#[must_use]
pub fn is_apart(now: &Now, worst: &Worst) -> bool {
    let at = |gaps: &crate::moment::Gaps| gaps.each.get(gaps.least).map(|gap| gap.on_body);
    let apart = |(a, b): (Point3<f64>, Point3<f64>)| (a - b).norm() > 0.3;
    at(&now.gaps).zip(at(&worst.gaps)).is_some_and(apart)
}
