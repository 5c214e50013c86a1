//! The model behind the scene in an app of its own, without anything that draws.

use std::time::{Duration, Instant};

use bevy::prelude::*;
use bevy::state::app::StatesPlugin;
use bevy::time::TimeUpdateStrategy;
use wideberth_report::Units;
use wideberth_viewer::loaded::Origin;
use wideberth_viewer::scene::ModelPlugins;
use wideberth_viewer::scene::cameras::FirstSight;
use wideberth_viewer::scene::stage::{Look, Source, Stage};
use wideberth_viewer::views::Sight;

/// A scenario that was loaded, or failed; each frame takes 50 ms.
pub fn app(origin: Origin) -> App {
    app_with(origin, |_| ())
}

/// The same with more plugins.
pub fn app_with(origin: Origin, more: impl Fn(&mut App)) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, StatesPlugin, ModelPlugins))
        .insert_resource(TimeUpdateStrategy::ManualDuration(Duration::from_millis(50)))
        .insert_resource(Source(origin))
        .insert_resource(FirstSight(Sight::Orbit))
        .insert_resource(Look { units: Units::Si, text_size: 1.0, help: false, panel: true });
    more(&mut app);
    let start = Instant::now();
    while *app.world_mut().get_resource_or_init::<State<Stage>>().get() == Stage::Loading {
        app.update();
        assert!(start.elapsed() < Duration::from_secs(300), "the scenario never comes");
        std::thread::sleep(Duration::from_millis(2));
    }
    app.update();
    app
}
