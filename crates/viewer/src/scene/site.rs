//! What else there is on the site: buried lines with their zones, what is dug, and the controls that count: fences, goal posts, stops.

use std::f64::consts::TAU;

use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use nalgebra::{Point2, Point3, Vector2, Vector3};
use wideberth_physics::machine::Motion;
use wideberth_rules::ControlKind;
use wideberth_scenario::Job;
use wideberth_scenario::job::Depth;

use super::flat::Flat;
use super::paint;
use super::stage::{SceneThing, Shown, Stage, Worst};
use crate::frame::SceneFrame;
use crate::solid::{Surface, capsule, field, tube};
use crate::terrain::Terrain;
use crate::theme::{self, Rgb};
use crate::view_model::plain;
use crate::views::Subject;

/// What else there is on the site.
pub struct SitePlugin;

/// Where marks lie above the ground, m.
const ABOVE_M: f64 = 0.06;
/// How deep a buried line is drawn whose depth nobody knows, m.
const DEEP_M: f64 = 0.6;
/// Height of a fence, m.
const FENCE_M: f64 = 1.1;
/// Half the thickness of posts and rails, m.
const POST_M: f64 = 0.06;
/// Steps along what follows the ground, m.
const STEP_M: f64 = 1.0;
/// A slew that goes this far is no sector, rad.
const ALL_ROUND_RAD: f64 = TAU - 1e-3;
/// Radius of the sector of a stop and of the disc of a height, m.
const SECTOR_M: f64 = 7.0;
/// Depth bias by which a line under the ground is seen through it.
const THROUGH_GROUND: i32 = 900;

impl Plugin for SitePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Stage::Ready), spawn);
    }
}

/// Surfaces of a site by how they are painted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Site {
    /// Zones of buried lines, on the ground.
    pub zones: Surface,
    /// Buried lines and what enters the ground.
    pub buried: Surface,
    /// Fences and goal posts.
    pub barriers: Surface,
    /// Sectors that stops leave, on the ground, and heights that limiters leave.
    pub stops: Surface,
}

fn spawn(
    mut commands: Commands,
    shown: Res<Shown>,
    frame: Res<SceneFrame>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
    mut paints: ResMut<Assets<Flat>>,
    worst: Res<Worst>,
) {
    let north = north_arrow(&Terrain::of(&shown.job), &north_place(&worst.subject));
    let mesh = Mesh3d(meshes.add(frame.mesh(&north)));
    commands.spawn((SceneThing, mesh, MeshMaterial3d(paints.add(sheet(theme::INK, 0.8))), NotShadowCaster));
    let Site { zones, buried, barriers, stops } = site(&shown.job);
    let flat = [
        (zones, sheet(theme::BURIED, 0.30)),
        (buried, paint::bright(theme::BURIED, THROUGH_GROUND)),
        (stops, sheet(theme::CONTROL, 0.26)),
    ];
    for (surface, paint) in flat.into_iter().filter(|(surface, _)| !surface.points.is_empty()) {
        let mesh = Mesh3d(meshes.add(frame.mesh(&surface)));
        commands.spawn((SceneThing, mesh, MeshMaterial3d(paints.add(paint)), NotShadowCaster));
    }
    if !barriers.points.is_empty() {
        let mesh = Mesh3d(meshes.add(frame.mesh(&barriers)));
        commands.spawn((SceneThing, mesh, MeshMaterial3d(materials.add(paint::matte(theme::CONTROL)))));
    }
}

/// A sheet that is seen from both sides, and through.
fn sheet(rgb: Rgb, alpha: f32) -> Flat {
    let mut paint = paint::glass(rgb, alpha);
    paint.kind.culled = None;
    paint
}

/// Where the arrow to the north lies: beside the machine, away from the gap.
#[must_use]
pub fn north_place(subject: &Subject) -> Point2<f64> {
    subject.middle.xy() + (subject.aside.xy() - subject.along.xy()) * (0.55 * subject.radius_m)
}

/// Length of the arrow to the north, m.
const NORTH_M: f64 = 4.0;

/// An arrow on the ground that points north.
fn north_arrow(terrain: &Terrain, at: &Point2<f64>) -> Surface {
    let point =
        |east_m: f64, north_m: f64| terrain.point(at.x + east_m, at.y + north_m) + Vector3::z() * (2.0 * ABOVE_M);
    // From the tail to the tip: how far north, and how wide.
    let outline = [(0.0, 0.12), (0.62, 0.12), (0.62, 0.55), (1.0, 0.0)];
    let row = |(north, half_m): (f64, f64)| vec![point(-half_m, north * NORTH_M), point(half_m, north * NORTH_M)];
    field(&outline.map(row), |_| Vector3::z())
}

