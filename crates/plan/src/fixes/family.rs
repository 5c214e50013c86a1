//! Controls of one kind over a scale of settings, from the scenario as it is to the strictest.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point2, Vector2, Vector3};
use wideberth_physics::approach::Approach;
use wideberth_physics::assess::Finding;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::FrameRole;
use wideberth_scenario::machine::{JointKind, JointRange};

use super::control::{Control, End};
use super::scene::Scene;
use super::shell;
use crate::decide::PlanError;

/// Step of lengths that are set, m.
pub const STEP_M: f64 = 0.01;
/// Steps of an angle per degree.
const STEPS_PER_DEG: f64 = 10.0;
/// Steps of a wind speed per m/s, and of a temperature per K.
const STEPS_PER_UNIT: f64 = 10.0;
/// Farthest that a line or the work is moved, in steps.
const FARTHEST: u32 = 10_000;
/// Highest that a line is raised, or a machine lowered, in steps.
const HIGHEST: u32 = 3_000;
/// The least height or reach that a scenario's stop may have, m.
const LEAST_STOP_M: f64 = 0.5;
/// The shortest load that is tried, m.
const LEAST_LOAD_M: f64 = 0.1;

/// How a witness tells which settings it rules out.
#[derive(Clone, Copy, Debug)]
pub enum Witnessed {
    /// Not at all.
    No,
    /// By the value of a joint.
    Joint {
        /// Index of the joint.
        joint: usize,
        /// Which end is held.
        end: End,
        /// How far it runs on.
        overrun: f64,
        /// Where the scale of settings starts, in steps of the joint.
        start: f64,
        /// Steps per unit (rad or m).
        per_unit: f64,
    },
}

impl Witnessed {
    /// The strictest setting at which a pose is still possible.
    #[must_use]
    pub fn rules_out(&self, approach: &Approach) -> Option<u32> {
        let Self::Joint { joint, end, overrun, start, per_unit } = *self else { return None };
        let value = *approach.witness.pose.get(joint)?;
        let steps = match end {
            End::Most => start - (value - overrun) * per_unit,
            End::Least => (value + overrun) * per_unit - start,
        };
        // A hundredth of a step keeps what rounding might tip over.
        let whole = (steps - 0.01).floor();
        (whole >= 0.0).then_some(whole as u32)
    }
}

/// A scale of settings of one control.
pub struct Family {
    /// The strictest setting.
    pub strictest: u32,
    /// Where to start outward; none where stricter settings allow a part of what milder ones allow.
    pub first: Option<u32>,
    /// What a witness rules out.
    pub witnessed: Witnessed,
    /// The control at a setting.
    pub make: Box<dyn Fn(u32) -> Control + Send + Sync>,
}

impl Family {
    fn outward(first_m: f64, farthest: u32, make: impl Fn(f64) -> Control + Send + Sync + 'static) -> Self {
        let first = (first_m / STEP_M).floor().clamp(1.0, f64::from(farthest)) as u32;
        let make = move |setting: u32| make(decimal_m(f64::from(setting)));
        Self { strictest: farthest, first: Some(first), witnessed: Witnessed::No, make: Box::new(make) }
    }

    fn nested(strictest: f64, make: impl Fn(f64) -> Control + Send + Sync + 'static) -> Self {
        let strictest = strictest.clamp(0.0, 1e6) as u32;
        let make = move |setting: u32| make(f64::from(setting));
        Self { strictest, first: None, witnessed: Witnessed::No, make: Box::new(make) }
    }
}

/// Every scale that may help a machine whose findings are not clear.
///
/// # Errors
/// When the machine does not exist.
pub fn families(scene: &Scene<'_>, bad: &[&Finding]) -> Result<Vec<Family>, PlanError> {
    let moves = bad_lines(bad).into_iter().flat_map(|finding| moves(scene, finding));
    let lower = Family::outward(short_m(bad), HIGHEST, |by_m| Control::LowerMachine { by_m });
    let joints = (0..scene.placed()?.movers().len()).flat_map(|joint| stops(scene, joint));
    let shells = shells(scene, bad)?;
    Ok(moves
        .chain([lower])
        .chain(shorter_load(scene))
        .chain(joints)
        .chain(shells)
        .chain(cut_offs(scene, bad))
        .collect())
}

/// Loads of less length, down to what their ends take.
fn shorter_load(scene: &Scene<'_>) -> Option<Family> {
    let load = scene.job.machines.get(scene.machine)?.load?;
    let (most, least) =
        ((load.length_m / STEP_M - 1e-6).ceil(), (load.least_m.max(LEAST_LOAD_M) / STEP_M).ceil() + 1.0);
    Some(Family::nested((most - least).max(0.0), move |s| Control::ShorterLoad { most_m: decimal_m(most - s) }))
}

