//! Every text and number on the screen, from the certified answer and the moment. Numbers are rounded as the command line
//! rounds them, so both print the same digits.

use wideberth_physics::approach::Gap;
use wideberth_physics::line::{Wire, WireSpan};
use wideberth_report::document::{FindingResult, ResultDocument};
use wideberth_report::quantity::angle;
use wideberth_report::words::{VerdictName, compass};
use wideberth_report::{Units, words};
use wideberth_rules::Voltage;
use wideberth_scenario::Job;
use wideberth_scenario::job::{JointInfo, JointUnit, LineInfo};

use crate::gusts::Instant;
use crate::hours::HourWeather;
use crate::loaded::Loaded;
use crate::moment::{Gaps, Weather};
use crate::strings::Strings;

/// Slower winds are called still air, m/s.
const STILL_M_PER_S: f64 = 0.5;
/// The joint by which a machine is turned from its heading; less than half a degree of it is not told.
const HEADING_ERROR: &str = "heading error";

/// A label and a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// What it is.
    pub label: String,
    /// The value with its unit.
    pub value: String,
}

/// The certified answer, as the banner says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Banner {
    /// The verdict.
    pub verdict: VerdictName,
    /// Its word.
    pub word: String,
    /// Closest approach, limit, spare.
    pub figures: Vec<Figure>,
    /// The verdict in a sentence.
    pub sentence: String,
    /// The job.
    pub title: String,
    /// What the answer is not.
    pub caution: String,
}

/// How the gap of a moment stands to the limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// At least the limit.
    Outside,
    /// Less than the limit.
    Inside,
    /// Nothing.
    Touching,
}

/// The moment that is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NowCard {
    /// Heading.
    pub heading: String,
    /// Gap, limit, spare.
    pub figures: Vec<Figure>,
    /// How the gap stands to the limit.
    pub standing: Standing,
    /// The same in words, and which part comes near which wire.
    pub words: String,
    /// Weather and joints.
    pub state: String,
    /// The joints alone.
    pub joints: String,
}

/// The hours of a day with their certified verdicts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayStrip {
    /// Each hour: when it begins, such as "14", and its verdict.
    pub hours: Vec<(String, VerdictName)>,
    /// The place of the hour that is shown.
    pub at: usize,
    /// The certified answer for that hour in words.
    pub words: String,
}

/// A row of the table of wires.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WireRow {
    /// Machine and line, where there are several.
    pub group: String,
    /// Wire.
    pub wire: String,
    /// Certified closest approach.
    pub closest: String,
    /// Gap of the moment.
    pub gap: String,
    /// Limit.
    pub limit: String,
    /// Certified spare, rounded down.
    pub spare: String,
    /// Certified verdict.
    pub verdict: VerdictName,
}

/// The banner of an answer; none where nothing was assessed.
#[must_use]
pub fn banner(document: &ResultDocument, units: Units, strings: &Strings) -> Option<Banner> {
    let worst = document.worst()?;
    let found = &worst.closest_approach;
    let is_short = matches!(document.verdict, VerdictName::TooClose | VerdictName::Contact);
    let spare = if is_short {
        figure(strings.short, units.length_up(-worst.spare.lower_m))
    } else {
        figure(strings.spare, units.length_range(worst.spare.lower_m, worst.spare.upper_m))
    };
    Some(Banner {
        verdict: document.verdict,
        word: document.verdict.shout().into(),
        figures: vec![
            figure(strings.closest, units.length_range(found.lower_m, found.upper_m)),
            figure(strings.limit, units.length_up(worst.limit_m)),
            spare,
        ],
        sentence: sentence(document.verdict, worst, units),
        title: document.title.clone(),
        caution: words::CAUTION.into(),
    })
}

fn figure(label: &str, value: String) -> Figure {
    Figure { label: label.into(), value }
}

fn sentence(verdict: VerdictName, worst: &FindingResult, units: Units) -> String {
    let FindingResult { machine, line, wire, closest_approach: found, witness, .. } = worst;
    let name = format!("wire \"{wire}\" of {line}");
    let part = part_of(machine, &witness.body);
    match verdict {
        VerdictName::Clear => {
            format!("Proven: nothing comes closer than {} to {name}.", units.length_down(found.lower_m))
        }
        VerdictName::NotProven => format!(
            "{part} may come as close as {} to {name}. Treat it as too close.",
            units.length_down(found.lower_m)
        ),
        VerdictName::TooClose => format!("{part} can come to {} of {name}.", units.length_down(found.upper_m)),
        VerdictName::Contact => format!("{part} can touch {name}."),
    }
}

