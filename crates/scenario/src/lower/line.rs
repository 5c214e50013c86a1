//! One line: crossarms, wires, and what reports say of it.

use nalgebra::{Point2, Point3, Vector2};
use rayon::prelude::*;
use wideberth_physics::line::{Conditions, Wire};
use wideberth_physics::study::Line;
use wideberth_rules::{Current, Voltage, VoltageBasis};

use super::conductor::candidates;
use super::variants::{Around, Variants};
use super::wire::{self, Row};
use super::{conditions, known};
use crate::catalogue::Catalogue;
use crate::climate::{Climate, hull};
use crate::code::Code;
use crate::defaults::Defaults;
use crate::here::Here;
use crate::job::{ConductorInfo, LineInfo, SupportInfo, WireInfo};
use crate::problem::Problems;
use crate::raw::{
    CurrentWord, RawConditions, RawConductorRef, RawLine, RawSupport, RawVoltage, RawWire, VoltageBasisWord,
};
use crate::wires::{LineStates, WireModel};

/// Sum of two unit vectors shorter than this: the line turns back on itself.
const TURNS_BACK: f64 = 1e-6;

/// A line as lowered.
pub(super) struct Lowered {
    pub line: Line,
    pub info: LineInfo,
    pub models: Vec<WireModel>,
}

/// What lines need to know of the rest of the scenario.
pub(super) struct Setting<'a> {
    pub conditions: &'a RawConditions,
    pub climate: Option<&'a Climate>,
    pub catalogue: &'a Catalogue,
}

