//! `--picture` and `--film`.

use std::fs;
use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use thiserror::Error;

use crate::args::{Args, At, Motion};
use crate::encode::{self, EncodeError, Reel};
use crate::loaded::{LoadError, Origin};
use crate::moment::Moment;
use crate::opening::{self, OpeningError};
use crate::paths::Course;
use crate::scene::cameras::SceneCamera;
use crate::scene::lesson::AtStep;
use crate::scene::playing::Playing;
use crate::scene::stage::{Look, Shown, Wanted, Worst};
use crate::scene::swaying::Swaying;
use crate::studio::{Purpose, Studio, StudioError};
use crate::teaching::{self, Teaching};
use crate::timing;

/// Why there is no picture or film.
#[derive(Debug, Error)]
pub enum CaptureError {
    /// The scene.
    #[error(transparent)]
    Studio(#[from] StudioError),
    /// A scenario with changed ranges.
    #[error(transparent)]
    Load(LoadError),
    /// The moment.
    #[error(transparent)]
    Opening(#[from] OpeningError),
    /// The lesson has no such step.
    #[error("the lesson has {steps} steps, there is no step {number}")]
    NoStep {
        /// Number asked for.
        number: usize,
        /// How many there are.
        steps: usize,
    },
    /// No gusts.
    #[error("the sway cannot be shown: {0}")]
    Gusts(String),
    /// A file.
    #[error("{path}: {source}")]
    Write {
        /// Its name.
        path: String,
        /// What went wrong.
        source: EncodeError,
    },
}

/// What the arguments say of the look.
#[must_use]
pub fn look(args: &Args) -> Look {
    Look { units: args.units.into(), text_size: args.text_size, help: false, panel: true }
}

/// Where the scenario of the arguments comes from.
#[must_use]
pub fn origin(args: &Args) -> Origin {
    args.file.clone().map_or(Origin::BuiltIn, Origin::File)
}

fn open(args: &Args, purpose: Purpose) -> Result<Studio, CaptureError> {
    Ok(Studio::open(origin(args), args.camera, look(args), args.size, purpose)?)
}

/// Shows the moment that the arguments ask for.
fn show(studio: &mut Studio, at: &At) -> Result<(), CaptureError> {
    let world = studio.world();
    let worst = world.resource::<Worst>().moment.clone();
    let moment = opening::moment(&world.resource::<Shown>().job, &worst, at)?;
    world.resource_mut::<Wanted>().0 = moment;
    Ok(())
}

/// Shows a step of the lesson, from 1.
fn show_step(studio: &mut Studio, number: usize, answered: bool) -> Result<(), CaptureError> {
    let steps = studio.world().resource::<Shown>().job.lesson.as_ref().map_or(0, |lesson| lesson.steps.len());
    if number == 0 || number > steps {
        return Err(CaptureError::NoStep { number, steps });
    }
    studio.world().resource_mut::<AtStep>().0 = Teaching { step: Some(number - 1), answered };
    studio.pass(Duration::ZERO);
    studio.world().resource_mut::<Playing>().stop();
    // A still is taken at rest: the camera is where the step sends it, at once.
    let mut camera = studio.world().resource_mut::<SceneCamera>();
    let aim = camera.aim();
    camera.set(aim);
    Ok(())
}

/// Writes one picture.
///
/// # Errors
/// When nothing can draw, the scenario or the moment is refused, or the file cannot be written.
pub fn picture(args: &Args, path: &Path) -> Result<(), CaptureError> {
    let began = Instant::now();
    let mut studio = open(args, if args.measure.is_some() { Purpose::Timed } else { Purpose::Pictures })?;
    show(&mut studio, &args.at)?;
    if let Some(number) = args.step {
        show_step(&mut studio, number, args.answer)?;
    }
    if let Some(seconds) = args.measure {
        let one_by_one = timing::one_by_one(&mut studio, seconds, began)?;
        let ahead = timing::ahead(&mut open(args, Purpose::Ahead)?, seconds);
        let _ = io::stdout().lock().write_all((one_by_one + &ahead).as_bytes());
    }
    let picture = studio.take()?;
    encode::write_png(path, &picture).map_err(|source| write_error(path, source))
}

fn write_error(path: &Path, source: impl Into<EncodeError>) -> CaptureError {
    CaptureError::Write { path: path.display().to_string(), source: source.into() }
}

/// How many frames a film has, and how long each lasts.
#[must_use]
pub fn frames(seconds: f64, frames_per_s: u32) -> (usize, Duration) {
    let step = Duration::from_secs_f64(1.0 / f64::from(frames_per_s));
    let count = (seconds * f64::from(frames_per_s)).round() as usize;
    (count.max(2), step)
}

/// Parts of a film of the work that rest at its start, at its closest and at its end, so that each can be read.
const RESTS: [f64; 3] = [0.10, 0.18, 0.12];

/// The share of a motion at a frame: the work goes once from end to end and rests where it begins, is closest and ends; heat goes round.
#[must_use]
pub fn share_at(motion: Motion, frame: usize, count: usize) -> f64 {
    match motion {
        Motion::Work => with_rests(frame as f64 / (count - 1) as f64),
        Motion::Sway | Motion::Heat => frame as f64 / count as f64,
    }
}

/// The share of the work at a share of the film.
fn with_rests(share: f64) -> f64 {
    let [start, closest, end] = RESTS;
    let moving = 0.5 * (1.0 - start - closest - end);
    let first = ((share - start) / moving).clamp(0.0, 1.0);
    let second = ((share - start - moving - closest) / moving).clamp(0.0, 1.0);
    0.5 * (first + second)
}

/// What a film shows.
enum Roll {
    /// A motion from a moment.
    Course(Motion, Box<(Course, Moment)>),
    /// Gusts from a time on, s.
    Gusts(f64),
}

impl Roll {
    fn begin(studio: &mut Studio, motion: Motion, seconds: f64) -> Result<Self, CaptureError> {
        let world = studio.world();
        let from = world.resource::<Wanted>().0.clone();
        if motion != Motion::Sway {
            return Ok(Self::Course(motion, Box::new((world.resource::<Worst>().course.clone(), from))));
        }
        let shown = world.resource::<Shown>().clone();
        let followed = world.resource_mut::<Swaying>().follow_now(&shown.0, &from);
        let gusts = &followed.map_err(CaptureError::Gusts)?.motion;
        // The widest swing comes in the middle.
        Ok(Self::Gusts((gusts.widest_s - 0.5 * seconds).min(gusts.length_s - seconds).max(0.0)))
    }

    fn show(&self, studio: &mut Studio, frame: usize, count: usize, step: Duration) {
        let world = studio.world();
        match self {
            Self::Course(motion, begun) => {
                let (course, from) = &**begun;
                world.resource_mut::<Wanted>().0 = course.at(*motion, share_at(*motion, frame, count), from);
            }
            Self::Gusts(begin_s) => {
                world.resource_mut::<Swaying>().show(begin_s + frame as f64 * step.as_secs_f64());
            }
        }
    }
}

/// Writes a film.
///
/// # Errors
/// As [`picture`].
pub fn film(args: &Args, folder: &Path) -> Result<(), CaptureError> {
    fs::create_dir_all(folder).map_err(|error| write_error(folder, error))?;
    let mut studio = open(args, Purpose::Pictures)?;
    show(&mut studio, &args.at)?;
    let mut motion = args.play;
    if let Some(number) = args.step {
        show_step(&mut studio, number, args.answer)?;
        // What the step plays is what its film shows.
        let job = &studio.world().resource::<Shown>().job;
        let plays = job.lesson.as_ref().and_then(|lesson| lesson.steps.get(number - 1)?.play);
        motion = plays.map_or(motion, teaching::motion);
    }
    let (count, step) = frames(args.seconds, args.rate);
    let failed = |error| write_error(folder, error);
    let reel = Reel::begin(folder, args.size, args.rate).map_err(failed)?;
    let roll = Roll::begin(&mut studio, motion, args.seconds)?;
    let began = Instant::now();
    for frame in 0..count {
        roll.show(&mut studio, frame, count, step);
        studio.shoot(step);
        if std::iter::from_fn(|| studio.drawn()).any(|picture| !reel.add(picture)) {
            break;
        }
        progress(frame + 1, count);
    }
    while let Some(picture) = studio.wait_for_picture()? {
        if !reel.add(picture) {
            break;
        }
    }
    reel.end().map_err(failed)?;
    let rate = count as f64 / began.elapsed().as_secs_f64();
    let mp4 = encode::write_mp4(folder, args.rate);
    let more = if mp4 { " and film.mp4" } else { "" };
    say(&format!(
        "{}{count} pictures and film.gif{more} written, {rate:.1} pictures a second\n",
        if io::stderr().is_terminal() { "\r" } else { "" }
    ));
    if !mp4 {
        say("no MP4: `ffmpeg` is not at hand; the numbered pictures can be turned into one later\n");
    }
    Ok(())
}

fn progress(done: usize, count: usize) {
    if !io::stderr().is_terminal() {
        return;
    }
    let filled = 30 * done / count;
    say(&format!("\r[{}{}] {done} of {count} pictures", "#".repeat(filled), " ".repeat(30 - filled)));
}

/// Progress goes to standard error; that it cannot be told is no reason to stop.
fn say(text: &str) {
    let mut stream = io::stderr().lock();
    let _ = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_film_rests_where_it_begins_is_closest_and_ends() {
        let count = 101;
        let share = |frame| share_at(Motion::Work, frame, count);
        let at = |wanted: f64| (0..count).filter(|frame| (share(*frame) - wanted).abs() < 1e-12).count();
        assert!(at(0.0) >= 10 && at(0.5) >= 18 && at(1.0) >= 12, "{} {} {}", at(0.0), at(0.5), at(1.0));
        assert!((0..count - 1).all(|frame| share(frame) <= share(frame + 1)));
    }
}
