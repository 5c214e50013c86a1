//! What the worst spare depends on: the worst finding searched again with one input changed at a time.
//!
//! Tolerances are taken away; other inputs change by one unit toward the safe side. Each change is a proven range: both
//! distances are. Inputs work together, so the changes do not add up.

use rayon::prelude::*;
use serde_json::{Map, Value, json};
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::assess::Assessment;
use wideberth_physics::bracket::Bracket;
use wideberth_physics::interval::Interval;
use wideberth_physics::machine::BodyRole;
use wideberth_physics::study::Pairing;
use wideberth_scenario::machine::JointKind;
use wideberth_scenario::source::Source;
use wideberth_scenario::{Context, Job};

use crate::decide::PlanError;

/// Tolerance of these searches, m.
const TOLERANCE_M: f64 = 1e-3;
/// Cells that each may use.
const MOST_CELLS: u64 = 60_000;

/// An input and what the worst spare gains when it changes.
#[derive(Clone, Debug, PartialEq)]
pub struct Driver {
    /// The input, in words.
    pub input: String,
    /// Where it stands in the scenario, or would stand.
    pub path: String,
    /// The change.
    pub change: Change,
    /// What the closest approach gains, m: proven range.
    pub gain: Bracket,
}

/// How an input is changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Its tolerance is taken away.
    NoTolerance,
    /// By one unit toward the safe side, such as "-1 m/s".
    By(String),
}

/// An edit of the scenario.
struct Edit {
    input: String,
    path: String,
    change: Change,
    scenario: Value,
}

/// What the worst finding depends on, the greatest gain first; nothing where nothing is live.
///
/// # Errors
/// When a search cannot run.
pub fn drivers(
    scenario: &Value,
    context: &Context<'_>,
    job: &Job,
    assessment: &Assessment,
) -> Result<Vec<Driver>, PlanError> {
    let Some(worst) = assessment.findings.get(assessment.worst) else { return Ok(Vec::new()) };
    let pairing = worst.pairing;
    let present = distance(job, &pairing)?;
    let edits = edits(scenario, job, &pairing);
    let found = edits.into_par_iter().filter_map(|edit| gain(edit, context, &pairing, present).transpose());
    let mut found = found.collect::<Result<Vec<Driver>, PlanError>>()?;
    found.sort_by(|a, b| b.gain.lower_m.total_cmp(&a.gain.lower_m));
    Ok(found)
}

fn distance(job: &Job, pairing: &Pairing) -> Result<Bracket, PlanError> {
    let machine = job.study.machines.get(pairing.machine);
    let wire = job.study.lines.get(pairing.line).and_then(|line| line.wires.get(pairing.wire));
    let (Some(machine), Some(wire)) = (machine, wire) else {
        return Err(wideberth_physics::approach::ApproachError::NoSuchPair(*pairing).into());
    };
    let max_cells = job.options.max_cells.min(MOST_CELLS);
    let options = Options { tolerance_m: TOLERANCE_M, max_cells, ..Options::default() };
    Ok(closest_approach(machine, wire, &options)?.distance)
}

/// The gain of an edit; none where the edited scenario is refused, which says that the input cannot be so.
fn gain(edit: Edit, context: &Context<'_>, pairing: &Pairing, present: Bracket) -> Result<Option<Driver>, PlanError> {
    let Edit { input, path, change, mut scenario } = edit;
    // What is taught shows what the whole ranges allow.
    scenario.as_object_mut().and_then(|scenario| scenario.remove("lesson"));
    let Ok(source) = Source::read(&scenario.to_string()) else { return Ok(None) };
    let Ok(job) = Job::from_source(&source, context) else { return Ok(None) };
    let then = distance(&job, pairing)?;
    let gain = Bracket { lower_m: then.lower_m - present.upper_m, upper_m: then.upper_m - present.lower_m };
    Ok(Some(Driver { input, path, change, gain }))
}

