//! Which changes make a machine clear, each proven by the proven search.

mod control;
mod family;
mod other;
mod pairs;
mod scene;
mod shell;

use rayon::prelude::*;
use serde_json::Value;
use wideberth_physics::approach::ApproachError;
use wideberth_physics::assess::{Assessment, Finding};
use wideberth_physics::bracket::Bracket;
use wideberth_physics::verdict::Verdict;
use wideberth_scenario::{Context, Job};

pub use control::{Class, Control, End};
pub use scene::{Scene, Variant};

use crate::boundary::{Boundary, Tried, nested, outward};
use crate::decide::PlanError;
use family::{Family, bad_lines, between, families, sector, turns_all_round};

/// A control that was looked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Fix {
    /// The control at its mildest setting that is proven clear; where none is, at its strictest.
    pub control: Control,
    /// What is proven.
    pub proof: Proof,
    /// How much is given up: share of the scale of settings, 0..1; for moves, the distance over 100 m.
    pub given_up_share: f64,
}

/// What is proven of a control.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// The machine is clear with it.
    Clear {
        /// The smallest spare with it; none where no wire is left.
        spare: Option<Bracket>,
        /// The next milder setting, which is not clear, and its verdict; none where there is no scale.
        milder: Option<(Control, Verdict)>,
    },
    /// Even the strictest setting is not enough.
    NotEnough {
        /// Its verdict.
        verdict: Verdict,
    },
}

/// The controls that were looked for, for one machine.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineFixes {
    /// Index of the machine.
    pub machine: usize,
    /// What was found for it as it is.
    pub verdict: Verdict,
    /// Single controls, by class, the smallest first; those that are not enough come last.
    pub singles: Vec<Fix>,
    /// Two controls together, looked for where no single control of the machine, its limits or the weather is enough.
    pub pairs: Vec<Fix>,
}

/// Controls for every machine that is not clear.
///
/// # Errors
/// When a search cannot run.
pub fn fixes(
    scenario: &Value,
    context: &Context<'_>,
    job: &Job,
    assessment: &Assessment,
) -> Result<Vec<MachineFixes>, PlanError> {
    let bad = |machine: usize| -> Vec<&Finding> {
        let own = assessment.findings.iter().filter(|f| f.pairing.machine == machine);
        own.filter(|f| f.verdict != Verdict::Clear).collect()
    };
    let machines = (0..job.machines.len()).map(|machine| (machine, bad(machine))).filter(|(_, bad)| !bad.is_empty());
    machines.map(|(machine, bad)| of_machine(&Scene::new(scenario, context, job, machine, assessment), &bad)).collect()
}

fn of_machine(scene: &Scene<'_>, bad: &[&Finding]) -> Result<MachineFixes, PlanError> {
    let verdict = bad.iter().map(|finding| finding.verdict).max().unwrap_or(Verdict::NotProven);
    let families = families(scene, bad)?;
    let searched = families.par_iter().map(|family| search(scene, family, verdict, &[]));
    let sectors = (0..scene.placed()?.movers().len()).into_par_iter().map(|joint| sector_fix(scene, joint, bad));
    let mut singles: Vec<Fix> = searched.chain(sectors).collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect();
    let off = bad_lines(bad).into_iter().map(|f| alone(scene, Control::LineOff { line: f.pairing.line }, 0.0));
    singles.extend(off.collect::<Result<Vec<_>, _>>()?.into_iter().flatten());
    singles.extend(other::machines(scene)?);
    singles.extend(other::hours(scene)?);
    drop_told_twice(&mut singles);
    singles.sort_by(|a, b| rank(a).partial_cmp(&rank(b)).unwrap_or(std::cmp::Ordering::Equal));
    let held = |fix: &&Fix| fix.is_clear() && fix.control.is_nested();
    let pairs =
        if singles.iter().any(|fix| held(&fix)) { Vec::new() } else { pairs::search_pairs(scene, &families, verdict)? };
    Ok(MachineFixes { machine: scene.machine, verdict, singles, pairs })
}

/// Leaves out a height or a reach that no part passes where a stop, which `check` computes, is proven with the same setting or a
/// milder one.
fn drop_told_twice(singles: &mut Vec<Fix>) {
    let clear = singles.iter().filter(|fix| fix.is_clear());
    let (mut height_m, mut reach_m) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for fix in clear {
        match fix.control {
            Control::HeightStop { most_m } => height_m = most_m,
            Control::ReachStop { most_m } => reach_m = most_m,
            _ => {}
        }
    }
    singles.retain(|fix| match fix.control {
        Control::HeightLimit { most_m } => most_m > height_m,
        Control::ReachLimit { most_m } => most_m > reach_m,
        _ => true,
    });
}

/// Clear ones first, then by class, then by what is given up.
fn rank(fix: &Fix) -> (bool, Class, f64) {
    (!fix.is_clear(), fix.control.class(), fix.given_up_share)
}

impl Fix {
    /// Whether it is proven to make the machine clear.
    #[must_use]
    pub fn is_clear(&self) -> bool {
        matches!(self.proof, Proof::Clear { .. })
    }
}

/// The mildest setting of a family that is proven clear, together with controls that are set already.
fn search(scene: &Scene<'_>, family: &Family, present: Verdict, with: &[&Control]) -> Result<Option<Fix>, PlanError> {
    if family.strictest == 0 {
        return Ok(None);
    }
    let attempt = |setting: u32| tried(scene, family, setting, with);
    let found = match family.first {
        Some(first) => outward(first, family.strictest, present, attempt)?,
        None => nested(family.strictest, present, attempt)?,
    };
    found.map_or_else(|| not_enough(scene, family, with), |boundary| proven(scene, family, boundary, with)).map(Some)
}

