//! What to know before relying on the numbers: each remark once, the gravest first.

use nalgebra::Point2;
use wideberth_physics::approach::{StopReason, reach_m};
use wideberth_plan::answer::Answer;
use wideberth_rules::{LimitChoice, Resolution};
use wideberth_scenario::job::{Job, Limit, SupportInfo};
use wideberth_scenario::machine::SourceTag;

/// Every warning of an answer.
pub(crate) fn warnings(answer: &Answer) -> Vec<String> {
    let Answer { job, assessment, .. } = answer;
    let spent = assessment.findings.iter().filter(|finding| finding.approach.stop == StopReason::CellBudget);
    let spent = spent.map(|finding| {
        let p = finding.pairing;
        let (machine, line) = (&job.machines[p.machine].name, &job.lines[p.line]);
        let wire = &line.wires[p.wire].name;
        format!(
            "the search of {machine} against \"{wire}\" of {} used up its work: its range is wider than asked",
            line.name
        )
    });
    let limits = job.limits.iter().flat_map(of_limit);
    once(spent.chain(ends_in_reach(job)).chain(limits).chain(conductors(job)).chain(machines(job)))
}

/// Lines that may go on, undescribed, where a machine can come near them: beyond their first or last support.
fn ends_in_reach(job: &Job) -> Vec<String> {
    let mut found = Vec::new();
    for (pairing, limit) in job.study.pairings.iter().zip(&job.limits) {
        let (machine, line) = (&job.study.machines[pairing.machine], &job.lines[pairing.line]);
        let near_m = reach_m(machine) + limit.distance_m;
        let near = ends(&line.supports).filter(|ends| beyond_m(ends, &machine.position().xy()) < near_m);
        found.extend(near.map(|[end, _]| {
            format!(
                "what lies beyond support {} of {} is not known, and {} can come near it: describe the line farther",
                end.name, line.name, job.machines[pairing.machine].name
            )
        }));
    }
    found
}

/// The first and the last support, each with its neighbour.
fn ends(supports: &[SupportInfo]) -> impl Iterator<Item = [&SupportInfo; 2]> {
    let first = supports.first().zip(supports.get(1));
    let last = supports.last().zip(supports.iter().rev().nth(1));
    [first, last].into_iter().flatten().map(|(end, neighbour)| [end, neighbour])
}

/// Distance on the map of a place from where a line would go straight on past its end, m.
fn beyond_m([end, neighbour]: &[&SupportInfo; 2], place: &Point2<f64>) -> f64 {
    let outward = (end.foot - neighbour.foot).xy().normalize();
    let to_place = place - end.foot.xy();
    (to_place - outward * to_place.dot(&outward).max(0.0)).norm()
}

/// Doubts that were resolved, warnings and remarks of a limit.
pub(crate) fn of_limit(limit: &Limit) -> Vec<String> {
    let memory = |choice: &LimitChoice| {
        let told = choice.warnings.iter().any(|warning| warning.contains("from memory"));
        (choice.is_from_memory() && !told).then(|| {
            format!(
                "the limit {} of {} is written from memory: check it against the rule itself",
                choice.printed, choice.rule_id
            )
        })
    };
    let rule = limit.rule();
    let from_rule = rule.into_iter().flat_map(|choice| {
        let resolved = choice.resolutions.iter().map(Resolution::text);
        memory(choice).into_iter().chain(choice.warnings.iter().cloned()).chain(resolved)
    });
    once(from_rule.chain(limit.notes.iter().cloned()))
}

/// One remark for all conductors with data from memory.
fn conductors(job: &Job) -> Option<String> {
    let wires = job.lines.iter().flat_map(|line| &line.wires).filter(|wire| wire.conductor.from_memory);
    let names = once(wires.map(|wire| wire.conductor.name.clone()));
    (!names.is_empty())
        .then(|| format!("data of conductor {} in part from memory: check its data sheet", names.join(", ")))
}

/// One remark for all machines with general sizes.
fn machines(job: &Job) -> Option<String> {
    let general =
        job.machines.iter().filter(|machine| machine.sources.iter().any(|source| source.tag == SourceTag::FromMemory));
    let names: Vec<&str> = general.map(|machine| machine.name.as_str()).collect();
    (!names.is_empty())
        .then(|| format!("sizes of {} are those of a general machine: measure yours", names.join(" and ")))
}

/// Each text once, in the order of first appearance.
fn once(texts: impl Iterator<Item = String>) -> Vec<String> {
    texts.fold(Vec::new(), |mut kept, text| {
        if !kept.contains(&text) {
            kept.push(text);
        }
        kept
    })
}
