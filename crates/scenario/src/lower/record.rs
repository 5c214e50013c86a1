//! What a plan rests on before the work starts: days, records, briefing, duties.

use super::controls::{evidence_of, expiry_of, find};
use crate::code::Code;
use crate::context::Context;
use crate::control::Control;
use crate::days::{self, Days};
use crate::here::Here;
use crate::job::{Acknowledged, Briefing, DutyDone};
use crate::problem::Problems;
use crate::raw::{RawAcknowledged, RawBriefing, RawDutyDone, RawRecord, RawScenario};
use crate::record::{Record, Role, Subject};

/// The days for which the scenario is judged, and those that it names itself.
pub(super) struct Judged {
    /// The day asked for, else the scenario's own days, else today.
    pub days: Option<Days>,
    /// The scenario's own days.
    pub own: Option<Days>,
}

/// The days of the work.
pub(super) fn days(raw: &RawScenario, context: &Context<'_>, here: &Here<'_>) -> Result<Judged, Problems> {
    let here = here.key("work_dates");
    let own = raw.work_dates.as_ref();
    let own = own.map(|[first, last]| days::from_to([first, last], [&here.index(0), &here.index(1)])).transpose()?;
    let days = context.asked_day().map(Days::single).or(own).or(context.today().map(Days::single));
    Ok(Judged { days, own })
}

/// The names that records may be about.
struct Names<'a> {
    machines: Vec<&'a str>,
    lines: Vec<&'a str>,
    structures: Vec<&'a str>,
}

impl<'a> Names<'a> {
    fn of(raw: &'a RawScenario) -> Self {
        Self {
            machines: raw.machines.iter().map(|machine| machine.name.as_str()).collect(),
            lines: raw.lines.iter().map(|line| line.name.as_str()).collect(),
            structures: raw.may_topple.iter().map(|structure| structure.name.as_str()).collect(),
        }
    }
}

/// Every record.
pub(super) fn records(raw: &RawScenario, here: &Here<'_>) -> Result<Vec<Record>, Problems> {
    let names = Names::of(raw);
    let mut problems = Problems::none();
    let each = raw.records.iter().enumerate();
    let records = each.filter_map(|(index, raw)| problems.collect(record(raw, &names, &here.index(index)))).collect();
    problems.into_result(records)
}

fn record(raw: &RawRecord, names: &Names<'_>, here: &Here<'_>) -> Result<Record, Problems> {
    let mut problems = Problems::none();
    let subject = problems.collect(subject(raw, names, here));
    let date = problems.collect(days::day(&raw.date, &here.key("date")).map_err(Problems::from));
    let valid_until = problems.collect(expiry_of(&raw.valid_until, &here.key("valid_until")));
    for (index, topic) in raw.covers.iter().enumerate().filter(|(_, topic)| !topic.kinds().contains(&raw.kind)) {
        let message = format!("a {} cannot cover \"{}\"", raw.kind.words(), topic.words());
        let kinds: Vec<&str> = topic.kinds().iter().map(|kind| kind.words()).collect();
        let help = format!("cover it by a record of the kind {}", kinds.join(" or "));
        problems.add(here.key("covers").index(index).problem(Code::Contradiction, message, help));
    }
    if let (Some(date), Some(crate::control::Expiry::After(last))) = (date, valid_until)
        && last < date
    {
        let message = format!("it ends on {last}, before its own day {date}");
        problems.add(here.key("valid_until").problem(Code::InvertedDates, message, "swap them, or correct one"));
    }
    problems.clone().into_result(())?;
    let (Some(subject), Some(date), Some(valid_until)) = (subject, date, valid_until) else { return Err(problems) };
    Ok(Record {
        kind: raw.kind,
        covers: raw.covers.clone(),
        subject,
        role: raw.role.clone(),
        date,
        evidence: raw.evidence.clone(),
        valid_until,
    })
}

/// What a record is about: at most one thing.
fn subject(raw: &RawRecord, names: &Names<'_>, here: &Here<'_>) -> Result<Subject, Problems> {
    let index = |key, name: &Option<String>, known: &[&str]| find(name.as_ref(), known, key, &here.key(key));
    let machine = index("machine", &raw.machine, &names.machines)?.map(Subject::Machine);
    let line = index("line", &raw.line, &names.lines)?.map(Subject::Line);
    let structure = index("structure", &raw.structure, &names.structures)?.map(Subject::Structure);
    let named: Vec<Subject> = [machine, line, structure].into_iter().flatten().collect();
    match named[..] {
        [] => Ok(Subject::Job),
        [subject] => Ok(subject),
        _ => {
            let message = "a record is about one machine, one line, one structure, or about all";
            Err(here.problem(Code::Contradiction, message, "write one record for each").into())
        }
    }
}

/// The briefing, with those who acknowledged it.
pub(super) fn briefing(raw: &RawBriefing, scenario: &RawScenario, here: &Here<'_>) -> Result<Briefing, Problems> {
    let machines = Names::of(scenario).machines;
    let mut problems = Problems::none();
    let date = problems.collect(days::day(&raw.date, &here.key("date")).map_err(Problems::from));
    let list = here.key("acknowledged_by");
    let each = raw.acknowledged_by.iter().enumerate();
    let acknowledged_by = each.filter_map(|(index, raw)| match raw {
        RawAcknowledged::Other(words) => Some(Acknowledged { role: None, machine: None, words: words.clone() }),
        RawAcknowledged::Role(raw) => {
            let here = list.index(index).key("machine");
            let machine = problems.collect(find(raw.machine.as_ref(), &machines, "machine", &here))?;
            let of = raw.machine.as_ref().map_or(String::new(), |name| format!(" of {name}"));
            Some(Acknowledged { role: Some(raw.role), machine, words: format!("{}{of}", raw.role.words()) })
        }
    });
    let acknowledged_by = acknowledged_by.collect();
    problems.clone().into_result(())?;
    let Some(date) = date else { return Err(problems) };
    Ok(Briefing { given_by: raw.given_by.clone(), date, acknowledged_by })
}

/// The roles that the plan has, besides the operators of its machines.
pub(super) fn roles(raw: &RawScenario, controls: &[Control]) -> Vec<Role> {
    let spotter = controls.iter().any(|c| c.counts() && c.kind == wideberth_rules::ControlKind::Spotter);
    let handled = raw.machines.iter().any(|machine| machine.load.is_some() || machine.lift.is_some());
    let all = [(spotter, Role::Spotter), (handled, Role::LoadHandler), (true, Role::NewestHand)];
    all.into_iter().filter(|(needed, _)| *needed).map(|(_, role)| role).collect()
}

pub(super) fn duties(raw: &[RawDutyDone], here: &Here<'_>) -> Result<Vec<DutyDone>, Problems> {
    let mut problems = Problems::none();
    let each = raw.iter().enumerate().filter_map(|(index, duty)| {
        let evidence = problems.collect(evidence_of(&duty.evidence, &here.index(index).key("evidence")))?;
        Some(DutyDone { duty: duty.duty.clone(), owner: duty.owner.clone(), evidence })
    });
    let done = each.collect();
    problems.into_result(done)
}
