//! Is the plan ready? Everything that is still missing before work starts, each with a stable code and what to do.
//!
//! A hazard is a machine and a line of which, without controls, the limit is not kept or a planning distance of the rule is
//! entered. Clear is not ready: a plan is ready when each hazard has a control with an owner and the record is complete.

mod ends;
mod holds;
mod records;

use std::collections::BTreeSet;

use jiff::civil::Date;
use wideberth_physics::approach::Options;
use wideberth_physics::assess::{Assessment, Finding};
use wideberth_physics::verdict::Verdict;
use wideberth_rules::{ControlClass, ControlKind, Measured, Origin, Voltage, Work};
use wideberth_scenario::control::{Control, Standing, WhyNot};
use wideberth_scenario::days::Days;
use wideberth_scenario::job::{GroundWork, Limit, LimitBasis, Posts, Ticket};
use wideberth_scenario::{FreeEnd, Job};

pub use ends::{Holding, holding};
pub use holds::{Holds, holds_only_while};
pub use records::free_places;

use crate::digging::{Digger, GroundFinding};
use crate::on_the_map::on_the_map;
use crate::stand::{Route, clearway, is_clear_up_to};
use crate::wind::{LiftingWind, TopplingWind};

wideberth_scenario::stable_names! {
    /// What kind of thing is missing. The names never change their meaning.
    Gap:
    /// Not clear.
    NotClear = "not-clear":
        "With the controls that are in place, the limit is not kept, or that is not proven. Nothing else makes such a plan ready.",
    /// Hazard without control.
    NoControl = "hazard-without-control":
        "Without controls this machine would come too close to this line, or enters the distance at which the rule asks for a plan. So it needs at \
         least one control that counts, with a name and an owner; standing far enough away is one: \"work moved\".",
    /// Only weak controls.
    WeakControl = "only-weak-controls":
        "The machine enters the distance at which the rule asks for a plan, and only people keep it away. At least one control must be stronger: \
         the line off, moved or raised, the work moved, another machine, or a stop that does not depend on anybody's attention.",
    /// A control is only proposed.
    Proposed = "control-proposed":
        "A proposed control never counts. Put it in place and say so, or take it out of the plan.",
    /// A control does not count.
    NotCounting = "control-does-not-count":
        "The control is said to be in place, but does not count: it or its evidence has the wrong date, or the owner's confirmation or the grounds \
         are missing. The message says which.",
    /// A control that changes nothing.
    Idle = "control-changes-nothing":
        "The control is in place, but the plan is as clear without it, and alone it makes no distance larger for certain: a stop as wide as the \
         machine's own range, a height above everything, a move to the same place. It is no answer to a hazard. Correct it, or take it out.",
    /// An end that nobody holds.
    EndFree = "end-nobody-holds":
        "The plan is clear only as long as a range stays narrower than the machine's or the weather's own, and nobody holds it there. The answer \
         names one smallest set of ends that would do. Hold each by a stop, a cut-off, or the record that it rests on.",
    /// A place that nobody holds.
    PlaceFree = "place-nobody-holds":
        "Nothing keeps the machine where the plan puts it. A machine that sets up needs a place that somebody marked on the ground and answers for; \
         one that passes below wires needs goal posts, a barrier or a fence.",
    /// A value without a record.
    Assumed = "value-without-record":
        "The value makes the answer more favourable than a careful one would, and no record says that it is so. docs/records.md says which value \
         rests on which record. Add the record, with the role that answers for it, its day and what shows it, or leave the value out.",
    /// A record that does not hold.
    RecordEnded = "record-does-not-hold":
        "The record ends before the work does, or is dated after the work begins, so that nothing rests on it on every day of the work.",
    /// A record or evidence that is still to come.
    ToCome = "record-to-come":
        "The plan rests on something that is dated after the day on which it is judged. It is due before the work starts; judge the plan again then.",
    /// No owner.
    NoOwner = "control-without-owner":
        "Nobody answers for the control. Name the role of the person who puts it in place, checks it, and may stop the work.",
    /// No evidence.
    NoEvidence = "control-without-evidence":
        "Nothing shows that the control is in place. Give a letter, a lock-out number, a photo or a test sheet, with its date.",
    /// No expiry.
    NoExpiry = "control-without-expiry":
        "It is not said how long the control holds. Give the last day, or \"never\" where it lasts as long as the job.",
    /// A cut-off that nobody can measure.
    NotMeasurable = "cut-off-not-measurable":
        "The crew cannot tell when to stop. Say with what and where the wind or the air temperature is measured. Nobody on site can measure the \
         temperature of a wire: give the air temperature that goes with it.",
    /// Goal posts that let too much pass.
    PostsTooHigh = "goal-posts-too-high":
        "Goal posts hold down only what is higher than they are. What just passes between these, anywhere along the route that they are given, is \
         not proven to keep its limit from the wires. Lower them, to no more than the height that \"wideberth stand --route\" proves for that \
         route and width, less what a load may bounce.",
    /// A limit from memory.
    LimitUnchecked = "limit-not-checked":
        "The limit of approach comes from a table that was written from memory. Compare it with the text of the rule, and say who did under \
         \"checked_by\" of the rule; or get the distance in writing from the line's owner.",
    /// A voltage nobody confirmed.
    VoltageUnconfirmed = "voltage-not-confirmed":
        "Nobody has confirmed the voltage, so the limit may come from the wrong row. Ask the line's owner, or write \"unknown\" and keep the distance \
         for that.",
    /// A height nobody measured.
    HeightAssumed = "height-not-measured":
        "The height of the wire follows from a tension that nobody measured here, or from attachments without a stated tolerance. Measure the wire \
         from the side, without touching or nearing it, and give the height with its tolerance.",
    /// No ticket.
    NoTicket = "no-locate-ticket":
        "Something enters the ground: digging, posts, anchors and outriggers count. Nobody has located what is buried there. Ask for it, and wait \
         for the marks.",
    /// A ticket that does not hold.
    TicketInvalid = "locate-ticket-not-valid":
        "The ticket does not hold on every day of the work, by its own days or by the life that the rule of the place gives it from the day on \
         which it was given. Have it renewed before it ends; marks fade and lines are laid.",
    /// No briefing.
    NoBriefing = "briefing-not-acknowledged":
        "Nobody has said that the plan was understood, or the briefing is dated after the work begins. Brief everybody down to the newest hand, \
         and write down who acknowledged it.",
    /// A briefing older than the plan.
    BriefingOlder = "briefing-older-than-plan":
        "A record or the evidence of a control is younger than the briefing, so people were briefed on another plan. Brief them again.",
    /// A role that was not briefed.
    NotBriefed = "role-not-briefed":
        "The plan has a role whose holder has not acknowledged the briefing: the operator of each machine, the spotter, who handles the load, the \
         newest hand. Brief them, and list each under \"acknowledged_by\" as {\"role\": ...}. Anybody may stop the work.",
    /// A duty.
    DutyOpen = "duty-open":
        "A rule of your own names a duty that is not recorded as done. Do it, and list it under \"duties_done\" with its owner and evidence.",
    /// Too windy to lift.
    TooWindyToLift = "wind-above-lifting-limit":
        "The load turns more sail to the wind than the machine's chart takes for granted, so that it may only be lifted in less wind than the \
         conditions allow. Set a wind cut-off at or below the limit that is named.",
    /// A wind that topples.
    TooWindyToStand = "wind-can-topple":
        "The conditions hold a wind that topples the structure, by the largest drag published for its shape. Brace it, fill it, or stop before \
         that wind.",
    /// No day.
    NoDay = "work-day-unknown":
        "Nobody says on which day the work is, so that nothing that expires can be relied on. Give \"work_dates\", or ask with --on.",
    /// Another day.
    OutsideWork = "day-outside-the-work":
        "The plan is judged on a day that is none of its work days: they are over, or have not begun. A plan is made for its days; plan anew.",
}

