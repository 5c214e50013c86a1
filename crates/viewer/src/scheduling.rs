//! Every schedule on one thread: the systems are many and small, and waking other threads for them costs more than they do.

use bevy::ecs::schedule::{Schedules, SingleThreadedExecutor};
use bevy::prelude::*;
use bevy::render::RenderApp;

/// Runs the schedules that an app has by now on one thread each, those of drawing too.
pub fn one_thread_each(app: &mut App) {
    on_one_thread(app.world_mut());
    if let Some(render) = app.get_sub_app_mut(RenderApp) {
        on_one_thread(render.world_mut());
    }
}

fn on_one_thread(world: &mut World) {
    if let Some(mut schedules) = world.get_resource_mut::<Schedules>() {
        schedules.iter_mut().for_each(|(_, schedule)| {
            schedule.set_executor(SingleThreadedExecutor::new());
        });
    }
}
