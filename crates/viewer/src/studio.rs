//! Pictures without a window: the scene drawn into an image, frame by frame, always the same for the same scenario.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use bevy::app::PluginsState;
use bevy::asset::RenderAssetUsages;
use bevy::camera::RenderTarget;
use bevy::diagnostic::DiagnosticsStore;
use bevy::ecs::schedule::IntoScheduleConfigs;
use bevy::ecs::system::ScheduleSystem;
use bevy::image::Image;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::diagnostic::RenderDiagnosticsPlugin;
use bevy::render::pipelined_rendering::PipelinedRenderingPlugin;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat, TextureUsages};
use bevy::render::renderer::{RenderDevice, RenderQueue};
use bevy::render::settings::WgpuSettings;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::render::{Render, RenderApp, RenderPlugin, RenderSystems};
use bevy::time::TimeUpdateStrategy;
use bevy::window::{ExitCondition, WindowResolution};
use bevy::winit::WinitPlugin;
use bevy_egui::{EguiGlobalSettings, EguiPlugin};
use thiserror::Error;
use wgpu::{PollType, SubmissionIndex};

use crate::adapter::{self, NoAdapter};
use crate::args::Size;
use crate::loaded::{LoadError, Origin};
use crate::scene::cameras::{FirstSight, MainCamera, camera_bundle};
use crate::scene::framing::Framing;
use crate::scene::paint::Finish;
use crate::scene::stage::{Look, Source, Stage, Trouble};
use crate::scene::{ModelPlugins, ScenePlugins};
use crate::scheduling;
use crate::views::Sight;
use crate::window::panel::PanelPlugin;
use crate::window::panel_camera;
use crate::window::recompute::RecomputePlugin;

/// Frames that a picture may take to come back.
const PATIENCE: usize = 200;

/// Frames in which texts have found their places.
const MOST_FRAMES_TO_SETTLE: usize = 40;

/// Why there is no picture.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum StudioError {
    /// Nothing can draw.
    #[error(transparent)]
    Adapter(#[from] NoAdapter),
    /// There is nothing to show.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// The graphics driver gave no picture back.
    #[error("the graphics driver gave no picture back: try another driver, or a smaller --size")]
    NoPicture,
}

/// A picture: red, green, blue, alpha for each pixel, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Its size.
    pub size: Size,
    /// Its pixels.
    pub rgba: Vec<u8>,
}

/// What a studio is for, and so how it works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// One frame after the other, for pictures.
    Pictures,
    /// The same with the finish and the panel of a window, and the card says how long each pass of a frame takes it:
    /// [`Studio::passes`].
    Timed,
    /// As a window does: a frame is computed while the one before it is handed to the card. Opened after a studio for something else.
    Ahead,
}

/// The scene without a window.
pub struct Studio {
    app: App,
    target: Handle<Image>,
    size: Size,
    /// Pictures that were asked for, and those of them that were handed out.
    asked: usize,
    handed: usize,
}

/// Most frames on their way to the card.
const MOST_AHEAD: usize = 2;

/// Frames that the card was given and may not have drawn.
#[derive(Resource, Default)]
struct OnCard(VecDeque<SubmissionIndex>);

/// Waits while too many frames are on their way to the card, as a window does.
fn keep_pace(mut on_card: ResMut<OnCard>, queue: Res<RenderQueue>, device: Res<RenderDevice>) {
    on_card.0.push_back(queue.submit([]));
    if on_card.0.len() > MOST_AHEAD {
        let submission_index = on_card.0.pop_front();
        // A lost card is met by the next picture.
        let _ = device.poll(PollType::Wait { submission_index, timeout: None });
    }
}

/// Pictures that have come back from the card, by their numbers.
#[derive(Resource, Clone, Default)]
struct Caught(Arc<Mutex<BTreeMap<usize, Image>>>);

