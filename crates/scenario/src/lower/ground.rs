//! Work in the ground: buried lines with their tolerance zones, and what enters the ground.

use nalgebra::Point2;
use wideberth_physics::machine::Machine;
use wideberth_rules::{GroundRule, GroundRules};

use super::controls::find;
use crate::code::Code;
use crate::days;
use crate::defaults::{Defaults, SETTING_OUT_M};
use crate::here::Here;
use crate::job::{Buried, Depth, DiggingPart, GroundPoint, GroundWork, Ticket};
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::raw::{DugWord, RawBuried, RawDepth, RawDiggingPart, RawGroundPoint, RawGroundWork, RawTicket};

/// Least distance between two marks of a buried line, m.
const LEAST_STEP_M: f64 = 1.0;

/// Everything about work in the ground.
pub(super) fn lower(
    raw: &RawGroundWork,
    machines: &[Machine],
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<GroundWork, Problems> {
    let mut problems = Problems::none();
    // Without its place nothing can be said about zones.
    let rule = rule(raw.place.as_deref(), &here.key("place"))?;
    let ticket = raw.ticket.as_ref().and_then(|raw| problems.collect(ticket(raw, rule.as_ref(), &here.key("ticket"))));
    let mut buried = Vec::new();
    for (index, each) in raw.buried.iter().enumerate() {
        let here = here.key("buried").index(index);
        buried.extend(problems.collect(self::buried(each, rule.as_ref(), &here, defaults)));
    }
    let mut parts = Vec::new();
    for (index, each) in raw.parts.iter().enumerate() {
        parts.extend(problems.collect(part(each, machines, &here.key("parts").index(index))));
    }
    let mut points = Vec::new();
    for (index, each) in raw.points.iter().enumerate() {
        points.push(point(each, &here.key("points").index(index), defaults));
    }
    problems.into_result(GroundWork { rule, ticket, buried, parts, points })
}

fn rule(place: Option<&str>, here: &Here<'_>) -> Result<Option<GroundRule>, Problems> {
    let Some(place) = place else { return Ok(None) };
    let rules = GroundRules::embedded();
    rules.find(place).cloned().map(Some).ok_or_else(|| {
        let near = rules.nearest(place);
        let known: Vec<&str> = rules.rows().iter().map(|rule| rule.place.as_str()).collect();
        let help = if near.is_empty() { format!("known are {}", known.join(", ")) } else { suggestion(place, known) };
        let message = format!("no rule for digging is known for \"{place}\"");
        here.problem(Code::GroundRule, message, help).into()
    })
}

/// A ticket, with the life that the rule of the place gives it. The day on which it was given counts as the first, and days
/// that are not worked beside weekends are not known: both end a life early rather than late.
fn ticket(raw: &RawTicket, rule: Option<&GroundRule>, here: &Here<'_>) -> Result<Ticket, Problems> {
    let (from, until) = (here.key("from"), here.key("until"));
    let days = days::from_to([&raw.from, &raw.until], [&from, &until])?;
    let given = raw.given.as_ref().map(|text| days::day(text, &here.key("given"))).transpose()?.unwrap_or(days.first);
    if given > days.first {
        let message = format!("the ticket was given on {given}, after its first day {}", days.first);
        return Err(here.key("given").problem(Code::InvertedDates, message, "correct one of them").into());
    }
    let calendar = rule.and_then(|rule| rule.ticket_days).map(|count| days::last_of(given, count, false));
    let working = rule.and_then(|rule| rule.ticket_working_days).map(|count| days::last_of(given, count, true));
    let begin_by = rule.and_then(|rule| rule.start_within_days).map(|count| days::last_of(given, count, false));
    let lives_until = [calendar, working].into_iter().flatten().min();
    Ok(Ticket { number: raw.number.clone(), days, given, lives_until, begin_by })
}

fn buried(
    raw: &RawBuried,
    rule: Option<&GroundRule>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Buried, Problems> {
    let mut problems = Problems::none();
    let course: Vec<_> = raw.course.iter().map(|place| Point2::new(place[0].si, place[1].si)).collect();
    for (index, pair) in course.windows(2).enumerate() {
        let apart_m = (pair[1] - pair[0]).norm();
        if apart_m < LEAST_STEP_M {
            let message = format!("this mark of \"{}\" lies {apart_m:.2} m from the one before", raw.name);
            let here = here.key("course").index(index + 1);
            problems.add(here.problem(Code::ZeroSpan, message, "keep marks at least 1 m apart"));
        }
    }
    let own = raw.zone.as_ref().map(|zone| (zone.si, "the scenario".to_string()));
    let placed = || rule.and_then(|rule| Some((rule.zone_m?, rule.place.clone())));
    let zone = own.or_else(placed).ok_or_else(|| {
        let message = format!("neither \"{}\" nor the place says how wide its tolerance zone is", raw.name);
        here.problem(Code::NoZone, message, "add \"zone\", as the owner of the buried line states it").into()
    });
    let zone = problems.collect(zone);
    let ground_m = defaults.take(raw.ground.as_ref(), &here.key("ground"), 0.0, "0 m", "level of the ground along it");
    let (zone_m, zone_of) = zone.unwrap_or_default();
    let depth = match &raw.depth {
        RawDepth::Unknown(_) => Depth::Unknown,
        RawDepth::Measured(depth) => Depth::Measured { depth_m: depth.measured.si, tolerance_m: depth.tolerance.si },
    };
    problems.into_result(Buried { name: raw.name.clone(), course, ground_m, zone_m, zone_of, depth })
}

fn part(raw: &RawDiggingPart, machines: &[Machine], here: &Here<'_>) -> Result<DiggingPart, Problems> {
    let names: Vec<&str> = machines.iter().map(Machine::name).collect();
    let machine = find(Some(&raw.machine), &names, "machine", &here.key("machine"))?.unwrap_or_default();
    let bodies: Vec<&str> = machines[machine].bodies().iter().map(|body| body.name.as_str()).collect();
    let body = bodies.iter().position(|name| *name == raw.part).ok_or_else(|| {
        let message = format!("\"{}\" has no part \"{}\"", raw.machine, raw.part);
        here.key("part").problem(Code::UnknownBody, message, suggestion(&raw.part, bodies.iter().copied()))
    })?;
    Ok(DiggingPart { machine, body, depth_m: raw.depth.si })
}

fn point(raw: &RawGroundPoint, here: &Here<'_>, defaults: &mut Defaults) -> GroundPoint {
    let tolerance_m = defaults.take(
        raw.setting_out_tolerance.as_ref(),
        &here.key("setting_out_tolerance"),
        SETTING_OUT_M,
        "0.5 m",
        "how far it may stand from its place",
    );
    GroundPoint {
        name: raw.name.clone(),
        at: Point2::new(raw.position[0].si, raw.position[1].si),
        radius_m: raw.radius.si,
        tolerance_m,
        by_hand: raw.dug == DugWord::ByHand,
    }
}
