//! Every text and number on the screen, from the proven answer and the moment. Numbers are rounded as the command line
//! rounds them, so both print the same digits.

use std::collections::BTreeMap;

use wideberth_physics::approach::Gap;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Wire, WireSpan};
use wideberth_report::document::{FindingResult, ResultDocument};
use wideberth_report::plan::{ControlResult, GroundResult};
use wideberth_report::quantity::angle;
use wideberth_report::words::{VerdictName, compass};
use wideberth_report::{Units, words};
use wideberth_rules::Voltage;
use wideberth_scenario::Job;
use wideberth_scenario::job::{JointInfo, JointUnit, LineInfo};

use crate::gusts::Instant;
use crate::hours::HourWeather;
use crate::loaded::Loaded;
use crate::moment::{Gaps, Moment, Weather, conditions};
use crate::strings::Strings;
use crate::theme::Sign;

/// Slower winds are called still air, m/s.
const STILL_M_PER_S: f64 = 0.5;
/// A tolerance of the heading below this is not told, rad.
const SMALL_TURN_RAD: f64 = 0.0087;
/// How far a moment may leave a range by rounding: rad or m, °C and m/s.
const ROUNDING: f64 = 1e-6;
/// A gap this much below what is proven is rounding, m.
const ROUNDING_M: f64 = 1e-3;
/// Missing things that are named; the others are counted.
const NAMED: usize = 3;

/// A label and a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// What it is.
    pub label: String,
    /// The value with its unit.
    pub value: String,
}

/// What the answer on the screen is for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Scope {
    /// The scenario as it is.
    #[default]
    Stated,
    /// Ranges that somebody changed, in words.
    Changed(String),
    /// Changed ranges whose answer is on its way.
    Coming(String),
    /// Changed ranges without an answer, and why.
    Refused(String, String),
}

/// A line of the banner: in full, and in the few words that stay where there is little room.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// In full.
    pub full: String,
    /// In few words; empty where it may be left out.
    pub short: String,
}

/// The answer, as the banner says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Banner {
    /// What it says at a glance.
    pub sign: Sign,
    /// Its word.
    pub word: String,
    /// Closest approach, limit, spare.
    pub figures: Vec<Figure>,
    /// The verdict in a sentence.
    pub sentence: String,
    /// What it is for, what is missing, what the limit and the answer rest on.
    pub lines: Vec<Line>,
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
    /// At least the limit, but nothing proves that it is kept: the answer is in doubt, or the moment lies outside its ranges.
    Unproven,
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
    /// How the moment leaves the ranges that were proven; empty where it does not.
    pub beyond: String,
    /// Weather and joints.
    pub state: String,
    /// The joints alone.
    pub joints: String,
}

/// The hours of a day with their proven verdicts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayStrip {
    /// Each hour: when it begins, such as "14", and its verdict.
    pub hours: Vec<(String, VerdictName)>,
    /// The place of the hour that is shown.
    pub at: usize,
    /// The proven answer for that hour in words.
    pub words: String,
}

/// A row of the table of wires.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WireRow {
    /// Machine and line, where there are several.
    pub group: String,
    /// Wire.
    pub wire: String,
    /// Proven closest approach.
    pub closest: String,
    /// Gap of the moment.
    pub gap: String,
    /// Limit.
    pub limit: String,
    /// Proven spare, rounded down.
    pub spare: String,
    /// Proven verdict.
    pub verdict: VerdictName,
}

/// The banner of an answer; none where nothing was assessed.
#[must_use]
pub fn banner(document: &ResultDocument, scope: &Scope, units: Units, strings: &Strings) -> Option<Banner> {
    let unanswered = |word: &str, sentence: String, ranges: &str| Banner {
        sign: Sign::NoAnswer,
        word: word.into(),
        figures: Vec::new(),
        sentence,
        lines: vec![always(format!("{} {ranges}", strings.for_changed))],
        title: plain(&document.title),
        caution: words::CAUTION.into(),
    };
    match scope {
        Scope::Coming(ranges) => Some(unanswered(strings.coming, strings.computing.into(), ranges)),
        Scope::Refused(ranges, why) => Some(unanswered(strings.no_answer, plain(why), ranges)),
        Scope::Changed(ranges) => answered(document, Some(ranges), units, strings),
        Scope::Stated => answered(document, None, units, strings),
    }
}

