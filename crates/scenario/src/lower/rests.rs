//! Which values of a scenario are more favourable than the careful ones, so that they rest on a record.
//!
//! The scenario is judged as it is written, before its controls: what a control sets has an owner and evidence of its own.

use crate::bounds::{ConductorTemperature, Ice, WindSpeed};
use crate::defaults::{ATTACHMENT_TOLERANCE_M, HEADING_TOLERANCE_DEG, RATED_TEMPERATURE_DEGC, SETTING_OUT_M};
use crate::quantity::{Quantity, Span};
use crate::raw::{
    CouplingWord, CrewWord, DragWord, RawConductorRef, RawDrag, RawKnownBy, RawLine, RawPlacedMachine, RawScenario,
    RawTemperature, RawVoltage, RawWind, RawWindFrom, RawWire, WorkWord,
};
use crate::record::{Rest, Subject, Topic};

/// The coldest that wires are taken to be where nobody says, °C (our choice: below the winters of the places whose rules are
/// known here).
pub(crate) const COLDEST_DEGC: f64 = -40.0;
/// The strongest wind where nobody says, m/s: hurricane force begins there (force 12 of the Beaufort scale, from memory).
pub(crate) const STRONGEST_WIND_M_PER_S: f64 = 32.7;
/// Wires colder than this may carry ice, °C.
const ICE_BELOW_DEGC: f64 = 0.0;

/// Every value that rests on a record, each once.
pub(super) fn rests(raw: &RawScenario) -> Vec<Rest> {
    let mut all = Rests::default();
    all.of_job(raw);
    raw.lines.iter().enumerate().for_each(|(index, line)| all.of_line(line, Subject::Line(index)));
    raw.machines.iter().enumerate().for_each(|(index, machine)| all.of_machine(machine, Subject::Machine(index)));
    for (index, structure) in raw.may_topple.iter().enumerate() {
        let subject = Subject::Structure(index);
        all.add(Topic::Structure, subject, true);
        all.add(Topic::SettingOut, subject, below(structure.setting_out_tolerance.as_ref(), SETTING_OUT_M));
    }
    all.0.sort_unstable();
    all.0.dedup();
    all.0
}

#[derive(Default)]
struct Rests(Vec<Rest>);

/// What conditions say, for the whole job or for one line.
struct Stated<'a> {
    temperature: Option<&'a RawTemperature>,
    wind: Option<&'a RawWind>,
    mean_wind: bool,
    from: Option<&'a RawWindFrom>,
    ice: Option<&'a Span<Ice>>,
    air: bool,
    ice_density: bool,
    drag: Option<RawDrag>,
}

impl Rests {
    fn add(&mut self, topic: Topic, subject: Subject, rests: bool) {
        if rests {
            self.0.push(Rest { topic, subject });
        }
    }

    fn of_job(&mut self, raw: &RawScenario) {
        let conditions = &raw.conditions;
        self.add(Topic::Surroundings, Subject::Job, true);
        self.add(Topic::Rule, Subject::Job, true);
        self.add(Topic::WeatherFile, Subject::Job, raw.weather.is_some() || raw.site.is_some());
        self.add(Topic::Coupling, Subject::Job, conditions.coupling == Some(CouplingWord::HeatBalance));
        self.add(Topic::Buried, Subject::Job, raw.ground_work.is_some());
        let stated = Stated {
            temperature: Some(&conditions.conductor_temperature),
            wind: conditions.wind_speed.as_ref(),
            mean_wind: conditions.mean_wind.is_some(),
            from: conditions.wind_from.as_ref(),
            ice: conditions.ice.as_ref(),
            air: conditions.air_density.is_some(),
            ice_density: conditions.ice_density.is_some(),
            drag: conditions.drag,
        };
        self.of_conditions(&stated, Subject::Job);
    }

    fn of_conditions(&mut self, stated: &Stated<'_>, subject: Subject) {
        self.add(Topic::WireTemperature, subject, stated.temperature.is_some_and(is_narrower_than_careful));
        self.add(Topic::Wind, subject, stated.mean_wind || stated.wind.is_some_and(is_calmer_than_careful));
        self.add(Topic::WindFrom, subject, matches!(stated.from, Some(RawWindFrom::Sector(_))));
        let iced = stated.ice.is_some() || stated.ice_density || stated.temperature.is_some_and(may_freeze);
        self.add(Topic::Ice, subject, iced);
        self.add(Topic::Drag, subject, stated.air || stated.drag.is_some_and(is_chosen));
    }

