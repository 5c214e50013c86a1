//! Two controls together, where one alone is not enough.

use rayon::prelude::*;
use wideberth_physics::verdict::Verdict;

use super::control::Control;
use super::family::Family;
use super::scene::Scene;
use super::{Fix, Proof, proven, tried};
use crate::boundary::nested;
use crate::decide::PlanError;

/// Pairs of controls that hold the machine or the weather: the first is halfway to its strictest, or at it, where that is
/// needed; the second as mild as is proven clear with it.
///
/// # Errors
/// When a search cannot run.
pub fn search_pairs(scene: &Scene<'_>, families: &[Family], present: Verdict) -> Result<Vec<Fix>, PlanError> {
    let held: Vec<&Family> = families.iter().filter(|f| f.first.is_none() && f.strictest > 0 && joins(f)).collect();
    let couples: Vec<(&Family, &Family)> =
        held.iter().enumerate().flat_map(|(i, a)| held.iter().skip(i + 1).map(move |b| (*a, *b))).collect();
    let found = couples.par_iter().map(|(first, second)| pair(scene, first, second, present));
    let mut found: Vec<Fix> = found.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
    found.sort_by(|a, b| a.given_up_share.total_cmp(&b.given_up_share));
    Ok(found)
}

/// A shell takes the machine's place, so that it joins with nothing that moves a joint. A height or reach stop holds every joint
/// as it is.
fn joins(family: &Family) -> bool {
    !matches!(
        (family.make)(family.strictest),
        Control::HeightLimit { .. }
            | Control::HeightStop { .. }
            | Control::ReachLimit { .. }
            | Control::ReachStop { .. }
            | Control::Barrier { .. }
    )
}

fn pair(scene: &Scene<'_>, first: &Family, second: &Family, present: Verdict) -> Result<Option<Fix>, PlanError> {
    let both = |a: u32, b: u32| Control::Both(Box::new(((first.make)(a), (second.make)(b))));
    for a in [first.strictest / 2, first.strictest] {
        let fixed = (first.make)(a);
        if tried(scene, second, second.strictest, &[&fixed])?.verdict != Verdict::Clear {
            continue;
        }
        let Some(mildest) = nested(second.strictest, present, |b| tried(scene, second, b, &[&fixed]))? else {
            continue;
        };
        let (b, set) = (mildest.clear, (second.make)(mildest.clear));
        let Some(boundary) = nested(a, present, |a| tried(scene, first, a, &[&set]))? else { continue };
        let fix = proven(scene, first, boundary, &[&set])?;
        let Proof::Clear { spare, milder } = fix.proof else { continue };
        // One step of the second less is not clear either: not with the first as strict as before, so not with it relaxed.
        let milder = milder.map(|(control, verdict)| (Control::Both(Box::new((control, set))), verdict));
        let share = |setting: u32, family: &Family| f64::from(setting) / f64::from(family.strictest);
        let given_up_share = 0.5 * (share(boundary.clear, first) + share(b, second));
        return Ok(Some(Fix {
            control: both(boundary.clear, b),
            proof: Proof::Clear { spare, milder },
            given_up_share,
        }));
    }
    Ok(None)
}