/// The banner of an answer, for changed ranges or for those of the scenario. For changed ranges nothing is ready: nobody holds them.
fn answered(document: &ResultDocument, ranges: Option<&String>, units: Units, strings: &Strings) -> Option<Banner> {
    let worst = document.worst()?;
    let found = &worst.closest_approach;
    let is_short = matches!(worst.verdict, VerdictName::TooClose | VerdictName::Contact);
    let spare = if is_short {
        figure(strings.short, units.length_up(-worst.spare.lower_m))
    } else {
        figure(strings.spare, units.length_range(worst.spare.lower_m, worst.spare.upper_m))
    };
    let sign = Sign::of(document.verdict, document.ready && ranges.is_none());
    let mut lines = Vec::new();
    lines.extend(ranges.map(|ranges| always(format!("{} {ranges}", strings.for_changed))));
    match ranges {
        Some(_) if sign == Sign::NotReady => lines.push(always(strings.only_here.into())),
        Some(_) => {}
        None => lines.extend(missing(document, sign, strings)),
    }
    lines.extend(document.ground.iter().map(|ground| ground_line(ground, units, strings)));
    lines.extend(limit_line(document, worst, strings));
    lines.extend(controls_line(document, strings));
    Some(Banner {
        sign,
        word: if sign == Sign::NotReady { strings.not_ready.into() } else { document.verdict.shout().into() },
        figures: vec![
            figure(strings.closest, units.length_range(found.lower_m, found.upper_m)),
            figure(strings.limit, units.length_up(worst.limit_m)),
            spare,
        ],
        sentence: sentence(worst.verdict, worst, units),
        lines,
        title: plain(&document.title),
        caution: words::CAUTION.into(),
    })
}

/// A line that is never left out or cut.
fn always(text: String) -> Line {
    Line { short: text.clone(), full: text }
}

/// What is missing before work may start, where nothing worse stops it.
fn missing(document: &ResultDocument, sign: Sign, strings: &Strings) -> Option<Line> {
    let all = &document.missing;
    if sign != Sign::NotReady || all.is_empty() {
        return None;
    }
    let name = |code: &str, words: &str| format!("{}: {}", code.replace('-', " "), plain(words));
    let mut named: Vec<String> = all.iter().take(NAMED).map(|gap| name(gap.code, &gap.words)).collect();
    if all.len() > NAMED {
        named.push(format!("{} more", all.len() - NAMED));
    }
    let short = format!("{} {}", strings.missing, all.len());
    Some(Line { full: format!("{short}: {}", named.join("; ")), short })
}

/// What enters the ground, against what is buried.
fn ground_line(ground: &GroundResult, units: Units, strings: &Strings) -> Line {
    let hand = if ground.by_hand { format!("; {}", strings.by_hand) } else { String::new() };
    let text = format!(
        "{}, {}: {} {} from {}, {} {}{hand}",
        strings.in_the_ground,
        ground.verdict.shout().to_lowercase(),
        plain(&ground.what),
        units.length_down(ground.distance.lower_m),
        plain(&ground.buried),
        strings.zone,
        units.length_up(ground.zone_m),
    );
    if ground.verdict == VerdictName::Clear { Line { full: text, short: String::new() } } else { always(text) }
}

