//! The window: panel, keys, cameras by mouse, lessons, reload, the proven answer in the background.

pub mod failed;
pub mod keep;
pub mod keys;
pub mod measure;
pub mod panel;
pub mod recompute;
pub mod reload;

use std::time::Instant;

use bevy::camera::CameraOutputMode;
use bevy::camera::visibility::RenderLayers;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::window::{WindowResizeConstraints, WindowResolution};
use bevy_egui::{EguiGlobalSettings, EguiPlugin, PrimaryEguiContext};
use thiserror::Error;

use crate::adapter::{self, Adapter, NoAdapter};
use crate::args::Args;
use crate::capture::{look, origin};
use crate::scene::cameras::{FirstSight, camera_bundle};
use crate::scene::paint::Finish;
use crate::scene::stage::Source;
use crate::scene::{ModelPlugins, ScenePlugins};
use crate::scheduling;
use crate::view_model::plain;

/// Why there is no window.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum WindowError {
    /// Nothing can draw.
    #[error(transparent)]
    Adapter(#[from] NoAdapter),
    /// No screen.
    #[error(
        "there is no screen to open a window on (neither DISPLAY nor WAYLAND_DISPLAY is set). Write a picture instead: wideberth-view FILE --picture out.png"
    )]
    NoScreen,
    /// The program ended with an error.
    #[error(
        "the window ended with an error, which stands above. Where the driver of the graphics card opens no windows, write a picture instead: wideberth-view FILE --picture out.png"
    )]
    Ended,
}

/// Opens the window and runs until it is closed.
///
/// # Errors
/// When nothing can draw or there is no screen.
pub fn run(args: &Args) -> Result<(), WindowError> {
    let began = Instant::now();
    let has = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    if cfg!(target_os = "linux") && !has("DISPLAY") && !has("WAYLAND_DISPLAY") {
        return Err(WindowError::NoScreen);
    }
    let finish = match adapter::check()? {
        Adapter::Card => Finish::Swift,
        Adapter::Software => Finish::Plain,
    };
    let mut app = App::new();
    let window = Window {
        title: plain(&format!("wideberth: {}", origin(args).name())),
        resolution: WindowResolution::new(args.size.width, args.size.height),
        // Smaller, neither texts nor scene can be read.
        resize_constraints: WindowResizeConstraints { min_width: 480.0, min_height: 360.0, ..default() },
        ..default()
    };
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin { primary_window: Some(window), ..default() })
            .set(LogPlugin { filter: "error".into(), ..default() }),
    )
    .add_plugins(EguiPlugin::default())
    .insert_resource(Source(origin(args)))
    .insert_resource(FirstSight(args.camera))
    .insert_resource(look(args))
    .insert_resource(finish)
    .add_plugins((ModelPlugins, ScenePlugins))
    .add_plugins((
        panel::PanelPlugin,
        keys::KeysPlugin,
        keep::KeepPlugin,
        recompute::RecomputePlugin,
        reload::ReloadPlugin,
        failed::FailedPlugin,
    ))
    .add_plugins(measure::MeasurePlugin::of(args, began))
    .add_systems(Startup, cameras);
    scheduling::one_thread_each(&mut app);
    if app.run().is_success() { Ok(()) } else { Err(WindowError::Ended) }
}

/// The camera of the scene, and one for the panel over it.
fn cameras(mut commands: Commands, finish: Res<Finish>, mut settings: ResMut<EguiGlobalSettings>) {
    settings.auto_create_primary_context = false;
    commands.spawn(camera_bundle(*finish));
    commands.spawn(panel_camera());
}

/// What the camera of the panel needs besides its target.
#[must_use]
pub fn panel_camera() -> impl Bundle {
    let output_mode = CameraOutputMode::Write {
        blend_state: Some(bevy::render::render_resource::BlendState::ALPHA_BLENDING),
        clear_color: ClearColorConfig::None,
    };
    let camera = Camera { order: 1, output_mode, clear_color: ClearColorConfig::Custom(Color::NONE), ..default() };
    (PrimaryEguiContext, Camera2d, Msaa::Off, RenderLayers::none(), camera)
}
