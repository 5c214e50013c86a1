//! What contributes: the worst finding searched again with one cause left out at a time.
//!
//! The same scenario is lowered again with one value replaced by its calm or nominal one. Each answer is a proven bracket of
//! its own. Causes work together, so the differences do not add up.

use rayon::prelude::*;
use serde_json::{Map, Value, json};
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::assess::Assessment;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::machine::{BodyRole, FrameRole, Machine};
use wideberth_physics::study::Pairing;
use wideberth_scenario::job::JointUnit;
use wideberth_scenario::source::Source;
use wideberth_scenario::{Context, Job};

/// Cells that each of these searches may use: they explain, and the verdict does not depend on them.
const MOST_CELLS: u64 = 60_000;

/// A cause that can be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// The wire at its coldest instead of any temperature.
    HotWire,
    /// No wind on the wires.
    Wind,
    /// The load hangs plumb.
    LoadSwing,
    /// The machine stands exactly where and as it should.
    SettingOut,
    /// Heights and tensions are exactly as stated.
    Measurement,
    /// Nothing bends and every motion stops at once.
    Allowances,
}

impl Cause {
    /// Every cause, in the order of reports.
    pub const ALL: [Self; 6] =
        [Self::HotWire, Self::Wind, Self::LoadSwing, Self::SettingOut, Self::Measurement, Self::Allowances];

    /// Stable name.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::HotWire => "hot-wire",
            Self::Wind => "wind-on-wires",
            Self::LoadSwing => "load-swing",
            Self::SettingOut => "setting-out",
            Self::Measurement => "measurement",
            Self::Allowances => "allowances",
        }
    }
}

/// What the worst finding would be without one cause.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// The cause.
    pub cause: Cause,
    /// The closest approach without it, m.
    pub without: Bracket,
}

/// What each cause contributes to the worst finding. A cause that plays no part in the scenario, or whose scenario cannot be
/// lowered, is left out.
#[must_use]
pub fn contributions(text: &str, context: &Context<'_>, job: &Job, assessment: &Assessment) -> Vec<Contribution> {
    let Some(worst) = assessment.findings.get(assessment.worst) else { return Vec::new() };
    let Ok(source) = Source::read(text) else { return Vec::new() };
    let calmer = |cause| Some((cause, calm_job(cause, source.value(), &worst.pairing, context, job)?));
    let jobs: Vec<(Cause, Job)> = Cause::ALL.into_iter().filter_map(calmer).collect();
    let found = jobs.par_iter().filter_map(|(cause, calm)| {
        let Pairing { machine, line, wire, .. } = worst.pairing;
        let machine = calm.study.machines.get(machine)?;
        let wire = calm.study.lines.get(line)?.wires.get(wire)?;
        let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
        let without = closest_approach(machine, wire, &options).ok()?.distance;
        Some(Contribution { cause: *cause, without })
    });
    found.collect()
}

/// The job without a cause; none where the cause plays no part.
fn calm_job(cause: Cause, scenario: &Value, pairing: &Pairing, context: &Context<'_>, job: &Job) -> Option<Job> {
    let mut value = scenario.clone();
    match cause {
        Cause::HotWire => each_conditions(&mut value, |conditions| {
            let range = conditions.get_mut("conductor_temperature")?;
            *range =
                if range.is_string() { json!(format!("{} degC", coldest_degc(job))) } else { range.get(0)?.clone() };
            conditions.remove("coupling");
            Some(())
        }),
        Cause::Wind => each_conditions(&mut value, |conditions| {
            let given = [conditions.remove("mean_wind"), conditions.remove("wind_speed")];
            given.into_iter().flatten().next()?;
            conditions.insert("wind_speed".into(), json!("0 m/s"));
            conditions.remove("wind_from");
            conditions.remove("sway_allowance");
            Some(())
        }),
        Cause::LoadSwing => still_load(machine_of(&mut value, pairing)?, pairing, job)?,
        Cause::SettingOut => {
            let machine = machine_of(&mut value, pairing)?;
            machine.insert("setting_out_tolerance".into(), json!("0 m"));
            machine.insert("heading_tolerance".into(), json!("0 deg"));
        }
        Cause::Measurement => exact_wire(&mut value, pairing)?,
        Cause::Allowances => stiff_machine(machine_of(&mut value, pairing)?, pairing, job)?,
    }
    let changed = value != *scenario;
    // What is taught shows what the whole ranges allow.
    value.as_object_mut()?.remove("lesson");
    let calm = changed.then(|| Job::from_text(&value.to_string(), context).ok())??;
    Some(calm)
}

