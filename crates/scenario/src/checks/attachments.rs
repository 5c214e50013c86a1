//! Each wire is fixed once to each support, in their order.

use crate::code::Code;
use crate::here::Here;
use crate::nearest::suggestion;
use crate::problem::Problems;
use crate::raw::{RawSupport, RawWire};

pub(super) fn check(wire: &RawWire, supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    let names = || supports.iter().map(|support| support.name.as_str());
    for (index, attachment) in wire.attachments.iter().enumerate() {
        if !names().any(|name| name == attachment.support) {
            let message = format!("the line has no support \"{}\"", attachment.support);
            let names: Vec<_> = names().collect();
            let help = suggestion(&attachment.support, names);
            problems.add(here.index(index).key("support").problem(Code::UnknownSupport, message, help));
        }
    }
    if problems.is_empty() {
        problems.extend(one_each(wire, supports, here));
    }
    problems.extend(short_strings(wire, here));
    problems.extend(offsets(wire, here));
    problems
}

/// No string reaches the ground.
fn short_strings(wire: &RawWire, here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    for (index, attachment) in wire.attachments.iter().enumerate() {
        let Some(string) = attachment.string.as_ref().filter(|string| string.length.si >= attachment.height.si) else {
            continue;
        };
        let message = format!(
            "the string of {} is not shorter than the wire is high there, {}",
            string.length.written, attachment.height.written
        );
        let here = here.index(index).key("string").key("length");
        problems.add(here.problem(Code::ImpossibleString, message, "check both lengths and their units"));
    }
    problems
}

/// An offset is stated at every attachment or at none: left out at one end only, the wire would run askew.
fn offsets(wire: &RawWire, here: &Here<'_>) -> Problems {
    let stated = wire.attachments.iter().find_map(|attachment| attachment.offset.as_ref().map(|o| (attachment, o)));
    let bare = wire.attachments.iter().position(|attachment| attachment.offset.is_none());
    let (Some((stated, offset)), Some(bare)) = (stated, bare) else { return Problems::none() };
    let message = format!(
        "\"offset\" is left out at \"{}\", but is {} at \"{}\"",
        wire.attachments[bare].support, offset.written, stated.support
    );
    let help = "give it at every attachment; \"0 m\" where the wire is above the support's place";
    here.index(bare).problem(Code::Attachments, message, help).into()
}

fn one_each(wire: &RawWire, supports: &[RawSupport], here: &Here<'_>) -> Problems {
    let help = "give one attachment for each support, in the order of \"supports\"";
    let (given, wanted) = (wire.attachments.len(), supports.len());
    if given != wanted {
        let message = format!("the wire \"{}\" has {given} attachments, but the line has {wanted} supports", wire.name);
        return here.problem(Code::Attachments, message, help).into();
    }
    let wrong = wire.attachments.iter().zip(supports).position(|(a, s)| a.support != s.name);
    wrong.map_or_else(Problems::none, |index| {
        let (found, expected) = (&wire.attachments[index].support, &supports[index].name);
        let message = format!("attachment number {} is at \"{found}\", where \"{expected}\" is next", index + 1);
        here.index(index).key("support").problem(Code::Attachments, message, help).into()
    })
}