/// Such as "The boom of the crane".
fn part_of(machine: &str, body: &str) -> String {
    let named = machine.to_lowercase().contains(&body.to_lowercase());
    let text = if named { machine.to_string() } else { format!("the {body} of {machine}") };
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().chain(characters).collect())
}

/// How a gap stands to a limit.
#[must_use]
pub fn standing(gap_m: f64, limit_m: f64) -> Standing {
    if gap_m <= 0.0 {
        Standing::Touching
    } else if gap_m < limit_m {
        Standing::Inside
    } else {
        Standing::Outside
    }
}

/// The card of the moment; none where nothing is paired.
#[must_use]
pub fn now_card(
    job: &Job,
    gaps: &Gaps,
    moment: &crate::moment::Moment,
    is_worst: bool,
    units: Units,
    strings: &Strings,
) -> Option<NowCard> {
    let (pairing, gap) = (job.study.pairings.get(gaps.least)?, gaps.each.get(gaps.least)?);
    let machine = &job.machines[pairing.machine];
    let line = &job.lines[pairing.line];
    let body = &job.study.machines[pairing.machine].bodies()[gap.body].name;
    let standing = standing(gap.distance_m, pairing.limit_m);
    let says = match standing {
        Standing::Outside => strings.outside,
        Standing::Inside => strings.inside,
        Standing::Touching => strings.touching,
    };
    let joints = machine.joints.iter().zip(&moment.poses[pairing.machine]);
    let joints = joints.filter(|(joint, value)| joint.name != HEADING_ERROR || value.abs() > 0.0087);
    let joints: Vec<String> = joints.map(|(joint, value)| joint_words(joint, *value, units)).collect();
    Some(NowCard {
        heading: if is_worst { strings.worst_case } else { strings.now }.into(),
        figures: gap_figures(gap, pairing.limit_m, units, strings),
        standing,
        words: format!("{} and wire \"{}\": {says}", part_of(&machine.name, body), line.wires[pairing.wire].name),
        state: format!("{}; {}", weather_words(&moment.weather, units, strings), joints.join(", ")),
        joints: joints.join(", "),
    })
}

/// The card while wires move in gusts about a weather.
#[must_use]
pub fn swaying_card(card: NowCard, weather: &Weather, instant: &Instant, units: Units, strings: &Strings) -> NowCard {
    let gusts = format!("gusts up to {}", units.speed(instant.gust_m_per_s));
    let conductor = format!("{} {}", strings.temperature, temperature_words(weather, units));
    let time = format!("{:.0} s of {:.0} s", instant.time_s.floor(), instant.length_s);
    let state = format!("{time}, {gusts}, {conductor}; {}", card.joints);
    NowCard { heading: strings.swaying.into(), state, ..card }
}

fn gap_figures(gap: &Gap, limit_m: f64, units: Units, strings: &Strings) -> Vec<Figure> {
    let spare_m = gap.distance_m - limit_m;
    let last = if spare_m < 0.0 {
        figure(strings.short, units.length_up(-spare_m))
    } else {
        figure(strings.spare, units.length_down(spare_m))
    };
    vec![figure(strings.gap, units.length_down(gap.distance_m)), figure(strings.limit, units.length_up(limit_m)), last]
}

/// The label at a gap, such as "1.20 m, limit 3.05 m".
#[must_use]
pub fn gap_label(gap_m: f64, limit_m: f64, units: Units, strings: &Strings) -> String {
    format!(
        "{} {} · {} {}",
        strings.gap.to_lowercase(),
        units.length_down(gap_m),
        strings.limit.to_lowercase(),
        units.length_up(limit_m)
    )
}

/// A joint with its value.
#[must_use]
pub fn joint_words(joint: &JointInfo, value: f64, units: Units) -> String {
    format!("{} {}", joint.name, joint_value(joint, value, units))
}

/// The value of a joint.
#[must_use]
pub fn joint_value(joint: &JointInfo, value: f64, units: Units) -> String {
    match joint.unit {
        JointUnit::Radian => angle(value),
        JointUnit::Metre => units.length_rough(value),
    }
}

