//! No two things of the same kind share a name.

use crate::code::Code;
use crate::here::Here;
use crate::invisible::looks;
use crate::problem::Problems;
use crate::raw::RawScenario;

pub(super) fn check(raw: &RawScenario, here: &Here<'_>) -> Problems {
    let mut problems = Problems::none();
    distinct("line", raw.lines.iter().map(|line| line.name.as_str()), &here.key("lines"), &mut problems);
    distinct("machine", raw.machines.iter().map(|m| m.name.as_str()), &here.key("machines"), &mut problems);
    let structures = raw.may_topple.iter().map(|structure| structure.name.as_str());
    distinct("structure", structures, &here.key("may_topple"), &mut problems);
    distinct("control", raw.controls.iter().map(|c| c.name.as_str()), &here.key("controls"), &mut problems);
    if let Some(work) = &raw.ground_work {
        let here = here.key("ground_work");
        distinct("buried line", work.buried.iter().map(|b| b.name.as_str()), &here.key("buried"), &mut problems);
        distinct("point", work.points.iter().map(|p| p.name.as_str()), &here.key("points"), &mut problems);
    }
    distinct("sag point", raw.sag_points.iter().map(|p| p.name.as_str()), &here.key("sag_points"), &mut problems);
    for (index, line) in raw.lines.iter().enumerate() {
        let here = here.key("lines").index(index);
        distinct("support", line.supports.iter().map(|s| s.name.as_str()), &here.key("supports"), &mut problems);
        distinct("wire", line.wires.iter().map(|w| w.name.as_str()), &here.key("wires"), &mut problems);
    }
    problems
}

/// Names are compared as people read them: without regard to case, blanks and forms of the same letter.
fn distinct<'a>(what: &str, names: impl Iterator<Item = &'a str>, here: &Here<'_>, problems: &mut Problems) {
    let mut seen = std::collections::HashMap::new();
    for (index, name) in names.enumerate() {
        if let Some(first) = seen.insert(looks(name), index) {
            let message = format!("the {what} \"{name}\" has the same name as {what} number {}", first + 1);
            let here = here.index(index).key("name");
            problems.add(here.problem(Code::DuplicateName, message, format!("give each {what} a name of its own")));
        }
    }
}
