//! The bright line between the two closest points, that of the proven worst case, the limit of approach about the wire there, and
//! the height of the wire.

use std::f64::consts::TAU;

use bevy::camera::visibility::NoFrustumCulling;
use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use bevy::render::render_resource::Face;
use nalgebra::{Point3, Vector3};
use wideberth_physics::approach::Gap;

use super::cameras::SceneCamera;
use super::flat::Flat;
use super::framing::Framing;
use super::lesson::Concealed;
use super::machine::is_apart;
use super::paint::{self, redraw};
use super::stage::{Now, SceneThing, Shown, Stage, Standing as Verdict, Step, Worst};
use crate::frame::{SceneFrame, local_mesh};
use crate::proportions::{Circles, circles, margin_m, wire_end};
use crate::solid::{Surface, capsule, tube};
use crate::theme;
use crate::view_model::{self, Standing};
use crate::views::Eye;

/// Lines between closest points.
pub struct GapLinePlugin;

/// Half the width of the line as a share of the height of the picture.
const SHARE: f64 = 0.0055;
/// Points of the circle of the limit.
const RING_POINTS: usize = 72;

/// What a line was last drawn of.
#[derive(Component, Clone, Debug, Default, PartialEq)]
struct Drawn(Option<Figure>);

/// What a line is drawn of: a gap, and how thick lines are there, m.
#[derive(Clone, Debug, PartialEq)]
struct Figure {
    gap: Gap,
    pairing: usize,
    width_m: f64,
    /// Whether nothing proves what is seen.
    is_in_doubt: bool,
}

/// What a line stands for.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    /// The gap of the moment.
    Gap,
    /// A light rim about it.
    Rim,
    /// The gap of the proven worst case.
    Worst,
    /// The limit of approach about the closest point of the wire.
    Limit,
    /// The wire there with its tolerances: from this circle on the limit counts, and the gap ends at it.
    Wire,
    /// The height of the wire above the ground.
    Height,
}

impl Plugin for GapLinePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn)
            .add_systems(Update, draw.in_set(Step::Draw).run_if(in_state(Stage::Ready)));
    }
}

fn spawn(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut paints: ResMut<Assets<Flat>>) {
    let marks = [
        (Mark::Gap, theme::GAP, 4_000),
        (Mark::Rim, theme::WHITE, 3_000),
        (Mark::Worst, theme::GHOST, 2_000),
        (Mark::Limit, theme::LIMIT, 1_000),
        (Mark::Wire, theme::WIRE, 1_200),
        (Mark::Height, theme::INK, 600),
    ];
    for (mark, rgb, bias) in marks {
        commands.spawn((
            SceneThing,
            mark,
            Drawn::default(),
            Mesh3d(meshes.add(local_mesh(&Surface::default()))),
            MeshMaterial3d(paints.add(paint(mark, rgb, bias))),
            NoFrustumCulling,
            NotShadowCaster,
        ));
    }
}

/// The rim shows its far side alone, so that the line inside it stays in sight.
fn paint(mark: Mark, rgb: theme::Rgb, bias: i32) -> Flat {
    let mut paint = paint::bright(rgb, bias);
    if mark == Mark::Rim {
        paint.kind.culled = Some(Face::Front);
    }
    paint
}

#[expect(clippy::too_many_arguments, reason = "a system names what it reads")]
fn draw(
    now: Res<Now>,
    worst: Res<Worst>,
    shown: Res<Shown>,
    (frame, hidden, standing): (Res<SceneFrame>, Res<Concealed>, Res<Verdict>),
    (camera, framing): (Res<SceneCamera>, Res<Framing>),
    mut marks: Query<(&Mark, &mut Drawn, &Mesh3d, &MeshMaterial3d<Flat>)>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paints: ResMut<Assets<Flat>>,
) {
    let moved = camera.is_changed() || framing.is_changed();
    if !now.is_changed() && !moved && !hidden.is_changed() && !worst.is_changed() && !standing.is_changed() {
        return;
    }
    let eye = camera.shown();
    for (mark, mut drawn, mesh, material) in &mut marks {
        // While a question waits, nothing gives its answer away.
        let tells = match mark {
            Mark::Worst => hidden.answer(),
            Mark::Limit | Mark::Wire => hidden.numbers(),
            _ => false,
        };
        let wanted =
            Drawn(if tells { None } else { figure(*mark, &now, &worst, standing.is_in_doubt(), (&framing, &eye)) });
        if *drawn != wanted {
            let surface = wanted.0.as_ref().map_or_else(Surface::default, |figure| surface(*mark, figure, &shown));
            redraw(&mut meshes, mesh, frame.mesh(&surface));
            *drawn = wanted;
        }
        if *mark == Mark::Gap {
            let rgb = if hidden.numbers() { theme::CARD } else { gap_color(&standing) };
            repaint(&mut paints, &material.0, paint::color(rgb).to_linear());
        }
    }
}

