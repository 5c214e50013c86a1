//! The answer of a day: hours, windows and why, as a document for programs and as a table.

use jiff::Timestamp;
use jiff::tz::Offset;
use schemars::JsonSchema;
use serde::Serialize;
use wideberth_physics::interval::Interval;
use wideberth_plan::answer::Answer;
use wideberth_plan::day::{Cause, Day, HourResult, MEASURED_TO_M, Measure, Spot, Window};
use wideberth_scenario::Job;
use wideberth_scenario::weather::offset_words;

use crate::document::{DefaultResult, Document, Range};
use crate::plan::MissingResult;
use crate::state::supports;
use crate::words::{CAUTION, VerdictName};

/// Name of the format.
pub const DAY_FORMAT: &str = "wideberth-day";

/// When a job is clear.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayDocument {
    /// Always "wideberth-day".
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// Program and version that computed it.
    pub computed_by: String,
    /// The job in one line.
    pub title: String,
    /// The scenario's date; left out where it states none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    /// The clock of all times, such as UTC-04:00.
    pub clock: String,
    /// Where the weather comes from.
    pub weather: String,
    /// Whether the weather is that of a typical year, not of the date.
    pub typical_year: bool,
    /// Whether the approach was searched; otherwise only temperatures and heights are given.
    pub searched: bool,
    /// The worst verdict of all hours.
    pub verdict: VerdictName,
    /// Whether every hour is clear and nothing is missing, as `check` judges the plan; left out where nothing was searched.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ready: Option<bool>,
    /// What is missing before the plan is ready.
    pub missing: Vec<MissingResult>,
    /// Each wire.
    pub wires: Vec<DayWire>,
    /// Each place on a wire.
    pub spots: Vec<DaySpot>,
    /// Each hour.
    pub hours: Vec<DayHour>,
    /// Spells of hours that are all clear, or all not.
    pub windows: Vec<DayWindow>,
    /// What to measure of wires that nobody knows.
    pub measures: Vec<DayMeasure>,
    /// Index of the worst hour.
    pub worst_hour: usize,
    /// How many searches it took.
    pub searches: usize,
    /// What the scenario leaves out and what was taken instead.
    pub defaults_taken: Vec<DefaultResult>,
    /// What to know before relying on it.
    pub warnings: Vec<String>,
    /// What the result is not.
    pub caution: &'static str,
}

/// A wire.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayWire {
    /// Name of the line.
    pub line: String,
    /// Name of the wire.
    pub wire: String,
    /// Conductor.
    pub conductor: String,
    /// How its tautness is known.
    pub known_by: String,
}

/// A place on a wire.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DaySpot {
    /// Index of the wire.
    pub wire: usize,
    /// What the place is.
    pub place: String,
    /// The supports of the span.
    pub between: [String; 2],
    /// Share of the span from the first of them, 0 to 1.
    pub fraction: f64,
    /// Level of the straight line between the feet of the supports there, m.
    pub ground_m: f64,
}

/// A range of values.
#[derive(Clone, Copy, Debug, JsonSchema, PartialEq, Serialize)]
pub struct Values {
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

impl From<Interval> for Values {
    fn from(range: Interval) -> Self {
        Self { least: range.low(), greatest: range.high() }
    }
}

/// An hour.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayHour {
    /// Its beginning.
    pub from: String,
    /// Its end.
    pub to: String,
    /// Temperature of the air, degC.
    pub air_degc: Values,
    /// Mean wind, m/s.
    pub wind_m_per_s: Values,
    /// Strongest gust, m/s.
    pub gust_m_per_s: f64,
    /// The wind that the wires are searched in, m/s.
    pub searched_wind_m_per_s: Values,
    /// Conductor temperature of each wire, degC.
    pub wires_degc: Vec<Values>,
    /// Height of each spot above the ground in still air, tolerances included, m.
    pub heights_m: Vec<Values>,
    /// Whether the job is clear throughout the hour; left out where nothing was searched.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<VerdictName>,
    /// Proven: nothing comes closer in this hour, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closest_approach_lower_m: Option<f64>,
    /// The closest that was found, m; left out where the hour was decided together with others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closest_approach_upper_m: Option<f64>,
    /// Proven: what is left beyond the limit, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare_lower_m: Option<f64>,
    /// The least that was found, m.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spare_upper_m: Option<f64>,
    /// What comes closest, where the hour was searched by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst: Option<DayFinding>,
}