/// Where the limit comes from; that it is from memory is said in any room.
fn limit_line(document: &ResultDocument, worst: &FindingResult, strings: &Strings) -> Option<Line> {
    let limit = document.limit_of(worst)?;
    // What stands in brackets and after a semicolon tells how well the source is known, which the report prints.
    let source = without_brackets(limit.source.split(';').next().unwrap_or_default());
    let source = plain(&source);
    let short =
        if limit.from_memory { format!("{} {}", strings.limit_from, strings.from_memory) } else { String::new() };
    let memory = if limit.from_memory { format!("{}, ", strings.from_memory) } else { String::new() };
    Some(Line { full: format!("{}: {memory}{source}", strings.limit_from), short })
}

/// A text without what stands in round brackets after a space.
fn without_brackets(text: &str) -> String {
    let mut depth = 0_usize;
    let mut kept = String::new();
    for letter in text.chars() {
        match letter {
            '(' if depth > 0 || kept.ends_with(' ') => depth += 1,
            ')' if depth > 0 => depth -= 1,
            letter if depth == 0 => kept.push(letter),
            _ => {}
        }
    }
    kept.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",").replace(" :", ":")
}

/// The controls without which the answer does not hold.
fn controls_line(document: &ResultDocument, strings: &Strings) -> Option<Line> {
    let counting = document.controls.iter().filter(|control| control.counts && control.changes_the_model);
    let name = |control: &ControlResult| {
        let says = if control.says.is_empty() { String::new() } else { format!(" ({})", plain(&control.says)) };
        format!("{}{says}", plain(&control.name))
    };
    let names: Vec<String> = counting.map(name).collect();
    let without = document.without_controls.as_ref();
    let bare = without.map_or_else(String::new, |bare| format!("; {} {}", strings.without_them, bare.verdict.shout()));
    (!names.is_empty()).then(|| {
        let full = format!("{} {}{bare}", strings.holds_with, names.join(", "));
        Line { short: full.clone(), full }
    })
}