/// Everything of a job that is drawn here.
#[must_use]
pub fn site(job: &Job) -> Site {
    let terrain = Terrain::of(job);
    let mut site = Site::default();
    if let Some(work) = &job.ground_work {
        for buried in &work.buried {
            site.zones.add(&band(&terrain, &buried.course, buried.zone_m));
            let depth_m = match buried.depth {
                Depth::Unknown => DEEP_M,
                Depth::Measured { depth_m, .. } => depth_m,
            };
            let at = |p: &Point2<f64>| terrain.point(p.x, p.y) - Vector3::z() * depth_m;
            let path: Vec<Point3<f64>> = stepped(&buried.course).iter().map(at).collect();
            site.buried.add(&tube(&path, |_| 0.05, 8));
        }
        for point in &work.points {
            let ground = terrain.point(point.at.x, point.at.y);
            site.buried.add(&capsule(&ground, &(ground + Vector3::z() * 1.2), point.radius_m.max(POST_M), 12));
        }
    }
    for fence in &job.fences {
        site.barriers.add(&rails(&terrain, &fence.around));
    }
    for posts in &job.posts {
        for gate in gates(&posts.along, posts.width_m) {
            site.barriers.add(&goal(&terrain, gate, posts.height_m));
        }
    }
    for (machine, info) in job.machines.iter().enumerate() {
        if stops(job, machine).next().is_some() {
            site.stops.add(&sector(job, machine));
        }
        if let Some(ceiling_m) = info.ceiling_m {
            site.stops.add(&disc(&Point3::new(info.position.x, info.position.y, ceiling_m), SECTOR_M));
        }
        if let Some(reach_m) = info.reach_m {
            site.barriers.add(&circle(&terrain, &info.position, reach_m));
        }
    }
    site
}

/// The stops of a machine's joints that count.
fn stops(job: &Job, machine: usize) -> impl Iterator<Item = &wideberth_scenario::control::Control> {
    let own = move |control: &&wideberth_scenario::control::Control| {
        control.counts() && control.kind == ControlKind::JointStop && control.machine == Some(machine)
    };
    job.controls.iter().filter(own)
}

/// What is drawn and has a name: where a label stands, its text and its ground.
#[must_use]
pub fn named(job: &Job) -> Vec<(Point3<f64>, String, Rgb)> {
    let mut all = Vec::new();
    if job.ground_work.is_none() && job.controls.is_empty() {
        return all;
    }
    let terrain = Terrain::of(job);
    for buried in job.ground_work.iter().flat_map(|work| &work.buried) {
        if let [first, .., last] = &buried.course[..] {
            let middle = first + (last - first) * 0.35;
            all.push((terrain.point(middle.x, middle.y), plain(&buried.name), theme::BURIED));
        }
    }
    for point in job.ground_work.iter().flat_map(|work| &work.points) {
        let at = terrain.point(point.at.x, point.at.y) + Vector3::z() * 1.3;
        all.push((at, plain(&point.name), theme::BURIED));
    }
    for fence in &job.fences {
        if let Some(corner) = fence.around.first() {
            all.push((terrain.point(corner.x, corner.y) + Vector3::z() * FENCE_M, plain(&fence.name), theme::CONTROL));
        }
    }
    for posts in &job.posts {
        if let Some(at) = posts.along.first() {
            let top = terrain.point(at.x, at.y) + Vector3::z() * posts.height_m;
            all.push((top, plain(&posts.name), theme::CONTROL));
        }
    }
    for (machine, info) in job.machines.iter().enumerate() {
        for stop in stops(job, machine) {
            let text = if stop.says.is_empty() {
                plain(&stop.name)
            } else {
                format!("{}: {}", plain(&stop.name), plain(&stop.says))
            };
            all.push((info.position + Vector3::new(0.0, 0.0, 0.2), text, theme::CONTROL));
        }
    }
    all
}

/// Points of a course on the map, no farther apart than a step.
fn stepped(course: &[Point2<f64>]) -> Vec<Point2<f64>> {
    let mut points: Vec<Point2<f64>> = course.first().copied().into_iter().collect();
    for pair in course.windows(2) {
        let way = pair[1] - pair[0];
        let steps = (way.norm() / STEP_M).ceil().clamp(1.0, 500.0);
        points.extend((1..=steps as usize).map(|k| pair[0] + way * (k as f64 / steps)));
    }
    points
}

/// A strip of the ground along a course, to a distance on both sides.
fn band(terrain: &Terrain, course: &[Point2<f64>], half_m: f64) -> Surface {
    let points = stepped(course);
    let side = |index: usize| -> Vector2<f64> {
        let (from, to) = (points[index.saturating_sub(1)], points[(index + 1).min(points.len() - 1)]);
        (to - from).try_normalize(1e-9).map_or(Vector2::y(), |way| Vector2::new(-way.y, way.x))
    };
    let row = |index: usize| -> Vec<Point3<f64>> {
        let at = |share: f64| {
            let p = points[index] + side(index) * (half_m * share);
            terrain.point(p.x, p.y) + Vector3::z() * ABOVE_M
        };
        [-1.0, -0.5, 0.0, 0.5, 1.0].map(at).to_vec()
    };
    field(&(0..points.len()).map(row).collect::<Vec<_>>(), |_| Vector3::z())
}