/// One thing that is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What kind.
    pub gap: Gap,
    /// What is missing where, in a few words.
    pub words: String,
    /// What to do about it.
    pub to_do: String,
    /// The day by which it is due, where it need not be there yet; none where it is missing now.
    pub due: Option<Date>,
}

/// What readiness looks at.
#[derive(Clone, Copy, Debug)]
pub struct Evidence<'a> {
    /// The job with its controls.
    pub job: &'a Job,
    /// What was found with them.
    pub assessment: &'a Assessment,
    /// The job and what was found without controls, above the ground and in it; as with them where none changes anything.
    pub without: (&'a Job, &'a Assessment, &'a [GroundFinding]),
    /// Digging.
    pub digging: &'a [GroundFinding],
    /// Lifting in wind.
    pub lifting: &'a [LiftingWind],
    /// Toppling in wind.
    pub toppling: &'a [TopplingWind],
    /// What the search with free ends found.
    pub holding: &'a Holding,
}

/// Everything that is missing, in the order of [`Gap`]. Empty: ready.
#[must_use]
pub fn missing(evidence: &Evidence<'_>) -> Vec<Missing> {
    let mut found = Found::default();
    found.verdict(evidence);
    found.hazards(evidence);
    found.digging(evidence);
    evidence.job.controls.iter().for_each(|control| found.control(evidence.job, control));
    found.holding(evidence);
    found.places(evidence.job);
    found.rests(evidence.job);
    evidence.job.posts.iter().for_each(|posts| found.posts(evidence.job, posts));
    found.limits(evidence.job);
    found.heights(evidence.job);
    found.ground(evidence.job);
    found.briefing(evidence.job);
    found.days(evidence.job);
    found.winds(evidence);
    found.0.sort_by_key(|missing| (missing.due.is_some(), missing.gap));
    found.0
}

