//! What controls change: the scenario as it is with them.

use std::collections::BTreeMap;

use jiff::civil::Time;
use wideberth_physics::interval::Interval;
use wideberth_rules::ControlKind;

use super::stops;
use crate::bounds::{Bounded, ConductorTemperature, WindSpeed};
use crate::code::Code;
use crate::context::Context;
use crate::control::Control;
use crate::here::Here;
use crate::machine::HungLoad;
use crate::problem::Problems;
use crate::quantity::{Quantity, Span};
use crate::raw::{
    RawConditions, RawConditionsChange, RawControl, RawLine, RawPlace, RawScenario, RawTemperature, RawWind,
};

/// The scenario with its controls, and what they say that a scenario cannot.
#[derive(Clone)]
pub(in crate::lower) struct Changed {
    /// The scenario.
    pub raw: RawScenario,
    /// Which lines are switched off.
    pub off: Vec<bool>,
    /// Which structures cannot topple.
    pub braced: Vec<bool>,
    /// Greatest height of each machine above the ground at its reference point, m.
    pub ceilings_m: Vec<Option<f64>>,
    /// Greatest reach of each machine from its reference point, m.
    pub reaches_m: Vec<Option<f64>>,
    /// How much lower than described each machine is, m.
    pub lowered_m: Vec<f64>,
    /// The length to which each machine's load is shortened, m.
    pub loads_m: Vec<Option<f64>>,
    /// First and last time of the work on the site's clock, and where the control stands that says so.
    pub hours: Vec<([Time; 2], usize)>,
    /// What a control has set already, and its name: two of a kind would contradict each other.
    pub(super) set: BTreeMap<(ControlKind, usize, String), String>,
}

/// The scenario with the controls that count. Those that do not are tried as well, so that their mistakes are seen.
pub(in crate::lower) fn applied(
    raw: &RawScenario,
    controls: &[Control],
    context: &Context<'_>,
    here: &Here<'_>,
) -> Result<Changed, Problems> {
    let mut changed = Changed {
        off: vec![false; raw.lines.len()],
        braced: vec![false; raw.may_topple.len()],
        ceilings_m: vec![None; raw.machines.len()],
        reaches_m: vec![None; raw.machines.len()],
        lowered_m: vec![0.0; raw.machines.len()],
        loads_m: vec![None; raw.machines.len()],
        hours: Vec::new(),
        set: BTreeMap::new(),
        raw: raw.clone(),
    };
    let mut problems = Problems::none();
    let mut all: Vec<(usize, &RawControl, &Control)> =
        raw.controls.iter().zip(controls).enumerate().map(|(index, (raw, control))| (index, raw, control)).collect();
    // A machine that replaces another comes before the stops on its joints.
    all.sort_by_key(|(_, _, control)| control.kind);
    let (counting, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|(_, _, control)| control.counts());
    let mut each = |changed: &mut Changed, (index, raw, control): (usize, &RawControl, &Control)| {
        let here = here.key("controls").index(index);
        if let Some(Some(hours)) =
            problems.collect(changed.apply(raw, control, context, &here).map(|()| hours(raw, control)))
        {
            changed.hours.push((hours, index));
        }
    };
    counting.into_iter().for_each(|control| each(&mut changed, control));
    for control in others {
        let mut trial = Changed { set: BTreeMap::new(), ..changed.clone() };
        each(&mut trial, control);
    }
    problems.into_result(changed)
}