fn tried(scene: &Scene<'_>, family: &Family, setting: u32, with: &[&Control]) -> Result<Tried, PlanError> {
    let control = (family.make)(setting);
    let all: Vec<&Control> = with.iter().copied().chain([&control]).collect();
    // A setting that the scenario refuses, or that leaves no pose, is no control.
    let decision = match scene.with(&all).and_then(|variant| variant.decide(scene)) {
        Err(PlanError::Refused(_) | PlanError::Search(ApproachError::NoPose { .. })) => {
            return Ok(Tried { verdict: Verdict::NotProven, rules_out: None });
        }
        decision => decision?,
    };
    let witness = decision.against.as_ref().filter(|_| decision.verdict >= Verdict::TooClose);
    let rules_out = witness.and_then(|(_, approach)| family.witnessed.rules_out(approach));
    Ok(Tried { verdict: decision.verdict, rules_out })
}

/// The fix at a boundary, searched once more in full.
fn proven(scene: &Scene<'_>, family: &Family, boundary: Boundary, with: &[&Control]) -> Result<Fix, PlanError> {
    let control = (family.make)(boundary.clear);
    let all: Vec<&Control> = with.iter().copied().chain([&control]).collect();
    let spare = scene.with(&all)?.spare(scene)?;
    let milder = Some(((family.make)(boundary.not_clear), boundary.verdict));
    let given_up_share = share(family, boundary.clear);
    Ok(Fix { proof: Proof::Clear { spare, milder }, given_up_share, control })
}

fn share(family: &Family, setting: u32) -> f64 {
    match family.first {
        Some(_) => f64::from(setting) * family::STEP_M / 100.0,
        None => f64::from(setting) / f64::from(family.strictest),
    }
}

fn not_enough(scene: &Scene<'_>, family: &Family, with: &[&Control]) -> Result<Fix, PlanError> {
    let verdict = tried(scene, family, family.strictest, with)?.verdict;
    let control = (family.make)(family.strictest);
    Ok(Fix { control, proof: Proof::NotEnough { verdict }, given_up_share: 1.0 })
}

/// A control without a scale of settings; none where the scenario with it is refused.
fn alone(scene: &Scene<'_>, control: Control, given_up_share: f64) -> Result<Option<Fix>, PlanError> {
    let variant = match scene.with(&[&control]) {
        Err(PlanError::Refused(_)) => return Ok(None),
        variant => variant?,
    };
    let verdict = variant.decide(scene)?.verdict;
    let proof = if verdict == Verdict::Clear {
        Proof::Clear { spare: variant.spare(scene)?, milder: None }
    } else {
        Proof::NotEnough { verdict }
    };
    Ok(Some(Fix { control, proof, given_up_share }))
}

/// The widest sector of a joint that turns all round: first even about its middle, then each side as far as it goes.
fn sector_fix(scene: &Scene<'_>, joint: usize, bad: &[&Finding]) -> Result<Option<Fix>, PlanError> {
    let settable = scene.joint(joint).filter(|info| info.role.is_set_by_people());
    let range = settable.and_then(|info| info.range.as_ref());
    let worst = bad.iter().min_by(|a, b| a.spare().upper_m.total_cmp(&b.spare().upper_m));
    let (Some(worst), true) = (worst, range.is_some_and(turns_all_round)) else { return Ok(None) };
    let family = sector(joint, worst.attained.witness.pose.get(joint).copied().unwrap_or(0.0));
    let Some(fix) = search(scene, &family, worst.verdict, &[])? else { return Ok(None) };
    let Control::Sector { from_rad, to_rad, .. } = fix.control else { return Ok(Some(fix)) };
    if !fix.is_clear() {
        return Ok(Some(fix));
    }
    let tenths = |rad: f64| (rad.to_degrees() * 10.0).round();
    let (from, to) = (tenths(from_rad), tenths(to_rad));
    let room = 3599.0 - (to - from);
    let farther = side(scene, worst.verdict, room, move |setting| between(joint, from, to + room - setting))?;
    let to = farther.as_ref().map_or(to, |(to_rad, _)| tenths(*to_rad).max(to));
    let room = 3599.0 - (to - from);
    let wider = side(scene, worst.verdict, room, move |setting| between(joint, from - room + setting, to))?;
    let best = wider.or(farther).map(|(_, fix)| fix);
    let whole = |fix: Fix| Fix { given_up_share: given_up(&fix.control), ..fix };
    Ok(Some(whole(best.unwrap_or(fix))))
}

fn given_up(sector: &Control) -> f64 {
    match sector {
        Control::Sector { from_rad, to_rad, .. } => 1.0 - (to_rad - from_rad) / std::f64::consts::TAU,
        _ => 1.0,
    }
}

/// One side of a sector as far as it goes: where its second stop is then, and the fix.
fn side(
    scene: &Scene<'_>,
    present: Verdict,
    room: f64,
    make: impl Fn(f64) -> Control + Send + Sync + 'static,
) -> Result<Option<(f64, Fix)>, PlanError> {
    let family = Family {
        strictest: room.max(0.0) as u32,
        first: None,
        witnessed: family::Witnessed::No,
        make: Box::new(move |setting| make(f64::from(setting))),
    };
    let fix = search(scene, &family, present, &[])?.filter(Fix::is_clear);
    Ok(fix.map(|fix| match fix.control {
        Control::Sector { to_rad, .. } => (to_rad, fix),
        _ => (0.0, fix),
    }))
}