/// A fence along corners, closed.
fn rails(terrain: &Terrain, corners: &[Point2<f64>]) -> Surface {
    let mut surface = Surface::default();
    let closed: Vec<Point2<f64>> = corners.iter().chain(corners.first()).copied().collect();
    for share in [0.5, 1.0] {
        let at = |p: &Point2<f64>| terrain.point(p.x, p.y) + Vector3::z() * (FENCE_M * share);
        let path: Vec<Point3<f64>> = stepped(&closed).iter().map(at).collect();
        surface.add(&tube(&path, |_| 0.5 * POST_M, 6));
    }
    for p in stepped(&closed).iter().step_by(2) {
        let foot = terrain.point(p.x, p.y);
        surface.add(&capsule(&foot, &(foot + Vector3::z() * FENCE_M), POST_M, 8));
    }
    surface
}

/// The two feet of each goal: at both ends of a route.
fn gates(along: &[Point2<f64>], width_m: f64) -> Vec<[Point2<f64>; 2]> {
    let gate = |at: Point2<f64>, way: Vector2<f64>| {
        let side = way.try_normalize(1e-9).map_or(Vector2::y(), |way| Vector2::new(-way.y, way.x)) * (0.5 * width_m);
        [at - side, at + side]
    };
    match along {
        [first, second, ..] => {
            let (last, before) = (along[along.len() - 1], along[along.len() - 2]);
            vec![gate(*first, second - first), gate(last, last - before)]
        }
        _ => Vec::new(),
    }
}

fn goal(terrain: &Terrain, feet: [Point2<f64>; 2], height_m: f64) -> Surface {
    let foot = feet.map(|p| terrain.point(p.x, p.y));
    let top = foot.map(|p| p + Vector3::z() * height_m);
    let mut surface = capsule(&foot[0], &top[0], POST_M, 10);
    surface.add(&capsule(&foot[1], &top[1], POST_M, 10));
    surface.add(&capsule(&top[0], &top[1], 0.7 * POST_M, 10));
    surface
}

/// The sector that is left to the first upright hinge of a machine, on the ground.
fn sector(job: &Job, machine: usize) -> Surface {
    let study = &job.study.machines[machine];
    let upright = study.movers().iter().enumerate().filter_map(|(joint, frame)| {
        let info = job.machines[machine].joints.get(joint)?;
        let working = info.range.as_ref()?.working;
        let Motion::Hinge { axis, .. } = &study.frames()[frame.0].motion else { return None };
        (axis.z.abs() > 0.99 && working.width() < ALL_ROUND_RAD).then_some((joint, *frame, working))
    });
    let Some((joint, frame, working)) = upright.into_iter().next() else { return Surface::default() };
    let mut pose: Vec<f64> = study.ranges().iter().map(|range| range.center()).collect();
    let mut ray = |value: f64| -> Vec<Point3<f64>> {
        pose[joint] = value;
        let placed = study.place(&pose)[frame.0];
        let forward = placed.rotation * Vector3::y();
        let middle = job.machines[machine].position;
        (0..=4).map(|k| middle + forward * (SECTOR_M * f64::from(k) / 4.0) + Vector3::z() * (2.0 * ABOVE_M)).collect()
    };
    let rows: Vec<Vec<Point3<f64>>> = (0..=36).map(|k| ray(working.at(f64::from(k) / 36.0))).collect();
    field(&rows, |_| Vector3::z())
}

/// A level disc.
fn disc(middle: &Point3<f64>, radius_m: f64) -> Surface {
    let row = |k: i32| -> Vec<Point3<f64>> {
        let (sin, cos) = (TAU * f64::from(k) / 48.0).sin_cos();
        [0.0, 0.5, 1.0].map(|share| middle + Vector3::new(cos, sin, 0.0) * (share * radius_m)).to_vec()
    };
    field(&(0..=48).map(row).collect::<Vec<_>>(), |_| Vector3::z())
}

/// A circle on the ground.
fn circle(terrain: &Terrain, middle: &Point3<f64>, radius_m: f64) -> Surface {
    let at = |k: i32| {
        let (sin, cos) = (TAU * f64::from(k) / 96.0).sin_cos();
        terrain.point(middle.x + cos * radius_m, middle.y + sin * radius_m) + Vector3::z() * (2.0 * ABOVE_M)
    };
    tube(&(0..=96).map(at).collect::<Vec<_>>(), |_| POST_M, 6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_is_as_wide_as_its_zone_and_a_goal_as_high_as_its_posts() {
        let terrain = Terrain::level();
        let course = [Point2::new(0.0, 0.0), Point2::new(10.0, 0.0)];
        let strip = band(&terrain, &course, 1.5);
        let far_m = strip.points.iter().map(|p| p.y.abs()).fold(0.0, f64::max);
        assert!((far_m - 1.5).abs() < 1e-9);
        let [first, second] = gates(&course, 6.0)[..] else { panic!("a goal at each end") };
        assert!(((first[1] - first[0]).norm() - 6.0).abs() < 1e-9 && (second[0].x - 10.0).abs() < 1e-9);
        let top_m = goal(&terrain, first, 4.2).points.iter().map(|p| p.z).fold(0.0, f64::max);
        assert!((top_m - (4.2 + POST_M)).abs() < 1e-6, "{top_m}");
    }
}
