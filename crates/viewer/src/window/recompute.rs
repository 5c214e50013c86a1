//! The proven answer for changed ranges, computed away from the frames.

use std::sync::Arc;
use std::time::{Duration, Instant};

use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};

use crate::loaded::{LoadError, Loaded};
use crate::moment::Moment;
use crate::panel_model::Ranges;
use crate::scene::stage::{Look, Now, Proven, Shown, Stage, Step, Wanted, Worst, worst_of};
use crate::strings::ENGLISH;
use crate::view_model::Scope;

/// The proven answer for changed ranges.
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
    *refresh = Refresh { own: Ranges::of(&shown.job), ..Refresh::default() };
}

fn begin(mut refresh: ResMut<Refresh>, shown: Res<Shown>, look: Res<Look>, mut proven: ResMut<Proven>) {
    if refresh.asked.is_none() || refresh.task.is_some() {
        return;
    }
    refresh.began = refresh.asked.take();
    let Some(ranges) = refresh.ranges.clone() else { return };
    let words = ranges.differences(&refresh.own, &shown.job, look.units, &ENGLISH);
    // From now on the last answer is for other ranges than those that are asked for.
    proven.scope = Scope::Coming(words);
    let origin = shown.origin.clone();
    let text = ranges.rewrite(&shown.text, &shown.job);
    refresh.task = Some(AsyncComputeTaskPool::get().spawn(async move {
        let text = text.ok_or_else(|| LoadError::Search(ENGLISH.no_answer.into()))?;
        // The hours of the file are those of its own ranges: changed ranges have none.
        let loaded = origin.answer_quickly(text)?;
        let worst = worst_of(&loaded)?;
        Ok((loaded, worst))
    }));
}

fn finish(
    mut commands: Commands,
    mut refresh: ResMut<Refresh>,
    (shown, look): (Res<Shown>, Res<Look>),
    mut proven: ResMut<Proven>,
    now: Res<Now>,
    mut wanted: ResMut<Wanted>,
) {
    let Some(task) = &mut refresh.task else { return };
    let Some(result) = block_on(poll_once(task)) else { return };
    refresh.task = None;
    refresh.took = refresh.began.map(|began| began.elapsed());
    let is_last = refresh.asked.is_none();
    let asked = refresh.ranges.clone().unwrap_or_else(|| refresh.own.clone());
    match result {
        Ok((loaded, worst)) => {
            refresh.trouble = None;
            // What is proven may be less than what was asked for: a control holds a joint whatever the working range says.
            let found = Ranges::of(&loaded.job);
            let words = found.differences(&refresh.own, &shown.job, look.units, &ENGLISH);
            if is_last {
                refresh.ranges = (!words.is_empty()).then_some(found);
            }
            // The file's own answer comes back whole, with its hours.
            let (loaded, scope) = match (words.is_empty(), is_last) {
                (true, true) => (Arc::clone(&shown.0), Scope::Stated),
                (false, true) => (Arc::new(loaded), Scope::Changed(words)),
                (_, false) => {
                    (Arc::new(loaded), Scope::Coming(asked.differences(&refresh.own, &shown.job, look.units, &ENGLISH)))
                }
            };
            // With the file's own ranges its own course comes back too.
            let worst = if scope == Scope::Stated { worst_of(&loaded).unwrap_or(worst) } else { worst };
            let before = proven.job.study.clone();
            *proven = Proven { loaded, scope };
            // Who looks at the worst case goes on looking at it; any other moment stays, and is judged anew.
            wanted.0 = if now.is_worst {
                worst.moment.clone()
            } else {
                Moment { weather: wanted.weather.rebased(&before, &proven.job.study), poses: wanted.poses.clone() }
            };
            commands.insert_resource(worst);
        }
        Err(error) => {
            let words = asked.differences(&refresh.own, &shown.job, look.units, &ENGLISH);
            proven.scope = Scope::Refused(words, error.to_string());
            refresh.trouble = Some(error.to_string());
        }
    }
}