/// The coldest that any wire of the job may be, °C.
fn coldest_degc(job: &Job) -> f64 {
    job.lines.iter().map(|line| line.conditions.temperature_degc.low()).fold(f64::INFINITY, f64::min)
}

/// Changes the conditions of the scenario and of each line that has its own.
fn each_conditions(value: &mut Value, change: impl Fn(&mut Map<String, Value>) -> Option<()>) {
    if let Some(Value::Object(conditions)) = value.get_mut("conditions") {
        change(conditions);
    }
    let lines = value.get_mut("lines").and_then(Value::as_array_mut);
    for line in lines.into_iter().flatten() {
        if let Some(Value::Object(conditions)) = line.get_mut("conditions") {
            change(conditions);
        }
    }
}

fn machine_of<'a>(value: &'a mut Value, pairing: &Pairing) -> Option<&'a mut Map<String, Value>> {
    value.get_mut("machines")?.get_mut(pairing.machine)?.as_object_mut()
}

fn still_load(machine: &mut Map<String, Value>, pairing: &Pairing, job: &Job) -> Option<()> {
    let joints = &job.machines.get(pairing.machine)?.joints;
    let swings = joints.iter().filter(|joint| joint.role == FrameRole::Swing);
    let swings: Vec<&str> = swings.map(|joint| joint.name.as_str()).collect();
    if swings.is_empty() {
        return None;
    }
    for name in swings {
        set(machine, "working", name, "0 deg");
        set(machine, "overrun", name, "0 deg");
    }
    Some(())
}

fn exact_wire(value: &mut Value, pairing: &Pairing) -> Option<()> {
    let wire = value.get_mut("lines")?.get_mut(pairing.line)?.get_mut("wires")?.get_mut(pairing.wire)?;
    let wire = wire.as_object_mut()?;
    wire.insert("attachment_tolerance".into(), json!("0 m"));
    let known_by = wire.get_mut("known_by")?.as_object_mut()?;
    let none = if known_by.contains_key("height") { "0 m" } else { "0 %" };
    known_by.insert("tolerance".into(), json!(none));
    Some(())
}

fn stiff_machine(machine: &mut Map<String, Value>, pairing: &Pairing, job: &Job) -> Option<()> {
    for joint in job.machines.get(pairing.machine)?.joints.iter().filter(|joint| joint.range.is_some()) {
        set(machine, "overrun", &joint.name, if joint.unit == JointUnit::Metre { "0 m" } else { "0 deg" });
    }
    let placed = job.study.machines.get(pairing.machine)?;
    let bodies = placed.bodies().iter().filter(|body| body.role != BodyRole::Rope);
    for name in bodies.map(|body| body.name.as_str()).chain(hang_point(placed)) {
        set(machine, "deflection", name, "0 m");
    }
    Some(())
}

/// The point that the rope hangs from.
fn hang_point(machine: &Machine) -> Option<&str> {
    machine.frames().iter().find(|frame| frame.role == FrameRole::HangPoint).map(|frame| frame.name.as_str())
}

/// Sets one entry of an object inside the machine, which is added where it is missing.
fn set(machine: &mut Map<String, Value>, key: &str, name: &str, text: &str) {
    let entry = machine.entry(key).or_insert_with(|| json!({}));
    if let Value::Object(object) = entry {
        object.insert(name.into(), json!(text));
    }
}
