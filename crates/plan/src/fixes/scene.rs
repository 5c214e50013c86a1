//! A machine of a job with controls applied, ready to be decided.

use std::borrow::Cow;

use nalgebra::{Point3, Vector3};
use serde_json::{Value, json};
use wideberth_physics::approach::Options;
use wideberth_physics::assess::Assessment;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::Machine;
use wideberth_scenario::job::JointInfo;
use wideberth_scenario::source::Source;
use wideberth_scenario::{Context, Job};

use super::control::{Control, End};
use super::shell;
use crate::decide::{Decision, PlanError, Target, approach_to, decide, targets};

/// A machine whose controls are looked for.
pub struct Scene<'a> {
    /// The scenario as it was read.
    pub scenario: &'a Value,
    /// What it may refer to.
    pub context: &'a Context<'a>,
    /// The scenario, lowered.
    pub job: &'a Job,
    /// Index of the machine.
    pub machine: usize,
    /// Its pairings, those with the least spare first: (line, wire).
    pub order: Vec<(usize, usize)>,
    /// How hard to search.
    pub options: Options,
}

/// The machine and its wires with controls applied.
pub struct Variant<'a> {
    machine: Machine,
    job: Cow<'a, Job>,
    moved: Vec<(usize, Vector3<f64>)>,
    off: Vec<usize>,
}

impl<'a> Scene<'a> {
    /// The scene of a machine, with what an assessment found.
    #[must_use]
    pub fn new(
        scenario: &'a Value,
        context: &'a Context<'a>,
        job: &'a Job,
        machine: usize,
        assessment: &Assessment,
    ) -> Self {
        let mut own: Vec<_> = assessment.findings.iter().filter(|f| f.pairing.machine == machine).collect();
        own.sort_by(|a, b| a.spare().upper_m.total_cmp(&b.spare().upper_m));
        let order = own.iter().map(|f| (f.pairing.line, f.pairing.wire)).collect();
        let options = Options { max_cells: job.options.max_cells.min(MOST_CELLS), ..job.options.clone() };
        Self { scenario, context, job, machine, order, options }
    }

    /// A joint of the machine.
    #[must_use]
    pub fn joint(&self, joint: usize) -> Option<&JointInfo> {
        self.job.machines.get(self.machine)?.joints.get(joint)
    }

    /// The machine as it stands.
    ///
    /// # Errors
    /// When the job has no such machine.
    pub fn placed(&self) -> Result<&Machine, PlanError> {
        self.job.study.machines.get(self.machine).ok_or_else(|| PlanError::NoSuchMachine(self.machine.to_string()))
    }

