//! Supports, wires that stay visible at any distance, and the strings that some hang on.

use std::sync::Arc;

use bevy::camera::visibility::NoFrustumCulling;
use bevy::prelude::*;
use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use wideberth_physics::line::Wire;
use wideberth_scenario::job::SupportInfo;

use super::cameras::SceneCamera;
use super::framing::Framing;
use super::paint::{self, redraw};
use super::stage::{Now, SceneThing, Shown, SpanCurve, Stage, Step};
use crate::frame::SceneFrame;
use crate::solid::{Surface, block, capsule, tube};
use crate::theme;

/// Supports and wires.
pub struct LinePlugin;

/// Wires look at least this thick, as a share of the height of the picture.
const LEAST_SHARE: f64 = 0.0032;
/// Spans farther than this from the scene's origin are drawn roughly, m.
const NEAR_M: f64 = 400.0;
/// Pieces of such a span.
const FAR_PIECES: usize = 10;
/// Lines higher than this stand on steel, m.
const TALL_M: f64 = 18.0;
/// Half the thickness of an arm, m.
const ARM_M: f64 = 0.07;
/// Length of a disc of a string, m.
const DISC_M: f64 = 0.16;

/// The wires.
#[derive(Component)]
struct Wires;

/// The strings that wires hang on.
#[derive(Component)]
struct Strings;

impl Plugin for LinePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), (supports, wires))
            .add_systems(Update, (draw_wires, draw_strings).in_set(Step::Draw).run_if(in_state(Stage::Ready)));
    }
}

fn wires(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut materials: ResMut<Assets<StandardMaterial>>) {
    let mut empty = || Mesh3d(meshes.add(crate::frame::local_mesh(&Surface::default())));
    let (wire_mesh, string_mesh) = (empty(), empty());
    let glaze = MeshMaterial3d(materials.add(paint::matte(theme::INSULATOR)));
    let ink = MeshMaterial3d(materials.add(paint::after_glass(paint::matte(theme::WIRE))));
    commands.spawn((SceneThing, Wires, wire_mesh, ink, NoFrustumCulling));
    commands.spawn((SceneThing, Strings, string_mesh, glaze, NoFrustumCulling));
}

/// The wires that a mesh was drawn of last.
pub(super) type DrawnWires = Option<Arc<Vec<SpanCurve>>>;

/// Whether wires are others than those that were drawn last; from now on they are those.
pub(super) fn are_new(last: &mut DrawnWires, wires: &Arc<Vec<SpanCurve>>) -> bool {
    let same = last.as_ref().is_some_and(|last| Arc::ptr_eq(last, wires));
    *last = Some(Arc::clone(wires));
    !same
}

fn draw_wires(
    now: Res<Now>,
    frame: Res<SceneFrame>,
    (camera, framing): (Res<SceneCamera>, Res<Framing>),
    wires: Single<&Mesh3d, With<Wires>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut last: Local<DrawnWires>,
) {
    if !are_new(&mut last, &now.wires) && !camera.is_changed() && !frame.is_changed() && !framing.is_changed() {
        return;
    }
    let eye = camera.shown();
    let thin_m = |p: &Point3<f64>| LEAST_SHARE * framing.half_height(&eye) * (p - eye.at).norm();
    let mut surface = Surface::default();
    for curve in now.wires.iter() {
        let (points, sides) = if is_near(curve, &frame) { (curve.points.clone(), 8) } else { (coarse(curve), 4) };
        surface.add(&tube(&points, |k| curve.radius_m.max(thin_m(&points[k])), sides));
    }
    redraw(&mut meshes, *wires, frame.mesh(&surface));
}

/// From where each string is fixed to where the wire is now.
fn draw_strings(
    now: Res<Now>,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    strings: Single<&Mesh3d, With<Strings>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut last: Local<DrawnWires>,
) {
    if !are_new(&mut last, &now.wires) && !frame.is_changed() {
        return;
    }
    let mut surface = Surface::default();
    for curve in now.wires.iter() {
        let span = &shown.job.study.lines[curve.line].wires[curve.wire].spans()[curve.place];
        if let Some((top, _)) = span.near_string() {
            surface.add(&discs(&top, &curve.points[0]));
        }
    }
    redraw(&mut meshes, *strings, frame.mesh(&surface));
}

/// Whether a span comes near what the scene shows.
pub(super) fn is_near(curve: &SpanCurve, frame: &SceneFrame) -> bool {
    curve.points.iter().any(|p| (p - frame.origin).norm() < NEAR_M)
}

/// A few points of a span: all that one sees from afar.
fn coarse(curve: &SpanCurve) -> Vec<Point3<f64>> {
    let last = curve.points.len() - 1;
    (0..=FAR_PIECES).map(|k| curve.points[k * last / FAR_PIECES]).collect()
}

