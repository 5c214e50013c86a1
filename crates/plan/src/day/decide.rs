//! The verdict of every hour: each by itself, or many together where one search speaks for all of them.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use wideberth_physics::approach::{ApproachError, Options, closest_approach};
use wideberth_physics::assess::assess;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::study::Study;
use wideberth_physics::verdict::Verdict;

use super::hours::Hourly;
use super::{Day, DayError, Progress};

/// Searches every hour.
pub(super) fn each(hourly: &Hourly<'_>, day: &mut Day, listen: &(dyn Fn(Progress) + Sync)) -> Result<(), DayError> {
    let (total, done) = (day.hours.len(), AtomicUsize::new(0));
    let found = (0..total).into_par_iter().map(|hour| {
        let study = hourly.covering(&[hour])?;
        let found = assess(&study, &hourly.job.options, &|_| {})?;
        listen(Progress { done: done.fetch_add(1, Ordering::Relaxed) + 1, total });
        Ok(found)
    });
    let found = found.collect::<Result<Vec<_>, DayError>>()?;
    day.searches += total * hourly.job.study.pairings.len();
    for (hour, found) in day.hours.iter_mut().zip(found) {
        hour.take(found);
    }
    Ok(())
}

/// What a search of several hours says of all of them.
enum Said {
    /// Clear: the least that is proven beyond the limits and of distances, m.
    Clear { spare_m: f64, distance_m: f64 },
    /// Some state is too close: the least that was found.
    Close { verdict: Verdict, spare_m: f64, distance_m: f64 },
    /// Neither.
    Nothing,
}

/// Halves the hours until a search speaks for all that are left together.
///
/// Clear for a range that holds every state of some hours is clear for each of them; too close in a state that every one of them has is too
/// close in each.
pub(super) fn together(hourly: &Hourly<'_>, day: &mut Day, listen: &(dyn Fn(Progress) + Sync)) -> Result<(), DayError> {
    let total = day.hours.len();
    let harshness: Vec<[f64; 2]> = (0..total).map(|hour| hourly.harshness(hour)).collect();
    let mut open: Vec<Vec<usize>> = vec![(0..total).collect()];
    let mut done = 0;
    while let Some(hours) = open.pop() {
        let mut said = say(&hourly.covering(&hours)?, &hourly.job.options)?;
        day.searches += 1;
        if matches!(said, Said::Close { .. }) && hours.len() > 1 {
            // Close in one of them; in all of them only where they share such a state.
            said = match hourly.common(&hours)? {
                Some(study) => say(&study, &hourly.job.options)?,
                None => Said::Nothing,
            };
            if matches!(said, Said::Clear { .. }) {
                said = Said::Nothing;
            }
            day.searches += 1;
        }
        if hours.len() > 1 && matches!(said, Said::Nothing) {
            let (a, b) = halves(hours, &harshness);
            open.extend([a, b]);
            continue;
        }
        done += hours.len();
        hours.iter().for_each(|&hour| note(day, hour, &said));
        listen(Progress { done, total });
    }
    Ok(())
}

fn note(day: &mut Day, hour: usize, said: &Said) {
    let result = &mut day.hours[hour];
    match *said {
        Said::Clear { spare_m, distance_m } => {
            result.verdict = Verdict::Clear;
            result.spare = Bracket { lower_m: spare_m, upper_m: f64::INFINITY };
            result.distance = Bracket { lower_m: distance_m, upper_m: f64::INFINITY };
        }
        Said::Close { verdict, spare_m, distance_m } => {
            result.verdict = verdict;
            result.spare.upper_m = spare_m;
            result.distance = Bracket { lower_m: 0.0, upper_m: distance_m };
        }
        Said::Nothing => {}
    }
}

/// Two halves along the direction in which the hours differ most, heat or wind.
fn halves(mut hours: Vec<usize>, harshness: &[[f64; 2]]) -> (Vec<usize>, Vec<usize>) {
    let spread = |axis: usize, scale: f64| {
        let of = |hour: &usize| harshness[*hour][axis];
        let most = hours.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        (most - hours.iter().map(of).fold(f64::INFINITY, f64::min)) / scale
    };
    // Ten kelvin and three metres per second change a clearance alike, roughly.
    let axis = usize::from(spread(1, 3.0) > spread(0, 10.0));
    hours.sort_by(|&a, &b| harshness[a][axis].total_cmp(&harshness[b][axis]).then(a.cmp(&b)));
    let harsher = hours.split_off(hours.len() / 2);
    (harsher, hours)
}

/// Whether every pairing keeps its limit, without asking by how much.
fn say(study: &Study, options: &Options) -> Result<Said, DayError> {
    let found = study.pairings.par_iter().map(|pairing| {
        let machine = study.machines.get(pairing.machine).ok_or(ApproachError::NoSuchPair(*pairing))?;
        let wire = study.lines.get(pairing.line).and_then(|line| line.wires.get(pairing.wire));
        let wire = wire.ok_or(ApproachError::NoSuchPair(*pairing))?;
        let options = Options { enough_m: Some(pairing.limit_m), ..options.clone() };
        let distance = closest_approach(machine, wire, &options)?.distance;
        Ok((Verdict::of(&distance, pairing.limit_m), distance, distance.less(pairing.limit_m)))
    });
    let found = found.collect::<Result<Vec<_>, DayError>>()?;
    let verdict = found.iter().map(|(verdict, ..)| *verdict).max().unwrap_or(Verdict::NotProven);
    let least = |value: fn(&(Verdict, Bracket, Bracket)) -> f64| found.iter().map(value).fold(f64::INFINITY, f64::min);
    match verdict {
        Verdict::Clear => Ok(Said::Clear { spare_m: least(|f| f.2.lower_m), distance_m: least(|f| f.1.lower_m) }),
        Verdict::NotProven => Ok(Said::Nothing),
        Verdict::TooClose | Verdict::Contact => attained(study, options),
    }
}

/// Whether what was found inside a limit is a state that exists, or margins alone.
fn attained(study: &Study, options: &Options) -> Result<Said, DayError> {
    let found = assess(study, options, &|_| {})?;
    let (spare_m, distance_m) = (found.spare.upper_m, found.distance.upper_m);
    Ok(match found.verdict {
        Verdict::Clear | Verdict::NotProven => Said::Nothing,
        verdict @ (Verdict::TooClose | Verdict::Contact) => Said::Close { verdict, spare_m, distance_m },
    })
}

/// Whether a study is proven clear.
pub(super) fn clear(study: &Study, options: &Options) -> Result<bool, DayError> {
    Ok(matches!(say(study, options)?, Said::Clear { .. }))
}

/// Whether a study was found too close.
pub(super) fn close(study: &Study, options: &Options) -> Result<bool, DayError> {
    Ok(matches!(say(study, options)?, Said::Close { .. }))
}
