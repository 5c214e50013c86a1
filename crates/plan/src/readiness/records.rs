//! What a plan rests on: records, days, the briefing.

use std::collections::BTreeMap;

use jiff::civil::Date;
use wideberth_rules::{ControlKind, Work};
use wideberth_scenario::control::Expiry;
use wideberth_scenario::days::Days;
use wideberth_scenario::job::{Briefing, Job};
use wideberth_scenario::record::{Record, RecordKind, Rest, Role, Subject, Topic, holding};

use super::{Found, Gap};

impl Found {
    /// Values without a record, and records that do not hold or have yet to come.
    pub(super) fn rests(&mut self, job: &Job) {
        let mut open: BTreeMap<(RecordKind, Subject), Vec<Topic>> = BTreeMap::new();
        for rest in job.rests.iter().filter(|rest| holding(&job.records, **rest, job.days).is_none()) {
            match about(&job.records, rest) {
                Some(record) => self.does_not_hold(job, record),
                None => open.entry((rest.topic.kinds()[0], rest.subject)).or_default().push(rest.topic),
            }
        }
        for ((kind, subject), topics) in open {
            let topics: Vec<&str> = topics.iter().map(|topic| topic.words()).collect();
            let words = format!("{} of {}: {}", kind.words(), name_of(job, subject), topics.join(", "));
            let to_do = format!("add a record of the kind \"{}\" that covers it", kind.words());
            let due = later(job).filter(|_| kind == RecordKind::Weather);
            self.due(Gap::Assumed, words, to_do, due);
        }
        let to_come = |record: &&Record| later(job).is_some() && job.judged_on.is_some_and(|today| record.date > today);
        for record in job.records.iter().filter(to_come) {
            let words = format!("{} of {}, dated {}", record.kind.words(), record.role, record.date);
            self.due(Gap::ToCome, words, "have it before the work starts", Some(record.date));
        }
    }

    fn does_not_hold(&mut self, job: &Job, record: &Record) {
        let Some(days) = job.days else { return };
        let why = match record.valid_until {
            Expiry::After(last) if last < days.last => format!("ended on {last}"),
            _ => format!("is dated {}, after the work begins", record.date),
        };
        let words = format!("{} of {} {why}", record.kind.words(), record.role);
        self.add(Gap::RecordEnded, words, "have it renewed, and say what changed");
    }

    /// The days: known, not over, and the day asked about one of them.
    pub(super) fn days(&mut self, job: &Job) {
        let Some(days) = job.days else {
            return self.add(Gap::NoDay, "the day of the work", "give \"work_dates\"");
        };
        let Some(Days { first, last }) = job.work_days else { return };
        if days.first < first || days.last > last {
            let words = format!("{} is no day of the work, which is from {first} to {last}", days.first);
            self.add(Gap::OutsideWork, words, "ask about a day of the work, or plan it anew");
        } else if let Some(today) = job.judged_on.filter(|today| *today > last) {
            self.add(
                Gap::OutsideWork,
                format!("the work ended on {last}, and it is {today}"),
                "plan it anew: the place, the line and the weather have changed since",
            );
        }
    }

    /// A briefing younger than the plan, in time, and acknowledged by every role that the plan has.
    pub(super) fn briefing(&mut self, job: &Job) {
        let due = later(job);
        let Some(briefing) = &job.briefing else {
            return self.due(Gap::NoBriefing, "no briefing", "brief everybody before the work begins", due);
        };
        if job.days.is_none_or(|days| briefing.date > days.first) {
            let words = format!("the briefing is dated {}", briefing.date);
            self.due(Gap::NoBriefing, words, "brief everybody before the work begins", due);
        } else if job.judged_on.is_some_and(|today| briefing.date > today) {
            let words = format!("the briefing of {}", briefing.date);
            self.due(Gap::NoBriefing, words, "brief everybody before the work begins", Some(briefing.date));
        }
        if let Some(newest) = newest(job).filter(|newest| *newest > briefing.date) {
            let words = format!("the briefing is dated {}, the plan rests on something of {newest}", briefing.date);
            self.due(Gap::BriefingOlder, words, "brief everybody again, on the plan as it is", due);
        }
        let unbriefed = unbriefed(job, briefing);
        if !unbriefed.is_empty() {
            self.due(Gap::NotBriefed, unbriefed.join(", "), "brief them, and write down that they understood", due);
        }
    }