    fn of_line(&mut self, line: &RawLine, subject: Subject) {
        let any = |rests: fn(&RawWire) -> bool| line.wires.iter().any(rests);
        self.add(Topic::Supports, subject, true);
        self.add(Topic::Attachments, subject, true);
        self.add(
            Topic::AttachmentTolerance,
            subject,
            any(|wire| below(wire.attachment_tolerance.as_ref(), ATTACHMENT_TOLERANCE_M)),
        );
        self.add(Topic::KnownBy, subject, any(|wire| wire.known_by.tension.is_none()));
        self.add(
            Topic::Conductor,
            subject,
            any(|wire| !matches!(wire.conductor, RawConductorRef::Class(_)) || wire.core.is_some()),
        );
        self.add(Topic::Stretch, subject, any(is_stretch_stated));
        let known = |voltage: &RawVoltage| !matches!(voltage, RawVoltage::Unknown(_));
        let wires = line.wires.iter().filter_map(|wire| wire.voltage.as_ref());
        self.add(Topic::Voltage, subject, wires.chain([&line.voltage]).any(known));
        self.add(Topic::StatedLimit, subject, line.limit.is_some());
        self.add(Topic::LineLoad, subject, line.load.is_some() || line.surface.is_some());
        let Some(change) = &line.conditions else { return };
        let stated = Stated {
            temperature: change.conductor_temperature.as_ref(),
            wind: change.wind_speed.as_ref(),
            mean_wind: false,
            from: change.wind_from.as_ref(),
            ice: change.ice.as_ref(),
            air: change.air_density.is_some(),
            ice_density: change.ice_density.is_some(),
            drag: change.drag,
        };
        self.of_conditions(&stated, subject);
    }

    fn of_machine(&mut self, machine: &RawPlacedMachine, subject: Subject) {
        self.add(Topic::Machine, subject, true);
        self.add(Topic::Position, subject, true);
        self.add(Topic::Rule, subject, machine.rule.is_some());
        let heading_rad = HEADING_TOLERANCE_DEG.to_radians();
        let set_out = below(machine.setting_out_tolerance.as_ref(), SETTING_OUT_M)
            || below(machine.heading_tolerance.as_ref(), heading_rad);
        self.add(Topic::SettingOut, subject, set_out);
        self.add(Topic::Allowances, subject, !machine.overrun.is_empty() || !machine.deflection.is_empty());
        self.add(Topic::HungLoad, subject, machine.load.is_some() || machine.lift.is_some());
        let other = machine.work.is_some_and(|work| work != WorkWord::Operate);
        self.add(Topic::Work, subject, other || machine.crew == Some(CrewWord::Qualified));
    }
}

/// Whether a stated tolerance is smaller than the careful one; what counts as equal differs by rounding alone.
fn below<B>(stated: Option<&Quantity<B>>, careful: f64) -> bool {
    stated.is_some_and(|stated| stated.si < careful * (1.0 - 1e-9))
}

fn temperatures(raw: &RawTemperature) -> Option<&Span<ConductorTemperature>> {
    match raw {
        RawTemperature::Range(range) => Some(range),
        RawTemperature::Weather(_) | RawTemperature::WeatherUpTo(_) => None,
    }
}

fn winds(raw: &RawWind) -> Option<&Span<WindSpeed>> {
    match raw {
        RawWind::Range(range) => Some(range),
        RawWind::Weather(_) | RawWind::WeatherUpTo(_) => None,
    }
}

fn is_narrower_than_careful(raw: &RawTemperature) -> bool {
    temperatures(raw).is_some_and(|range| range.si.high() < RATED_TEMPERATURE_DEGC || range.si.low() > COLDEST_DEGC)
}

fn is_calmer_than_careful(raw: &RawWind) -> bool {
    winds(raw).is_some_and(|range| range.si.high() < STRONGEST_WIND_M_PER_S || range.si.low() > 0.0)
}

fn may_freeze(raw: &RawTemperature) -> bool {
    temperatures(raw).is_some_and(|range| range.si.low() < ICE_BELOW_DEGC)
}

/// Drag by Reynolds number for any surface is the careful one.
fn is_chosen(drag: RawDrag) -> bool {
    !matches!(drag, RawDrag::Law(DragWord::Any))
}

/// A height that was measured holds all stretch up to then; a tension that was strung holds none.
fn is_stretch_stated(wire: &RawWire) -> bool {
    let shrunk = wire.permanent_strain.as_ref().is_some_and(|strain| strain.si.low() < 0.0);
    let stated = wire.permanent_strain.is_some() || wire.heaviest_load.is_some();
    shrunk || (stated && !is_measured(&wire.known_by))
}

fn is_measured(known_by: &RawKnownBy) -> bool {
    known_by.height.is_some()
}
