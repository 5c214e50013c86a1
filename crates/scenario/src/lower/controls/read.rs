//! From controls as written to controls that are judged.

use jiff::civil::Time;
use nalgebra::Point2;
use wideberth_rules::ControlKind;

use super::{Counted, keys};
use crate::code::Code;
use crate::control::{Control, ControlState, Evidence, Expiry, Standing, WhyNot};
use crate::days::{self, Days};
use crate::defaults::SETTING_OUT_M;
use crate::here::Here;
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::quantity::EitherSpan;
use crate::raw::{ControlStateWord, RawControl, RawEvidence, RawPlacedMachine, RawScenario, WorkWord};

/// Every control of the scenario.
pub(in crate::lower) fn read(
    raw: &RawScenario,
    days: Option<Days>,
    counted: Counted,
    here: &Here<'_>,
) -> Result<Vec<Control>, Problems> {
    let mut problems = Problems::none();
    let each = raw.controls.iter().enumerate();
    let controls = each.filter_map(|(index, control)| {
        let reader = Reader { raw, control, days, here: here.key("controls").index(index) };
        problems.collect(reader.control(counted.leaves_out(index)))
    });
    let controls = controls.collect();
    problems.into_result(controls)
}

/// Places of a route closer than this are one, m.
const LEAST_LEG_M: f64 = 0.01;

struct Reader<'a> {
    raw: &'a RawScenario,
    control: &'a RawControl,
    days: Option<Days>,
    here: Here<'a>,
}

