//! What plays: the work, the sway, the heat of a day.

use bevy::prelude::*;

use super::stage::{Stage, Step, Wanted, Worst};
use crate::args::Motion;
use crate::moment::Moment;

/// What plays.
pub struct PlayingPlugin;

/// Time of one round, s.
const ROUND_S: f64 = 9.0;

/// A motion that runs.
#[derive(Resource, Clone, Debug, Default)]
pub struct Playing(Option<Run>);

#[derive(Clone, Debug)]
struct Run {
    motion: Motion,
    share: f64,
    from: Moment,
}

impl Playing {
    /// Begins a motion from a moment.
    pub fn begin(&mut self, motion: Motion, from: &Moment) {
        self.0 = Some(Run { motion, share: 0.0, from: from.clone() });
    }

    /// Stops.
    pub fn stop(&mut self) {
        self.0 = None;
    }

    /// What runs.
    #[must_use]
    pub fn motion(&self) -> Option<Motion> {
        self.0.as_ref().map(|run| run.motion)
    }
}

impl Plugin for PlayingPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Playing>()
            .add_systems(OnEnter(Stage::Ready), |mut playing: ResMut<Playing>| playing.stop())
            .add_systems(Update, play.in_set(Step::Play).run_if(in_state(Stage::Ready)));
    }
}

/// Moves on; the work ends at its end, wind and heat go round.
fn play(time: Res<Time>, worst: Res<Worst>, mut playing: ResMut<Playing>, mut wanted: ResMut<Wanted>) {
    let Some(run) = &mut playing.0 else { return };
    run.share += time.delta_secs_f64() / ROUND_S;
    let ended = run.motion == Motion::Work && run.share >= 1.0;
    let share = if ended { 1.0 } else { run.share.fract() };
    wanted.0 = worst.course.at(run.motion, share, &run.from);
    if ended {
        playing.0 = None;
    }
}
