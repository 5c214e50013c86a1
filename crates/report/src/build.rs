//! From an answer to its document.

use wideberth_physics::assess::Finding;
use wideberth_physics::bracket::Bracket;
use wideberth_plan::answer::Answer;
use wideberth_plan::contributions::Contribution;
use wideberth_rules::{Duty, LimitChoice, Measured, Trigger, Voltage};
use wideberth_scenario::job::{Job, Limit, LineInfo, MachineInfo, WireInfo};

use crate::document::{
    ContributionResult, DefaultResult, FindingResult, LimitResult, LineResult, MachineResult, RESULT_FORMAT,
    RESULT_VERSION, Range, ResultDocument, WireResult,
};
use crate::words::{CAUTION, VerdictName, cause_instead, cause_words, stop_words};
use crate::{holds, notes, plan, state};

impl From<Bracket> for Range {
    fn from(bracket: Bracket) -> Self {
        Self { lower_m: bracket.lower_m, upper_m: bracket.upper_m }
    }
}

impl Range {
    /// The range; none where nothing was measured.
    pub(crate) fn finite(bracket: Bracket) -> Option<Self> {
        bracket.lower_m.is_finite().then(|| bracket.into())
    }
}

/// The document of an answer.
pub(crate) fn document(answer: &Answer) -> ResultDocument {
    let Answer { job, assessment, contributions, .. } = answer;
    let mut limits = Limits::default();
    let findings = &assessment.findings;
    let rows = findings.iter().zip(&job.limits).map(|(finding, limit)| finding_of(job, finding, limit, &mut limits));
    let rows: Vec<FindingResult> = rows.collect();
    let worst_m = findings.get(assessment.worst).map_or(f64::NAN, |finding| finding.distance.upper_m);
    ResultDocument {
        format: RESULT_FORMAT,
        version: RESULT_VERSION,
        computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
        title: job.title.clone(),
        note: job.note.clone(),
        verdict: answer.verdict().into(),
        ready: answer.is_ready(),
        missing: answer.missing.iter().filter(|missing| missing.due.is_none()).map(plan::missing).collect(),
        due_before_start: answer.missing.iter().filter(|missing| missing.due.is_some()).map(plan::missing).collect(),
        judged_on: job.judged_on.map(|day| day.to_string()),
        holds_only_while: holds::of(job),
        closest_approach: Range::finite(assessment.distance),
        spare: Range::finite(assessment.spare),
        without_controls: answer.without_controls.as_ref().map(plan::without),
        days: job.days.map(|days| [days.first.to_string(), days.last.to_string()]),
        controls: job.controls.iter().map(|control| plan::control(job, control)).collect(),
        ground: answer.digging.iter().filter_map(|finding| plan::ground(job, finding)).collect(),
        lifting: answer.lifting.iter().map(|wind| plan::lifting(job, wind)).collect(),
        toppling: answer.toppling.iter().map(|wind| plan::toppling(job, wind)).collect(),
        worst_finding: assessment.worst,
        findings: rows,
        machines: job.machines.iter().enumerate().map(|(index, info)| machine_of(info, index, findings)).collect(),
        lines: job.lines.iter().map(line_of).collect(),
        limits: limits.0,
        contributions: contributions.iter().map(|each| contribution_of(each, worst_m)).collect(),
        defaults_taken: job.defaults_taken.iter().map(default_of).collect(),
        warnings: notes::warnings(answer),
        caution: CAUTION,
    }
}

/// Each limit once.
#[derive(Default)]
struct Limits(Vec<LimitResult>);

impl Limits {
    fn index_of(&mut self, limit: LimitResult) -> usize {
        self.0.iter().position(|known| *known == limit).unwrap_or_else(|| {
            self.0.push(limit);
            self.0.len() - 1
        })
    }
}

fn finding_of(job: &Job, finding: &Finding, limit: &Limit, limits: &mut Limits) -> FindingResult {
    let pairing = finding.pairing;
    let line = &job.lines[pairing.line];
    FindingResult {
        machine: job.machines[pairing.machine].name.clone(),
        line: line.name.clone(),
        wire: line.wires[pairing.wire].name.clone(),
        verdict: finding.verdict.into(),
        closest_approach: finding.distance.into(),
        room: state::room(&finding.margins),
        limit_m: limit.distance_m,
        limit: limits.index_of(limit_of(limit)),
        spare: finding.spare().into(),
        stopped: stop_words(finding.approach.stop),
        cells: finding.approach.cells,
        witness: state::witness(job, finding),
    }
}

