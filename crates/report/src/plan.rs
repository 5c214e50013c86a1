//! The parts of the result document that say whether the plan is ready: controls, what is missing, digging, wind.

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_plan::digging::{Digger, GroundFinding};
use wideberth_plan::readiness::Missing;
use wideberth_plan::wind::{LiftingWind, TopplingWind};
use wideberth_rules::DragRow;
use wideberth_scenario::Job;
use wideberth_scenario::control::{Control, Expiry, Standing};

use crate::document::Range;
use crate::words::VerdictName;

/// A control and whether it counts.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct ControlResult {
    /// Name.
    pub name: String,
    /// Kind.
    pub kind: &'static str,
    /// Class in the hierarchy of controls: eliminate, substitute, engineer, administrate or supplement.
    pub class: &'static str,
    /// proposed, in place or verified.
    pub state: &'static str,
    /// What it sets, in the words of the scenario; empty where it sets nothing.
    pub says: String,
    /// Name of the machine that it holds; left out where it is for all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// Name of the line that it is about; left out where it is for all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Role of the person who answers for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// What shows that it is in place.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evidence: Option<String>,
    /// Last day on which it holds, or "never".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expires: Option<String>,
    /// Whether it counts.
    pub counts: bool,
    /// Why it does not count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_not: Option<String>,
    /// Whether its kind can change what is computed.
    pub changes_the_model: bool,
    /// What to know before relying on it.
    pub caution: &'static str,
}

/// One thing that is missing before the plan is ready.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct MissingResult {
    /// Stable name.
    pub code: &'static str,
    /// Where.
    pub words: String,
    /// What to do.
    pub to_do: String,
    /// The day by which it is due; left out where it is missing now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub due: Option<String>,
    /// Why it matters.
    pub why: &'static str,
}

/// What would be found if no control were in place.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct WithoutControls {
    /// The worst verdict, above the ground and in it.
    pub verdict: VerdictName,
    /// Smallest distance of any machine to any wire.
    pub closest_approach: Option<Range>,
    /// Smallest distance beyond a limit.
    pub spare: Option<Range>,
}

/// One thing that enters the ground against one buried line.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct GroundResult {
    /// What enters the ground.
    pub what: String,
    /// Name of the buried line.
    pub buried: String,
    /// Distance from its mark: on the map for points, from the upright sheet below the mark for parts of machines.
    pub distance: Range,
    /// Distance in space from the line itself, where its depth was measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub distance_to_line: Option<Range>,
    /// Tolerance zone to each side, m.
    pub zone_m: f64,
    /// Who says how wide the zone is.
    pub zone_of: String,
    /// Whether it enters the zone, and so only by hand.
    pub by_hand: bool,
    /// Whether the zone is kept.
    pub verdict: VerdictName,
    /// How to dig inside the zone, where the place's rule says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand_dig: Option<String>,
}

/// The wind in which a load may be lifted.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct LiftingResult {
    /// Name of the machine.
    pub machine: String,
    /// The strongest wind in which it may lift this load, m/s.
    pub limit_m_per_s: f64,
    /// The wind up to which its chart allows full loads, m/s.
    pub chart_m_per_s: f64,
    /// Drag coefficient that was taken.
    pub drag: f64,
    /// Where the drag comes from.
    pub source: String,
    /// The strongest wind in which the job allows work, m/s.
    pub windiest_m_per_s: f64,
    /// Where sources disagree.
    pub note: String,
}

/// The wind that topples a structure.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct TopplingResult {
    /// Name of the structure.
    pub structure: String,
    /// The wind that topples it with the largest published drag, m/s.
    pub limit_m_per_s: f64,
    /// The wind that topples it with the smallest published drag, m/s.
    pub at_most_m_per_s: f64,
    /// Where the largest drag comes from.
    pub largest: String,
    /// Where the smallest drag comes from.
    pub smallest: String,
    /// The strongest wind of the conditions, m/s.
    pub windiest_m_per_s: f64,
}

