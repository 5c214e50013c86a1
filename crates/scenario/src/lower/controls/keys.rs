//! Which keys each kind of control needs, and which it may have.

use wideberth_rules::ControlKind;

use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::raw::RawControl;

/// Keys that a kind needs, and further ones that it may have.
fn keys(kind: ControlKind) -> (&'static [&'static str], &'static [&'static str]) {
    match kind {
        ControlKind::LineOff => (&["line"], &["confirmed_by", "grounded"]),
        ControlKind::LineMoved => (&["line", "moved_by"], &[]),
        ControlKind::LineRaised => (&["line", "raised_by"], &[]),
        ControlKind::WorkMoved => (&["machine", "position"], &["ground", "heading"]),
        ControlKind::OtherMachine => (&["machine", "replaced_by"], &[]),
        ControlKind::LowerMachine => (&["machine", "lowered_by"], &[]),
        ControlKind::ShorterLoad => (&["machine", "load_length"], &[]),
        ControlKind::ReachStop => (&["machine", "reach"], &[]),
        ControlKind::JointStop => (&["machine", "joint", "range"], &[]),
        ControlKind::HeightStop => (&["machine", "height"], &[]),
        ControlKind::GoalPosts => (&["machine", "height"], &["line", "route", "width"]),
        ControlKind::Braced => (&["structure"], &[]),
        ControlKind::WindCutOff => (&["wind_speed"], &["line", "measured_with"]),
        ControlKind::TemperatureCutOff => (&["wire_temperature"], &["air_temperature", "line", "measured_with"]),
        ControlKind::Barrier | ControlKind::ExclusionFence => (&[], &["machine", "line", "around"]),
        ControlKind::MarkedPlace => (&["machine"], &[]),
        ControlKind::Hours => (&["hours"], &["machine", "line"]),
        _ => (&[], &["machine", "line"]),
    }
}

/// Every key that depends on the kind, and whether it is given.
fn given(raw: &RawControl) -> [(&'static str, bool); 25] {
    [
        ("machine", raw.machine.is_some()),
        ("line", raw.line.is_some()),
        ("structure", raw.structure.is_some()),
        ("joint", raw.joint.is_some()),
        ("range", raw.range.is_some()),
        ("height", raw.height.is_some()),
        ("reach", raw.reach.is_some()),
        ("lowered_by", raw.lowered_by.is_some()),
        ("load_length", raw.load_length.is_some()),
        ("route", raw.route.is_some()),
        ("width", raw.width.is_some()),
        ("around", raw.around.is_some()),
        ("position", raw.position.is_some()),
        ("ground", raw.ground.is_some()),
        ("heading", raw.heading.is_some()),
        ("moved_by", raw.moved_by.is_some()),
        ("raised_by", raw.raised_by.is_some()),
        ("replaced_by", raw.replaced_by.is_some()),
        ("wind_speed", raw.wind_speed.is_some()),
        ("wire_temperature", raw.wire_temperature.is_some()),
        ("air_temperature", raw.air_temperature.is_some()),
        ("hours", raw.hours.is_some()),
        ("measured_with", raw.measured_with.is_some()),
        ("grounded", raw.grounded.is_some()),
        ("confirmed_by", raw.confirmed_by.is_some()),
    ]
}

/// Missing keys, and keys without meaning for the kind.
pub(super) fn check(raw: &RawControl, here: &Here<'_>) -> Problems {
    let kind = raw.kind.0;
    let (needed, further) = keys(kind);
    let mut problems = Problems::none();
    for (key, given) in given(raw) {
        if needed.contains(&key) && !given {
            let message = format!("the key \"{key}\" is missing: \"{kind}\" needs it");
            problems.add(here.problem(Code::MissingKey, message, format!("add \"{key}\"; docs/controls.md says what")));
        } else if given && !needed.contains(&key) && !further.contains(&key) {
            let message = format!("\"{key}\" has no meaning for a control of the kind \"{kind}\"");
            problems.add(here.key(key).key_problem(Code::Needless, message, "remove it, or choose another kind"));
        }
    }
    problems
}