#[derive(Default)]
struct Found(Vec<Missing>);

impl Found {
    /// Notes something once.
    fn add(&mut self, gap: Gap, words: impl Into<String>, to_do: impl Into<String>) {
        self.due(gap, words, to_do, None);
    }

    /// Notes something once, with the day by which it is due where it need not be there yet.
    fn due(&mut self, gap: Gap, words: impl Into<String>, to_do: impl Into<String>, due: Option<Date>) {
        let missing = Missing { gap, words: words.into(), to_do: to_do.into(), due };
        if !self.0.contains(&missing) {
            self.0.push(missing);
        }
    }

    fn verdict(&mut self, evidence: &Evidence<'_>) {
        let ground = evidence.digging.iter().map(|finding| finding.verdict);
        let worst = ground.fold(evidence.assessment.verdict, Verdict::max);
        if worst != Verdict::Clear {
            self.add(Gap::NotClear, "the plan is not clear", "choose a control that makes it clear");
        }
    }

    fn hazards(&mut self, evidence: &Evidence<'_>) {
        for hazard in hazards(evidence.without) {
            let (bare, ..) = evidence.without;
            let name = format!("{} near {}", bare.machines[hazard.machine].name, bare.lines[hazard.line].name);
            let controls = evidence.job.controls.iter().enumerate();
            let working =
                controls.filter(|(index, _)| !evidence.holding.idle.contains(index)).map(|(_, control)| control);
            let of = working.filter(|control| covers(control, &hazard, bare));
            // What keeps a limit that would not be kept otherwise changes what is computed.
            let of = of.filter(|control| hazard.kept || control.kind.changes_the_model());
            let strongest = of.map(|control| control.kind.class()).min();
            if strongest.is_none_or(|class| class == ControlClass::Supplement) {
                self.add(Gap::NoControl, name, "add a control, with its owner");
            } else if hazard.triggered && strongest > Some(ControlClass::Engineer) {
                self.add(Gap::WeakControl, name, "add one that does not depend on people");
            }
        }
    }

    /// A part that digs into a tolerance zone unless a control holds it needs that control.
    fn digging(&mut self, evidence: &Evidence<'_>) {
        let (bare, _, findings) = evidence.without;
        let Some(work) = &bare.ground_work else { return };
        for finding in findings.iter().filter(|finding| finding.verdict != Verdict::Clear) {
            let Digger::Part(index) = finding.what else { continue };
            let machine = work.parts[index].machine;
            let holds = |c: &&Control| c.counts() && c.machine == Some(machine) && c.kind.changes_the_model();
            if !evidence.job.controls.iter().any(|control| holds(&control)) {
                let name = format!("{} near {}", bare.machines[machine].name, work.buried[finding.buried].name);
                self.add(Gap::NoControl, name, "add a control, with its owner");
            }
        }
    }

