//! What plays: the work, the wires in gusts, the heat of a day.

use bevy::prelude::*;

use super::stage::{Proven, Stage, Step, Wanted, Worst};
use super::swaying::Swaying;
use crate::args::Motion;
use crate::moment::Moment;

/// What plays.
pub struct PlayingPlugin;

/// Time of one round of the work and of temperatures, s.
const ROUND_S: f64 = 9.0;
/// Time of one hour of a day, s.
const HOUR_S: f64 = 1.5;
/// How long before the widest swing gusts begin, s.
const BEFORE_S: f64 = 8.0;

/// A motion that runs.
#[derive(Resource, Clone, Debug, Default)]
pub struct Playing(Option<Run>);

#[derive(Clone, Debug)]
struct Run {
    motion: Motion,
    /// How long it has played, s.
    time_s: f64,
    from: Moment,
}

impl Playing {
    /// Begins a motion from a moment.
    pub fn begin(&mut self, motion: Motion, from: &Moment) {
        self.0 = Some(Run { motion, time_s: 0.0, from: from.clone() });
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

/// How long one round of a motion takes, s.
fn round_s(motion: Motion, proven: &Proven) -> f64 {
    if motion == Motion::Heat && !proven.hours.is_empty() { HOUR_S * proven.hours.len() as f64 } else { ROUND_S }
}

/// Moves on; the work ends at its end, gusts and heat go round.
fn play(
    time: Res<Time>,
    proven: Res<Proven>,
    worst: Res<Worst>,
    mut playing: ResMut<Playing>,
    mut wanted: ResMut<Wanted>,
    mut swaying: ResMut<Swaying>,
) {
    if playing.is_changed() && playing.motion() != Some(Motion::Sway) && swaying.shows() {
        swaying.still();
    }
    // Looking at what runs does not change it.
    let Some(run) = &mut playing.bypass_change_detection().0 else { return };
    if run.motion == Motion::Sway {
        wanted.set_if_neq(Wanted(run.from.clone()));
        sway(run, time.delta_secs_f64(), &proven, &mut swaying);
        return;
    }
    run.time_s += time.delta_secs_f64();
    let share = run.time_s / round_s(run.motion, &proven);
    let ended = run.motion == Motion::Work && share >= 1.0;
    wanted.0 = worst.course.at(run.motion, if ended { 1.0 } else { share.fract() }, &run.from);
    if ended {
        playing.0 = None;
    }
}

/// Gusts in the time of the clock, once they are known: from a little before the widest swing, round and round.
fn sway(run: &mut Run, passed_s: f64, proven: &Proven, swaying: &mut Swaying) {
    let Some(Ok(followed)) = swaying.known(&run.from) else {
        if swaying.known(&run.from).is_none() {
            swaying.ask(&proven.loaded, &run.from);
        }
        return;
    };
    let begin_s = (followed.motion.widest_s - BEFORE_S).max(0.0);
    let at_s = (begin_s + run.time_s).rem_euclid(followed.motion.length_s);
    run.time_s += passed_s;
    swaying.show(at_s);
}
