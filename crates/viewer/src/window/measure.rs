//! How long things take: frames, from the first to the last system of the main schedule and from frame to frame; the first picture; a
//! proven answer for a changed range.

use std::io::Write;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use bevy::prelude::*;
use wideberth_report::Units;

use super::recompute::Refresh;
use crate::args::{Args, Motion};
use crate::scene::overlay::now_card;
use crate::scene::playing::Playing;
use crate::scene::stage::{Now, Proven, Stage, Wanted};
use crate::timing;

/// Measures, and ends after a time.
pub struct MeasurePlugin {
    measure_s: Option<f64>,
    close_after_s: Option<f64>,
    state: Option<PathBuf>,
    began: Instant,
}

/// The frame after which the scene stands on the screen: what the first one lays out is drawn while the next ones run.
const PICTURES: usize = 3;

#[derive(Resource)]
struct Times {
    /// When the program began.
    began: Instant,
    /// How long it took until the scene was on the screen.
    first_picture: Option<Duration>,
    limit: Duration,
    report: bool,
    ready: Option<Instant>,
    started: Option<Instant>,
    cpu: Vec<Duration>,
    frame: Vec<Duration>,
}

#[derive(Resource)]
struct StateFile(PathBuf);

impl MeasurePlugin {
    /// As the arguments ask, for a program that began at a time.
    #[must_use]
    pub fn of(args: &Args, began: Instant) -> Self {
        let Args { measure, close_after, state, .. } = args;
        Self { measure_s: *measure, close_after_s: *close_after, state: state.clone(), began }
    }
}

impl Plugin for MeasurePlugin {
    fn build(&self, app: &mut App) {
        if let Some(path) = &self.state {
            app.insert_resource(StateFile(path.clone()));
            app.add_systems(Last, write_state.run_if(resource_exists_and_changed::<Now>));
        }
        let Some(seconds) = self.measure_s.or(self.close_after_s) else { return };
        app.insert_resource(Times {
            began: self.began,
            first_picture: None,
            limit: Duration::from_secs_f64(seconds),
            report: self.measure_s.is_some(),
            ready: None,
            started: None,
            cpu: Vec::new(),
            frame: Vec::new(),
        })
        .add_systems(First, start)
        .add_systems(Last, stop);
        if self.measure_s.is_some() {
            app.add_systems(Update, (keep_moving, change_a_range).run_if(in_state(Stage::Ready)));
        }
    }
}

/// The work plays, so that every frame has something to do.
fn keep_moving(mut playing: ResMut<Playing>, wanted: Res<Wanted>) {
    if playing.bypass_change_detection().motion().is_none() {
        playing.begin(Motion::Work, &wanted.0);
    }
}

/// Half way through, a range changes: how long until its proven answer is shown.
fn change_a_range(times: Res<Times>, mut refresh: ResMut<Refresh>, mut asked: Local<bool>) {
    let half = times.ready.is_some_and(|ready| ready.elapsed() >= times.limit / 2);
    if half && !*asked {
        *asked = true;
        let ranges = timing::narrower(&refresh.own);
        refresh.ask(ranges);
    }
}

fn start(mut times: ResMut<Times>, stage: Option<Res<State<Stage>>>) {
    let now = Instant::now();
    if stage.is_some_and(|stage| *stage.get() == Stage::Ready) {
        times.ready.get_or_insert(now);
        if let Some(last) = times.started {
            times.frame.push(now - last);
        }
    }
    times.started = Some(now);
}

fn stop(mut times: ResMut<Times>, refresh: Option<Res<Refresh>>, mut exit: MessageWriter<AppExit>) {
    let (Some(started), Some(ready)) = (times.started, times.ready) else { return };
    times.cpu.push(started.elapsed());
    if times.cpu.len() == PICTURES {
        times.first_picture = Some(times.began.elapsed());
    }
    let awaits = times.report && refresh.as_ref().is_some_and(|refresh| refresh.is_running());
    if ready.elapsed() >= times.limit && !awaits {
        if times.report {
            let took = refresh.and_then(|refresh| refresh.took);
            let _ = std::io::stdout().lock().write_all(report(&times, took).as_bytes());
        }
        exit.write(AppExit::Success);
    }
}

fn report(times: &Times, refresh: Option<Duration>) -> String {
    let lines = [
        timing::one("start to first picture", times.first_picture),
        timing::spread("CPU of a frame", &times.cpu),
        timing::spread("frame to frame", &times.frame),
        timing::one("changed range to proven answer", refresh),
    ];
    lines.join("\n") + "\n"
}

/// What the panel says, for tests of the window.
fn write_state(path: Res<StateFile>, now: Option<Res<Now>>, proven: Option<Res<Proven>>) {
    let Some((now, proven)) = now.zip(proven) else { return };
    let text = now_card(&proven, &now, Units::Si).map_or_else(String::new, |card| {
        let figures: Vec<String> = card.figures.iter().map(|f| format!("{} {}", f.label, f.value)).collect();
        format!("{}\n{}\n{}\n", figures.join("; "), card.words, card.state)
    });
    if let Err(error) = std::fs::write(&path.0, text) {
        error!("{}: {error}", path.0.display());
    }
}