    /// The machine and its wires with controls applied, one after the other.
    ///
    /// # Errors
    /// When the changed scenario or machine is impossible.
    pub fn with(&self, controls: &[&Control]) -> Result<Variant<'a>, PlanError> {
        let flat: Vec<&Control> = controls.iter().flat_map(|control| parts(control)).collect();
        let job = self.under(&flat)?;
        let machine = job.study.machines.get(self.machine).cloned();
        let machine = machine.ok_or_else(|| PlanError::NoSuchMachine(self.machine.to_string()))?;
        let mut variant = Variant { machine, job, moved: Vec::new(), off: Vec::new() };
        for control in &flat {
            self.apply(control, &flat, &mut variant)?;
        }
        Ok(variant)
    }

    /// The job with the controls that change the scenario itself.
    fn under(&self, controls: &[&Control]) -> Result<Cow<'a, Job>, PlanError> {
        if !controls.iter().any(|control| rewrites(control)) {
            return Ok(Cow::Borrowed(self.job));
        }
        let mut scenario = self.scenario.clone();
        // What is taught shows what the whole ranges allow.
        scenario.as_object_mut().and_then(|scenario| scenario.remove("lesson"));
        for control in controls {
            self.narrow_conditions(control, &mut scenario);
            self.write_down(control, &mut scenario);
        }
        let refused = |problems: wideberth_scenario::Problems| PlanError::Refused(problems.to_string());
        let source = Source::read(&scenario.to_string()).map_err(refused)?;
        Job::from_source(&source, self.context).map(Cow::Owned).map_err(refused)
    }

    /// Each line gets conditions of its own, those that hold for it, cut off.
    fn narrow_conditions(&self, control: &Control, scenario: &mut Value) {
        for (index, line) in self.job.lines.iter().enumerate() {
            let (wind, heat) = (line.conditions.wind_m_per_s, line.conditions.temperature_degc);
            let change = match control {
                // Beside a weather it is written down as it would be pasted.
                Control::WindCutOff { .. } if self.job.climate.is_some() => return,
                Control::WindCutOff { most_m_per_s } => ("wind_speed", cut(wind, *most_m_per_s, "m/s")),
                Control::HeatCutOff { most_degc } => ("conductor_temperature", cut(heat, *most_degc, "degC")),
                _ => return,
            };
            let raw = scenario.get_mut("lines").and_then(|lines| lines.get_mut(index)).and_then(Value::as_object_mut);
            let Some(raw) = raw else { return };
            if let Value::Object(own) = raw.entry("conditions").or_insert_with(|| json!({})) {
                own.insert(change.0.into(), change.1);
            }
        }
    }

    /// What a scenario has an entry for and no machine or wire of the job can be changed to.
    fn write_down(&self, control: &Control, scenario: &mut Value) {
        let machine = self.job.machines.get(self.machine).map_or("", |machine| &machine.name);
        let mut entry = match control {
            Control::OtherMachine { id } => {
                json!({ "kind": "other machine", "machine": machine, "replaced_by": id })
            }
            Control::ShorterLoad { most_m } => {
                json!({ "kind": "shorter load", "machine": machine, "load_length": format!("{most_m} m") })
            }
            Control::WindCutOff { most_m_per_s } if self.job.climate.is_some() => {
                json!({ "kind": "wind cut-off", "wind_speed": format!("{most_m_per_s} m/s") })
            }
            Control::Hours { from, to } => json!({ "kind": "hours", "hours": [from, to] }),
            _ => return,
        };
        if let Value::Object(entry) = &mut entry {
            entry.insert("name".into(), json!(format!("looked for: {}", control.key())));
            entry.insert("state".into(), json!("in place"));
        }
        let Value::Object(scenario) = scenario else { return };
        if let Value::Array(controls) = scenario.entry("controls").or_insert_with(|| json!([])) {
            controls.push(entry);
        }
    }

    fn apply(&self, control: &Control, all: &[&Control], variant: &mut Variant<'_>) -> Result<(), PlanError> {
        match control {
            Control::LineOff { line } => variant.off.push(*line),
            Control::LineRaised { line, by_m } => variant.moved.push((*line, Vector3::z() * *by_m)),
            Control::LineMoved { line, step_m, .. } => variant.moved.push((*line, step_m.push(0.0))),
            Control::WorkMoved { to, .. } => {
                let step = to - variant.machine.position().xy();
                variant.machine = variant.machine.moved(&step.push(0.0))?;
            }
            Control::LowerMachine { by_m } => {
                let lower = variant.machine.moved(&(-Vector3::z() * *by_m))?;
                // A height that a limiter leaves does not go down with the machine.
                let ceiling_m = variant.machine.ceiling_m();
                variant.machine = ceiling_m.map_or(lower.clone(), |ceiling_m| lower.below(ceiling_m));
            }
            Control::Stop { joint, .. } | Control::Sector { joint, .. } => {
                let range = self.reached(*joint, all)?;
                variant.machine = variant.machine.with_range(*joint, range)?;
            }
            Control::HeightStop { most_m } => {
                // The ground, below which a lower machine is placed.
                let ground_m = self.job.machines.get(self.machine).map_or(0.0, |info| info.position.z);
                let ceiling_m = ground_m + most_m;
                let lowest_m = variant.machine.ceiling_m().map_or(ceiling_m, |known_m| known_m.min(ceiling_m));
                variant.machine = variant.machine.clone().below(lowest_m);
            }
            Control::ReachStop { most_m } => {
                let least_m = variant.machine.reach_m().map_or(*most_m, |known_m| known_m.min(*most_m));
                variant.machine = variant.machine.clone().within(least_m);
            }
            Control::HeightLimit { .. } | Control::ReachLimit { .. } | Control::Barrier { .. } => {
                variant.machine = shell::machine(control, &variant.machine)?;
            }
            Control::WindCutOff { .. }
            | Control::HeatCutOff { .. }
            | Control::OtherMachine { .. }
            | Control::ShorterLoad { .. }
            | Control::Hours { .. }
            | Control::Both(_) => {}
        }
        Ok(())
    }

    /// Where a joint may be with every stop that is set on it, overrun included.
    fn reached(&self, joint: usize, all: &[&Control]) -> Result<Interval, PlanError> {
        let used = self.joint(joint).and_then(|info| info.range.as_ref());
        let used = used.ok_or_else(|| PlanError::Question("a stop is set on a joint that does not exist".into()))?;
        let (mut low, mut high) = (used.working.low(), used.working.high());
        for control in all {
            match **control {
                Control::Stop { joint: j, end: End::Most, at, .. } if j == joint => high = high.min(at),
                Control::Stop { joint: j, end: End::Least, at, .. } if j == joint => low = low.max(at),
                Control::Sector { joint: j, from_rad, to_rad } if j == joint => (low, high) = (from_rad, to_rad),
                _ => {}
            }
        }
        let nothing = |_| PlanError::Refused("the stops of a joint leave it nothing".into());
        Interval::new(low, high).map(|working| used.reached(working)).map_err(nothing)
    }
}

