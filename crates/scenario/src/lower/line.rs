//! One line: crossarms, wires, and what reports say of it.

use nalgebra::{Point2, Point3, Vector2};
use wideberth_physics::line::Conditions;
use wideberth_physics::study::Line;
use wideberth_rules::{Current, Voltage, VoltageBasis};

use super::wire::{self, Row};
use super::{conditions, conductor_of, history, known};
use crate::catalogue::Catalogue;
use crate::code::Code;
use crate::defaults::Defaults;
use crate::here::Here;
use crate::job::{LineInfo, SupportInfo, WireInfo};
use crate::problem::Problems;
use crate::raw::{CurrentWord, RawConditions, RawLine, RawSupport, RawVoltage, RawWire, VoltageBasisWord};

/// Sum of two unit vectors shorter than this: the line turns back on itself.
const TURNS_BACK: f64 = 1e-6;

/// The line for the physics and for reports.
pub(super) fn lower(
    raw: &RawLine,
    shared: &RawConditions,
    catalogue: &Catalogue,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<(Line, LineInfo), Problems> {
    let shared = conditions::shared(
        shared,
        greatest_height_m(raw),
        &Here::root(here.source).key("conditions"),
        &mut Defaults::default(),
    )?;
    let conditions = raw.conditions.as_ref().map_or(shared, |change| conditions::changed(&shared, change));
    let right = crossarms(&raw.supports, &here.key("supports"))?;
    note_grounds(&raw.supports, &here.key("supports"), defaults);
    let row = Row { supports: &raw.supports, right: &right };
    let voltage = voltage_of(&raw.voltage);
    let mut problems = Problems::none();
    let (mut wires, mut infos) = (Vec::new(), Vec::new());
    for (index, raw_wire) in raw.wires.iter().enumerate() {
        let here = here.key("wires").index(index);
        if let Some((wire, info)) =
            problems.collect(lower_wire(raw_wire, &row, &voltage, &conditions, catalogue, &here, defaults))
        {
            wires.push(wire);
            infos.push(info);
        }
    }
    let supports = raw.supports.iter().map(support).collect();
    let name = raw.name.clone();
    problems.into_result((
        Line { name: name.clone(), wires },
        LineInfo { name, voltage, conditions, supports, wires: infos },
    ))
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

fn lower_wire(
    raw: &RawWire,
    row: &Row<'_>,
    line_voltage: &Voltage,
    conditions: &Conditions,
    catalogue: &Catalogue,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<(wideberth_physics::line::Wire, WireInfo), Problems> {
    let missing = |message: String| here.key("conductor").problem(Code::UnknownConductor, message, "name another");
    let (conductor, info) = conductor_of(&raw.conductor, catalogue)
        .ok_or_else(|| missing("the catalogue has no such conductor".into()))?
        .map_err(|error| here.key("conductor").problem(Code::Conductor, error.to_string(), "check its data"))?;
    let conductor = history::cored(raw, conductor, here, defaults)?;
    let lowered = wire::lower(raw, row, conductor, conditions, here, defaults)?;
    let info = WireInfo {
        name: raw.name.clone(),
        conductor: info,
        voltage: raw.voltage.as_ref().map_or_else(|| line_voltage.clone(), voltage_of),
        known_by: known::words(&raw.known_by),
        attachment_tolerance_m: lowered.tolerance_m,
    };
    Ok((lowered.wire, info))
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
