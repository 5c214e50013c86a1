//! The whole scenario: text in, job or problems out.

use nalgebra::Point2;
use wideberth_physics::approach::Options;
use wideberth_physics::machine::Machine;
use wideberth_physics::study::{Line, Pairing, Study};
use wideberth_physics::weather::wind::FORECAST_HEIGHT_M;
use wideberth_rules::Voltage;

use super::limits::{self, Question, Rule};
use super::{conditions, line, machine};
use crate::checks;
use crate::context::Context;
use crate::defaults::Defaults;
use crate::here::Here;
use crate::job::{Job, Limit, LineInfo, MachineInfo, SagPoint};
use crate::machine::MachineModel;
use crate::path::Path;
use crate::problem::Problems;
use crate::raw::{
    RawLine, RawPlacedMachine, RawRule, RawSagPoint, RawScenario, RawSearch, SCENARIO_FORMAT, SCENARIO_VERSION,
};
use crate::source::Source;
use crate::structure;

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
        lower(&raw, context, &Here::root(source))
    }
}

fn lower(raw: &RawScenario, context: &Context<'_>, here: &Here<'_>) -> Result<Job, Problems> {
    let mut defaults = Defaults::default();
    let mut problems = checks::names(raw, here);
    problems.extend(checks::conditions(&raw.conditions, &here.key("conditions")));
    // Each line takes them again at the height of its wires; here they are checked and what they leave out is noted.
    conditions::shared(&raw.conditions, FORECAST_HEIGHT_M, &here.key("conditions"), &mut defaults)?;
    let (lines, line_infos) = lower_lines(raw, context, here, &mut defaults, &mut problems);
    let (machines, machine_infos) = lower_machines(raw, &line_infos, context, here, &mut defaults, &mut problems);
    let rules = problems.collect(Rules::open(raw, context, here));
    // Limits need every line, machine and rule; while one is missing, its own problem says enough.
    problems.clone().into_result(())?;
    let rules = rules.ok_or(problems)?;
    let (pairings, limits) = pair(raw, &line_infos, &machine_infos, &rules, here)?;
    Ok(Job {
        title: raw.title.clone(),
        note: raw.note.clone(),
        study: Study { lines, machines, pairings },
        lines: line_infos,
        machines: machine_infos,
        limits,
        defaults_taken: defaults.0,
        sag_points: sag_points(raw),
        options: options(raw.search.as_ref()),
    })
}

fn sag_points(raw: &RawScenario) -> Vec<SagPoint> {
    let point = |p: &RawSagPoint| SagPoint { name: p.name.clone(), at: Point2::new(p.at[0].si, p.at[1].si) };
    raw.sag_points.iter().map(point).collect()
}

/// Every line whose checks find nothing is lowered.
fn lower_lines(
    raw: &RawScenario,
    context: &Context<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
    problems: &mut Problems,
) -> (Vec<Line>, Vec<LineInfo>) {
    let lower = |(index, raw_line): (usize, &RawLine)| {
        let here = here.key("lines").index(index);
        let found = checks::line(raw_line, &here, &context.catalogue);
        if !found.is_empty() {
            problems.extend(found);
            return None;
        }
        problems.collect(line::lower(raw_line, &raw.conditions, &context.catalogue, &here, defaults))
    };
    raw.lines.iter().enumerate().filter_map(lower).unzip()
}

fn lower_machines(
    raw: &RawScenario,
    lines: &[LineInfo],
    context: &Context<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
    problems: &mut Problems,
) -> (Vec<Machine>, Vec<MachineInfo>) {
    let lower = |(index, raw_machine): (usize, &RawPlacedMachine)| {
        let here = here.key("machines").index(index);
        let (machine, info, model): (Machine, MachineInfo, MachineModel) =
            problems.collect(machine::lower(raw_machine, lines, context, &here, defaults))?;
        problems.extend(machine::check_supports(&info, &model, lines, &here));
        Some((machine, info))
    };
    raw.machines.iter().enumerate().filter_map(lower).unzip()
}

/// The rules that the scenario names, opened: its own, and that of each machine.
struct Rules<'a> {
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
        problems.into_result(Self { shared, own })
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
        for (line, (line_info, raw_line)) in lines.iter().zip(&raw.lines).enumerate() {
            let mut last: Option<(&Voltage, Limit)> = None;
            for (wire, wire_info) in line_info.wires.iter().enumerate() {
                let voltage = &wire_info.voltage;
                let known = last.as_ref().filter(|(v, _)| *v == voltage).map(|(_, limit)| limit.clone());
                let question = Question { voltage, work: info.work, crew: info.crew, stated: raw_line.limit.as_ref() };
                let found = known.or_else(|| problems.collect(limits::limit(rules.of(machine), &question, &here)));
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