/// Cells that one search may use: a control that needs more is called not proven.
const MOST_CELLS: u64 = 60_000;
/// The same of a machine that a reach stop holds.
const MOST_CELLS_WITHIN: u64 = 3_000;

/// Whether a control changes the scenario itself.
fn rewrites(control: &Control) -> bool {
    matches!(
        control,
        Control::WindCutOff { .. }
            | Control::HeatCutOff { .. }
            | Control::OtherMachine { .. }
            | Control::ShorterLoad { .. }
            | Control::Hours { .. }
    )
}

/// A control, or the two that it joins.
fn parts(control: &Control) -> Vec<&Control> {
    match control {
        Control::Both(pair) => vec![&pair.0, &pair.1],
        single => vec![single],
    }
}

/// A range with its upper end cut off, as a file writes it.
fn cut(range: Interval, most: f64, unit: &str) -> Value {
    let high = range.high().min(most);
    json!([format!("{} {unit}", range.low().min(high)), format!("{high} {unit}")])
}

impl Variant<'_> {
    /// The machine.
    #[must_use]
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// Where it stands, m.
    #[must_use]
    pub fn position(&self) -> Point3<f64> {
        self.machine.position()
    }

    /// Its wires, in an order: those moved, without those switched off.
    #[must_use]
    pub fn targets(&self, scene: &Scene<'_>) -> Vec<Target<'_>> {
        let mut all = targets(&self.job, scene.machine);
        let place = |t: &Target<'_>| scene.order.iter().position(|o| *o == (t.line, t.wire_index));
        all.sort_by_key(|target| place(target).unwrap_or(usize::MAX));
        all.retain(|target| !self.off.contains(&target.line));
        for target in &mut all {
            let own = self.moved.iter().filter(|(line, _)| *line == target.line);
            target.moved_m = own.map(|(_, offset)| offset).sum();
        }
        all
    }

    /// Whether the machine is clear of every wire.
    ///
    /// # Errors
    /// When a search cannot run.
    pub fn decide(&self, scene: &Scene<'_>) -> Result<Decision, PlanError> {
        decide(&self.machine, &self.targets(scene), &self.options(scene))
    }

    /// How hard to search: a reach that is left is dear to prove to the last centimetre.
    fn options(&self, scene: &Scene<'_>) -> Options {
        let most = if self.machine.reach_m().is_some() { MOST_CELLS_WITHIN } else { MOST_CELLS };
        Options { max_cells: scene.options.max_cells.min(most), ..scene.options.clone() }
    }

    /// The smallest spare of all its wires, searched anew; none where no wire is left. Its lower end is the better of two
    /// proofs: that of this search, and that of the decision that every limit is kept.
    ///
    /// # Errors
    /// When a search cannot run.
    pub fn spare(&self, scene: &Scene<'_>) -> Result<Option<Bracket>, PlanError> {
        let mut least: Option<Bracket> = None;
        let kept = self.decide(scene)?.is_clear();
        for target in self.targets(scene) {
            // Wires that are farther than the nearest so far are of no interest.
            let enough_m = least.map(|least: Bracket| least.upper_m + target.limit_m);
            let options = Options { enough_m, ..self.options(scene) };
            let spare = approach_to(&self.machine, &target, &options)?.distance.less(target.limit_m);
            least = Some(least.map_or(spare, |least| least.min(spare)));
        }
        Ok(least.map(|least| if kept { Bracket { lower_m: least.lower_m.max(0.0), ..least } } else { least }))
    }
}