impl Changed {
    fn apply(
        &mut self,
        raw: &RawControl,
        control: &Control,
        context: &Context<'_>,
        here: &Here<'_>,
    ) -> Result<(), Problems> {
        match (control.kind, control.line, control.machine) {
            (ControlKind::LineOff, Some(line), _) => self.off[line] = true,
            (ControlKind::LineMoved, Some(line), _) => {
                self.once(control, line, "", here)?;
                raw.moved_by.iter().for_each(|by| moved(&mut self.raw.lines[line], by));
            }
            (ControlKind::LineRaised, Some(line), _) => {
                self.once(control, line, "", here)?;
                raw.raised_by.iter().for_each(|by| raised(&mut self.raw.lines[line], by));
            }
            (ControlKind::WorkMoved, _, Some(machine)) => {
                self.once(control, machine, "", here)?;
                self.move_work(raw, machine);
            }
            (ControlKind::OtherMachine, _, Some(machine)) => {
                self.once(control, machine, "", here)?;
                self.replace(raw, machine, context, here)?;
            }
            (ControlKind::JointStop, _, Some(machine)) => stops::apply(self, raw, machine, context, here)?,
            (ControlKind::HeightStop | ControlKind::GoalPosts, _, Some(machine)) => {
                let height_m = raw.height.as_ref().map(|height| height.si);
                let lowest = [self.ceilings_m[machine], height_m].into_iter().flatten().reduce(f64::min);
                self.ceilings_m[machine] = lowest;
            }
            (ControlKind::ReachStop, _, Some(machine)) => {
                let reach_m = raw.reach.as_ref().map(|reach| reach.si);
                let least = [self.reaches_m[machine], reach_m].into_iter().flatten().reduce(f64::min);
                self.reaches_m[machine] = least;
            }
            (ControlKind::LowerMachine, _, Some(machine)) => {
                self.once(control, machine, "", here)?;
                self.lowered_m[machine] = raw.lowered_by.as_ref().map_or(0.0, |by| by.si);
            }
            (ControlKind::ShorterLoad, _, Some(machine)) => {
                self.once(control, machine, "", here)?;
                self.shorten(raw, machine, context, here)?;
            }
            (ControlKind::Braced, ..) => control.structure.iter().for_each(|&index| self.braced[index] = true),
            (ControlKind::WindCutOff | ControlKind::TemperatureCutOff, line, _) => self.cut_off(raw, line, here)?,
            _ => {}
        }
        Ok(())
    }

    /// Refuses a second control that sets the same thing.
    pub(super) fn once(&mut self, control: &Control, of: usize, part: &str, here: &Here<'_>) -> Result<(), Problems> {
        let key = (control.kind, of, part.to_string());
        match self.set.insert(key, control.name.clone()) {
            None => Ok(()),
            Some(first) => {
                let message = format!("\"{}\" and \"{first}\" both say where or what it is", control.name);
                Err(here.problem(Code::Contradiction, message, "keep one of them").into())
            }
        }
    }

    fn move_work(&mut self, raw: &RawControl, machine: usize) {
        let placed = &mut self.raw.machines[machine];
        raw.position.iter().for_each(|position| placed.position = position.clone());
        placed.ground = raw.ground.clone().or(placed.ground.take());
        raw.heading.iter().for_each(|heading| placed.heading = heading.clone());
    }

    /// Another machine, refused here when it cannot be read, at the control and not at the machine that it replaces.
    fn replace(
        &mut self,
        raw: &RawControl,
        machine: usize,
        context: &Context<'_>,
        here: &Here<'_>,
    ) -> Result<(), Problems> {
        let Some(other) = &raw.replaced_by else { return Ok(()) };
        super::super::machine::model_of(other, context, &here.key("replaced_by"))?;
        self.raw.machines[machine].machine = other.clone();
        Ok(())
    }

    /// A shorter load, refused where there is none or it would be no shorter.
    fn shorten(
        &mut self,
        raw: &RawControl,
        machine: usize,
        context: &Context<'_>,
        here: &Here<'_>,
    ) -> Result<(), Problems> {
        let Some(length) = &raw.load_length else { return Ok(()) };
        let at = Here::root(here.source).key("machines").index(machine);
        // What is wrong with the machine itself is said where the machine is read.
        let Ok(load) = super::super::machine::load_of(&self.raw.machines[machine], context, &at) else { return Ok(()) };
        let here = here.key("load_length");
        let Some(own) = load.as_ref().and_then(HungLoad::length) else {
            let message = "the machine carries no load with a length that could be less";
            return Err(here.problem(Code::NoWorkLeft, message, "name the machine that carries it").into());
        };
        if length.si >= own.length_m || length.si <= own.least_m {
            let (length_m, least_m) = (own.length_m, own.least_m);
            let message = format!("the load is {length_m:.2} m long and cannot become {}", length.written);
            let help = format!("give a length between {least_m:.2} m, what its ends take, and {length_m:.2} m");
            return Err(here.problem(Code::NoWorkLeft, message, help).into());
        }
        self.loads_m[machine] = Some(length.si);
        Ok(())
    }

    fn cut_off(&mut self, raw: &RawControl, line: Option<usize>, here: &Here<'_>) -> Result<(), Problems> {
        let lines = self.raw.lines.iter_mut().enumerate().filter(|(index, _)| line.is_none_or(|line| line == *index));
        let shared = self.raw.conditions.clone();
        for (_, each) in lines {
            let change = each.conditions.get_or_insert_default();
            narrow(change, &shared, raw, here)?;
        }
        Ok(())
    }
}