/// Every edit that changes the scenario.
fn edits(scenario: &Value, job: &Job, pairing: &Pairing) -> Vec<Edit> {
    let editor = Editor { scenario, job, pairing };
    let all = [editor.tolerances(), editor.weather(), editor.place(), editor.joints(), editor.bodies()];
    all.into_iter().flatten().collect()
}

struct Editor<'a> {
    scenario: &'a Value,
    job: &'a Job,
    pairing: &'a Pairing,
}

impl Editor<'_> {
    /// An edit of the object at a pointer; none where there is no such object or nothing changes.
    fn at(
        &self,
        pointer: &str,
        key: &str,
        words: &str,
        change: Change,
        edit: impl FnOnce(&mut Map<String, Value>) -> Option<()>,
    ) -> Option<Edit> {
        let mut scenario = self.scenario.clone();
        edit(scenario.pointer_mut(pointer)?.as_object_mut()?)?;
        let path = format!("{}/{key}", pointer.trim_start_matches('/'));
        (scenario != *self.scenario).then(|| Edit { input: words.into(), path, change, scenario })
    }

    fn machine_pointer(&self) -> String {
        format!("/machines/{}", self.pairing.machine)
    }

    fn set(&self, pointer: &str, key: &str, words: &str, value: Value) -> Option<Edit> {
        self.at(pointer, key, words, Change::NoTolerance, |object| {
            object.insert(key.into(), value);
            Some(())
        })
    }

    /// Tolerances of what is known of the wire and of where the machine stands.
    fn tolerances(&self) -> Vec<Edit> {
        let Pairing { line, wire, .. } = *self.pairing;
        let wire = format!("/lines/{line}/wires/{wire}");
        let known = format!("{wire}/known_by");
        let by_height = self.scenario.pointer(&format!("{known}/height")).is_some();
        let (none, words) =
            if by_height { ("0 m", "measured height of the wire") } else { ("0 %", "tension of the wire") };
        let machine = self.machine_pointer();
        let all = [
            self.set(&wire, "attachment_tolerance", "place of the attachments", json!("0 m")),
            self.set(&known, "tolerance", words, json!(none)),
            self.middle(&known, "conductor_temperature", "wire temperature when that was known"),
            self.set(&wire, "permanent_strain", "permanent stretch of the wire", json!("0 %")),
            self.set(&machine, "setting_out_tolerance", "place of the machine", json!("0 m")),
            self.set(&machine, "heading_tolerance", "heading of the machine", json!("0 deg")),
        ];
        all.into_iter().flatten().collect()
    }

    /// A range narrowed to its middle.
    fn middle(&self, pointer: &str, key: &str, words: &str) -> Option<Edit> {
        self.at(pointer, key, words, Change::NoTolerance, |object| {
            let line = self.job.study.lines.get(self.pairing.line)?;
            let _ = line.wires.get(self.pairing.wire)?;
            let Value::Array(ends) = object.get(key)? else { return None };
            let number = |end: &Value| end.as_str()?.trim_end_matches("degC").trim().parse::<f64>().ok();
            let middle_degc = 0.5 * (number(ends.first()?)? + number(ends.get(1)?)?);
            object.insert(key.into(), json!(format!("{middle_degc} degC")));
            Some(())
        })
    }

    /// A cooler wire, less wind, less ice.
    fn weather(&self) -> Vec<Edit> {
        let line = format!("/lines/{}", self.pairing.line);
        let Some(conditions) = self.job.lines.get(self.pairing.line).map(|line| line.conditions) else {
            return Vec::new();
        };
        let less = |key: &str, words: &str, range: Interval, by: f64, scale: f64, unit: &str| {
            let high = (range.high() - by).max(range.low());
            let change = Change::By(format!("-{} {}", by * scale, if unit == "degC" { "K" } else { unit }));
            let value = json!([format!("{} {unit}", range.low() * scale), format!("{} {unit}", high * scale)]);
            (range.width() > 0.0).then_some(())?;
            self.at(&line, key, words, change, |object| {
                let own = object.entry("conditions").or_insert_with(|| json!({}));
                own.as_object_mut()?.insert(key.into(), value);
                Some(())
            })
        };
        let all = [
            less("conductor_temperature", "hottest wire", conditions.temperature_degc, 1.0, 1.0, "degC"),
            less("wind_speed", "strongest wind", conditions.wind_m_per_s, 1.0, 1.0, "m/s"),
            less("ice", "thickest ice", conditions.ice_m, 0.001, 1000.0, "mm"),
        ];
        all.into_iter().flatten().collect()
    }

    /// The machine 10 cm farther on each axis of the map.
    fn place(&self) -> Vec<Edit> {
        let Some(info) = self.job.machines.get(self.pairing.machine) else { return Vec::new() };
        let steps = [("east", 0, 0.1), ("west", 0, -0.1), ("north", 1, 0.1), ("south", 1, -0.1)];
        let moved = |(words, axis, by): (&str, usize, f64)| {
            let mut place = [info.position.x, info.position.y];
            place[axis] += by;
            let input = format!("machine farther {words}");
            self.at(&self.machine_pointer(), "position", &input, Change::By("10 cm".into()), |object| {
                object.insert("position".into(), json!(place.map(|m| format!("{m} m"))));
                Some(())
            })
        };
        steps.into_iter().filter_map(moved).collect()
    }

    /// Each end of each working range, one unit in; each overrun taken away.
    fn joints(&self) -> Vec<Edit> {
        let Some(info) = self.job.machines.get(self.pairing.machine) else { return Vec::new() };
        let mut all = Vec::new();
        for joint in info.joints.iter().filter_map(|joint| joint.range.as_ref()) {
            let name = &joint.joint.name;
            let (unit, by, scale) = match joint.joint.kind {
                JointKind::Hinge => ("deg", 1.0_f64.to_radians(), 1.0_f64.to_degrees()),
                JointKind::Slide => ("m", 0.1, 1.0),
            };
            if joint.joint.role.is_set_by_people() && joint.working.width() > by {
                let (low, high) = (joint.working.low(), joint.working.high());
                let said = format!("{} {unit}", (by * scale * 10.0).round() / 10.0);
                let ends =
                    [(low, high - by, "greatest", format!("-{said}")), (low + by, high, "least", format!("+{said}"))];
                for (low, high, end, said) in ends {
                    let range = [low, high].map(|value| format!("{} {unit}", rounded(value * scale)));
                    let words = format!("{end} {name}");
                    all.extend(self.inside("working", name, &words, Change::By(said), json!(range)));
                }
            }
            if joint.overrun > 0.0 {
                let words = format!("overrun of {name}");
                all.extend(self.inside("overrun", name, &words, Change::NoTolerance, json!(format!("0 {unit}"))));
            }
        }
        all
    }

    /// An entry of an object inside the machine, which is added where it is missing.
    fn inside(&self, object: &str, name: &str, words: &str, change: Change, value: Value) -> Option<Edit> {
        self.at(&self.machine_pointer(), &format!("{object}/{name}"), words, change, |machine| {
            let entry = machine.entry(object).or_insert_with(|| json!({}));
            entry.as_object_mut()?.insert(name.into(), value);
            Some(())
        })
    }

    /// Each bending taken away.
    fn bodies(&self) -> Vec<Edit> {
        let Some(machine) = self.job.study.machines.get(self.pairing.machine) else { return Vec::new() };
        let bodies = machine.bodies().iter().filter(|body| body.role != BodyRole::Rope);
        let names = bodies.map(|body| body.name.as_str());
        let stiff = |name: &str| {
            let words = format!("bending of {name}");
            self.inside("deflection", name, &words, Change::NoTolerance, json!("0 m"))
        };
        names.filter_map(stiff).collect()
    }
}

/// To a millionth, as files write it.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}
