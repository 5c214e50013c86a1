//! The whole scenario: text in, job or problems out.

use nalgebra::{Point2, Vector3};
use wideberth_physics::approach::Options;
use wideberth_physics::machine::Machine;
use wideberth_physics::study::{Line, Pairing, Study};
use wideberth_physics::weather::wind::FORECAST_HEIGHT_M;
use wideberth_rules::{RuleBook, Voltage};

use super::controls::{self, Changed, Counted};
use super::free::{self, FreeEnd};
use super::limits::{self, Question, Rule};
use super::{climate, conditions, ground, lesson, line, machine, record, rests, topple};
use crate::checks;
use crate::context::Context;
use crate::control::Control;
use crate::defaults::Defaults;
use crate::here::Here;
use crate::job::{Fence, Job, Limit, LineInfo, MachineInfo, Posts, SagPoint, Topple};
use crate::machine::MachineModel;
use crate::path::Path;
use crate::problem::Problems;
use crate::raw::{
    RawControl, RawPlacedMachine, RawRule, RawSagPoint, RawScenario, RawSearch, SCENARIO_FORMAT, SCENARIO_VERSION,
};
use crate::source::Source;
use crate::structure;
use crate::wires::WireModel;

impl Job {
    /// Reads, checks and lowers the text of a scenario.
    ///
    /// # Errors
    /// Everything that is wrong with it, in the order of the text.
    pub fn from_text(text: &str, context: &Context<'_>) -> Result<Self, Problems> {
        Self::from_source(&Source::read(text)?, context)
    }

    /// Checks and lowers a scenario that was read.
    ///
    /// # Errors
    /// Everything that is wrong with it, in the order of the text.
    pub fn from_source(source: &Source, context: &Context<'_>) -> Result<Self, Problems> {
        structure::check_format(source, SCENARIO_FORMAT, SCENARIO_VERSION)?;
        let raw: RawScenario = structure::read(source, &Path::root())?;
        lower(&raw, Counted::Standing, context, &Here::root(source))
    }

    /// The same job as if no control were in place.
    ///
    /// # Errors
    /// As [`Job::from_text`].
    pub fn without_controls(text: &str, context: &Context<'_>) -> Result<Self, Problems> {
        let source = Source::read(text)?;
        let raw: RawScenario = structure::read(&source, &Path::root())?;
        lower(&raw, Counted::None, context, &Here::root(&source))
    }
}

/// The job with some of its controls and with some ends free.
pub(super) fn varied(text: &str, context: &Context<'_>, counted: Counted, free: &[FreeEnd]) -> Result<Job, Problems> {
    let source = Source::read(text)?;
    let here = Here::root(&source);
    let raw: RawScenario = structure::read(&source, &Path::root())?;
    let mut raw = free::freed(&raw, free, &here)?;
    // What is taught shows what the scenario's own ranges allow.
    raw.lesson = None;
    lower(&raw, counted, context, &here)
}