/// The line for the physics and for reports.
pub(super) fn lower(
    raw: &RawLine,
    setting: &Setting<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Lowered, Problems> {
    let conditions_here = Here::root(here.source).key("conditions");
    let height_m = greatest_height_m(raw);
    let shared = conditions::shared(setting.conditions, height_m, &conditions_here, &mut Defaults::default())?;
    let states = raw.conditions.as_ref().map_or(shared, |change| conditions::changed(&shared, change));
    check_weather(&states, setting.climate, here)?;
    let right = crossarms(&raw.supports, &here.key("supports"))?;
    note_grounds(&raw.supports, &here.key("supports"), defaults);
    let row = Row { supports: &raw.supports, right: &right };
    let voltage = voltage_of(&raw.voltage);
    let around = Around { line: raw, line_here: here, climate: setting.climate, states };
    let mut problems = Problems::none();
    let mut described = Vec::new();
    for (index, raw_wire) in raw.wires.iter().enumerate() {
        let here = here.key("wires").index(index);
        let found = describe_wire(raw_wire, &row, &voltage, &around, setting.catalogue, &here, defaults);
        described.extend(problems.collect(found).map(|(info, model)| (raw_wire, here, info, model)));
    }
    // What is proven of each wire takes the time.
    let hung = described.par_iter().map(|(raw_wire, here, _, model)| around.wire(model, raw_wire, here));
    let hung: Vec<_> = hung.collect();
    let (mut wires, mut infos, mut models) = (Vec::new(), Vec::new(), Vec::new());
    for ((_, _, info, model), wire) in described.into_iter().zip(hung) {
        if let Some(wire) = problems.collect(wire) {
            wires.push(wire);
            infos.push(info);
            models.push(model);
        }
    }
    let supports = raw.supports.iter().map(support).collect();
    let name = raw.name.clone();
    let conditions = covered(&states, setting.climate, &wires);
    let info = LineInfo { name: name.clone(), voltage, conditions, supports, wires: infos, off: false };
    problems.into_result(Lowered { line: Line { name, wires }, info, models })
}

/// What comes from the weather needs it; what is coupled needs temperatures from it.
fn check_weather(states: &LineStates, climate: Option<&Climate>, here: &Here<'_>) -> Result<(), Problems> {
    let message = match climate {
        None if states.follow_weather() => "the conditions are to come from the weather, which is not given",
        Some(climate) if states.direction_from_weather && !climate.has_directions() => {
            "the wind is to come from where the weather says, which states no direction that lasts an hour"
        }
        _ if states.coupled && !states.temperature_from_weather => {
            "\"coupling\" by the heat balance needs conductor temperatures from the weather"
        }
        _ => return Ok(()),
    };
    let help = "give \"site\", \"date\" and \"weather\", or state the ranges themselves, independent of each other";
    Err(here.key("conditions").problem(Code::NeedsWeather, message, help).into())
}

/// The conditions that the wires of a line are covered for, as single ranges.
fn covered(states: &LineStates, climate: Option<&Climate>, wires: &[Wire]) -> Conditions {
    let hours = climate.map(Climate::job_hours).unwrap_or_default();
    let spans = wires.iter().flat_map(Wire::spans);
    let temperature_degc = spans.map(|span| span.temperature_range_degc()).reduce(hull);
    let temperature_degc = temperature_degc.unwrap_or(states.base.temperature_degc);
    let (wind_m_per_s, wind_direction) = (states.wind_m_per_s(hours), states.wind_direction(hours));
    Conditions { temperature_degc, wind_m_per_s, wind_direction, ..states.base }
}

/// Height of the highest attachment above the lowest foot of the line's supports, m: at least that of any wire above ground
/// that does not fall lower between the supports.
fn greatest_height_m(raw: &RawLine) -> f64 {
    let ground_m = |support: &RawSupport| support.ground.as_ref().map_or(0.0, |ground| ground.si);
    let foot_m = |name: &str| raw.supports.iter().find(|support| support.name == name).map_or(0.0, ground_m);
    let lowest_m = raw.supports.iter().map(ground_m).fold(f64::INFINITY, f64::min);
    let attachments = raw.wires.iter().flat_map(|wire| &wire.attachments);
    let levels = attachments.map(|attachment| attachment.height.si + foot_m(&attachment.support));
    levels.fold(0.0, |highest: f64, level| highest.max(level - lowest_m))
}

fn describe_wire(
    raw: &RawWire,
    row: &Row<'_>,
    line_voltage: &Voltage,
    around: &Around<'_>,
    catalogue: &Catalogue,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<(WireInfo, WireModel), Problems> {
    let candidates = candidates(&raw.conductor, catalogue)
        .map_err(|error| here.key("conductor").problem(Code::Conductor, error.to_string(), "check its data"))?;
    let common = wire::common(raw, row, here, defaults)?;
    let Variants { model, seen_degc } = around.variants(raw, candidates, &common, here, defaults)?;
    let info = WireInfo {
        name: raw.name.clone(),
        conductor: conductor_info(raw, &model),
        voltage: raw.voltage.as_ref().map_or_else(|| line_voltage.clone(), voltage_of),
        known_by: known::words(&raw.known_by, seen_degc),
        height_measured: raw.known_by.height.is_some() && raw.attachment_tolerance.is_some(),
        attachment_tolerance_m: common.position_tolerance_m,
    };
    Ok((info, model))
}

/// What reports say of the conductor; of an unknown one, how many it may be.
fn conductor_info(raw: &RawWire, model: &WireModel) -> ConductorInfo {
    match (&raw.conductor, &model.variants[..]) {
        (RawConductorRef::Class(_), variants) => ConductorInfo {
            name: format!("unknown, one of {} of its class", variants.len()),
            source: format!(
                "the catalogue; which conductors belong to a class is common practice: {}",
                variants.iter().map(|variant| variant.conductor.name.as_str()).collect::<Vec<_>>().join(", ")
            ),
            from_memory: true,
        },
        (_, [only, ..]) => only.conductor.clone(),
        (_, []) => ConductorInfo { name: String::new(), source: String::new(), from_memory: true },
    }
}

fn support(raw: &RawSupport) -> SupportInfo {
    let ground_m = raw.ground.as_ref().map_or(0.0, |ground| ground.si);
    SupportInfo { name: raw.name.clone(), foot: Point3::new(raw.position[0].si, raw.position[1].si, ground_m) }
}

/// One note for all supports without ground level: level ground is a usual case, not many.
fn note_grounds(supports: &[RawSupport], here: &Here<'_>, defaults: &mut Defaults) {
    let bare = supports.iter().filter(|support| support.ground.is_none()).count();
    if bare > 0 {
        defaults.note(
            &here.index(0).key("ground"),
            "0 m",
            &format!("level of the ground at {bare} supports of this line"),
        );
    }
}

/// The direction to the right of each support: as given, or square to the bisector of the adjoining spans.
fn crossarms(supports: &[RawSupport], here: &Here<'_>) -> Result<Vec<Vector2<f64>>, Problems> {
    let places: Vec<_> = supports.iter().map(|s| Point2::new(s.position[0].si, s.position[1].si)).collect();
    let ways: Vec<_> = places.windows(2).map(|pair| (pair[1] - pair[0]).normalize()).collect();
    let mut problems = Problems::none();
    let right = |(index, support): (usize, &RawSupport)| {
        if let Some(direction) = &support.direction {
            return Vector2::new(direction.si.sin(), direction.si.cos());
        }
        let before = index.checked_sub(1).and_then(|i| ways.get(i)).copied();
        let along = before.unwrap_or_default() + ways.get(index).copied().unwrap_or_default();
        if along.norm() < TURNS_BACK {
            let message = format!("the line turns back on itself at \"{}\"", support.name);
            let help = "give \"direction\", the bearing toward which the crossarm's right end points";
            problems.add(here.index(index).problem(Code::Crossarm, message, help));
        }
        let along = along.normalize();
        Vector2::new(along.y, -along.x)
    };
    let right = supports.iter().enumerate().map(right).collect();
    problems.into_result(right)
}

/// The voltage for the rules.
pub(super) fn voltage_of(raw: &RawVoltage) -> Voltage {
    let known = match raw {
        RawVoltage::Unknown(_) => return Voltage::unknown(),
        RawVoltage::NotAbove(bound) => {
            return Voltage::Unknown { not_above_kv: Some(bound.not_above.si / 1000.0) };
        }
        RawVoltage::Known(known) => known,
    };
    Voltage::Known {
        voltage_kv: known.value.si / 1000.0,
        basis: match known.basis {
            VoltageBasisWord::PhaseToPhase => VoltageBasis::PhaseToPhase,
            VoltageBasisWord::PhaseToGround => VoltageBasis::PhaseToGround,
            VoltageBasisWord::PoleToPole => VoltageBasis::PoleToPole,
            VoltageBasisWord::PoleToGround => VoltageBasis::PoleToGround,
        },
        current: match known.current {
            CurrentWord::Ac => Current::Ac,
            CurrentWord::Dc => Current::Dc,
        },
        confirmed_by: known.confirmed_by.clone(),
    }
}
