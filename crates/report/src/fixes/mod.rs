//! The controls that make a machine clear, as a document.

mod entry;
mod hold;
mod rows;
mod say;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use wideberth_physics::verdict::Verdict;
use wideberth_plan::fixes::{Class, Fix, MachineFixes, Proof};
use wideberth_plan::readiness::free_places;
use wideberth_scenario::{FreeEnd, Job};

pub use hold::HoldResult;
pub use rows::to_csv;
pub use say::Sayer;

use crate::document::{Document, Range};
use crate::quantity::Units;
use crate::words::{CAUTION, VerdictName};

/// Name of the format.
pub const FIXES_FORMAT: &str = "wideberth-fixes";

/// What never makes a machine clear by itself.
pub const NEVER_ALONE: &str = "A spotter, a warning line, signs, an alarm, a briefing, covers on the wires and an insulating link never make a \
machine clear: none of them changes where it can reach or where the wire hangs. Use them on top of one of these.";

/// Controls for every machine that is not clear.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct FixesDocument {
    /// Always "wideberth-fixes".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// The worst verdict of all machines as they are.
    pub verdict: VerdictName,
    /// Each machine that is not clear.
    pub machines: Vec<MachineFixesResult>,
    /// What somebody must hold before the plan is ready: places, and where it is clear the ends of ranges that nobody holds.
    pub to_hold: Vec<HoldResult>,
    /// What never makes a machine clear by itself.
    pub never_alone: &'static str,
    /// What the result is not.
    pub caution: &'static str,
}

/// Controls for one machine.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct MachineFixesResult {
    /// Name of the machine.
    pub machine: String,
    /// Its verdict as it is.
    pub verdict: VerdictName,
    /// What the list comes to.
    pub says: String,
    /// Single controls: those that make it clear by class, the smallest change first; then those that are not enough.
    pub controls: Vec<FixResult>,
    /// Two controls together; empty where a single one that holds the machine or the weather is enough.
    pub pairs: Vec<FixResult>,
}

/// One control, or two together.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct FixResult {
    /// Class: eliminate, substitute, engineer or administrate.
    pub class: &'static str,
    /// Kind.
    pub kind: &'static str,
    /// What to do.
    pub words: String,
    /// The settings, with their unit in the key; angles in rad.
    pub settings: BTreeMap<String, f64>,
    /// Whether the machine is proven clear with it.
    pub clear: bool,
    /// The smallest spare with it, searched anew; left out where it is not enough or no wire is left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare: Option<Range>,
    /// The next milder setting, which is not clear.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next_milder: Option<Milder>,
    /// Whether every stricter setting is clear as well, because it allows a part of what this one allows.
    pub stricter_is_clear: bool,
    /// How much of what was allowed is given up, 0 to 1; for moves the distance over 100 m.
    pub given_up_share: f64,
    /// The control as an entry of the scenario's "controls", as a proposal.
    pub entries: Vec<Value>,
    /// Whether `check` finds the machine clear once the entries are in place and count.
    pub check_is_clear: bool,
    /// What is missing until then.
    pub missing: Vec<&'static str>,
}

/// A setting that is not clear.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Milder {
    /// The setting.
    pub words: String,
    /// Its verdict: too close by a pose and a state that were found, or not proven.
    pub verdict: VerdictName,
}

impl Document for FixesDocument {}

impl FixesDocument {
    /// The document of what was found.
    #[must_use]
    pub fn of(job: &Job, verdict: Verdict, found: &[MachineFixes], ends: &[FreeEnd]) -> Self {
        Self {
            format: FIXES_FORMAT,
            version: 1,
            computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
            title: job.title.clone(),
            verdict: verdict.into(),
            machines: found.iter().map(|machine| machine_of(job, machine)).collect(),
            to_hold: hold::to_hold(job, ends, &free_places(job)),
            never_alone: NEVER_ALONE,
            caution: CAUTION,
        }
    }
}

fn machine_of(job: &Job, found: &MachineFixes) -> MachineFixesResult {
    let sayer = Sayer { job, machine: found.machine, units: Units::Si };
    MachineFixesResult {
        machine: sayer.machine_name().into(),
        verdict: found.verdict.into(),
        says: says(found),
        controls: found.singles.iter().map(|fix| fix_of(&sayer, fix)).collect(),
        pairs: found.pairs.iter().map(|fix| fix_of(&sayer, fix)).collect(),
    }
}

/// What a list of controls comes to, said plainly.
#[must_use]
pub fn says(found: &MachineFixes) -> String {
    let clear = || found.singles.iter().filter(|fix| fix.is_clear());
    let held = clear().any(|fix| fix.control.class() > Class::Eliminate);
    let on_site = clear().any(|fix| fix.control.key() == "stand-elsewhere");
    match (clear().next().is_some(), held || on_site, found.pairs.is_empty()) {
        (false, _, true) => "No single control and no two controls that were looked for make it clear.".into(),
        (false, _, false) => "No single control makes it clear; these two together do.".into(),
        (true, false, true) => "Only the line's owner can make it clear, and no two other controls do.".into(),
        (true, false, false) => {
            "No single control short of the line's owner makes it clear; these two together do.".into()
        }
        (true, true, true) => "Any one of these makes it clear.".into(),
        (true, true, false) => {
            "Any one of these makes it clear; no stop, limit or cut-off does alone, but these two together do.".into()
        }
    }
}

fn fix_of(sayer: &Sayer<'_>, fix: &Fix) -> FixResult {
    let (spare, next_milder) = match &fix.proof {
        Proof::Clear { spare, milder } => {
            let milder = milder
                .as_ref()
                .map(|(control, verdict)| Milder { words: sayer.setting(control), verdict: (*verdict).into() });
            (spare.map(Range::from), milder)
        }
        Proof::NotEnough { .. } => (None, None),
    };
    FixResult {
        class: fix.control.class().key(),
        kind: fix.control.key(),
        words: sayer.words(&fix.control),
        settings: entry::settings(&fix.control),
        clear: fix.is_clear(),
        spare,
        next_milder,
        stricter_is_clear: fix.is_clear() && fix.control.is_nested(),
        given_up_share: fix.given_up_share,
        entries: entry::entries(sayer, &fix.control),
        check_is_clear: fix.is_clear() && entry::is_computed(&fix.control),
        missing: entry::missing(&fix.control),
    }
}