    /// Every machine stands where somebody marked a place; one that passes is held by posts or a fence as well.
    pub(super) fn places(&mut self, job: &Job) {
        for machine in free_places(job).into_iter().map(|index| &job.machines[index]) {
            let passes = machine.work == Work::TravelUnder;
            let to_do = if passes {
                "add goal posts or a fence, with an owner"
            } else {
                "add a \"marked place\", with an owner"
            };
            self.add(Gap::PlaceFree, format!("where {} stands", machine.name), to_do);
        }
    }
}

/// Indices of the machines whose place nobody holds; none where no line is live.
#[must_use]
pub fn free_places(job: &Job) -> Vec<usize> {
    if job.lines.iter().all(|line| line.off) {
        return Vec::new();
    }
    let falls = |index: usize| job.topples.iter().any(|topple| topple.machine == Some(index));
    let held = |index: usize, passes: bool| {
        job.controls.iter().any(|control| {
            let fences =
                matches!(control.kind, ControlKind::GoalPosts | ControlKind::Barrier | ControlKind::ExclusionFence);
            control.counts()
                && control.machine.is_none_or(|held| held == index)
                && (control.kind == ControlKind::MarkedPlace || passes && fences)
        })
    };
    let machines = job.machines.iter().enumerate();
    let free = machines.filter(|(index, info)| !falls(*index) && !held(*index, info.work == Work::TravelUnder));
    free.map(|(index, _)| index).collect()
}

/// The first day of the work, where it is still to come.
pub(super) fn later(job: &Job) -> Option<Date> {
    let first = job.days?.first;
    (job.judged_on? < first).then_some(first)
}

/// A record of the value, whether it holds or not.
fn about<'a>(records: &'a [Record], rest: &Rest) -> Option<&'a Record> {
    records.iter().find(|record| record.is_about(rest.topic, rest.subject))
}

fn name_of(job: &Job, subject: Subject) -> String {
    let name = match subject {
        Subject::Job => None,
        Subject::Line(index) => job.lines.get(index).map(|line| &line.name),
        Subject::Machine(index) => job.machines.get(index).map(|machine| &machine.name),
        Subject::Structure(index) => job.structures.get(index),
    };
    name.cloned().unwrap_or_else(|| "the job".into())
}

/// The day of the newest record or evidence.
fn newest(job: &Job) -> Option<Date> {
    let evidence = job.controls.iter().filter(|control| control.counts());
    let evidence = evidence.filter_map(|control| control.evidence.as_ref()).map(|evidence| evidence.date);
    job.records.iter().map(|record| record.date).chain(evidence).max()
}

/// Roles of the plan that nobody acknowledged, in words.
fn unbriefed(job: &Job, briefing: &Briefing) -> Vec<String> {
    let acknowledged = |role: Role, machine: Option<usize>| {
        let same = |index: Option<usize>| index.is_none() || index == machine;
        briefing.acknowledged_by.iter().any(|one| one.role == Some(role) && same(one.machine))
    };
    let falls = |index: usize| job.topples.iter().any(|topple| topple.machine == Some(index));
    let machines = job.machines.iter().enumerate().filter(|(index, _)| !falls(*index));
    let operators = machines.filter(|(index, _)| !acknowledged(Role::Operator, Some(*index)));
    let operators = operators.map(|(_, machine)| format!("operator of {}", machine.name));
    let others = job.roles.iter().filter(|role| !acknowledged(**role, None)).map(|role| role.words().to_string());
    operators.chain(others).collect()
}
