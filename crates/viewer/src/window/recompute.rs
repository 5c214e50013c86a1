//! The certified answer for changed ranges, computed away from the frames.

use std::sync::Arc;
use std::time::{Duration, Instant};

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
    /// The ranges of the scenario.
    pub own: Ranges,
    /// The ranges that were asked for last; none where they are the scenario's.
    pub ranges: Option<Ranges>,
    /// Why the last ones have no answer.
    pub trouble: Option<String>,
    asked: Option<Instant>,
    /// How long the last answer took from the change of a range to the frame that shows it.
    pub took: Option<Duration>,
    began: Option<Instant>,
    task: Option<Task<Result<(Loaded, Worst), LoadError>>>,
}

impl Refresh {
    /// Asks for an answer for other ranges. The one on its way is finished first, and only the last is asked for.
    pub fn ask(&mut self, ranges: Ranges) {
        self.ranges = Some(ranges);
        self.asked = Some(Instant::now());
    }

    /// Whether an answer is on its way.
    #[must_use]
    pub fn is_running(&self) -> bool {
        self.asked.is_some() || self.task.is_some()
    }
}

impl Plugin for RecomputePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Refresh>()
            .add_systems(OnEnter(Stage::Ready), reset)
            .add_systems(Update, (begin, finish).chain().in_set(Step::Play).run_if(in_state(Stage::Ready)));
    }
}

fn reset(mut refresh: ResMut<Refresh>, shown: Res<Shown>) {
    *refresh = Refresh { own: Ranges::of(&shown.text, &shown.job), ..Refresh::default() };
}

fn begin(mut refresh: ResMut<Refresh>, shown: Res<Shown>) {
    if refresh.asked.is_none() || refresh.task.is_some() {
        return;
    }
    refresh.began = refresh.asked.take();
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
    refresh.took = refresh.began.map(|began| began.elapsed());
    match result {
        Ok((loaded, worst)) => {
            refresh.trouble = None;
            commands.insert_resource(Certified(Arc::new(loaded)));
            commands.insert_resource(worst);
        }
        Err(error) => refresh.trouble = Some(error.to_string()),
    }
}
