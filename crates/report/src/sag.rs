//! Heights, sag and tension of each wire at places and conductor temperatures.

mod places;
mod reach;

use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::line::{CatenaryError, SpanState, StateShape, WireSpan};
use wideberth_scenario::Job;
use wideberth_scenario::job::LineInfo;

pub use places::{Place, Spot};

use crate::document::Document;
use crate::state::{ground_m, supports};
use crate::words::CAUTION;
use reach::highest_found_m;

/// Name of the format.
pub const SAG_FORMAT: &str = "wideberth-sag";

/// At which places, temperatures and wind.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Request {
    /// Places; none for the lowest point of each span, each machine and the scenario's own points.
    pub places: Vec<Place>,
    /// Conductor temperatures, degC; none for steps over the range of the conditions.
    pub temperatures_degc: Vec<f64>,
    /// Wind across the span, m/s, positive to the left when looking along the line.
    pub wind_m_per_s: f64,
    /// Radial ice, m.
    pub ice_m: f64,
}

/// Heights, sag and tensions of a scenario.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SagDocument {
    /// Always "wideberth-sag".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// The job in one line.
    pub title: String,
    /// Each wire at each place.
    pub spots: Vec<SpotResult>,
    /// How high each machine reaches.
    pub reaches: Vec<Reach>,
    /// What the result is not.
    pub caution: &'static str,
}

/// One wire at one place.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct SpotResult {
    /// Name of the line.
    pub line: String,
    /// Name of the wire.
    pub wire: String,
    /// What the place is.
    pub place: String,
    /// The supports of the span.
    pub between: [String; 2],
    /// Distance along the map from the first of them, m.
    pub along_m: f64,
    /// Level of the straight line between the feet of the supports there, m.
    pub ground_m: f64,
    /// The wire at each temperature, with what is known of it and its permanent stretch in the middle of their tolerances; a wire with a
    /// core at its slackest, and of an unknown one the conductor that hangs lowest.
    pub states: Vec<StateResult>,
    /// Height above that ground of the lower side of the wire in its slackest still state, tolerances included, at the hottest temperature
    /// asked for, else at the hottest and iciest of the conditions, m.
    pub lowest_above_ground_m: f64,
}

/// A wire at a temperature.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct StateResult {
    /// Conductor temperature, degC.
    pub conductor_temperature_degc: f64,
    /// Wind across the span, m/s, positive to the left when looking along the line.
    pub wind_across_m_per_s: f64,
    /// Radial ice, m.
    pub ice_m: f64,
    /// Height of the wire's middle above the straight line between the feet of the supports, m.
    pub above_ground_m: f64,
    /// Height above the site's zero, m.
    pub above_zero_m: f64,
    /// Sag below the straight line between the attachments there, along the load, m.
    pub sag_m: f64,
    /// Horizontal tension, N.
    pub horizontal_tension_n: f64,
    /// Greatest tension in the span, N.
    pub greatest_tension_n: f64,
}

/// How high a machine reaches.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Reach {
    /// Name of the machine.
    pub machine: String,
    /// Greatest height of any part above the ground where it stands, m, all allowances included: the highest found over its
    /// working ranges, not proven.
    pub highest_found_m: f64,
}

/// The table for a job.
///
/// # Errors
/// When a wire has no shape in one of the states asked for.
pub fn sag(job: &Job, request: &Request) -> Result<SagDocument, CatenaryError> {
    let spots = places::spots(job, &request.places)?;
    let spots = spots.iter().map(|spot| spot_of(job, spot, request)).collect::<Result<_, _>>()?;
    let machines = job.machines.iter().zip(&job.study.machines);
    let reach = |(info, machine): (&wideberth_scenario::job::MachineInfo, &wideberth_physics::machine::Machine)| {
        Reach { machine: info.name.clone(), highest_found_m: highest_found_m(machine) - info.position.z }
    };
    Ok(SagDocument {
        format: SAG_FORMAT,
        version: 1,
        title: job.title.clone(),
        spots,
        reaches: machines.map(reach).collect(),
        caution: CAUTION,
    })
}