/// The worst finding of each line that is not clear.
pub fn bad_lines<'f>(bad: &[&'f Finding]) -> Vec<&'f Finding> {
    let mut worst: Vec<&Finding> = Vec::new();
    for finding in bad {
        match worst.iter_mut().find(|known| known.pairing.line == finding.pairing.line) {
            Some(known) if known.spare().upper_m > finding.spare().upper_m => *known = finding,
            Some(_) => {}
            None => worst.push(finding),
        }
    }
    worst
}

/// How much is missing at the worst, m. A distance changes by no more than the machine moves, so that smaller moves cannot
/// be enough.
fn short_m(bad: &[&Finding]) -> f64 {
    bad.iter().map(|finding| -finding.spare().upper_m).fold(0.0, f64::max)
}

/// Raising and moving a line; moving the work square to it, to either side.
fn moves(scene: &Scene<'_>, worst: &Finding) -> Vec<Family> {
    let line = worst.pairing.line;
    let witness = &worst.attained.witness;
    let wire = scene.job.study.lines.get(line).and_then(|l| l.wires.get(worst.pairing.wire));
    let (Some(span), Ok(placed)) = (wire.and_then(|wire| wire.spans().get(witness.span)), scene.placed()) else {
        return Vec::new();
    };
    let foot = placed.position();
    let side = (foot - span.span().from()).dot(&span.span().lateral());
    let away = span.span().lateral() * if side >= 0.0 { 1.0 } else { -1.0 };
    let (away_rad, across_rad) = (bearing_rad(&away), bearing_rad(&-away));
    let short_m = short_m(&[worst]);
    let work = move |bearing_rad: f64| {
        Family::outward(short_m, FARTHEST, move |by_m| {
            let to = foot.xy() + step(by_m, bearing_rad);
            Control::WorkMoved { by_m, bearing_rad, to: Point2::from(centimetres(to.coords)) }
        })
    };
    vec![
        Family::outward(short_m, HIGHEST, move |by_m| Control::LineRaised { line, by_m }),
        Family::outward(short_m, FARTHEST, move |by_m| {
            let step_m = centimetres(step(by_m, across_rad));
            Control::LineMoved { line, by_m, bearing_rad: across_rad, step_m }
        }),
        work(away_rad),
        work(across_rad),
    ]
}

/// A step east and north, m.
fn step(by_m: f64, bearing_rad: f64) -> Vector2<f64> {
    Vector2::new(bearing_rad.sin(), bearing_rad.cos()) * by_m
}

/// Numbers that can be written down and set out: whole centimetres, m.
fn centimetres(place_m: Vector2<f64>) -> Vector2<f64> {
    place_m.map(|m| (m / STEP_M).round() / (1.0 / STEP_M).round())
}

/// Bearing of a direction, clockwise from north, to a tenth of a degree, so that it can be written down and set out.
fn bearing_rad(direction: &Vector3<f64>) -> f64 {
    let deg = direction.x.atan2(direction.y).to_degrees();
    ((deg * STEPS_PER_DEG).round() / STEPS_PER_DEG + 0.0).rem_euclid(360.0).to_radians()
}

/// Steps per unit (rad or m) of a joint.
fn per_unit(range: &JointRange) -> f64 {
    match range.joint.kind {
        JointKind::Hinge => STEPS_PER_DEG.to_degrees(),
        JointKind::Slide => 1.0 / STEP_M,
    }
}

/// Steps as metres, the number that its decimals stand for.
fn decimal_m(steps: f64) -> f64 {
    steps / (1.0 / STEP_M).round()
}

/// A value of a joint from a whole number of its steps.
fn at_step(kind: JointKind, steps: f64) -> f64 {
    match kind {
        JointKind::Hinge => (steps / STEPS_PER_DEG).to_radians(),
        JointKind::Slide => decimal_m(steps),
    }
}

/// Stops at both ends of a joint; none for one that turns all round, which a sector holds.
fn stops(scene: &Scene<'_>, joint: usize) -> Vec<Family> {
    let Some(info) = scene.joint(joint) else { return Vec::new() };
    let Some(range) = info.range.as_ref().filter(|_| info.role.is_set_by_people()) else { return Vec::new() };
    if range.working.width() <= 0.0 || turns_all_round(range) {
        return Vec::new();
    }
    let kind = range.joint.kind;
    let shortens = kind == JointKind::Slide && info.role != FrameRole::Rope;
    let per_unit = per_unit(range);
    let steps = |value: f64| value * per_unit;
    let (low, high) = (steps(range.working.low()), steps(range.working.high()));
    let (from_low, from_high) = ((low + 1e-6).floor(), (high - 1e-6).ceil());
    let witnessed = |end, start| Witnessed::Joint { joint, end, overrun: range.overrun, start, per_unit };
    let most = Family::nested(from_high - (low - 1e-6).ceil(), move |setting| {
        let at = at_step(kind, from_high - setting);
        Control::Stop { joint, end: End::Most, at, shortens }
    });
    let least = Family::nested((high + 1e-6).floor() - from_low, move |setting| {
        let at = at_step(kind, from_low + setting);
        Control::Stop { joint, end: End::Least, at, shortens: false }
    });
    vec![
        Family { witnessed: witnessed(End::Most, from_high), ..most },
        Family { witnessed: witnessed(End::Least, from_low), ..least },
    ]
}