pub(crate) fn control(job: &Job, control: &Control) -> ControlResult {
    ControlResult {
        name: control.name.clone(),
        kind: control.kind.words(),
        class: control.kind.class().words(),
        state: control.state.words(),
        says: control.says.clone(),
        machine: control.machine.and_then(|index| job.machines.get(index)).map(|info| info.name.clone()),
        line: control.line.and_then(|index| job.lines.get(index)).map(|info| info.name.clone()),
        owner: control.owner.clone(),
        evidence: control.evidence.as_ref().map(|evidence| format!("{}, {}", evidence.what, evidence.date)),
        expires: control.expires.map(|expiry| match expiry {
            Expiry::Never => "never".into(),
            Expiry::After(day) => day.to_string(),
        }),
        counts: control.counts(),
        why_not: match control.standing {
            Standing::Counts => None,
            Standing::Not(why) => Some(why.to_string()),
        },
        changes_the_model: control.kind.changes_the_model(),
        caution: control.kind.caution(),
    }
}

pub(crate) fn missing(missing: &Missing) -> MissingResult {
    MissingResult {
        code: missing.gap.name(),
        words: missing.words.clone(),
        to_do: missing.to_do.clone(),
        due: missing.due.map(|day| day.to_string()),
        why: missing.gap.explain(),
    }
}

pub(crate) fn without(bare: &wideberth_plan::answer::WithoutControls) -> WithoutControls {
    WithoutControls {
        verdict: bare.verdict().into(),
        closest_approach: Range::finite(bare.assessment.distance),
        spare: Range::finite(bare.assessment.spare),
    }
}

pub(crate) fn ground(job: &Job, finding: &GroundFinding) -> Option<GroundResult> {
    let work = job.ground_work.as_ref()?;
    let buried = work.buried.get(finding.buried)?;
    let what = match finding.what {
        Digger::Part(index) => {
            let part = work.parts.get(index)?;
            let machine = job.study.machines.get(part.machine)?;
            format!("{} of {}", machine.bodies().get(part.body)?.name, machine.name())
        }
        Digger::Point(index) => work.points.get(index)?.name.clone(),
    };
    Some(GroundResult {
        what,
        buried: buried.name.clone(),
        distance: finding.distance.into(),
        distance_to_line: finding.to_line.map(Range::from),
        zone_m: buried.zone_m,
        zone_of: buried.zone_of.clone(),
        by_hand: finding.by_hand,
        verdict: finding.verdict.into(),
        hand_dig: work.rule.as_ref().and_then(|rule| rule.hand_dig.clone()),
    })
}

pub(crate) fn lifting(job: &Job, wind: &LiftingWind) -> LiftingResult {
    LiftingResult {
        machine: job.machines[wind.machine].name.clone(),
        limit_m_per_s: wind.limit_m_per_s,
        chart_m_per_s: wind.chart_m_per_s,
        drag: wind.drag.drag,
        source: drag_words(&wind.drag),
        windiest_m_per_s: wind.windiest_m_per_s,
        note: format!(
            "one manual prints the formula without the square root, which would give {:.1} m/s; wind pressure grows with the \
             square of the wind, so the root belongs there",
            wind.without_root_m_per_s
        ),
    }
}

pub(crate) fn toppling(job: &Job, wind: &TopplingWind) -> TopplingResult {
    TopplingResult {
        structure: job.topples[wind.structure].name.clone(),
        limit_m_per_s: wind.limit_m_per_s,
        at_most_m_per_s: wind.at_most_m_per_s,
        largest: drag_words(&wind.largest),
        smallest: drag_words(&wind.smallest),
        windiest_m_per_s: wind.windiest_m_per_s,
    }
}

fn drag_words(row: &DragRow) -> String {
    format!("drag {}: {} ({})", row.drag, row.source, row.provenance)
}
