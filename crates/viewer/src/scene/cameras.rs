//! The camera of the scene, and smooth moves between sights.

use bevy::anti_alias::fxaa::Fxaa;
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::light::ShadowFilteringMethod;
use bevy::prelude::*;
use bevy::render::view::Msaa;

use super::framing::Framing;
use super::paint::Finish;
use super::stage::{Now, Shown, Stage, Step, Worst, bases};
use crate::frame::{SceneFrame, direction};
use crate::paths::ease;
use crate::theme;
use crate::views::{Eye, Sight};

/// The camera.
pub struct CamerasPlugin;

/// Time of a move, s.
const MOVE_S: f64 = 0.9;

/// Marks the camera that shows the scene and the texts over it.
#[derive(Component, Clone, Copy, Debug, Default)]
pub struct MainCamera;

/// The sight to begin with.
#[derive(Resource, Clone, Copy, Debug)]
pub struct FirstSight(pub Sight);

/// Where the camera is, and where it goes.
#[derive(Resource, Clone, Debug)]
pub struct SceneCamera {
    /// The chosen sight.
    pub sight: Sight,
    from: Eye,
    to: Eye,
    share: f64,
}

impl SceneCamera {
    /// At rest at a sight.
    #[must_use]
    pub fn at(sight: Sight, eye: Eye) -> Self {
        Self { sight, from: eye, to: eye, share: 1.0 }
    }

    /// The camera as it is now.
    #[must_use]
    pub fn shown(&self) -> Eye {
        self.from.toward(&self.to, ease(self.share))
    }

    /// Where it goes, or is.
    #[must_use]
    pub fn aim(&self) -> Eye {
        self.to
    }

    /// Begins a smooth move.
    pub fn go(&mut self, sight: Sight, eye: Eye) {
        *self = Self { sight, from: self.shown(), to: eye, share: 0.0 };
    }

    /// Moves at once.
    pub fn set(&mut self, eye: Eye) {
        *self = Self::at(self.sight, eye);
    }
}

impl Plugin for CamerasPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Framing>()
            .add_systems(OnEnter(Stage::Ready), begin)
            .add_systems(Update, (travel, ride, place).chain().in_set(Step::Camera).run_if(in_state(Stage::Ready)));
    }
}

/// What the camera entity needs besides its target.
#[must_use]
pub fn camera_bundle(finish: Finish) -> impl Bundle {
    let (samples, shadows) = match finish {
        Finish::Fine => (Msaa::Sample4, ShadowFilteringMethod::Gaussian),
        Finish::Swift | Finish::Plain => (Msaa::Off, ShadowFilteringMethod::Hardware2x2),
    };
    let smooth = Fxaa { enabled: finish == Finish::Swift, ..default() };
    let fog = DistanceFog {
        color: super::paint::color(theme::HAZE),
        falloff: FogFalloff::Linear { start: 120.0, end: 1_600.0 },
        ..default()
    };
    // Colours are those of the theme: nothing bends them afterwards.
    (MainCamera, Camera3d::default(), Tonemapping::None, samples, smooth, shadows, fog)
}

fn begin(mut commands: Commands, first: Res<FirstSight>, worst: Res<Worst>, old: Option<Res<SceneCamera>>) {
    // A scenario that was saved again is seen from where the last one was.
    let camera = old.map_or_else(
        || SceneCamera::at(first.0, worst.subject.eye(first.0)),
        |old| SceneCamera::at(old.sight, old.aim()),
    );
    commands.insert_resource(camera);
}

fn travel(time: Res<Time>, mut camera: ResMut<SceneCamera>) {
    if camera.share < 1.0 {
        camera.share = (camera.share + time.delta_secs_f64() / MOVE_S).min(1.0);
    }
}

/// The operator rides with the machine.
fn ride(now: Res<Now>, shown: Res<Shown>, worst: Res<Worst>, mut camera: ResMut<SceneCamera>) {
    if camera.sight == Sight::Operator && now.is_changed() {
        let subject = worst.subject.riding(&shown.job.study, &bases(&shown), &now.moment, &now.gaps);
        camera.to = subject.eye(Sight::Operator);
    }
}

fn place(
    camera: Res<SceneCamera>,
    (frame, framing): (Res<SceneFrame>, Res<Framing>),
    mut cameras: Query<(&mut Transform, &mut Projection), With<MainCamera>>,
) {
    if !camera.is_changed() && !frame.is_changed() && !framing.is_changed() {
        return;
    }
    let eye = camera.shown();
    for (mut transform, mut projection) in &mut cameras {
        let up = direction(&eye.up);
        *transform = Transform::from_translation(frame.point(&eye.at)).looking_at(frame.point(&eye.target), up);
        *projection = Projection::custom(framing.lens(&eye));
    }
}
