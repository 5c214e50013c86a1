//! `--measure`: how long things take. With `--picture` without a window: frames are drawn into an image and waited for.

use std::time::{Duration, Instant};

use bevy::prelude::*;

use crate::args::Motion;
use crate::capture::CaptureError;
use crate::loaded::LoadError;
use crate::panel_model::Ranges;
use crate::scene::stage::{Shown, Wanted, Worst, worst_of};
use crate::studio::Studio;

/// Frames at the beginning that do not count.
const WARM_UP: usize = 20;

/// Time of one round of the work, s.
const ROUND_S: f64 = 9.0;

/// When the main schedule of the last frame began and ended.
#[derive(Resource, Clone, Copy)]
struct MainSchedule {
    began: Instant,
    ended: Instant,
}

/// Draws for a time while the work plays, one frame after the other; what it took, in words. `began` is when the program did.
///
/// # Errors
/// When the driver gives no picture back, or the answer for a changed range is refused.
pub fn one_by_one(studio: &mut Studio, seconds: f64, began: Instant) -> Result<String, CaptureError> {
    studio.take()?;
    let first = began.elapsed();
    time_main_schedule(studio);
    let (mut main, mut cpu, mut whole) = (Vec::new(), Vec::new(), Vec::new());
    work(studio, seconds, |studio, began| {
        cpu.push(began.elapsed());
        studio.wait_for_card();
        whole.push(began.elapsed());
        let schedule = *studio.world().resource::<MainSchedule>();
        main.push(schedule.ended - schedule.began);
    });
    let lines = [
        one("start to first picture", Some(first)),
        spread("CPU of a frame, main schedule", &main),
        spread("CPU of a frame, with drawing commands", &cpu),
        spread("frame, until the card is done", &whole),
        one("changed range to proven answer", Some(refresh(studio).map_err(CaptureError::Load)?)),
    ];
    let passes = studio.passes().into_iter().map(|(name, ms)| format!("card, {name}: {ms:.2} ms"));
    Ok(lines.into_iter().chain(passes).collect::<Vec<_>>().join("\n") + "\n")
}

/// Draws for a time while the work plays, as a window does: from frame to frame, in words.
pub fn ahead(studio: &mut Studio, seconds: f64) -> String {
    studio.every_frame(|| (), || ());
    let mut between = Vec::new();
    work(studio, seconds, |_, began| between.push(began.elapsed()));
    spread("frame to frame, as in a window", &between) + "\n"
}

/// Draws for a time while the work plays; each frame is handed on with the time at which it began.
fn work(studio: &mut Studio, seconds: f64, mut each: impl FnMut(&mut Studio, Instant)) {
    let start = Instant::now();
    let mut last = start;
    while start.elapsed().as_secs_f64() < seconds {
        let world = studio.world();
        let course = world.resource::<Worst>().course.clone();
        let from = world.resource::<Wanted>().0.clone();
        world.resource_mut::<Wanted>().0 =
            course.at(Motion::Work, (start.elapsed().as_secs_f64() / ROUND_S).fract(), &from);
        let began = Instant::now();
        studio.pass(last.elapsed());
        last = began;
        each(studio, began);
    }
}

fn time_main_schedule(studio: &mut Studio) {
    let now = Instant::now();
    studio.world().insert_resource(MainSchedule { began: now, ended: now });
    studio.every_frame(
        |mut schedule: ResMut<MainSchedule>| schedule.began = Instant::now(),
        |mut schedule: ResMut<MainSchedule>| schedule.ended = Instant::now(),
    );
}

/// The proven answer for a narrower range, as the window asks for it in the background.
fn refresh(studio: &mut Studio) -> Result<Duration, LoadError> {
    let shown = studio.world().resource::<Shown>().clone();
    let ranges = narrower(&Ranges::of(&shown.job));
    let began = Instant::now();
    if let Some(text) = ranges.rewrite(&shown.text, &shown.job) {
        let loaded = shown.origin.answer_quickly(text)?;
        worst_of(&loaded)?;
    }
    Ok(began.elapsed())
}

/// Ranges with a tenth less wind.
#[must_use]
pub fn narrower(own: &Ranges) -> Ranges {
    Ranges { wind_m_per_s: own.wind_m_per_s.map(|wind| 0.9 * wind), ..own.clone() }
}

/// One time in words.
#[must_use]
pub fn one(what: &str, time: Option<Duration>) -> String {
    let ms = time.map_or_else(|| "none".into(), |time| format!("{:.0} ms", time.as_secs_f64() * 1e3));
    format!("{what}: {ms}")
}

/// Many times in words: those of the first frames do not count.
#[must_use]
pub fn spread(what: &str, times: &[Duration]) -> String {
    let mut sorted: Vec<f64> = times.iter().skip(WARM_UP).map(|t| t.as_secs_f64() * 1e3).collect();
    sorted.sort_by(f64::total_cmp);
    if sorted.is_empty() {
        return format!("{what}: fewer than {WARM_UP} frames, measure for longer");
    }
    let at = |share: f64| sorted.get(((sorted.len().max(1) - 1) as f64 * share) as usize).copied().unwrap_or(f64::NAN);
    let (half, most, all) = (at(0.5), at(0.95), at(1.0));
    let mean = sorted.iter().sum::<f64>() / sorted.len() as f64;
    let count = sorted.len();
    format!("{what}: {count} frames, median {half:.2} ms, mean {mean:.2} ms, 95 % {most:.2} ms, greatest {all:.2} ms")
}