/// The hours of a control that is about the whole job: those for one machine or line say nothing of the others.
fn hours(raw: &RawControl, control: &Control) -> Option<[Time; 2]> {
    let whole = control.kind == ControlKind::Hours && control.machine.is_none() && control.line.is_none();
    let [from, to] = raw.hours.as_ref().filter(|_| whole)?;
    Some([super::read::hour(from)?, super::read::hour(to)?])
}

/// Narrows what one line's conditions are, its own or the scenario's.
fn narrow(
    change: &mut RawConditionsChange,
    shared: &RawConditions,
    raw: &RawControl,
    here: &Here<'_>,
) -> Result<(), Problems> {
    if let Some(speed) = &raw.wind_speed {
        let now = change.wind_speed.as_ref().or(shared.wind_speed.as_ref());
        change.wind_speed = Some(calmer(now, speed, &here.key("wind_speed"))?);
    }
    if let Some(degrees) = &raw.wire_temperature {
        let now = change.conductor_temperature.as_ref().unwrap_or(&shared.conductor_temperature);
        change.conductor_temperature = Some(cooler(now, degrees, &here.key("wire_temperature"))?);
    }
    Ok(())
}

/// The wind that a cut-off leaves. Beside a forecast's mean wind it is any up to the cut-off: the crew works in all of it.
fn calmer(now: Option<&RawWind>, most: &Quantity<WindSpeed>, here: &Here<'_>) -> Result<RawWind, Problems> {
    match now {
        Some(RawWind::Range(range)) => Ok(RawWind::Range(below(range, most, here)?)),
        Some(RawWind::WeatherUpTo(lower)) if lower.si <= most.si => Ok(RawWind::WeatherUpTo(lower.clone())),
        Some(RawWind::Weather(_) | RawWind::WeatherUpTo(_)) => Ok(RawWind::WeatherUpTo(most.clone())),
        None => {
            let range = super::super::wire::interval(0.0, most.si, here)?;
            Ok(RawWind::Range(Span::of(range, format!("0 m/s to {}", most.written))))
        }
    }
}

/// The wire temperatures that a cut-off leaves; of the weather's, those of each hour that do not lie above it.
fn cooler(
    now: &RawTemperature,
    most: &Quantity<ConductorTemperature>,
    here: &Here<'_>,
) -> Result<RawTemperature, Problems> {
    match now {
        RawTemperature::Range(range) => Ok(RawTemperature::Range(below(range, most, here)?)),
        RawTemperature::WeatherUpTo(lower) if lower.si <= most.si => Ok(RawTemperature::WeatherUpTo(lower.clone())),
        RawTemperature::Weather(_) | RawTemperature::WeatherUpTo(_) => Ok(RawTemperature::WeatherUpTo(most.clone())),
    }
}

/// The part of a range that does not lie above a value.
fn below<B: Bounded + Clone>(now: &Span<B>, most: &Quantity<B>, here: &Here<'_>) -> Result<Span<B>, Problems> {
    if most.si < now.si.low() {
        let message = format!("{} lies below all of {}, so that no work is left", most.written, now.written);
        let help = "give a cut-off inside the conditions, or correct the conditions";
        return Err(here.problem(Code::NoWorkLeft, message, help).into());
    }
    if most.si >= now.si.high() {
        return Ok(now.clone());
    }
    let range = super::super::wire::interval(now.si.low(), most.si, here)?;
    Ok(Span::of(range, format!("{} and not above {}", now.written, most.written)))
}

/// The part of a range that another leaves; none where nothing is left.
pub(super) fn overlap(a: Interval, b: Interval) -> Option<Interval> {
    Interval::new(a.low().max(b.low()), a.high().min(b.high())).ok()
}

fn moved(line: &mut RawLine, by: &RawPlace) {
    for support in &mut line.supports {
        for (at, by) in support.position.iter_mut().zip(by) {
            *at = plus(at, by.si, &by.written);
        }
    }
}

/// Attachments rise, and measured heights with them: the wires stay as taut as they were.
fn raised<B>(line: &mut RawLine, by: &Quantity<B>) {
    for wire in &mut line.wires {
        for attachment in &mut wire.attachments {
            attachment.height = plus(&attachment.height, by.si, &by.written);
        }
        if let Some(height) = &mut wire.known_by.height {
            *height = plus(height, by.si, &by.written);
        }
    }
}

fn plus<B>(quantity: &Quantity<B>, by_si: f64, written: &str) -> Quantity<B> {
    Quantity::of(quantity.si + by_si, format!("{} + {written}", quantity.written))
}
