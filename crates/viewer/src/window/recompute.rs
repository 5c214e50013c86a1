//! The certified answer for changed ranges, computed away from the frames.

use std::sync::Arc;

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};

use crate::loaded::{LoadError, Loaded};
use crate::panel_model::Ranges;
use crate::scene::stage::{Certified, Shown, Stage, Step, Worst, worst_of};

/// The certified answer for changed ranges.
pub struct RecomputePlugin;

/// Ranges that somebody asked for, and the answer on its way.
#[derive(Resource, Default)]
pub struct Refresh {
    /// The ranges that were asked for last; none where they are the scenario's.
    pub ranges: Option<Ranges>,
    /// Why the last ones have no answer.
    pub trouble: Option<String>,
    waiting: bool,
    task: Option<Task<Result<(Loaded, Worst), LoadError>>>,
}

impl Refresh {
    /// Asks for an answer for other ranges. The one on its way is finished first, and only the last is asked for.
    pub fn ask(&mut self, ranges: Ranges) {
        self.ranges = Some(ranges);
        self.waiting = true;
    }

    /// Whether an answer is on its way.
    #[must_use]
    pub fn is_running(&self) -> bool {
        self.waiting || self.task.is_some()
    }
}

impl Plugin for RecomputePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Refresh>()
            .add_systems(OnEnter(Stage::Ready), |mut refresh: ResMut<Refresh>| *refresh = Refresh::default())
            .add_systems(Update, (begin, finish).chain().in_set(Step::Play).run_if(in_state(Stage::Ready)));
    }
}

fn begin(mut refresh: ResMut<Refresh>, shown: Res<Shown>) {
    if !refresh.waiting || refresh.task.is_some() {
        return;
    }
    refresh.waiting = false;
    let Some(text) = refresh.ranges.as_ref().and_then(|ranges| ranges.rewrite(&shown.text, &shown.job)) else { return };
    let (origin, hours) = (shown.origin.clone(), shown.hours.clone());
    refresh.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let loaded = Loaded { hours, ..origin.answer_quickly(text)? };
        let worst = worst_of(&loaded)?;
        Ok((loaded, worst))
    }));
}

fn finish(mut commands: Commands, mut refresh: ResMut<Refresh>) {
    let Some(task) = &mut refresh.task else { return };
    let Some(result) = block_on(poll_once(task)) else { return };
    refresh.task = None;
    match result {
        Ok((loaded, worst)) => {
            refresh.trouble = None;
            commands.insert_resource(Certified(Arc::new(loaded)));
            commands.insert_resource(worst);
        }
        Err(error) => refresh.trouble = Some(error.to_string()),
    }
}