/// Whether a joint is used all round.
pub fn turns_all_round(range: &JointRange) -> bool {
    range.joint.turns_all_round() && range.working.width() >= TAU - 1e-6
}

/// Sectors about the middle of what is farthest from the worst pose, for a joint that turns all round.
pub fn sector(joint: usize, worst_rad: f64) -> Family {
    let middle = ((worst_rad + PI).to_degrees() * STEPS_PER_DEG).round();
    Family::nested(180.0 * STEPS_PER_DEG - 1.0, move |setting| {
        let half = 180.0 * STEPS_PER_DEG - setting;
        between(joint, middle - half, middle + half)
    })
}

/// A sector between two stops in steps, the first of them within half a turn of straight ahead.
pub fn between(joint: usize, from: f64, to: f64) -> Control {
    let turn = 360.0 * STEPS_PER_DEG;
    let first = (from + 0.5 * turn).rem_euclid(turn) - 0.5 * turn;
    let rad = |steps: f64| at_step(JointKind::Hinge, steps);
    Control::Sector { joint, from_rad: rad(first), to_rad: rad(first + to - from) }
}

/// Heights, reach and a barrier, from what the machine could reach to what leaves it no pose.
fn shells(scene: &Scene<'_>, bad: &[&Finding]) -> Result<Vec<Family>, PlanError> {
    let placed = scene.placed()?;
    let most = (wideberth_physics::approach::reach_m(placed) / STEP_M).ceil();
    let (height_m, radius_m) = shell::smallest_m(placed);
    let steps = |least_m: f64| (most - (least_m / STEP_M).ceil()).max(0.0);
    let height = Family::nested(steps(height_m), move |s| Control::HeightLimit { most_m: decimal_m(most - s) });
    let reach = Family::nested(steps(radius_m), move |s| Control::ReachLimit { most_m: decimal_m(most - s) });
    let stop =
        Family::nested(steps(height_m.max(LEAST_STOP_M)), move |s| Control::HeightStop { most_m: decimal_m(most - s) });
    let within =
        Family::nested(steps(radius_m.max(LEAST_STOP_M)), move |s| Control::ReachStop { most_m: decimal_m(most - s) });
    let barriers = bad_lines(bad).into_iter().filter_map(|worst| barrier(scene, worst, most, radius_m));
    Ok([height, stop, reach, within].into_iter().chain(barriers).collect())
}

/// An upright plane along the worst span of a line.
fn barrier(scene: &Scene<'_>, worst: &Finding, most: f64, radius_m: f64) -> Option<Family> {
    let line = worst.pairing.line;
    let wire = scene.job.study.lines.get(line)?.wires.get(worst.pairing.wire)?;
    let span = wire.spans().get(worst.attained.witness.span)?.span();
    let side_m = (scene.placed().ok()?.position() - span.from()).dot(&span.lateral());
    let toward = span.lateral() * -side_m.signum();
    let bearing_rad = toward.x.atan2(toward.y).rem_euclid(TAU);
    let strictest = most - (radius_m / STEP_M).ceil();
    Some(Family::nested(strictest.max(0.0), move |setting| {
        let from_machine_m = decimal_m(most - setting);
        Control::Barrier { line, from_line_m: side_m.abs() - from_machine_m, from_machine_m, bearing_rad }
    }))
}

/// Less wind and cooler wires, down to what the conditions always have.
fn cut_offs(scene: &Scene<'_>, bad: &[&Finding]) -> Vec<Family> {
    let lines: Vec<_> = bad.iter().filter_map(|f| scene.job.lines.get(f.pairing.line)).collect();
    let steps =
        |range: Interval| ((range.high() * STEPS_PER_UNIT - 1e-6).ceil(), (range.low() * STEPS_PER_UNIT - 1e-6).ceil());
    let scale = |of: fn(&wideberth_scenario::job::LineInfo) -> Interval| {
        let ends = lines.iter().map(|line| steps(of(line)));
        ends.fold((f64::NEG_INFINITY, f64::NEG_INFINITY), |most, ends| (most.0.max(ends.0), most.1.max(ends.1)))
    };
    // Wires that the weather heats are hotter and cooler by the hour: there, hours are what to limit.
    let by_weather = bad.iter().any(|f| {
        let models = scene.job.wires.get(f.pairing.line);
        models.is_some_and(|models| models.iter().any(|model| model.states.temperature_from_weather))
    });
    let (wind, heat) = (scale(|line| line.conditions.wind_m_per_s), scale(|line| line.conditions.temperature_degc));
    vec![
        Family::nested(wind.0 - wind.1, move |s| Control::WindCutOff { most_m_per_s: (wind.0 - s) / STEPS_PER_UNIT }),
        Family::nested(if by_weather { 0.0 } else { heat.0 - heat.1 }, move |s| Control::HeatCutOff {
            most_degc: (heat.0 - s) / STEPS_PER_UNIT,
        }),
    ]
}
