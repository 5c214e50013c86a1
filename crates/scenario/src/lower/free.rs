//! Ends of ranges that nobody holds, and the scenario with such ends set to the machine's and the weather's own.

use std::f64::consts::TAU;

use super::controls::Counted;
use super::rests::{COLDEST_DEGC, STRONGEST_WIND_M_PER_S};
use super::{machine, wire};
use crate::bounds::{Bounded, ConductorTemperature, WindSpeed};
use crate::context::Context;
use crate::days::Days;
use crate::defaults::RATED_TEMPERATURE_DEGC;
use crate::here::Here;
use crate::job::Job;
use crate::machine::Joint;
use crate::problem::Problems;
use crate::quantity::Span;
use crate::raw::{RawScenario, RawTemperature, RawWind, RawWindFrom, WindWord};
use crate::record::{Record, Rest, Topic, holding};

/// Wires that are said to stay cooler than this need a temperature cut-off besides their record, °C (our choice: full sun and a
/// working current take wires there on any mild day).
const COOL_DEGC: f64 = 50.0;
/// A wind that is said to stay below this needs a wind cut-off besides its record, m/s (our choice: gusts of most working days reach it).
const CALM_M_PER_S: f64 = 10.0;

/// An end of a range that is narrower than the machine's or the weather's own, by no more than what the scenario says.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FreeEnd {
    /// The working range of a joint.
    Joint {
        /// Index of the machine.
        machine: usize,
        /// Name of the joint.
        joint: String,
    },
    /// How hot wires get.
    WireTemperature,
    /// How hard the wind blows.
    Wind,
    /// Where the wind comes from.
    WindFrom,
}

/// What the ends of a scenario rest on.
pub(super) struct Resting<'a> {
    /// Its records.
    pub records: &'a [Record],
    /// The values that rest on them.
    pub rests: &'a [Rest],
    /// The days for which it is judged.
    pub days: Option<Days>,
}

impl Resting<'_> {
    /// Whether every value of a topic has a record that holds.
    fn holds(&self, topic: Topic) -> bool {
        let mut of = self.rests.iter().filter(|rest| rest.topic == topic);
        of.all(|rest| holding(self.records, *rest, self.days).is_some())
    }
}

/// Every end that is narrower than the machine's or the weather's own and that no record holds. Whether a control holds it, the search
/// with the end set free says.
pub(super) fn free_ends(
    raw: &RawScenario,
    resting: &Resting<'_>,
    context: &Context<'_>,
    here: &Here<'_>,
) -> Vec<FreeEnd> {
    let mut all = Vec::new();
    for (index, placed) in raw.machines.iter().enumerate() {
        let at = here.key("machines").index(index);
        // What is wrong with the machine itself is said where the machine is read.
        let Ok(joints) = machine::joints_of(placed, context, &at) else { continue };
        let narrowed = joints.iter().filter(|joint| placed.working.get(&joint.name).is_some_and(|w| narrows(joint, w)));
        all.extend(narrowed.map(|joint| FreeEnd::Joint { machine: index, joint: joint.name.clone() }));
    }
    let own = raw.lines.iter().filter_map(|line| line.conditions.as_ref());
    let hot = own.clone().filter_map(|own| own.conductor_temperature.as_ref());
    let cool = hot
        .chain([&raw.conditions.conductor_temperature])
        .any(|raw| matches!(raw, RawTemperature::Range(range) if range.si.high() < COOL_DEGC));
    if cool || !resting.holds(Topic::WireTemperature) {
        all.push(FreeEnd::WireTemperature);
    }
    let winds = own.filter_map(|own| own.wind_speed.as_ref()).chain(raw.conditions.wind_speed.as_ref());
    let calm = winds.into_iter().any(|raw| matches!(raw, RawWind::Range(range) if range.si.high() < CALM_M_PER_S));
    if calm || !resting.holds(Topic::Wind) {
        all.push(FreeEnd::Wind);
    }
    if !resting.holds(Topic::WindFrom) {
        all.push(FreeEnd::WindFrom);
    }
    all
}

/// Whether a working range leaves out a part of the joint's own.
fn narrows(
    joint: &Joint,
    working: &crate::quantity::EitherSpan<crate::bounds::JointAngle, crate::bounds::JointTravel>,
) -> bool {
    let (working, _) = machine::span_of(working);
    if joint.turns_all_round() {
        return working.width() < TAU - 1e-9;
    }
    working.low() > joint.range.low() + 1e-9 || working.high() < joint.range.high() - 1e-9
}

/// The scenario with these ends set to the machine's and the weather's own.
///
/// # Errors
/// When a range cannot be, which its bounds rule out.
pub(super) fn freed(raw: &RawScenario, free: &[FreeEnd], here: &Here<'_>) -> Result<RawScenario, Problems> {
    let mut raw = raw.clone();
    for end in free {
        match end {
            FreeEnd::Joint { machine, joint } => {
                raw.machines.get_mut(*machine).and_then(|placed| placed.working.remove(joint));
            }
            FreeEnd::WireTemperature => heat(&mut raw, here)?,
            FreeEnd::Wind => wind(&mut raw, here)?,
            FreeEnd::WindFrom => {
                raw.conditions.wind_from = Some(RawWindFrom::Any(WindWord::Any));
                let own = raw.lines.iter_mut().filter_map(|line| line.conditions.as_mut());
                own.for_each(|own| own.wind_from = None);
            }
        }
    }
    Ok(raw)
}

fn heat(raw: &mut RawScenario, here: &Here<'_>) -> Result<(), Problems> {
    let own = raw.lines.iter_mut().filter_map(|line| line.conditions.as_mut()?.conductor_temperature.as_mut());
    for each in own.chain([&mut raw.conditions.conductor_temperature]) {
        if let RawTemperature::Range(range) = each {
            *range = widened::<ConductorTemperature>(range, (COLDEST_DEGC, RATED_TEMPERATURE_DEGC), "degC", here)?;
        }
    }
    Ok(())
}

fn wind(raw: &mut RawScenario, here: &Here<'_>) -> Result<(), Problems> {
    let own = raw.lines.iter_mut().filter_map(|line| line.conditions.as_mut()?.wind_speed.as_mut());
    for each in own.chain(raw.conditions.wind_speed.as_mut()) {
        if let RawWind::Range(range) = each {
            *range = widened::<WindSpeed>(range, (0.0, STRONGEST_WIND_M_PER_S), "m/s", here)?;
        }
    }
    if raw.conditions.mean_wind.take().is_some() {
        let all = wire::interval(0.0, STRONGEST_WIND_M_PER_S, here)?;
        raw.conditions.wind_speed = Some(RawWind::Range(Span::of(all, format!("0 to {STRONGEST_WIND_M_PER_S} m/s"))));
    }
    Ok(())
}

/// The smallest range that holds both.
fn widened<B: Bounded>(range: &Span<B>, to: (f64, f64), unit: &str, here: &Here<'_>) -> Result<Span<B>, Problems> {
    let all = wire::interval(range.si.low().min(to.0), range.si.high().max(to.1), here)?;
    Ok(Span::of(all, format!("{} to {} {unit}", all.low(), all.high())))
}

impl Job {
    /// The job with some of its controls, and with ends of ranges that nobody holds set to the machine's and the weather's own.
    ///
    /// # Errors
    /// As [`Job::from_text`]; also where what hangs cannot hang in the wind that is set free.
    pub fn varied(text: &str, context: &Context<'_>, counted: Counted, free: &[FreeEnd]) -> Result<Self, Problems> {
        super::scenario::varied(text, context, counted, free)
    }
}