fn lower(raw: &RawScenario, counted: Counted, context: &Context<'_>, here: &Here<'_>) -> Result<Job, Problems> {
    let mut defaults = Defaults::default();
    let mut problems = checks::names(raw, here);
    problems.extend(checks::conditions(&raw.conditions, &here.key("conditions")));
    // Each line takes them again at the height of its wires; here they are checked and what they leave out is noted.
    let shared = conditions::shared(&raw.conditions, FORECAST_HEIGHT_M, &here.key("conditions"), &mut defaults)?;
    let written = raw;
    let judged = problems.collect(record::days(raw, context, here));
    let (days, work_days) = judged.map_or((None, None), |judged| (judged.days, judged.own));
    let records = problems.collect(record::records(raw, &here.key("records"))).unwrap_or_default();
    let controls = problems.collect(controls::read(raw, days, counted, here));
    let changed = controls.as_ref().and_then(|all| problems.collect(controls::applied(raw, all, context, here)));
    let (Some(controls), Some(changed)) = (controls, changed) else {
        return Err(problems.into_result(()).err().unwrap_or_default());
    };
    let raw = &changed.raw;
    let climate = climate::lower(raw, context, here, &mut defaults).map_err(|found| {
        problems.extend(found);
        problems.clone()
    })?;
    let climate = climate.map(|climate| climate::within_hours(climate, &changed.hours, here)).transpose()?;
    let setting =
        line::Setting { conditions: &raw.conditions, climate: climate.as_ref(), catalogue: &context.catalogue };
    let Lines { lines, infos: mut line_infos, models } = lower_lines(raw, &setting, here, &mut defaults, &mut problems);
    line_infos.iter_mut().zip(&changed.off).for_each(|(line, off)| line.off = *off);
    let (mut machines, mut infos) = lower_machines(&changed, &line_infos, context, here, &mut defaults, &mut problems);
    let topples = lower_topples(&changed, (&mut machines, &mut infos), here, &mut defaults, &mut problems);
    // What enters the ground is named by its machine, so that one missing would be said twice.
    let whole = problems.is_empty();
    let ground_work = raw
        .ground_work
        .as_ref()
        .filter(|_| whole)
        .and_then(|work| problems.collect(ground::lower(work, &machines, &here.key("ground_work"), &mut defaults)));
    let briefing = raw.briefing.as_ref();
    let briefing = briefing.and_then(|raw| problems.collect(record::briefing(raw, written, &here.key("briefing"))));
    let duties_done = problems.collect(record::duties(&raw.duties_done, &here.key("duties_done"))).unwrap_or_default();
    let rules = problems.collect(Rules::open(raw, context, here));
    // Limits need every line, machine and rule; while one is missing, its own problem says enough.
    problems.clone().into_result(())?;
    let rules = rules.ok_or(problems)?;
    let conditions = line_infos.first().map_or(shared.base, |line| line.conditions);
    let allowed = lesson::Allowed {
        machines: &machines,
        infos: &infos,
        conditions: &conditions,
        bounded: raw.controls.is_empty(),
    };
    let lesson = raw.lesson.as_ref().map(|raw| lesson::lower(raw, &allowed, &here.key("lesson"))).transpose()?;
    let (pairings, limits) = pair(raw, &line_infos, &infos, &rules, here)?;
    let rests = rests::rests(written);
    let resting = free::Resting { records: &records, rests: &rests, days };
    let free_ends = free::free_ends(written, &resting, context, here);
    Ok(Job {
        title: raw.title.clone(),
        note: raw.note.clone(),
        study: Study { lines, machines, pairings },
        lines: line_infos,
        machines: infos,
        limits,
        climate,
        wires: models,
        defaults_taken: defaults.0,
        sag_points: sag_points(raw),
        lesson,
        options: Options { cancel: context.stop(), ..options(raw.search.as_ref()) },
        days,
        work_days,
        judged_on: context.asked_day().or(context.today()),
        rests,
        free_ends,
        records,
        roles: record::roles(written, &controls),
        structures: written.may_topple.iter().map(|structure| structure.name.clone()).collect(),
        fences: fences(raw, &controls),
        posts: posts(raw, &controls),
        controls,
        topples,
        ground_work,
        briefing,
        duties_done,
    })
}

/// Structures that may topple join the machines; those that are braced do not.
fn lower_topples(
    changed: &Changed,
    (machines, infos): (&mut Vec<Machine>, &mut Vec<MachineInfo>),
    here: &Here<'_>,
    defaults: &mut Defaults,
    problems: &mut Problems,
) -> Vec<Topple> {
    let mut topples = Vec::new();
    for (index, (raw, braced)) in changed.raw.may_topple.iter().zip(&changed.braced).enumerate() {
        let here = here.key("may_topple").index(index);
        let falls = problems.collect(topple::lower(raw, &here, defaults)).filter(|_| !braced);
        let machine = falls.map(|(machine, info)| {
            machines.push(machine);
            infos.push(info);
            infos.len() - 1
        });
        topples.extend(problems.collect(topple::topple(raw, machine, &here)));
    }
    topples
}

/// The ground that controls fence off, of those that count.
fn fences(raw: &RawScenario, controls: &[Control]) -> Vec<Fence> {
    let standing = raw.controls.iter().zip(controls).filter(|(_, control)| control.counts());
    let fence = |(raw, control): (&RawControl, &Control)| {
        Some(Fence { name: control.name.clone(), machine: control.machine, around: controls::corners(raw)? })
    };
    standing.filter_map(fence).collect()
}

/// The goal posts with a route, of those that count.
fn posts(raw: &RawScenario, controls: &[Control]) -> Vec<Posts> {
    let standing = raw.controls.iter().zip(controls).filter(|(_, control)| control.counts());
    let post = |(raw, control): (&RawControl, &Control)| {
        let along = raw.route.as_ref()?.iter().map(|place| Point2::new(place[0].si, place[1].si)).collect();
        let (height_m, width_m) = (raw.height.as_ref()?.si, raw.width.as_ref()?.si);
        Some(Posts { name: control.name.clone(), machine: control.machine?, height_m, along, width_m })
    };
    standing.filter_map(post).collect()
}

fn sag_points(raw: &RawScenario) -> Vec<SagPoint> {
    let point = |p: &RawSagPoint| SagPoint { name: p.name.clone(), at: Point2::new(p.at[0].si, p.at[1].si) };
    raw.sag_points.iter().map(point).collect()
}

/// The lines as lowered.
#[derive(Default)]
struct Lines {
    lines: Vec<Line>,
    infos: Vec<LineInfo>,
    models: Vec<Vec<WireModel>>,
}

