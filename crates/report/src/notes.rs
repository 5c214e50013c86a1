//! What to know before relying on the numbers: each remark once, the gravest first.

use nalgebra::Point2;
use wideberth_physics::approach::{StopReason, reach_m};
use wideberth_rules::{LimitChoice, Resolution};
use wideberth_scenario::job::{Job, Limit};

use crate::answer::Answer;

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
fn ends_in_reach(job: &Job) -> impl Iterator<Item = String> + '_ {
    let pairs = job.study.pairings.iter().zip(&job.limits);
    pairs.flat_map(|(pairing, limit)| {
        let (machine, line) = (&job.study.machines[pairing.machine], &job.lines[pairing.line]);
        let near_m = reach_m(machine) + limit.distance_m;
        let feet: Vec<_> = line.supports.iter().map(|support| (support.foot.xy(), &support.name)).collect();
        let ends = [feet.first().zip(feet.get(1)), feet.last().zip(feet.len().checked_sub(2).and_then(|i| feet.get(i)))];
        let beyond = ends.into_iter().flatten().filter(move |((end, _), (before, _))| {
            let outward = (end - before).normalize();
            let to_machine = machine.position().xy() - end;
            (to_machine - outward * to_machine.dot(&outward).max(0.0)).norm() < near_m
        });
        let words = |((_, name), _): (&(Point2<f64>, &String), &(Point2<f64>, &String))| {
            format!(
                "what lies beyond support {name} of {} is not known, and {} can come near it: describe the line farther",
                line.name, job.machines[pairing.machine].name
            )
        };
        beyond.map(words).collect::<Vec<_>>()
    })
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
    let general = job.machines.iter().filter(|machine| machine.sources.iter().any(|source| source.contains("memory")));
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