impl Reader<'_> {
    fn control(&self, left_out: bool) -> Result<Control, Problems> {
        let raw = self.control;
        let mut problems = keys::check(raw, &self.here);
        let machines: Vec<&str> = self.raw.machines.iter().map(|machine| machine.name.as_str()).collect();
        let lines: Vec<&str> = self.raw.lines.iter().map(|line| line.name.as_str()).collect();
        let structures: Vec<&str> = self.raw.may_topple.iter().map(|structure| structure.name.as_str()).collect();
        let mut index = |key, name: Option<&String>, known: &[&str]| {
            problems.collect(find(name, known, key, &self.here.key(key))).flatten()
        };
        let machine = index("machine", raw.machine.as_ref(), &machines);
        let line = index("line", raw.line.as_ref(), &lines);
        let structure = index("structure", raw.structure.as_ref(), &structures);
        let evidence = problems.collect(self.evidence()).flatten();
        let expires = problems.collect(self.expires()).flatten();
        if let Some(hours) = &raw.hours {
            problems.extend(hours_problems(hours, &self.here.key("hours")));
        }
        problems.extend(self.route_problems());
        let standing = if left_out {
            Standing::Not(WhyNot::LeftOut)
        } else {
            self.why_not(evidence.as_ref(), expires, machine).map_or(Standing::Counts, Standing::Not)
        };
        problems.into_result(Control {
            name: raw.name.clone(),
            kind: raw.kind.0,
            state: state_of(raw.state),
            machine,
            line,
            structure,
            says: says(raw),
            owner: raw.owner.clone(),
            evidence,
            expires,
            measurable: measurable(raw),
            standing,
        })
    }

    /// A route has a width, each of its places apart from the one before.
    fn route_problems(&self) -> Problems {
        let (route, width) = (&self.control.route, &self.control.width);
        let mut problems = Problems::none();
        if route.is_some() != width.is_some() {
            let (given, left_out) = if route.is_some() { ("route", "width") } else { ("width", "route") };
            let message = format!("\"{given}\" says nothing without \"{left_out}\"");
            problems.add(self.here.key(given).key_problem(Code::MissingKey, message, format!("add \"{left_out}\"")));
        }
        let places: Vec<_> = route.iter().flatten().map(|place| Point2::new(place[0].si, place[1].si)).collect();
        for (index, _) in places.windows(2).enumerate().filter(|(_, ends)| (ends[1] - ends[0]).norm() < LEAST_LEG_M) {
            let here = self.here.key("route").index(index + 1);
            let message = "the route stands still: this place is the one before";
            problems.add(here.problem(Code::Contradiction, message, "leave one of the two out"));
        }
        problems
    }

    fn evidence(&self) -> Result<Option<Evidence>, Problems> {
        let raw = self.control.evidence.as_ref();
        raw.map(|evidence| evidence_of(evidence, &self.here.key("evidence"))).transpose()
    }

    fn expires(&self) -> Result<Option<Expiry>, Problems> {
        let expires = self.control.expires.as_deref();
        expires.map(|text| expiry_of(text, &self.here.key("expires"))).transpose()
    }

    /// The first reason for which it does not count.
    fn why_not(&self, evidence: Option<&Evidence>, expires: Option<Expiry>, machine: Option<usize>) -> Option<WhyNot> {
        if self.control.state == ControlStateWord::Proposed {
            return Some(WhyNot::Proposed);
        }
        self.dated(evidence, expires).or_else(|| match self.control.kind.0 {
            ControlKind::LineOff => self.line_off(evidence),
            ControlKind::Braced if evidence.is_none() => Some(WhyNot::NoEvidence),
            ControlKind::GoalPosts => {
                let work = machine.and_then(|index| self.raw.machines.get(index)?.work);
                (work != Some(WorkWord::TravelUnder)).then_some(WhyNot::NotPassing)
            }
            ControlKind::Barrier | ControlKind::ExclusionFence => self.stands_inside(machine),
            _ => None,
        })
    }

    /// A fence counts only while every machine that it holds stands outside, wherever its tolerance lets it stand.
    fn stands_inside(&self, machine: Option<usize>) -> Option<WhyNot> {
        let around = corners(self.control)?;
        let held = self.raw.machines.iter().enumerate().filter(|(index, _)| machine.is_none_or(|held| held == *index));
        let inside = |raw: &RawPlacedMachine| {
            let at = Point2::new(raw.position[0].si, raw.position[1].si);
            let tolerance_m = raw.setting_out_tolerance.as_ref().map_or(SETTING_OUT_M, |tolerance| tolerance.si);
            outside_m(&around, &at) <= tolerance_m
        };
        held.map(|(_, raw)| raw).any(inside).then_some(WhyNot::StandsInside)
    }

    /// Whatever has a date must hold on every day of the work.
    fn dated(&self, evidence: Option<&Evidence>, expires: Option<Expiry>) -> Option<WhyNot> {
        let last = match expires {
            Some(Expiry::After(last)) => Some(last),
            Some(Expiry::Never) | None => None,
        };
        let Some(days) = self.days else {
            return (evidence.is_some() || last.is_some()).then_some(WhyNot::NoDay);
        };
        let late = evidence.filter(|evidence| evidence.date > days.first);
        let expired = last.filter(|last| *last < days.last).map(WhyNot::Expired);
        expired.or_else(|| late.map(|evidence| WhyNot::FromTheFuture(evidence.date)))
    }

    /// Only the owner's confirmation counts, with grounds at the site.
    fn line_off(&self, evidence: Option<&Evidence>) -> Option<WhyNot> {
        if self.control.confirmed_by.is_none() {
            Some(WhyNot::NotConfirmed)
        } else if self.control.grounded != Some(true) {
            Some(WhyNot::NotGrounded)
        } else {
            evidence.is_none().then_some(WhyNot::NoEvidence)
        }
    }
}

/// The corners of the ground that a control fences off, m.
pub(in crate::lower) fn corners(raw: &RawControl) -> Option<Vec<Point2<f64>>> {
    let around = raw.around.as_ref()?;
    Some(around.iter().map(|place| Point2::new(place[0].si, place[1].si)).collect())
}