impl Studio {
    /// Loads a scenario.
    ///
    /// # Errors
    /// When nothing can draw or the scenario cannot be shown.
    pub fn open(origin: Origin, sight: Sight, look: Look, size: Size, purpose: Purpose) -> Result<Self, StudioError> {
        adapter::check()?;
        let mut app = App::new();
        let has_panel = purpose != Purpose::Pictures;
        // What is drawn has the size of this window, which nobody opens.
        let frame = Window { resolution: WindowResolution::new(size.width, size.height), ..default() };
        let primary_window = has_panel.then_some(frame);
        let window = WindowPlugin { primary_window, exit_condition: ExitCondition::DontExit, ..default() };
        let settings = WgpuSettings { backends: Some(wgpu::Backends::PRIMARY), ..default() };
        let render =
            RenderPlugin { synchronous_pipeline_compilation: true, render_creation: settings.into(), ..default() };
        let log = LogPlugin { filter: "error".into(), ..default() };
        let plugins = DefaultPlugins.set(window).set(render).set(log).disable::<WinitPlugin>();
        let finish = if purpose == Purpose::Pictures { Finish::Fine } else { Finish::Swift };
        app.add_plugins(match purpose {
            Purpose::Pictures | Purpose::Timed => plugins.disable::<PipelinedRenderingPlugin>(),
            // Another studio has set up the log.
            Purpose::Ahead => plugins.disable::<LogPlugin>(),
        })
        .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::ZERO))
        .insert_resource(Source(origin))
        .insert_resource(FirstSight(sight))
        .insert_resource(look)
        .insert_resource(finish)
        .init_resource::<Caught>()
        .add_plugins((ModelPlugins, ScenePlugins));
        if has_panel {
            let settings = EguiGlobalSettings { auto_create_primary_context: false, ..default() };
            app.add_plugins((EguiPlugin::default(), PanelPlugin, RecomputePlugin)).insert_resource(settings);
        }
        if purpose == Purpose::Timed {
            app.add_plugins(RenderDiagnosticsPlugin);
        }
        if purpose == Purpose::Ahead
            && let Some(render) = app.get_sub_app_mut(RenderApp)
        {
            render.init_resource::<OnCard>().add_systems(Render, keep_pace.in_set(RenderSystems::Cleanup));
        }
        while app.plugins_state() == PluginsState::Adding {
            bevy::tasks::tick_global_task_pools_on_main_thread();
        }
        app.finish();
        scheduling::one_thread_each(&mut app);
        app.cleanup();
        let target = app.world_mut().resource_mut::<Assets<Image>>().add(blank(size));
        app.world_mut().spawn((camera_bundle(finish), RenderTarget::Image(target.clone().into())));
        if has_panel {
            app.world_mut().spawn((panel_camera(), RenderTarget::Image(target.clone().into())));
        }
        let mut studio = Self { app, target, size, asked: 0, handed: 0 };
        studio.draw(false);
        studio.wait()?;
        Ok(studio)
    }

    /// Runs until the scenario is shown.
    fn wait(&mut self) -> Result<(), StudioError> {
        loop {
            self.app.update();
            match self.app.world().resource::<State<Stage>>().get() {
                Stage::Loading => std::thread::sleep(Duration::from_millis(2)),
                Stage::Ready => break,
                Stage::Failed => return Err(self.app.world().resource::<Trouble>().0.clone().into()),
            }
        }
        Ok(())
    }

    /// Whether the camera draws; a frame that nobody sees need not be drawn.
    fn draw(&mut self, is_active: bool) {
        let mut cameras = self.app.world_mut().query_filtered::<&mut Camera, With<MainCamera>>();
        cameras.iter_mut(self.app.world_mut()).for_each(|mut camera| camera.is_active = is_active);
    }

    /// The world of the scene, to change what is shown.
    pub fn world(&mut self) -> &mut World {
        self.app.world_mut()
    }

    /// Lets time pass by one frame.
    pub fn pass(&mut self, step: Duration) {
        self.app.insert_resource(TimeUpdateStrategy::ManualDuration(step));
        self.app.update();
        self.app.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::ZERO));
    }

    /// Waits until the card has drawn what it was given; a lost card is met by the next picture.
    pub fn wait_for_card(&self) {
        let _ = self.app.world().resource::<RenderDevice>().poll(PollType::wait_indefinitely());
    }

    /// Runs a system at the beginning of every frame and one at its end, and lets the camera draw every frame.
    pub fn every_frame<A, B>(
        &mut self,
        first: impl IntoScheduleConfigs<ScheduleSystem, A>,
        last: impl IntoScheduleConfigs<ScheduleSystem, B>,
    ) {
        self.app.add_systems(First, first).add_systems(Last, last);
        self.draw(true);
    }

    /// How long the card takes for each pass of a frame, the slowest first: its name, and the mean of the last frames, ms. Empty where
    /// the studio is not timed or the card has no clock.
    #[must_use]
    pub fn passes(&self) -> Vec<(String, f64)> {
        let Some(store) = self.app.world().get_resource::<DiagnosticsStore>() else { return Vec::new() };
        let pass = |path: &str| Some(path.strip_prefix("render/")?.strip_suffix("/elapsed_gpu")?.to_string());
        let all = store.iter().filter_map(|found| Some((pass(found.path().as_str())?, found.average()?)));
        let mut passes: Vec<(String, f64)> = all.collect();
        passes.sort_by(|a, b| b.1.total_cmp(&a.1));
        passes
    }

    /// Lets time pass by one frame without drawing, in which texts are laid out, and draws what is shown then. The picture comes back later: [`Studio::drawn`].
    pub fn shoot(&mut self, step: Duration) {
        self.draw(false);
        self.pass(step);
        self.settle();
        self.draw(true);
        let number = self.asked;
        if number == 0 {
            // Shadows and clusters of the first frame are those of an empty one.
            self.app.update();
        }
        let keep = self.app.world().resource::<Caught>().clone();
        let world = self.app.world_mut();
        world.spawn(Screenshot::image(self.target.clone())).observe(move |shot: On<ScreenshotCaptured>| {
            if let Ok(mut caught) = keep.0.lock() {
                caught.insert(number, shot.image.clone());
            }
        });
        self.asked += 1;
        self.app.update();
        self.draw(false);
    }

    /// Lets texts find their places, and the camera follow them, without time.
    pub fn settle(&mut self) {
        for _ in 0..MOST_FRAMES_TO_SETTLE {
            if self.app.world().get_resource::<Framing>().is_none_or(|framing| framing.settled) {
                break;
            }
            self.pass(Duration::ZERO);
        }
    }

    /// The next picture that has come back, in the order in which they were asked for.
    pub fn drawn(&mut self) -> Option<Picture> {
        let image = self.app.world().resource::<Caught>().0.lock().ok()?.remove(&self.handed)?;
        self.handed += 1;
        Some(Picture { size: self.size, rgba: image.data? })
    }

    /// Waits for the next picture; none where all have been handed out.
    ///
    /// # Errors
    /// When the driver does not give it back.
    pub fn wait_for_picture(&mut self) -> Result<Option<Picture>, StudioError> {
        if self.handed == self.asked {
            return Ok(None);
        }
        for _ in 0..PATIENCE {
            if let Some(picture) = self.drawn() {
                return Ok(Some(picture));
            }
            self.app.update();
        }
        Err(StudioError::NoPicture)
    }

    /// Takes a picture of what is shown now.
    ///
    /// # Errors
    /// When the driver gives none back.
    pub fn take(&mut self) -> Result<Picture, StudioError> {
        self.shoot(Duration::ZERO);
        self.wait_for_picture()?.ok_or(StudioError::NoPicture)
    }
}

fn blank(size: Size) -> Image {
    let extent = Extent3d { width: size.width, height: size.height, depth_or_array_layers: 1 };
    let mut image =
        Image::new_uninit(extent, TextureDimension::D2, TextureFormat::Rgba8UnormSrgb, RenderAssetUsages::RENDER_WORLD);
    image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
    image
}