/// The weather in words.
#[must_use]
pub fn weather_words(weather: &Weather, units: Units, strings: &Strings) -> String {
    let wind = if weather.wind_m_per_s < STILL_M_PER_S {
        strings.still.into()
    } else {
        format!("{} {} {}", strings.wind, units.speed(weather.wind_m_per_s), compass(weather.wind_from_rad))
    };
    let ice = if weather.ice_m > 0.0 { format!(", {:.0} mm ice", weather.ice_m * 1000.0) } else { String::new() };
    let clock = weather.hour.as_ref().map_or_else(String::new, |hour| format!("{}: ", hour.clock));
    format!("{clock}{} {}, {wind}{ice}", strings.temperature, temperature_words(weather, units))
}

/// The hours of the day about the one that is shown; none where no hour is, or the hours have no answer.
#[must_use]
pub fn day_strip(loaded: &Loaded, weather: &Weather, units: Units) -> Option<DayStrip> {
    let shown = weather.hour.as_ref()?;
    let answer = loaded.day.get(shown.index)?;
    let begins = |hour: &HourWeather| hour.clock.split(':').next().unwrap_or_default().to_string();
    let hours = loaded.hours.iter().zip(&loaded.day).map(|(hour, answer)| (begins(hour), answer.verdict)).collect();
    let found = units.length_range(answer.distance.lower_m, answer.distance.upper_m);
    let words =
        format!("{}, certified: {}, closest approach {found}", shown.clock, answer.verdict.shout().to_lowercase());
    Some(DayStrip { hours, at: shown.index, words })
}

/// The temperature of the wires: one, or from the coldest to the hottest wire.
fn temperature_words(weather: &Weather, units: Units) -> String {
    let hottest = units.temperature(weather.temperature_degc);
    let range = weather.hour.as_ref().and_then(|hour| hour.range_degc());
    match range.map(|[coldest, _]| units.temperature(coldest)) {
        Some(coldest) if coldest != hottest => format!("{coldest} to {hottest}"),
        _ => hottest,
    }
}

/// A voltage in a few words.
#[must_use]
pub fn voltage_words(voltage: &Voltage) -> String {
    match voltage {
        Voltage::Known { voltage_kv, .. } => format!("{voltage_kv} kV"),
        Voltage::Unknown { .. } => "voltage unknown".into(),
    }
}

/// The label of a wire.
#[must_use]
pub fn wire_label(job: &Job, line: usize, wire: usize) -> String {
    let wire = &job.lines[line].wires[wire];
    format!("{} · {}", wire.name, voltage_words(&wire.voltage))
}

/// The rows of the table, certified answer and moment side by side.
#[must_use]
pub fn wire_rows(document: &ResultDocument, gaps: &Gaps, units: Units) -> Vec<WireRow> {
    let several_machines = document.machines.len() > 1;
    let several_lines = document.lines.len() > 1;
    let row = |(index, finding): (usize, &FindingResult)| {
        let machine = several_machines.then_some(finding.machine.as_str());
        let line = several_lines.then_some(finding.line.as_str());
        WireRow {
            group: machine.into_iter().chain(line).collect::<Vec<&str>>().join(", "),
            wire: finding.wire.clone(),
            closest: units.length_range(finding.closest_approach.lower_m, finding.closest_approach.upper_m),
            gap: gaps.each.get(index).map_or_else(String::new, |gap| units.length_down(gap.distance_m)),
            limit: units.length_up(finding.limit_m),
            spare: units.length_down(finding.spare.lower_m),
            verdict: finding.verdict,
        }
    };
    document.findings.iter().enumerate().map(row).collect()
}

/// Level of the straight line between the feet of a span's supports below a gap, m: what reports measure heights from.
#[must_use]
pub fn ground_m(line: &LineInfo, wire: &Wire, gap: &Gap) -> f64 {
    // A wire that is one of several has the spans of each.
    let place = wire.spans().get(gap.span).map_or(0, WireSpan::index);
    let foot_m = |index: usize| line.supports.get(index).map_or(0.0, |support| support.foot.z);
    foot_m(place) + gap.fraction * (foot_m(place + 1) - foot_m(place))
}

/// The label of a wire's height above the ground.
#[must_use]
pub fn height_label(gap: &Gap, ground_m: f64, units: Units) -> String {
    format!("wire {} above ground", units.length_rough(gap.on_wire.z - ground_m))
}