/// A text of a file as it may be shown: without characters that hide, turn or move what stands beside them.
#[must_use]
pub fn plain(text: &str) -> String {
    let hides = |letter: char| {
        letter.is_control()
            || matches!(letter, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}')
            || matches!(letter, '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
    };
    text.chars().map(|letter| if hides(letter) { '\u{fffd}' } else { letter }).collect()
}

fn figure(label: &str, value: String) -> Figure {
    Figure { label: label.into(), value }
}

fn sentence(verdict: VerdictName, worst: &FindingResult, units: Units) -> String {
    let FindingResult { machine, line, wire, closest_approach: found, witness, .. } = worst;
    let name = format!("wire \"{}\" of {}", plain(wire), plain(line));
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
    let text = plain(&if named { machine.to_string() } else { format!("the {body} of {machine}") });
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

/// How a moment stands to the answer: its least gap to its limit, and what of it lies outside the ranges that were proven.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// How the gap stands to the limit.
    pub standing: Standing,
    /// How the moment leaves the ranges that were proven; empty where it does not.
    pub beyond: String,
}

/// Judges a moment by the answer that is shown. A tick stands only where the answer proves what is seen.
#[must_use]
pub fn judged(
    proven: &Loaded,
    gaps: &Gaps,
    moment: &Moment,
    is_worst: bool,
    units: Units,
    strings: &Strings,
) -> Judged {
    let (study, found) = (&proven.job.study, &proven.assessment.findings);
    let pair = study.pairings.get(gaps.least).zip(gaps.each.get(gaps.least));
    let Some((pairing, gap)) = pair else { return Judged { standing: Standing::Unproven, beyond: String::new() } };
    let hour = moment.weather.hour.as_ref().and_then(|hour| proven.day.get(hour.index));
    let mut beyond = if is_worst { Vec::new() } else { beyond(proven, moment, units, strings) };
    let lower_m = found.get(gaps.least).map_or(f64::INFINITY, |finding| finding.approach.distance.lower_m);
    if beyond.is_empty() && hour.is_none() && gap.distance_m < lower_m - ROUNDING_M {
        beyond.push(strings.closer.into());
    }
    let verdict = hour.map_or_else(|| VerdictName::from(proven.assessment.verdict), |hour| hour.verdict);
    let standing = match standing(gap.distance_m, pairing.limit_m) {
        Standing::Outside if !beyond.is_empty() => Standing::Unproven,
        Standing::Outside if (is_worst || hour.is_some()) && verdict != VerdictName::Clear => Standing::Unproven,
        plain => plain,
    };
    Judged { standing, beyond: beyond.join(", ") }
}

/// What of a moment lies outside the ranges of an answer, each with its range.
fn beyond(proven: &Loaded, moment: &Moment, units: Units, strings: &Strings) -> Vec<String> {
    let job = &proven.job;
    let mut all = Vec::new();
    let mut tell = |name: &str, value: f64, range: &Interval, words: &dyn Fn(f64) -> String| {
        if value < range.low() - ROUNDING || value > range.high() + ROUNDING {
            let (low, high) = (words(range.low()), words(range.high()));
            all.push(format!("{} {} ({} {low} to {high})", plain(name), words(value), strings.proven_for));
        }
    };
    for ((info, machine), pose) in job.machines.iter().zip(&job.study.machines).zip(&moment.poses) {
        for ((joint, range), value) in info.joints.iter().zip(machine.ranges()).zip(pose) {
            tell(&joint.name, *value, &range, &|value| joint_value(joint, value, units));
        }
    }
    // The weather of a witness is the answer's own, and so is that of an hour.
    let weather = &moment.weather;
    let own = (weather.hour.is_some() && !proven.day.is_empty())
        || *weather == Moment::worst(job, &proven.assessment).weather;
    if !own {
        let allowed = conditions(job);
        tell(strings.temperature, weather.temperature_degc, &allowed.temperature_degc, &|value| {
            units.temperature(value)
        });
        tell(strings.wind, weather.wind_m_per_s, &allowed.wind_m_per_s, &|value| units.speed(value));
    }
    all
}

/// The card of the moment; none where nothing is paired.
#[must_use]
pub fn now_card(
    proven: &Loaded,
    gaps: &Gaps,
    moment: &Moment,
    is_worst: bool,
    units: Units,
    strings: &Strings,
) -> Option<NowCard> {
    let job = &proven.job;
    let (pairing, gap) = (job.study.pairings.get(gaps.least)?, gaps.each.get(gaps.least)?);
    let machine = &job.machines[pairing.machine];
    let line = &job.lines[pairing.line];
    let body = &job.study.machines[pairing.machine].bodies()[gap.body].name;
    let Judged { standing, beyond } = judged(proven, gaps, moment, is_worst, units, strings);
    let says = match standing {
        Standing::Outside => strings.outside.into(),
        Standing::Unproven => format!("{}, {}", strings.outside, strings.in_doubt),
        Standing::Inside => strings.inside.into(),
        Standing::Touching => strings.touching.into(),
    };
    let joints = machine.joints.iter().zip(&moment.poses[pairing.machine]);
    let joints = joints.filter(|(joint, value)| joint.range.is_some() || value.abs() > SMALL_TURN_RAD);
    let joints: Vec<String> = joints.map(|(joint, value)| joint_words(joint, *value, units)).collect();
    let wire = plain(&line.wires[pairing.wire].name);
    Some(NowCard {
        heading: if is_worst { strings.worst_case } else { strings.now }.into(),
        figures: gap_figures(gap, pairing.limit_m, units, strings),
        standing,
        words: format!("{} and wire \"{wire}\": {says}", part_of(&machine.name, body)),
        beyond: if beyond.is_empty() { beyond } else { format!("{}: {beyond}", strings.beyond) },
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

/// A joint with its value; of the error of the heading, which nobody sets, how far the machine is turned.
#[must_use]
pub fn joint_words(joint: &JointInfo, value: f64, units: Units) -> String {
    if joint.range.is_none() {
        let side = if value < 0.0 { "right" } else { "left" };
        return format!("turned {} {side} of its heading", joint_value(joint, value.abs(), units));
    }
    format!("{} {}", plain(&joint.name), joint_value(joint, value, units))
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
        let (speed, bearing) = (units.speed(weather.wind_m_per_s), compass(weather.wind_from_rad));
        format!("{} {speed} {} {bearing}", strings.wind, strings.from)
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
    let words = format!("{}, proven: {}, closest approach {found}", shown.clock, answer.verdict.shout().to_lowercase());
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

/// The label of a wire: its name, and its voltage where it is another than that of the line. The voltage of the line stands at the wire
/// that is nearest.
#[must_use]
pub fn wire_label(job: &Job, line: usize, wire: usize, is_nearest: bool, strings: &Strings) -> String {
    let (line, wire) = (&job.lines[line], &job.lines[line].wires[wire]);
    let name = plain(&wire.name);
    if wire.voltage != line.voltage {
        return format!("{name} · {}", voltage_words(&wire.voltage));
    }
    if is_nearest { format!("{name} · {} {}", voltage_words(&line.voltage), strings.line) } else { name }
}

/// The rows of the table, proven answer and moment side by side.
#[must_use]
pub fn wire_rows(document: &ResultDocument, gaps: &Gaps, units: Units) -> Vec<WireRow> {
    let several_machines = document.machines.len() > 1;
    let several_lines = document.lines.len() > 1;
    let row = |(index, finding): (usize, &FindingResult)| {
        let machine = several_machines.then_some(finding.machine.as_str());
        let line = several_lines.then_some(finding.line.as_str());
        WireRow {
            group: plain(&machine.into_iter().chain(line).collect::<Vec<&str>>().join(", ")),
            wire: plain(&finding.wire),
            closest: units.length_range(finding.closest_approach.lower_m, finding.closest_approach.upper_m),
            gap: gaps.each.get(index).map_or_else(String::new, |gap| units.length_down(gap.distance_m)),
            limit: units.length_up(finding.limit_m),
            spare: units.length_down(finding.spare.lower_m),
            verdict: finding.verdict,
        }
    };
    let mut rows: Vec<(f64, WireRow)> = document
        .findings
        .iter()
        .map(|found| found.spare.lower_m)
        .zip(document.findings.iter().enumerate().map(row))
        .collect();
    // The least spare first, in its group and among the groups.
    let mut least_m: BTreeMap<String, f64> = BTreeMap::new();
    for (spare_m, row) in &rows {
        least_m.entry(row.group.clone()).and_modify(|least| *least = least.min(*spare_m)).or_insert(*spare_m);
    }
    let group_m = |row: &WireRow| least_m.get(&row.group).copied().unwrap_or(f64::INFINITY);
    rows.sort_by(|(a_m, a), (b_m, b)| {
        group_m(a).total_cmp(&group_m(b)).then_with(|| a.group.cmp(&b.group)).then(a_m.total_cmp(b_m))
    });
    rows.into_iter().map(|(_, row)| row).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brackets_are_left_out_and_names_keep_theirs() {
        let source = "O. Reg. 1/91 Works, s. 188 table (seen, (twice)), row from 0.75 kV: 3 m";
        assert_eq!(without_brackets(source), "O. Reg. 1/91 Works, s. 188 table, row from 0.75 kV: 3 m");
        assert_eq!(
            without_brackets("29 CFR 1926.600(a)(6)(iii) (1979 onward), row"),
            "29 CFR 1926.600(a)(6)(iii), row"
        );
    }

    #[test]
    fn what_hides_or_turns_text_is_shown_as_a_mark() {
        assert_eq!(plain("north\u{202e}\u{1b}[2J\u{200b}"), "north\u{fffd}\u{fffd}[2J\u{fffd}");
        assert_eq!(plain("Straße 3 — Ω"), "Straße 3 — Ω");
    }
}
