//! The region that each wire can reach in the states that the scenario allows: from its states at the ends of temperature and
//! wind, as a translucent sleeve.

use bevy::light::NotShadowCaster;
use bevy::prelude::*;
use nalgebra::Point3;
use wideberth_physics::line::{SpanState, StateShape, WireSpan};

use super::flat::Flat;
use super::paint;
use super::stage::{Proven, SceneThing, Stage, Step, spans};
use crate::frame::SceneFrame;
use crate::solid::{Surface, sleeve};
use crate::theme;

/// The region that wires can reach.
pub struct ReachPlugin;

/// The sleeves.
#[derive(Component)]
struct Reach;

/// Winds between the least and the greatest.
const WINDS: usize = 8;
/// Spans farther than this from the scene's origin have no sleeve, m.
const NEAR_M: f64 = 400.0;
/// Loops along a span.
const LOOPS: usize = 36;

impl Plugin for ReachPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Update, spawn.in_set(Step::Draw).run_if(in_state(Stage::Ready)));
    }
}

fn spawn(
    mut commands: Commands,
    proven: Res<Proven>,
    frame: Res<SceneFrame>,
    old: Query<Entity, With<Reach>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paints: ResMut<Assets<Flat>>,
) {
    if !proven.is_changed() && !old.is_empty() {
        return;
    }
    old.iter().for_each(|reach| commands.entity(reach).despawn());
    let mut surface = Surface::default();
    let near = spans(&proven).filter(|(.., span)| is_near(span, &frame.origin));
    near.for_each(|(.., span)| surface.add(&region(span)));
    let mut paint = paint::glass(theme::REACH, 0.14);
    paint.kind.culled = None;
    commands.spawn((
        SceneThing,
        Reach,
        Mesh3d(meshes.add(frame.mesh(&surface))),
        MeshMaterial3d(paints.add(paint)),
        NotShadowCaster,
    ));
}

/// Whether a span comes near what the scene shows; what is farther is a thin line at most.
fn is_near(span: &WireSpan, origin: &Point3<f64>) -> bool {
    let (from, chord) = (span.span().from(), span.span().chord());
    let t = ((origin - from).dot(&chord) / chord.norm_squared()).clamp(0.0, 1.0);
    (from + chord * t - origin).norm() < NEAR_M
}

/// Loops about the wire: slackest through all winds, tautest back.
fn region(span: &WireSpan) -> Surface {
    let states = span.states();
    let wind = |k: usize| states.wind_m_per_s.at(k as f64 / WINDS as f64);
    let shape = |unstretched_m: f64, k: usize| {
        span.shape(&SpanState { unstretched_m, wind_m_per_s: wind(k), ice_m: states.ice_m.high() }).ok()
    };
    let slack = (0..=WINDS).filter_map(|k| shape(states.unstretched_m.high(), k));
    let taut = (0..=WINDS).rev().filter_map(|k| shape(states.unstretched_m.low(), k));
    let shapes: Vec<StateShape> = slack.chain(taut).collect();
    let around = |row: usize| -> Vec<Point3<f64>> {
        shapes.iter().map(|shape| span.point(shape, row as f64 / LOOPS as f64)).collect()
    };
    sleeve(&(0..=LOOPS).map(around).collect::<Vec<_>>())
}