/// Every line whose checks find nothing is lowered.
fn lower_lines(
    raw: &RawScenario,
    setting: &line::Setting<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
    problems: &mut Problems,
) -> Lines {
    let mut all = Lines::default();
    for (index, raw_line) in raw.lines.iter().enumerate() {
        let here = here.key("lines").index(index);
        let found = checks::line(raw_line, &here, setting.catalogue);
        if !found.is_empty() {
            problems.extend(found);
            continue;
        }
        let Some(lowered) = problems.collect(line::lower(raw_line, setting, &here, defaults)) else { continue };
        all.lines.push(lowered.line);
        all.infos.push(lowered.info);
        all.models.push(lowered.models);
    }
    all
}

fn lower_machines(
    changed: &Changed,
    lines: &[LineInfo],
    context: &Context<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
    problems: &mut Problems,
) -> (Vec<Machine>, Vec<MachineInfo>) {
    let lower = |(index, raw_machine): (usize, &RawPlacedMachine)| {
        let here = here.key("machines").index(index);
        let (machine, mut info, model): (Machine, MachineInfo, MachineModel) =
            problems.collect(machine::lower((raw_machine, changed.loads_m[index]), lines, context, &here, defaults))?;
        problems.extend(machine::check_supports(&info, &model, lines, &here));
        info.ceiling_m = changed.ceilings_m[index].map(|height_m| info.position.z + height_m);
        info.reach_m = changed.reaches_m[index];
        let lower = Vector3::new(0.0, 0.0, -changed.lowered_m[index]);
        let machine = problems.collect(machine.moved(&lower).map_err(|error| machine::whole_problem(&error, &here)))?;
        Some((machine.held_to(info.ceiling_m, info.reach_m), info))
    };
    changed.raw.machines.iter().enumerate().filter_map(lower).unzip()
}

/// The rules that the scenario names, opened: its own, and that of each machine.
struct Rules<'a> {
    book: RuleBook,
    shared: Option<Rule<'a>>,
    own: Vec<Option<Rule<'a>>>,
}

impl<'a> Rules<'a> {
    fn open(raw: &'a RawScenario, context: &Context<'_>, here: &Here<'a>) -> Result<Self, Problems> {
        let mut problems = Problems::none();
        let mut open = |rule: Option<&'a RawRule>, here: Here<'a>| {
            rule.and_then(|rule| problems.collect(Rule::open(rule, here.key("rule"), context)))
        };
        let shared = open(raw.rule.as_ref(), here.clone());
        let machines = raw.machines.iter().enumerate();
        let own = machines.map(|(index, m)| open(m.rule.as_ref(), here.key("machines").index(index))).collect();
        problems.into_result(Self { book: context.rules.clone(), shared, own })
    }

    fn of(&self, machine: usize) -> Option<&Rule<'a>> {
        self.own.get(machine).and_then(Option::as_ref).or(self.shared.as_ref())
    }
}

/// Every machine against every wire, with its limit.
fn pair(
    raw: &RawScenario,
    lines: &[LineInfo],
    machines: &[MachineInfo],
    rules: &Rules<'_>,
    here: &Here<'_>,
) -> Result<(Vec<Pairing>, Vec<Limit>), Problems> {
    let mut problems = Problems::none();
    let (mut pairings, mut limits) = (Vec::new(), Vec::new());
    for (machine, info) in machines.iter().enumerate() {
        let here = here.key("machines").index(machine);
        for (line, (line_info, raw_line)) in lines.iter().zip(&raw.lines).enumerate().filter(|(_, (line, _))| !line.off)
        {
            let mut last: Option<(&Voltage, Limit)> = None;
            for (wire, wire_info) in line_info.wires.iter().enumerate() {
                let voltage = &wire_info.voltage;
                let known = last.as_ref().filter(|(v, _)| *v == voltage).map(|(_, limit)| limit.clone());
                let question = Question { voltage, work: info.work, crew: info.crew, stated: raw_line.limit.as_ref() };
                let found =
                    known.or_else(|| problems.collect(limits::limit(rules.of(machine), &question, &rules.book, &here)));
                let Some(limit) = found else { continue };
                pairings.push(Pairing { machine, line, wire, limit_m: limit.distance_m });
                last = Some((voltage, limit.clone()));
                limits.push(limit);
            }
        }
    }
    problems.into_result((pairings, limits))
}

fn options(raw: Option<&RawSearch>) -> Options {
    let default = Options::default();
    let Some(raw) = raw else { return default };
    Options {
        tolerance_m: raw.tolerance.as_ref().map_or(default.tolerance_m, |tolerance| tolerance.si),
        max_cells: raw.max_cells.map_or(default.max_cells, u64::from),
        ..default
    }
}