/// What comes closest in an hour.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayFinding {
    /// Name of the machine.
    pub machine: String,
    /// Its part.
    pub part: String,
    /// Name of the line.
    pub line: String,
    /// Name of the wire.
    pub wire: String,
    /// Closest approach.
    pub closest_approach: Range,
    /// Limit of approach, m.
    pub limit_m: f64,
    /// Conductor temperature of the state that was found, degC.
    pub conductor_temperature_degc: f64,
    /// Wind across the span in that state, m/s, never negative.
    pub wind_across_m_per_s: f64,
    /// Height of the wire there above the site's zero, m.
    pub wire_above_zero_m: f64,
}

/// A spell.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayWindow {
    /// Its beginning.
    pub from: String,
    /// Its end.
    pub to: String,
    /// Index of its first hour.
    pub first_hour: usize,
    /// How many hours.
    pub hours: usize,
    /// Its worst verdict.
    pub verdict: VerdictName,
    /// What ended the clear spell before it: "heat", "wind", "together" (either alone would be clear), "each".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<&'static str>,
    /// For a clear spell: proven clear in any gust up to this, m/s, with the wires as hot as they may be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear_in_gusts_to_m_per_s: Option<f64>,
    /// For a clear spell: not clear in gusts up to this, m/s.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_clear_in_gusts_to_m_per_s: Option<f64>,
}

/// What to measure of a wire that nobody knows.
#[derive(Clone, Debug, JsonSchema, PartialEq, Serialize)]
pub struct DayMeasure {
    /// Index of the wire.
    pub wire: usize,
    /// The supports of the span in whose middle the height is to be measured.
    pub between: [String; 2],
    /// What the height above the ground may be there in the first hour, m.
    pub may_be_m: Values,
    /// How exactly it is to be measured, m, either way.
    pub measured_to_m: f64,
    /// Measured in the first hour at this height or more, every hour is proven clear of this wire, m; left out where no height makes it so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clear_from_m: Option<f64>,
}

/// A cause as a stable name.
#[must_use]
pub fn cause_name(cause: Cause) -> &'static str {
    match cause {
        Cause::Heat => "heat",
        Cause::Wind => "wind",
        Cause::Together => "together",
        Cause::Each => "each",
    }
}

/// A cause in words.
#[must_use]
pub fn cause_words(cause: &str) -> &'static str {
    match cause {
        "heat" => "the wires get hotter and hang lower; with those of the hour before it would still be clear",
        "wind" => "the wind gets stronger; with that of the hour before it would still be clear",
        "together" => "hotter wires and stronger wind end it together; either alone would still be clear",
        _ => "hotter wires and stronger wind, each of which alone ends it",
    }
}

/// Times on the clock of the site.
#[derive(Clone, Copy)]
struct Clock(Offset);

impl Clock {
    fn stamp(self, at: Timestamp) -> String {
        at.display_with_offset(self.0).to_string()
    }
}

impl Document for DayDocument {}