fn supports(
    mut commands: Commands,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let (mut wood, mut steel, mut glass) = (Surface::default(), Surface::default(), Surface::default());
    for (line, info) in shown.job.study.lines.iter().zip(&shown.job.lines) {
        for (index, support) in info.supports.iter().enumerate() {
            let fixed: Vec<Holder> = line.wires.iter().filter_map(|wire| Holder::of(wire, index)).collect();
            let top_m = fixed.iter().map(|holder| holder.at.z).fold(support.foot.z + 2.0, f64::max);
            let post = if top_m - support.foot.z > TALL_M { &mut steel } else { &mut wood };
            post.add(&pole(support, top_m));
            post.add(&crossarms(support, &fixed));
            fixed.iter().filter(|holder| !holder.hangs).for_each(|holder| glass.add(&insulator(&holder.at)));
        }
    }
    for (surface, rgb) in [(wood, theme::POLE), (steel, theme::STEEL), (glass, theme::INSULATOR)] {
        if !surface.points.is_empty() {
            let mesh = Mesh3d(meshes.add(frame.mesh(&surface)));
            commands.spawn((SceneThing, mesh, MeshMaterial3d(materials.add(paint::matte(rgb)))));
        }
    }
}

/// What holds a wire at a support.
struct Holder {
    /// The wire itself where it lies on the arm, the end of the string where it hangs under it.
    at: Point3<f64>,
    hangs: bool,
}

impl Holder {
    fn of(wire: &Wire, support: usize) -> Option<Self> {
        let spans = wire.spans();
        if let Some((at, _)) = spans.get(support).and_then(|span| span.near_string()) {
            return Some(Self { at, hangs: true });
        }
        let at = spans.get(support).map(|s| s.span().from()).or_else(|| spans.last().map(|s| s.span().to()))?;
        Some(Self { at, hangs: false })
    }

    /// Where the middle of its arm is.
    fn on_arm(&self) -> Point3<f64> {
        self.at + Vector3::z() * if self.hangs { ARM_M } else { -0.3 }
    }
}

/// A tapered pole up to a little above the highest wire.
fn pole(support: &SupportInfo, top_m: f64) -> Surface {
    let height_m = top_m - support.foot.z;
    let foot_m = 0.11 + 0.005 * height_m + if height_m > TALL_M { 0.2 } else { 0.0 };
    let top = Point3::new(support.foot.x, support.foot.y, top_m + 0.25);
    let path = [support.foot, support.foot + (top - support.foot) * 0.5, top, top];
    tube(&path, |k| [foot_m, 0.85 * foot_m, 0.7 * foot_m, 0.0][k], 14)
}

/// An arm for the attachments of each height.
fn crossarms(support: &SupportInfo, holders: &[Holder]) -> Surface {
    let mut surface = Surface::default();
    let fixed: Vec<Point3<f64>> = holders.iter().map(Holder::on_arm).collect();
    for (index, p) in fixed.iter().enumerate() {
        let level: Vec<_> = fixed.iter().filter(|q| (q.z - p.z).abs() < 0.05).collect();
        if fixed[..index].iter().any(|q| (q.z - p.z).abs() < 0.05) {
            continue;
        }
        let axis = Point3::new(support.foot.x, support.foot.y, p.z);
        let far = level.iter().map(|q| **q - axis).max_by(|a, b| a.norm().total_cmp(&b.norm()));
        let Some(reach) = far.filter(|reach| reach.norm() > 0.2) else { continue };
        let right_m = level.iter().map(|q| (**q - axis).dot(&reach.normalize())).fold(0.0, f64::max) + 0.15;
        let left_m = level.iter().map(|q| (**q - axis).dot(&reach.normalize())).fold(0.0, f64::min) - 0.15;
        surface.add(&beam(&axis, &reach.normalize(), left_m, right_m));
    }
    surface
}

fn beam(middle: &Point3<f64>, along: &Vector3<f64>, from_m: f64, to_m: f64) -> Surface {
    let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), along.y.atan2(along.x));
    let place = Isometry3::from_parts(Translation3::from(middle.coords), turn);
    let mut surface = block(Point3::new(from_m, -ARM_M, -ARM_M), Point3::new(to_m, ARM_M, ARM_M));
    surface.points.iter_mut().for_each(|p| *p = place * *p);
    surface.normals.iter_mut().for_each(|n| *n = place * *n);
    surface
}

fn insulator(at: &Point3<f64>) -> Surface {
    capsule(&(at - Vector3::z() * 0.28), &(at - Vector3::z() * 0.06), 0.06, 12)
}

/// A string of discs.
fn discs(top: &Point3<f64>, end: &Point3<f64>) -> Surface {
    let count = ((end - top).norm() / DISC_M).ceil().max(2.0) as usize;
    let path: Vec<Point3<f64>> = (0..=2 * count).map(|k| top + (end - top) * (k as f64 / (2 * count) as f64)).collect();
    tube(&path, |k| if k % 2 == 1 { 0.12 } else { 0.04 }, 12)
}