    /// Ends that nobody holds, and controls that hold nothing.
    fn holding(&mut self, evidence: &Evidence<'_>) {
        for end in &evidence.holding.ends {
            let (words, to_do) = end_words(evidence.job, end);
            self.add(Gap::EndFree, words, to_do);
        }
        for &index in &evidence.holding.idle {
            let name = format!("\"{}\"", evidence.job.controls[index].name);
            self.add(Gap::Idle, name, "correct it, or take it out of the plan");
        }
    }

    fn control(&mut self, job: &Job, control: &Control) {
        let name = format!("\"{}\"", control.name);
        match control.standing {
            Standing::Not(WhyNot::Proposed) => {
                return self.add(Gap::Proposed, name, "put it in place, or take it out of the plan");
            }
            Standing::Not(why) => return self.add(Gap::NotCounting, format!("{name}: {why}"), "put that right"),
            Standing::Counts => {}
        }
        if control.owner.is_none() {
            self.add(Gap::NoOwner, name.clone(), "name the role that answers for it");
        }
        match &control.evidence {
            None => self.add(Gap::NoEvidence, name.clone(), "give what shows it, and its date"),
            Some(evidence) if job.judged_on.is_some_and(|today| evidence.date > today) => {
                let words = format!("evidence of {name}, dated {}", evidence.date);
                self.due(Gap::ToCome, words, "have it before the work starts", Some(evidence.date));
            }
            Some(_) => {}
        }
        if control.expires.is_none() {
            self.add(Gap::NoExpiry, name.clone(), "give its last day, or \"never\"");
        }
        if !control.measurable {
            self.add(Gap::NotMeasurable, name, "say with what the crew measures");
        }
    }

    /// Posts are compared with the greatest height that is proven along their route. A search that fails proves nothing.
    fn posts(&mut self, job: &Job, posts: &Posts) {
        let Posts { machine, width_m, ref along, height_m, .. } = *posts;
        let ground_m = job.machines.get(machine).map_or(0.0, |info| info.position.z);
        let route = Route { machine, along: along.clone(), width_m, ground_m };
        if is_clear_up_to(job, &route, height_m).is_ok_and(|clear| clear) {
            return;
        }
        let most = clearway(job, &route).ok().flatten();
        let words = most.map_or("no height is proven along their route".to_string(), |most| {
            format!("{:.2} m is proven along their route", most.clear_m)
        });
        let words = format!("\"{}\" are {height_m:.2} m high, {words}", posts.name);
        self.add(Gap::PostsTooHigh, words, "lower them, or choose another route");
    }

    fn limits(&mut self, job: &Job) {
        for (pairing, limit) in job.study.pairings.iter().zip(&job.limits) {
            if let Some(rule) = unchecked(limit) {
                self.add(Gap::LimitUnchecked, rule, "compare it with the rule's own text, say who did");
            }
            let line = &job.lines[pairing.line];
            let voltage = &line.wires[pairing.wire].voltage;
            if matches!(voltage, Voltage::Known { confirmed_by: None, .. }) {
                self.add(Gap::VoltageUnconfirmed, line.name.clone(), "ask the line's owner");
            }
            for duty in open_duties(limit, job) {
                self.add(Gap::DutyOpen, duty, "do it, and list it under \"duties_done\"");
            }
        }
    }

    fn heights(&mut self, job: &Job) {
        for line in job.lines.iter().filter(|line| !line.off) {
            let assumed =
                line.wires.iter().filter(|wire| !wire.height_measured).map(|wire| format!("\"{}\"", wire.name));
            let assumed: Vec<String> = assumed.collect();
            if !assumed.is_empty() {
                let wires = if assumed.len() == line.wires.len() { "every wire".into() } else { assumed.join(", ") };
                self.add(Gap::HeightAssumed, format!("{wires} of {}", line.name), "measure it, with its tolerance");
            }
        }
    }

