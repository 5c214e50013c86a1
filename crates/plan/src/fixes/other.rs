//! Controls that have no scale of settings: another machine of the library, and the hours of the date in which the job is clear.

use wideberth_physics::approach::reach_m;
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::machine::{Entry, Library};

use super::control::Control;
use super::scene::Scene;
use super::{Fix, Proof, alone};
use crate::day::{Day, DayError, Spell, Window, day};
use crate::decide::PlanError;

/// Machines of the library that do the same with less reach; those whose joints do not suit the working ranges are left
/// out.
///
/// # Errors
/// When a search cannot run.
pub(super) fn machines(scene: &Scene<'_>) -> Result<Vec<Fix>, PlanError> {
    let library = Library::embedded();
    let info = scene.job.machines.get(scene.machine);
    let Some(own) = info.and_then(|info| library.find(&info.id)) else { return Ok(Vec::new()) };
    let others = library.entries().iter().filter(|other| other.does == own.does && other.id != own.id);
    let found = others.map(|other| machine(scene, other)).collect::<Result<Vec<_>, _>>()?;
    Ok(found.into_iter().flatten().collect())
}

fn machine(scene: &Scene<'_>, other: &Entry) -> Result<Option<Fix>, PlanError> {
    let control = Control::OtherMachine { id: other.id };
    let reach = match scene.with(&[&control]) {
        Err(PlanError::Refused(_)) => return Ok(None),
        variant => reach_m(variant?.machine()),
    };
    let share = 1.0 - reach / reach_m(scene.placed()?);
    if share > 0.0 { alone(scene, control, share) } else { Ok(None) }
}

/// Spells of the date in which the whole job is clear hour by hour, each proven once more as one.
///
/// # Errors
/// When a search cannot run.
pub(super) fn hours(scene: &Scene<'_>) -> Result<Vec<Fix>, PlanError> {
    if scene.job.climate.as_ref().is_none_or(|climate| climate.date.is_none()) {
        return Ok(Vec::new());
    }
    let day = match day(scene.job, Spell::Job, &|_| {}) {
        Err(DayError::NoWeather) => return Ok(Vec::new()),
        day => day.map_err(|error| PlanError::Question(error.to_string()))?,
    };
    let clear = day.windows.iter().filter(|window| window.clear());
    let found = clear.map(|window| spell(scene, &day, window)).collect::<Result<Vec<_>, _>>()?;
    Ok(found.into_iter().flatten().collect())
}

fn spell(scene: &Scene<'_>, day: &Day, window: &Window) -> Result<Option<Fix>, PlanError> {
    let Some(control) = between(scene, day, window.hours.start, window.hours.end) else { return Ok(None) };
    let share = 1.0 - window.hours.len() as f64 / day.hours.len().max(1) as f64;
    let Some(fix) = alone(scene, control, share)? else { return Ok(None) };
    let proof = match fix.proof {
        Proof::Clear { spare, .. } => Proof::Clear { spare, milder: longer(scene, day, window) },
        proof => proof,
    };
    Ok(Some(Fix { proof, ..fix }))
}

/// One hour more at the end, or where the day ends there, at the beginning; it is no better than that hour.
fn longer(scene: &Scene<'_>, day: &Day, window: &Window) -> Option<(Control, Verdict)> {
    let (start, end) = (window.hours.start, window.hours.end);
    let after = day.hours.get(end).and_then(|hour| Some((between(scene, day, start, end + 1)?, hour.verdict)));
    let before = || {
        let earlier = start.checked_sub(1)?;
        Some((between(scene, day, earlier, end)?, day.hours.get(earlier)?.verdict))
    };
    after.or_else(before)
}

/// Work from the begin of one hour to the end of the one before another; none past midnight, which no hours can say.
fn between(scene: &Scene<'_>, day: &Day, first: usize, end: usize) -> Option<Control> {
    let offset = scene.job.climate.as_ref()?.offset;
    let (from, to) = (day.hours.get(first)?.weather.from, day.hours.get(end.checked_sub(1)?)?.weather.to());
    let clock = |at| offset.to_datetime(at).strftime("%H:%M").to_string();
    let (from, to) = (clock(from), clock(to));
    (from < to).then_some(Control::Hours { from, to })
}