/// Colours a surface, unless it has that colour.
fn repaint(paints: &mut Assets<Flat>, handle: &Handle<Flat>, color: LinearRgba) {
    let is_other = paints.get(handle).is_some_and(|paint| paint.color != color);
    if is_other && let Some(mut paint) = paints.get_mut(handle) {
        paint.color = color;
    }
}

fn gap_color(standing: &Verdict) -> theme::Rgb {
    match standing.standing {
        Standing::Unproven => theme::DOUBT,
        Standing::Outside => theme::GAP,
        Standing::Inside | Standing::Touching => theme::GAP_INSIDE,
    }
}

/// What a line is drawn of; none where it is not drawn.
fn figure(mark: Mark, now: &Now, worst: &Worst, is_in_doubt: bool, (framing, eye): (&Framing, &Eye)) -> Option<Figure> {
    let gaps = if mark == Mark::Worst { &worst.gaps } else { &now.gaps };
    let gap = *gaps.each.get(gaps.least)?;
    let half_m = |at: &Point3<f64>| SHARE * framing.half_height(eye) * (at - eye.at).norm();
    let width_m = half_m(&nalgebra::center(&gap.on_body, &gap.on_wire));
    (mark != Mark::Worst || is_apart(now, worst)).then_some(Figure { gap, pairing: gaps.least, width_m, is_in_doubt })
}

/// A gap of which nothing is proven is drawn in dashes.
fn surface(mark: Mark, figure: &Figure, shown: &Shown) -> Surface {
    let Figure { gap, pairing, width_m, is_in_doubt } = figure;
    let (from, to) = (gap.on_body, wire_end(gap));
    match mark {
        Mark::Rim if *is_in_doubt => Surface::default(),
        Mark::Gap if *is_in_doubt => dashes(&from, &to, *width_m),
        Mark::Gap | Mark::Worst => dumbbell(&from, &to, *width_m),
        Mark::Rim => dumbbell(&from, &to, 1.6 * width_m),
        Mark::Limit | Mark::Wire => {
            let Some(pairing) = shown.job.study.pairings.get(*pairing) else { return Surface::default() };
            let circles = circles(&shown.job.study, pairing, gap);
            let (radius_m, half_m) =
                if mark == Mark::Limit { (circles.limit_m, 0.8 * width_m) } else { (circles.wire_m, 0.3 * width_m) };
            // A wire without tolerances needs no circle.
            if mark == Mark::Wire && margin_m(gap) < half_m {
                Surface::default()
            } else {
                circle(&circles, radius_m, half_m)
            }
        }
        Mark::Height => {
            let foot = Point3::new(gap.on_wire.x, gap.on_wire.y, ground_below_m(shown, *pairing, gap));
            dashes(&(gap.on_wire - Vector3::z() * 0.2), &foot, 0.5 * width_m)
        }
    }
}

/// Level of the ground below the wire's point of a gap, m, as reports tell heights.
#[must_use]
pub fn ground_below_m(shown: &Shown, pairing: usize, gap: &Gap) -> f64 {
    shown.job.study.pairings.get(pairing).map_or(0.0, |pairing| {
        let wire = &shown.job.study.lines[pairing.line].wires[pairing.wire];
        view_model::ground_m(&shown.job.lines[pairing.line], wire, gap)
    })
}

/// A circle about the wire.
fn circle(circles: &Circles, radius_m: f64, half_m: f64) -> Surface {
    let [aside, upward] = circles.across;
    let point = |k: usize| {
        let (sin, cos) = (TAU * k as f64 / RING_POINTS as f64).sin_cos();
        circles.middle + (aside * cos + upward * sin) * radius_m
    };
    let points: Vec<Point3<f64>> = (0..=RING_POINTS).map(point).collect();
    tube(&points, |_| half_m, 8)
}

/// A line with a ball at each end.
fn dumbbell(from: &Point3<f64>, to: &Point3<f64>, half_m: f64) -> Surface {
    let mut surface = capsule(from, to, half_m, 12);
    surface.add(&capsule(from, from, 2.0 * half_m, 16));
    surface.add(&capsule(to, to, 2.0 * half_m, 16));
    surface
}

/// A dashed line.
fn dashes(from: &Point3<f64>, to: &Point3<f64>, half_m: f64) -> Surface {
    let count = (((to - from).norm() / (14.0 * half_m).max(0.05)) as usize).clamp(4, 120);
    let mut surface = Surface::default();
    for k in 0..count {
        let at = |part: f64| from + (to - from) * ((k as f64 + part) / count as f64);
        surface.add(&tube(&[at(0.0), at(0.55)], |_| half_m, 6));
    }
    surface
}
