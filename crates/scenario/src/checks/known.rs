//! What is known of a wire's tautness is stated in one complete way, at a place inside a span.

use crate::code::Code;
use crate::here::Here;
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::quantity::Either;
use crate::raw::{RawKnownBy, RawSupport, RawTemperature, RawWire};

pub(super) fn check(wire: &RawWire, supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let known = &wire.known_by;
    if known.tension.is_some() {
        return nothing_else(known, here);
    }
    let mut problems = tolerance(known, here);
    problems.extend(temperature(known, here));
    if known.height.is_some() {
        problems.extend(complete(known, here));
        problems.extend(place(known, supports, here));
    } else {
        problems.extend(needless(known, here));
    }
    problems
}

/// Where the tension is unknown, nothing else is known either.
fn nothing_else(known: &RawKnownBy, here: &Here<'_>) -> Problems {
    let mut problems = needless(known, here);
    let given = [
        ("tolerance", known.tolerance.is_some()),
        ("conductor_temperature", known.conductor_temperature.is_some()),
        ("seen_at", known.seen_at.is_some()),
    ];
    for (key, _) in given.into_iter().filter(|(_, given)| *given) {
        let message = format!("\"{key}\" says nothing where the tension is unknown");
        problems.add(here.key(key).key_problem(Code::Needless, message, "remove it, or give what it belongs to"));
    }
    problems
}

/// The temperature is given; the time where it comes from the weather, and only there.
fn temperature(known: &RawKnownBy, here: &Here<'_>) -> Problems {
    let weather = matches!(known.conductor_temperature, Some(RawTemperature::Weather(_)));
    match (&known.conductor_temperature, &known.seen_at) {
        (None, _) => {
            let message = "the key \"conductor_temperature\" is missing: the tension of a wire changes with it";
            let help = "add \"conductor_temperature\": a range, or \"from the weather\" with \"seen_at\"";
            here.problem(Code::MissingKey, message, help).into()
        }
        (Some(_), None) if weather => {
            let message = "the key \"seen_at\" is missing: the temperature comes from the weather at that time";
            here.problem(Code::MissingKey, message, "add \"seen_at\", such as \"07:10\"").into()
        }
        (Some(_), Some(_)) if !weather => {
            let message = "\"seen_at\" belongs to a temperature that comes from the weather";
            here.key("seen_at").key_problem(Code::Needless, message, "remove it").into()
        }
        _ => Problems::none(),
    }
}

/// A share for a tension, a length for a height.
fn tolerance(known: &RawKnownBy, here: &Here<'_>) -> Problems {
    let (message, help) = match (&known.tolerance, known.height.is_some()) {
        (None, height) => {
            let message = "the key \"tolerance\" is missing: no measurement is exact";
            let help =
                if height { "add \"tolerance\", such as \"0.1 m\"" } else { "add \"tolerance\", such as \"5 %\"" };
            return here.problem(Code::MissingKey, message, help).into();
        }
        (Some(Either::First(share)), true) => (
            format!("{} is a share, but the tolerance of a height is a length", share.written),
            "write such as \"0.2 m\"",
        ),
        (Some(Either::Second(length)), false) => (
            format!("{} is a length, but the tolerance of a tension is a share", length.written),
            "write such as \"5 %\"",
        ),
        _ => return Problems::none(),
    };
    here.key("tolerance").problem(Code::WrongUnit, message, help).into()
}

fn complete(known: &RawKnownBy, here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    let mut missing = |key: &str, what: &str| {
        let message = format!("the key \"{key}\" is missing: a measured height needs {what}");
        problems.add(here.problem(Code::MissingKey, message, format!("add \"{key}\"")));
    };
    if known.between.is_none() {
        missing("between", "the two supports between which it was measured");
    }
    if known.at.is_none() {
        missing("at", "the distance along the map from the first of them");
    }
    problems
}

fn needless(known: &RawKnownBy, here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    let given = [("between", known.between.is_some()), ("at", known.at.is_some()), ("ground", known.ground.is_some())];
    for (key, _) in given.into_iter().filter(|(_, given)| *given) {
        let message = format!("\"{key}\" belongs to a measured height, which is not given");
        problems.add(here.key(key).key_problem(Code::Needless, message, "remove it, or give \"height\""));
    }
    problems
}

/// The supports exist, are neighbours, and the place lies between them.
fn place(known: &RawKnownBy, supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let Some(between) = &known.between else { return Problems::none() };
    let mut problems = Problems::none();
    let find = |name: &str| supports.iter().position(|support| support.name == name);
    for (index, name) in between.iter().enumerate().filter(|(_, name)| find(name).is_none()) {
        let names: Vec<_> = supports.iter().map(|support| support.name.as_str()).collect();
        let here = here.key("between").index(index);
        problems.add(here.problem(
            Code::UnknownSupport,
            format!("the line has no support \"{name}\""),
            suggestion(name, names),
        ));
    }
    let [Some(first), Some(second)] = [&between[0], &between[1]].map(|name| find(name)) else { return problems };
    if first.abs_diff(second) != 1 {
        let message = format!(
            "\"{}\" and \"{}\" are not neighbours, so no single span lies between them",
            between[0], between[1]
        );
        problems.add(here.key("between").problem(
            Code::KnownPlace,
            message,
            "name two supports that follow each other",
        ));
    } else if let Some(at) = &known.at {
        let run_m = distance_m(&supports[first], &supports[second]);
        // Supports at one place have a problem of their own.
        if run_m >= super::supports::LEAST_M && !(at.si > 0.0 && at.si < run_m) {
            let message =
                format!("{} from \"{}\" is not inside the span, which is {run_m:.1} m long", at.written, between[0]);
            problems.add(here.key("at").problem(Code::KnownPlace, message, "give a place between the two supports"));
        }
    }
    problems
}

fn distance_m(a: &RawSupport, b: &RawSupport) -> f64 {
    (b.position[0].si - a.position[0].si).hypot(b.position[1].si - a.position[1].si)
}