    fn ground(&mut self, job: &Job) {
        let posts = job.controls.iter().any(|control| control.counts() && enters_the_ground(control.kind));
        let work = job.ground_work.as_ref();
        if !posts && !work.is_some_and(|work| !work.parts.is_empty() || !work.points.is_empty()) {
            return;
        }
        match (work.and_then(|work| work.ticket.as_ref()), job.days) {
            (None, _) => self.add(Gap::NoTicket, "something enters the ground", "have what is buried located"),
            (Some(ticket), Some(days)) if ticket.days.first > days.first || ticket.days.last < days.last => {
                let words =
                    format!("ticket {} holds from {} to {}", ticket.number, ticket.days.first, ticket.days.last);
                self.add(Gap::TicketInvalid, words, "have it renewed");
            }
            (Some(ticket), Some(days)) => self.ticket_life(work, ticket, days),
            (Some(_), None) => {}
        }
    }

    /// The life of a ticket by the rule of its place, whatever its own last day says.
    fn ticket_life(&mut self, work: Option<&GroundWork>, ticket: &Ticket, days: Days) {
        let place = work.and_then(|work| work.rule.as_ref()).map_or("there", |rule| &rule.place);
        let life = work.and_then(|work| work.rule.as_ref()?.ticket_life.as_deref()).unwrap_or("a stated time");
        let Ticket { number, given, .. } = ticket;
        if let Some(last) = ticket.lives_until.filter(|last| *last < days.last) {
            let words = format!("ticket {number}, given on {given}, ended on {last} ({place}: {life})");
            self.add(Gap::TicketInvalid, words, "have it renewed");
        }
        if let Some(by) = ticket.begin_by.filter(|by| *by < days.first) {
            let words =
                format!("by ticket {number}, given on {given}, the work had to begin by {by} ({place}: {life})");
            self.add(Gap::TicketInvalid, words, "have it renewed");
        }
    }

    fn winds(&mut self, evidence: &Evidence<'_>) {
        for wind in evidence.lifting.iter().filter(|wind| wind.is_exceeded()) {
            let words = format!(
                "{} lifts in at most {:.1} m/s",
                evidence.job.machines[wind.machine].name,
                floor_to_tenth(wind.limit_m_per_s)
            );
            self.add(Gap::TooWindyToLift, words, "set a wind cut-off there");
        }
        for wind in evidence.toppling.iter().filter(|wind| wind.is_exceeded()) {
            let name = &evidence.job.topples[wind.structure].name;
            let words = format!("{name} stands in at most {:.1} m/s", floor_to_tenth(wind.limit_m_per_s));
            self.add(Gap::TooWindyToStand, words, "brace it, or set a wind cut-off there");
        }
    }
}

/// An end that nobody holds, and what would.
fn end_words(job: &Job, end: &FreeEnd) -> (String, &'static str) {
    match end {
        FreeEnd::Joint { machine, joint } => {
            let name = job.machines.get(*machine).map_or("", |machine| &machine.name);
            (format!("{joint} of {name}"), "set a joint stop, a height stop or a reach stop, with an owner")
        }
        FreeEnd::WireTemperature => (
            "how hot the wires get".into(),
            "set a temperature cut-off, or let a weather record cover \"conductor_temperature\"",
        ),
        FreeEnd::Wind => {
            ("how hard the wind blows".into(), "set a wind cut-off, or let a weather record cover \"wind\"")
        }
        FreeEnd::WindFrom => {
            ("where the wind comes from".into(), "let a weather record cover \"wind_from\", or plan for any")
        }
    }
}

/// A limit is told rounded down: never more than what holds.
fn floor_to_tenth(value: f64) -> f64 {
    (value * 10.0).floor() / 10.0
}

/// Posts of goal posts and anchors of a bracing enter the ground.
fn enters_the_ground(kind: ControlKind) -> bool {
    matches!(kind, ControlKind::GoalPosts | ControlKind::Braced | ControlKind::ExclusionFence | ControlKind::Barrier)
}

/// A machine and a line that need a control.
struct Hazard {
    machine: usize,
    line: usize,
    /// Whether a planning distance of the rule is entered.
    triggered: bool,
    /// Whether the limit is kept even so.
    kept: bool,
}