/// How far a place lies outside a polygon, m; 0 inside.
fn outside_m(around: &[Point2<f64>], at: &Point2<f64>) -> f64 {
    let sides = || around.iter().zip(around.iter().cycle().skip(1));
    // A ray to the east crosses the sides an odd number of times.
    let crosses = |(from, to): &(&Point2<f64>, &Point2<f64>)| {
        (from.y > at.y) != (to.y > at.y) && from.x + (to.x - from.x) * (at.y - from.y) / (to.y - from.y) > at.x
    };
    if sides().filter(crosses).count() % 2 == 1 {
        return 0.0;
    }
    let to_side = |(from, to): (&Point2<f64>, &Point2<f64>)| {
        let along = to - from;
        let share = ((at - from).dot(&along) / along.norm_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
        (at - (from + along * share)).norm()
    };
    sides().map(to_side).fold(f64::INFINITY, f64::min)
}

/// The index of a name; none where no name is given.
pub(in crate::lower) fn find(
    name: Option<&String>,
    known: &[&str],
    what: &str,
    here: &Here<'_>,
) -> Result<Option<usize>, Problems> {
    let Some(name) = name else { return Ok(None) };
    known.iter().position(|each| each == name).map(Some).ok_or_else(|| {
        let message = format!("the scenario has no {what} \"{name}\"");
        here.problem(Code::UnknownName, message, suggestion(name, known.iter().copied())).into()
    })
}

pub(in crate::lower) fn evidence_of(raw: &RawEvidence, here: &Here<'_>) -> Result<Evidence, Problems> {
    let date = days::day(&raw.date, &here.key("date"))?;
    Ok(Evidence { what: raw.what.clone(), date })
}

/// A last day, or "never".
pub(in crate::lower) fn expiry_of(text: &str, here: &Here<'_>) -> Result<Expiry, Problems> {
    if text == "never" { Ok(Expiry::Never) } else { Ok(Expiry::After(days::day(text, here)?)) }
}

/// The time of a text such as "06:00".
pub(super) fn hour(text: &str) -> Option<Time> {
    if text.len() == "06:00".len() { format!("{text}:00").parse().ok() } else { None }
}

fn hours_problems(hours: &[String; 2], here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    for (index, text) in hours.iter().enumerate() {
        if hour(text).is_none() {
            let message = format!("\"{text}\" is no hour of the day");
            problems.add(here.index(index).problem(Code::Hour, message, "write such as \"06:00\""));
        }
    }
    if let (Some(from), Some(to)) = (hour(&hours[0]), hour(&hours[1]))
        && from >= to
    {
        let message = format!("the work would end at {}, not after it begins at {}", hours[1], hours[0]);
        problems.add(here.index(1).problem(Code::Hour, message, "give the first and the last time of one day"));
    }
    problems
}

fn state_of(word: ControlStateWord) -> ControlState {
    match word {
        ControlStateWord::Proposed => ControlState::Proposed,
        ControlStateWord::InPlace => ControlState::InPlace,
        ControlStateWord::Verified => ControlState::Verified,
    }
}

/// A cut-off is measurable when the crew has something to measure with, and measures the air, not the wire.
fn measurable(raw: &RawControl) -> bool {
    let measured = raw.measured_with.is_some();
    match raw.kind.0 {
        ControlKind::WindCutOff => measured,
        ControlKind::TemperatureCutOff => measured && raw.air_temperature.is_some(),
        _ => true,
    }
}

/// What it sets, in the words of the file.
fn says(raw: &RawControl) -> String {
    let range = raw.range.as_ref().map(|range| match range {
        EitherSpan::First(angle) => angle.written.clone(),
        EitherSpan::Second(length) => length.written.clone(),
    });
    let place = |place: &crate::raw::RawPlace| format!("{}, {}", place[0].written, place[1].written);
    let parts = [
        raw.joint.clone(),
        range,
        raw.height.as_ref().map(|height| format!("not above {}", height.written)),
        raw.reach.as_ref().map(|reach| format!("not farther than {}", reach.written)),
        raw.lowered_by.as_ref().map(|by| format!("lower by {}", by.written)),
        raw.load_length.as_ref().map(|length| format!("{} long", length.written)),
        raw.position.as_ref().map(|to| format!("at {}", place(to))),
        raw.heading.as_ref().map(|heading| format!("heading {}", heading.written)),
        raw.moved_by.as_ref().map(|by| format!("by {}", place(by))),
        raw.raised_by.as_ref().map(|by| format!("by {}", by.written)),
        raw.wind_speed.as_ref().map(|speed| format!("no work above {}", speed.written)),
        raw.wire_temperature.as_ref().map(|degrees| format!("no work with wires above {}", degrees.written)),
        raw.air_temperature.as_ref().map(|degrees| format!("that is, air above {}", degrees.written)),
        raw.hours.as_ref().map(|[from, to]| format!("{from} to {to}")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
}