fn limit_of(limit: &Limit) -> LimitResult {
    let rule = limit.rule();
    LimitResult {
        distance_m: limit.distance_m,
        printed: printed(limit),
        source: limit.source_line(),
        rule_id: rule.map(|choice| choice.rule_id.clone()),
        from_memory: rule.is_some_and(LimitChoice::is_from_memory),
        notes: notes::of_limit(limit),
        triggers: rule.map_or(Vec::new(), |choice| choice.triggers.iter().map(trigger_words).collect()),
        duties: rule.map_or(Vec::new(), |choice| choice.duties.iter().map(duty_words).collect()),
    }
}

/// The distance as its source prints it; a stated one in metres.
fn printed(limit: &Limit) -> String {
    match &limit.basis {
        wideberth_scenario::job::LimitBasis::Rule(choice) => choice.printed.clone(),
        wideberth_scenario::job::LimitBasis::Stated { .. } => format!("{} m", limit.distance_m),
    }
}

/// A trigger in words.
#[must_use]
pub(crate) fn trigger_words(trigger: &Trigger) -> String {
    let Trigger { distance, who, does, provenance, .. } = trigger;
    let level = if trigger.measured == Measured::Horizontal { " on the map" } else { "" };
    format!("inside {}{level}: {who}: {does} ({provenance})", distance.text)
}

/// A duty in words.
#[must_use]
pub(crate) fn duty_words(duty: &Duty) -> String {
    let lead = duty.lead_time.as_ref().map_or(String::new(), |time| format!("; lead time {time}"));
    format!("{}: {}; when: {}{lead} ({})", duty.who, duty.does, duty.when, duty.provenance)
}

fn machine_of(info: &MachineInfo, index: usize, findings: &[Finding]) -> MachineResult {
    let own = || findings.iter().filter(|finding| finding.pairing.machine == index);
    let none = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
    MachineResult {
        name: info.name.clone(),
        id: info.id.clone(),
        title: info.title.clone(),
        work: info.work.words().into(),
        crew: info.crew.words().into(),
        position_m: info.position.coords.into(),
        sources: info.sources.iter().map(ToString::to_string).collect(),
        // Without any live wire nothing is too close.
        verdict: own().map(|f| f.verdict).max().map_or(VerdictName::Clear, VerdictName::from),
        closest_approach: Range::finite(own().fold(none, |least, f| least.min(f.distance))),
        spare: Range::finite(own().fold(none, |least, f| least.min(f.spare()))),
    }
}

fn line_of(line: &LineInfo) -> LineResult {
    LineResult { name: line.name.clone(), off: line.off, wires: line.wires.iter().map(wire_of).collect() }
}

fn wire_of(wire: &WireInfo) -> WireResult {
    WireResult {
        name: wire.name.clone(),
        voltage: voltage_words(&wire.voltage),
        conductor: wire.conductor.name.clone(),
        conductor_source: wire.conductor.source.clone(),
        conductor_from_memory: wire.conductor.from_memory,
        known_by: wire.known_by.clone(),
        attachment_tolerance_m: wire.attachment_tolerance_m,
    }
}

/// A voltage in words, such as `12.47 kV phase to phase, ac; confirmed by the line's owner`.
#[must_use]
pub fn voltage_words(voltage: &Voltage) -> String {
    match voltage {
        Voltage::Known { voltage_kv, basis, current, confirmed_by } => {
            let who = confirmed_by.as_ref().map_or("not confirmed".into(), |who| format!("confirmed by {who}"));
            format!("{voltage_kv} kV {basis}, {current}; {who}")
        }
        Voltage::Unknown { .. } => "unknown".into(),
    }
}

fn contribution_of(contribution: &Contribution, worst_m: f64) -> ContributionResult {
    let Contribution { cause, without } = contribution;
    ContributionResult {
        cause: cause.key(),
        words: cause_words(*cause),
        instead: cause_instead(*cause),
        closest_approach_without: (*without).into(),
        difference_m: without.upper_m - worst_m,
    }
}

fn default_of(default: &wideberth_scenario::job::DefaultTaken) -> DefaultResult {
    DefaultResult { path: default.path.clone(), value: default.value.clone(), words: default.words.clone() }
}