impl DayDocument {
    /// The document of an answer. `searched` says whether the approach was asked for.
    #[must_use]
    pub fn of(job: &Job, day: &Day, searched: bool) -> Self {
        let climate = job.climate.as_ref();
        let clock = Clock(climate.map_or(Offset::UTC, |climate| climate.offset));
        let worst = day.hours.iter().map(|hour| hour.verdict).max();
        let default = |taken: &wideberth_scenario::job::DefaultTaken| DefaultResult {
            path: taken.path.clone(),
            value: taken.value.clone(),
            words: taken.words.clone(),
        };
        Self {
            format: DAY_FORMAT,
            version: 1,
            computed_by: concat!("wideberth ", env!("CARGO_PKG_VERSION")).into(),
            title: job.title.clone(),
            date: climate.and_then(|climate| climate.date).map(|date| date.to_string()),
            clock: offset_words(clock.0),
            weather: climate.map_or_else(String::new, |climate| climate.source.clone()),
            typical_year: climate.is_some_and(|climate| climate.typical),
            searched,
            verdict: worst.unwrap_or(wideberth_physics::verdict::Verdict::NotProven).into(),
            ready: None,
            missing: Vec::new(),
            wires: day.wires.iter().map(|id| wire(job, id)).collect(),
            spots: day.spots.iter().map(|found| spot(job, day, found)).collect(),
            hours: day.hours.iter().map(|found| hour(job, found, searched, clock)).collect(),
            windows: day.windows.iter().map(|found| window(day, found, clock)).collect(),
            measures: day.measures.iter().map(|found| measure(job, day, found)).collect(),
            worst_hour: day.worst,
            searches: day.searches,
            defaults_taken: job.defaults_taken.iter().map(default).collect(),
            warnings: warnings(job),
            caution: CAUTION,
        }
    }

    /// The same with the readiness of the plan, as `check` judges it.
    #[must_use]
    pub fn judged(self, answer: &Answer) -> Self {
        let clear = self.verdict == VerdictName::Clear;
        let missing = answer.missing.iter().map(crate::plan::missing).collect();
        Self { ready: Some(clear && answer.is_ready()), missing, ..self }
    }

    /// As CSV text with a header: one row for each hour, columns for each wire and spot.
    ///
    /// # Errors
    /// When the table cannot be written, which no document causes.
    pub fn to_csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(self.columns())?;
        for hour in &self.hours {
            writer.write_record(row(hour))?;
        }
        crate::cells::finish(writer)
    }

    fn columns(&self) -> Vec<String> {
        let fixed = [
            "from",
            "to",
            "air_least_degc",
            "air_greatest_degc",
            "gust_m_per_s",
            "verdict",
            "closest_approach_lower_m",
            "closest_approach_upper_m",
            "spare_lower_m",
            "spare_upper_m",
        ];
        let wires = self
            .wires
            .iter()
            .flat_map(|wire| ["least", "greatest"].map(|end| format!("{} / {}: {end}_degc", wire.line, wire.wire)));
        let spots = self.spots.iter().flat_map(|spot| {
            let wire = &self.wires[spot.wire];
            ["least", "greatest"].map(|end| format!("{} / {} at {}: {end}_height_m", wire.line, wire.wire, spot.place))
        });
        fixed.map(String::from).into_iter().chain(wires).chain(spots).collect()
    }
}

fn row(hour: &DayHour) -> Vec<String> {
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let fixed = [
        hour.from.clone(),
        hour.to.clone(),
        hour.air_degc.least.to_string(),
        hour.air_degc.greatest.to_string(),
        hour.gust_m_per_s.to_string(),
        hour.verdict.map_or("", VerdictName::name).into(),
        number(hour.closest_approach_lower_m),
        number(hour.closest_approach_upper_m),
        number(hour.spare_lower_m),
        number(hour.spare_upper_m),
    ];
    let ranges = hour.wires_degc.iter().chain(&hour.heights_m);
    fixed.into_iter().chain(ranges.flat_map(|range| [range.least.to_string(), range.greatest.to_string()])).collect()
}

fn wire(job: &Job, id: &wideberth_plan::day::WireId) -> DayWire {
    let info = &job.lines[id.line].wires[id.wire];
    DayWire {
        line: id.line_name.clone(),
        wire: id.wire_name.clone(),
        conductor: info.conductor.name.clone(),
        known_by: info.known_by.clone(),
    }
}

fn spot(job: &Job, day: &Day, found: &Spot) -> DaySpot {
    let line = &job.lines[day.wires[found.wire].line];
    DaySpot {
        wire: found.wire,
        place: found.name.clone(),
        between: supports(line, found.span),
        fraction: found.fraction,
        ground_m: found.ground_m,
    }
}

