//! The limit of approach as one shell about the wires of a span: where their limits meet, nothing is drawn inside.

use std::f64::consts::TAU;

use bevy::camera::visibility::NoFrustumCulling;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use nalgebra::{Point3, Vector2, Vector3};

use super::flat::Flat;
use super::line::{DrawnWires, are_new, is_near};
use super::paint::{self, redraw};
use super::stage::{Now, SceneThing, Shown, SpanCurve, Stage, Step};
use crate::frame::{SceneFrame, local_mesh};
use crate::loaded::Loaded;
use crate::solid::{Surface, tube, wrapped};
use crate::theme;

/// The limit around the wires.
pub struct LimitsPlugin;

/// Directions round a shell.
const AROUND: usize = 56;
/// Sides of the tube of a wire that is drawn alone.
const SIDES: usize = 28;

/// Marks the shell.
#[derive(Component)]
struct Limits;

/// A wire in a span, with the radius of its limit, m.
type Limited<'a> = (&'a SpanCurve, f64);

impl Plugin for LimitsPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn)
            .add_systems(Update, draw.in_set(Step::Draw).run_if(in_state(Stage::Ready)));
    }
}

fn spawn(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut paints: ResMut<Assets<Flat>>) {
    let mesh = Mesh3d(meshes.add(local_mesh(&Surface::default())));
    let glass = MeshMaterial3d(paints.add(paint::glass(theme::LIMIT, 0.34)));
    commands.spawn((SceneThing, Limits, mesh, glass, NoFrustumCulling, NotShadowCaster));
}

fn draw(
    now: Res<Now>,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    limits: Single<&Mesh3d, With<Limits>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut last: Local<DrawnWires>,
    mut last_machine: Local<Option<usize>>,
) {
    let machine = shown.job.study.pairings.get(now.gaps.least).map(|p| p.machine);
    let is_other = std::mem::replace(&mut *last_machine, machine) != machine;
    if !are_new(&mut last, &now.wires) && !is_other && !frame.is_changed() {
        return;
    }
    let near: Vec<Limited<'_>> = now
        .wires
        .iter()
        .filter(|curve| is_near(curve, &frame))
        .map(|curve| (curve, limit_m(&shown, machine, curve) + margin_m(&shown, curve) + curve.radius_m))
        .filter(|(curve, radius_m)| *radius_m > curve.radius_m)
        .collect();
    let mut surface = Surface::default();
    for together in spans(&shown, &near) {
        match shell(&together) {
            Some(shell) => surface.add(&shell),
            None => {
                together.iter().for_each(|(curve, radius_m)| surface.add(&tube(&curve.points, |_| *radius_m, SIDES)))
            }
        }
    }
    redraw(&mut meshes, *limits, frame.mesh(&surface));
}

/// Tolerances about a wire, m.
fn margin_m(loaded: &Loaded, curve: &SpanCurve) -> f64 {
    loaded.job.study.lines[curve.line].wires[curve.wire].spans()[curve.place].margin_m()
}

/// The limit of a wire, m: for the machine that is closest now, or the largest of all machines.
fn limit_m(loaded: &Loaded, machine: Option<usize>, curve: &SpanCurve) -> f64 {
    let of_wire = loaded.job.study.pairings.iter().filter(|p| (p.line, p.wire) == (curve.line, curve.wire));
    let own = of_wire.clone().find(|p| Some(p.machine) == machine).map(|p| p.limit_m);
    own.unwrap_or_else(|| of_wire.map(|p| p.limit_m).fold(0.0, f64::max))
}

/// The wires of each span of each line.
fn spans<'a>(loaded: &Loaded, curves: &[Limited<'a>]) -> Vec<Vec<Limited<'a>>> {
    let key = |curve: &SpanCurve| {
        (curve.line, loaded.job.study.lines[curve.line].wires[curve.wire].spans()[curve.place].index())
    };
    let mut sorted = curves.to_vec();
    sorted.sort_by_key(|(curve, _)| key(curve));
    sorted.chunk_by(|(a, _), (b, _)| key(a) == key(b)).map(<[Limited<'a>]>::to_vec).collect()
}

/// The outline of the limits of all wires of a span, along it; none where they lie apart.
fn shell(wires: &[Limited<'_>]) -> Option<Surface> {
    let rows = wires.first()?.0.points.len();
    if wires.len() < 2 || wires.iter().any(|(curve, _)| curve.points.len() != rows) {
        return None;
    }
    let row = |k: usize| -> Option<(Vec<Point3<f64>>, Point3<f64>)> {
        let count = wires.len() as f64;
        let mean = |k: usize| Point3::from(wires.iter().map(|(c, _)| c.points[k].coords).sum::<Vector3<f64>>() / count);
        let (middle, along) = (mean(k), mean((k + 1).min(rows - 1)) - mean(k.saturating_sub(1)));
        let aside = along.cross(&Vector3::z()).try_normalize(1e-9)?;
        let upward = aside.cross(&along.normalize());
        let flat = |curve: &SpanCurve| {
            let off = curve.points[k] - middle;
            Vector2::new(off.dot(&aside), off.dot(&upward))
        };
        let circles: Vec<(Vector2<f64>, f64)> =
            wires.iter().map(|(curve, radius_m)| (flat(curve), *radius_m)).collect();
        let point = |step: usize| {
            // Turning as tubes do, so that the outside is the outside.
            let (sin, cos) = (-TAU * step as f64 / AROUND as f64).sin_cos();
            let far_m = outline_m(&circles, &Vector2::new(cos, sin))?;
            Some(middle + (aside * cos + upward * sin) * far_m)
        };
        Some(((0..AROUND).map(point).collect::<Option<_>>()?, middle))
    };
    Some(wrapped(&(0..rows).map(row).collect::<Option<Vec<_>>>()?))
}

/// How far circles reach from the origin in a direction, m; none where one of them does not hold the origin, so that others may lie
/// between.
fn outline_m(circles: &[(Vector2<f64>, f64)], way: &Vector2<f64>) -> Option<f64> {
    let reach = |(middle, radius_m): &(Vector2<f64>, f64)| {
        let (on, off2) = (middle.dot(way), middle.norm_squared());
        (off2 < radius_m * radius_m).then(|| on + (radius_m * radius_m - off2 + on * on).sqrt())
    };
    circles.iter().map(reach).collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_outline_of_circles_is_the_farthest_of_them() {
        let circles = [(Vector2::new(-1.0, 0.0), 3.0), (Vector2::new(1.0, 0.0), 3.0)];
        let right = outline_m(&circles, &Vector2::new(1.0, 0.0)).expect("an outline");
        let up = outline_m(&circles, &Vector2::new(0.0, 1.0)).expect("an outline");
        assert!((right - 4.0).abs() < 1e-12 && (up - 8.0_f64.sqrt()).abs() < 1e-12, "{right} {up}");
        assert_eq!(outline_m(&[(Vector2::new(-4.0, 0.0), 3.0)], &Vector2::new(1.0, 0.0)), None, "apart");
    }
}