/// Every machine and line of which, without controls, the limit is not kept or a planning distance is entered.
fn hazards((job, assessment, _): (&Job, &Assessment, &[GroundFinding])) -> Vec<Hazard> {
    let findings = || assessment.findings.iter().zip(&job.limits);
    let pairs: BTreeSet<(usize, usize)> = findings().map(|(f, _)| (f.pairing.machine, f.pairing.line)).collect();
    let judged = pairs.into_iter().map(|(machine, line)| {
        let of = || findings().filter(|(f, _)| (f.pairing.machine, f.pairing.line) == (machine, line));
        let kept = of().all(|(finding, _)| finding.verdict == Verdict::Clear);
        let triggered = of().any(|(finding, limit)| is_triggered(job, finding, limit));
        (!kept || triggered).then_some(Hazard { machine, line, triggered, kept })
    });
    judged.flatten().collect()
}

/// Whether a planning distance of the rule is entered, for all that is proven. One that is measured along the ground is
/// compared with the distance on the map, which is never more than the straight one.
fn is_triggered(job: &Job, finding: &Finding, limit: &Limit) -> bool {
    let triggers = limit.rule().map_or(&[][..], |choice| &choice.triggers);
    triggers.iter().any(|trigger| {
        let least_m = trigger.distance.length_m;
        finding.distance.lower_m < least_m
            || (trigger.measured == Measured::Horizontal && !keeps_on_the_map(job, finding, least_m))
    })
}

/// Whether a machine is proven to stay a distance away from a wire on the map, whatever their heights.
fn keeps_on_the_map(job: &Job, finding: &Finding, least_m: f64) -> bool {
    let pairing = &finding.pairing;
    let machine = job.study.machines.get(pairing.machine);
    let wire = job.study.lines.get(pairing.line).and_then(|line| line.wires.get(pairing.wire));
    let (Some(machine), Some(wire)) = (machine, wire) else { return false };
    let found = on_the_map(machine, wire, &Options { enough_m: Some(least_m), ..job.options.clone() });
    // A search that fails proves nothing.
    found.is_ok_and(|distance| distance.lower_m >= least_m)
}

/// Whether a control that counts belongs to a hazard.
fn covers(control: &Control, hazard: &Hazard, bare: &Job) -> bool {
    let falls = |structure: usize| bare.topples.get(structure).is_some_and(|t| t.machine == Some(hazard.machine));
    // A fence stops wheels; a boom reaches over it.
    let fences = matches!(control.kind, ControlKind::Barrier | ControlKind::ExclusionFence);
    let passes = bare.machines.get(hazard.machine).is_some_and(|machine| machine.work == Work::TravelUnder);
    control.counts()
        && (passes || !fences)
        && control.machine.is_none_or(|machine| machine == hazard.machine)
        && control.line.is_none_or(|line| line == hazard.line)
        && control.structure.is_none_or(falls)
}

/// The rule of a limit that comes from memory, or stands in for a table that the place does not have, and that nobody compared
/// with the text of the law there.
fn unchecked(limit: &Limit) -> Option<String> {
    let LimitBasis::Rule(choice) = &limit.basis else { return None };
    (choice.needs_a_check() && limit.checked_by.is_none()).then(|| format!("{} of {}", choice.printed, choice.rule_id))
}

/// Duties of the user's own tables that are not recorded as done.
fn open_duties<'a>(limit: &'a Limit, job: &'a Job) -> impl Iterator<Item = String> + 'a {
    let choice = limit.rule().filter(|choice| choice.origin == Origin::User);
    let duties = choice.into_iter().flat_map(|choice| &choice.duties);
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    duties
        .filter(move |duty| !job.duties_done.iter().any(|done| same(&done.duty, &duty.does)))
        .map(|duty| format!("{}: {}", duty.who, duty.does))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_stable_words() {
        for (index, gap) in Gap::ALL.iter().enumerate() {
            assert!(gap.name().chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", gap.name());
            assert!(gap.explain().len() > 60, "{}", gap.name());
            assert!(Gap::ALL[..index].iter().all(|other| other.name() != gap.name()));
        }
    }

    #[test]
    fn a_wind_limit_is_told_rounded_down() {
        assert!((floor_to_tenth(2.79) - 2.7).abs() < 1e-12);
    }
}