fn hour(job: &Job, found: &HourResult, searched: bool, clock: Clock) -> DayHour {
    let finite = |value: f64| Some(value).filter(|value| searched && value.is_finite());
    let values = |ranges: &[Interval]| ranges.iter().copied().map(Values::from).collect();
    DayHour {
        from: clock.stamp(found.weather.from),
        to: clock.stamp(found.weather.to()),
        air_degc: found.weather.air_degc.into(),
        wind_m_per_s: found.weather.wind_m_per_s.into(),
        gust_m_per_s: found.weather.gust_m_per_s,
        searched_wind_m_per_s: found.wind_m_per_s.into(),
        wires_degc: values(&found.wires_degc),
        heights_m: values(&found.heights_m),
        verdict: searched.then(|| found.verdict.into()),
        closest_approach_lower_m: finite(found.distance.lower_m),
        closest_approach_upper_m: finite(found.distance.upper_m),
        spare_lower_m: finite(found.spare.lower_m),
        spare_upper_m: finite(found.spare.upper_m),
        worst: found.worst.as_ref().map(|worst| finding(job, worst)),
    }
}

fn finding(job: &Job, found: &wideberth_physics::assess::Finding) -> DayFinding {
    let pairing = &found.pairing;
    let (line, machine) = (&job.lines[pairing.line], &job.study.machines[pairing.machine]);
    let (distance, witness) = (found.distance, &found.attained.witness);
    DayFinding {
        machine: job.machines[pairing.machine].name.clone(),
        part: machine.bodies()[witness.body].name.clone(),
        line: line.name.clone(),
        wire: line.wires[pairing.wire].name.clone(),
        closest_approach: Range { lower_m: distance.lower_m, upper_m: distance.upper_m },
        limit_m: pairing.limit_m,
        conductor_temperature_degc: witness.temperature_degc,
        wind_across_m_per_s: witness.state.wind_m_per_s.abs(),
        wire_above_zero_m: witness.on_wire.z,
    }
}

fn measure(job: &Job, day: &Day, found: &Measure) -> DayMeasure {
    DayMeasure {
        wire: found.wire,
        between: supports(&job.lines[day.wires[found.wire].line], found.span),
        may_be_m: found.may_be_m.into(),
        measured_to_m: MEASURED_TO_M,
        clear_from_m: found.clear_from_m,
    }
}

fn window(day: &Day, found: &Window, clock: Clock) -> DayWindow {
    let (first, last) = (&day.hours[found.hours.start], &day.hours[found.hours.end - 1]);
    DayWindow {
        from: clock.stamp(first.weather.from),
        to: clock.stamp(last.weather.to()),
        first_hour: found.hours.start,
        hours: found.hours.len(),
        verdict: found.verdict.into(),
        cause: found.cause.map(cause_name),
        clear_in_gusts_to_m_per_s: found.wind.map(|wind| wind.clear_to_m_per_s),
        not_clear_in_gusts_to_m_per_s: found.wind.and_then(|wind| wind.not_clear_at_m_per_s),
    }
}

/// What to know of the weather before relying on the answer.
fn warnings(job: &Job) -> Vec<String> {
    let models = || job.wires.iter().flatten();
    let mut warnings = Vec::new();
    if job.climate.as_ref().is_some_and(|climate| climate.typical) {
        warnings.push("the weather is that of a typical year: this day may be hotter and windier".into());
    }
    if models().any(|model| model.states.coupled) {
        warnings.push(
            "wind and temperature are coupled: a squall that meets wires still hot from a calm is not covered".into(),
        );
    }
    if models().any(|model| model.states.direction_from_weather) {
        warnings.push(
            "the wind is taken from the directions that the weather states: a gust front or thunderstorm may blow from elsewhere".into(),
        );
    }
    if models().any(|model| model.variants.len() > 1) {
        warnings.push("a conductor is not known; which ones its class may have is common practice, from memory".into());
    }
    warnings
}