fn spot_of(job: &Job, spot: &Spot, request: &Request) -> Result<SpotResult, CatenaryError> {
    let line = &job.lines[spot.line];
    let wire = &job.study.lines[spot.line].wires[spot.wire];
    let variants: Vec<&WireSpan> = wire.spans().iter().filter(|span| span.index() == spot.span).collect();
    let temperatures = temperatures(line, &request.temperatures_degc);
    let hottest_degc = request.temperatures_degc.iter().copied().reduce(f64::max);
    let asked = hottest_degc.map(|degc| (degc, request.ice_m));
    let ground_m = ground_m(line, spot.span, spot.fraction);
    let along_m = spot.fraction * variants.first().map_or(0.0, |span| span.span().run_m());
    let states = temperatures.into_iter().map(|degc| lowest_state(&variants, spot, request, degc, ground_m));
    Ok(SpotResult {
        line: line.name.clone(),
        wire: line.wires[spot.wire].name.clone(),
        place: spot.name.clone(),
        between: supports(line, spot.span),
        along_m,
        ground_m,
        states: states.filter_map(Result::transpose).collect::<Result<_, CatenaryError>>()?,
        lowest_above_ground_m: places::lowest_z_m(&variants, spot.fraction, asked)? - ground_m,
    })
}

/// The state at a conductor temperature; where the wire may be one of several, that of the one that hangs lowest.
fn lowest_state(
    variants: &[&WireSpan],
    spot: &Spot,
    request: &Request,
    degc: f64,
    ground_m: f64,
) -> Result<Option<StateResult>, CatenaryError> {
    let state = |span: &&WireSpan| {
        let state = span.nominal_state(degc, request.wind_m_per_s, request.ice_m);
        Ok(state_of(span, spot, &state, degc, ground_m, &span.shape(&state)?))
    };
    let states = variants.iter().map(state).collect::<Result<Vec<_>, CatenaryError>>()?;
    Ok(states.into_iter().min_by(|a, b| a.above_zero_m.total_cmp(&b.above_zero_m)))
}

fn state_of(
    span: &WireSpan,
    spot: &Spot,
    state: &SpanState,
    temperature_degc: f64,
    ground_m: f64,
    shape: &StateShape,
) -> StateResult {
    let above_zero_m = span.point(shape, spot.fraction).z;
    StateResult {
        conductor_temperature_degc: temperature_degc,
        wind_across_m_per_s: state.wind_m_per_s,
        ice_m: state.ice_m,
        above_ground_m: above_zero_m - ground_m,
        above_zero_m,
        sag_m: shape.catenary.sag_m(spot.fraction),
        horizontal_tension_n: shape.horizontal_n(),
        greatest_tension_n: shape.greatest_tension_n(),
    }
}

/// The temperatures asked for, or the ends of the line's range and every multiple of 25 degC between them.
fn temperatures(line: &LineInfo, asked_degc: &[f64]) -> Vec<f64> {
    if !asked_degc.is_empty() {
        return asked_degc.to_vec();
    }
    let range = line.conditions.temperature_degc;
    let steps =
        (-4..=10).map(|step| 25.0 * f64::from(step)).filter(|t| range.low() + 5.0 < *t && *t < range.high() - 5.0);
    let mut all: Vec<f64> = std::iter::once(range.low()).chain(steps).chain([range.high()]).collect();
    all.dedup();
    all
}

impl Document for SagDocument {}

impl SagDocument {
    /// As CSV text with a header: one row per wire, place and temperature.
    ///
    /// # Errors
    /// When the table cannot be written, which no document causes.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(CSV_COLUMNS)?;
        for spot in &self.spots {
            for s in &spot.states {
                let numbers = [
                    spot.along_m,
                    s.conductor_temperature_degc,
                    s.wind_across_m_per_s,
                    s.ice_m,
                    s.above_ground_m,
                    s.above_zero_m,
                    s.sag_m,
                    s.horizontal_tension_n,
                    s.greatest_tension_n,
                    spot.lowest_above_ground_m,
                ];
                let names =
                    [&spot.line, &spot.wire, &spot.place, &spot.between[0], &spot.between[1]].map(String::clone);
                writer.write_record(names.into_iter().chain(numbers.map(|n| n.to_string())))?;
            }
        }
        crate::cells::finish(writer)
    }
}

/// Columns of the CSV table.
const CSV_COLUMNS: [&str; 15] = [
    "line",
    "wire",
    "place",
    "from_support",
    "to_support",
    "along_m",
    "conductor_temperature_degc",
    "wind_across_m_per_s",
    "ice_m",
    "above_ground_m",
    "above_zero_m",
    "sag_m",
    "horizontal_tension_n",
    "greatest_tension_n",
    "lowest_above_ground_m",
];
