//! The answer of `check`: verdict first, then why, where and in what state; it fits one screen.

use wideberth_report::Units;
use wideberth_report::document::{
    FindingResult, JointResult, JointRole, LimitResult, ResultDocument, StringResult, WitnessResult,
};
use wideberth_report::quantity::angle;
use wideberth_report::words::{VerdictName, compass};

use super::{labelled, paragraph, ready, styled, table, verdict_style};

/// Causes that change less than this are not worth a crew's time, m.
const LEAST_DIFFERENCE_M: f64 = 0.01;
/// Slower winds are called still air, m/s.
const STILL_M_PER_S: f64 = 0.5;
/// How a source says that its value was seen. On the screen only doubts are told; JSON says both.
const SEEN: &str = "; value seen in a copy of the source";
/// The same for a value from memory, which the screen says louder.
const MEMORY: &str = "; value from memory, not seen";
/// Warnings shown; JSON has them all.
const MOST_WARNINGS: usize = 1;

/// The whole answer.
pub fn render(document: &ResultDocument, units: Units) -> String {
    let Some(worst) = document.worst() else { return nothing_live(document, units) };
    let limit = document.limit_of(worst);
    let witness = &worst.witness;
    [
        headline(document, worst, units),
        "\n".into(),
        labelled("Job", &document.title),
        labelled("Closest approach", &closest(worst, units)),
        labelled("Limit", &limit_words(worst, limit, units)),
        labelled("Spare", &spare(worst, units)),
        ready::controls(document, units),
        labelled("Where", &place(worst, units)),
        labelled("Machine", &pose(&witness.joints, units)),
        labelled("Wire", &wire_state(witness, units)),
        labelled("What contributes", &contributions(document, units)),
        ready::ground(document, units),
        ready::winds(document, units),
        wires(document, units),
        ready::holds(document),
        ready::ready(document),
        warnings(document),
        paragraph(document.caution),
    ]
    .concat()
}

/// The answer where every line is switched off and grounded.
fn nothing_live(document: &ResultDocument, units: Units) -> String {
    let says = match document.verdict {
        VerdictName::Clear => "Every line is switched off and grounded: there is no live wire to come close to.",
        _ => "Every line is switched off and grounded, but what enters the ground comes too close to what is buried.",
    };
    [
        shouted(document.verdict, says),
        "\n".into(),
        labelled("Job", &document.title),
        ready::controls(document, units),
        ready::ground(document, units),
        ready::winds(document, units),
        "\n".into(),
        ready::holds(document),
        ready::ready(document),
        warnings(document),
        paragraph(document.caution),
    ]
    .concat()
}

/// The verdict and what it says here.
fn shouted(verdict: VerdictName, says: &str) -> String {
    let word = verdict.shout();
    paragraph(&format!("{word}. {says}")).replacen(word, &styled(word, verdict_style(verdict)), 1)
}

/// The verdict in words.
fn headline(document: &ResultDocument, worst: &FindingResult, units: Units) -> String {
    let FindingResult { machine, line, wire, closest_approach: found, .. } = worst;
    let name = format!("wire \"{wire}\" of {line}");
    let (lower, upper) = (units.length_down(found.lower_m), units.length_down(found.upper_m));
    let limit = units.length_up(worst.limit_m);
    let part = part_of(machine, &worst.witness.body);
    let says = match worst.verdict {
        verdict if verdict != document.verdict => below(document, units),
        VerdictName::Clear => format!("Nothing comes closer than {lower} to {name}, the wire with the least room."),
        VerdictName::NotProven => {
            let room = room(worst, units);
            format!(
                "{part} may come as close as {lower} to {name}; {upper} was found. {room}Treat it as too close until it is proven otherwise."
            )
        }
        VerdictName::TooClose => format!("{part} can come to {upper} of {name}. It must stay {limit} away."),
        VerdictName::Contact => format!("{part} can touch {name}. It must stay {limit} away."),
    };
    shouted(document.verdict, &says)
}

/// What stands between what was found and what is proven, and what makes it smaller; the largest first.
fn room(worst: &FindingResult, units: Units) -> String {
    let each = worst.room.iter().take(MOST_ROOM);
    let told: Vec<String> = each
        .map(|room| format!("{} for {}: {}", units.length_up(room.worth_m), room.left_for, room.smaller_by))
        .collect();
    if told.is_empty() { String::new() } else { format!("Between them lie {}. ", told.join("; ")) }
}

/// How many parts are told.
const MOST_ROOM: usize = 3;

/// Where the ground is worse than the air.
fn below(document: &ResultDocument, units: Units) -> String {
    let worst = document.ground.iter().find(|finding| finding.verdict == document.verdict);
    worst.map_or_else(String::new, |worst| {
        let zone = units.length_up(worst.zone_m);
        format!(
            "{} comes closer to {} in the ground than its tolerance zone of {zone}.",
            capital(&worst.what),
            worst.buried
        )
    })
}

/// Such as "The boom of the crane".
fn part_of(machine: &str, body: &str) -> String {
    if machine.to_lowercase().contains(&body.to_lowercase()) {
        capital(machine)
    } else {
        format!("The {body} of {machine}")
    }
}

fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().chain(characters).collect())
}

fn closest(worst: &FindingResult, units: Units) -> String {
    let range = &worst.closest_approach;
    let proven = format!(" (proven: never less than {})", units.length_down(range.lower_m));
    let proven = if worst.verdict == VerdictName::Contact { String::new() } else { proven };
    format!("{}{proven}", units.length_range(range.lower_m, range.upper_m))
}

fn limit_words(worst: &FindingResult, limit: Option<&LimitResult>, units: Units) -> String {
    let distance = units.length_up(worst.limit_m);
    limit.map_or(distance.clone(), |limit| {
        let memory = if limit.from_memory { " (FROM MEMORY: check the rule)" } else { "" };
        format!("{distance}{memory}, {}", limit.source.replace(SEEN, "").replace(MEMORY, ""))
    })
}

fn spare(worst: &FindingResult, units: Units) -> String {
    let spare = &worst.spare;
    let range = units.length_range(spare.lower_m, spare.upper_m);
    match worst.verdict {
        VerdictName::Clear => format!("{range} beyond the limit"),
        VerdictName::NotProven => format!("{range}: the limit lies inside what is proven"),
        VerdictName::TooClose | VerdictName::Contact => {
            format!("{range}: short by up to {}", units.length_up(-spare.lower_m))
        }
    }
}

fn place(worst: &FindingResult, units: Units) -> String {
    let w = &worst.witness;
    let [from, to] = &w.between;
    let (along, height) = (units.length_rough(w.along_m), units.length_rough(w.wire_above_ground_m));
    format!("{along} from {from} toward {to}; the wire hangs {height} high there")
}

/// Joint values, as the crew can set them.
fn pose(joints: &[JointResult], units: Units) -> String {
    let told = joints
        .iter()
        .filter(|joint| joint.role != JointRole::Heading || joint.angle_rad.is_some_and(|rad| rad.abs() > 0.0087));
    let values: Vec<String> = told.map(|joint| joint_words(joint, units)).collect();
    if values.is_empty() { "it does not move".into() } else { values.join(", ") }
}

fn joint_words(joint: &JointResult, units: Units) -> String {
    match (joint.angle_rad, joint.length_m) {
        // A positive turn about the upward axis is to the left.
        (Some(rad), _) if joint.role == JointRole::Heading => {
            format!("turned {} {} of its heading", angle(rad.abs()), if rad > 0.0 { "left" } else { "right" })
        }
        (Some(rad), _) => format!("{} {}", joint.name, angle(rad)),
        (None, Some(length_m)) => format!("{} {}", joint.name, units.length_rough(length_m)),
        (None, None) => joint.name.clone(),
    }
}

fn wire_state(witness: &WitnessResult, units: Units) -> String {
    let wind = match witness.wind_from_rad {
        Some(from_rad) if witness.wind_across_m_per_s >= STILL_M_PER_S => format!(
            "swung {} by a wind of {} from the {}",
            angle(witness.swing_rad.abs()),
            units.speed(witness.wind_across_m_per_s),
            compass(from_rad)
        ),
        _ => "in still air".into(),
    };
    let ice =
        if witness.ice_m > 0.0 { format!(", with {:.0} mm of ice", witness.ice_m * 1000.0) } else { String::new() };
    let swings: Vec<String> = witness.strings.iter().map(string_words).collect();
    let strings = if swings.is_empty() { String::new() } else { format!("; strings at {}", swings.join(", at ")) };
    format!("at {}, {wind}{ice}{strings}", units.temperature(witness.conductor_temperature_degc))
}

fn string_words(string: &StringResult) -> String {
    let (along, across) = (angle(string.along_rad.abs()), angle(string.across_rad.abs()));
    format!("{} swung {across} across and {along} along the line", string.support)
}

/// What each cause takes from the distance.
fn contributions(document: &ResultDocument, units: Units) -> String {
    let mut causes: Vec<_> = document.contributions.iter().filter(|c| c.difference_m >= LEAST_DIFFERENCE_M).collect();
    causes.sort_by(|a, b| b.difference_m.total_cmp(&a.difference_m));
    if causes.is_empty() {
        return "neither weather nor tolerances: the place and the reach of the machine alone".into();
    }
    let list: Vec<String> = causes.iter().map(|c| format!("{} {}", c.words, units.length(c.difference_m))).collect();
    format!("{} (each alone)", list.join(", "))
}

/// A row for each machine and wire, where there is more than one.
fn wires(document: &ResultDocument, units: Units) -> String {
    if document.findings.len() < 2 {
        return "\n".into();
    }
    let several_machines = document.machines.len() > 1;
    let several_lines = document.lines.len() > 1;
    let row = |f: &FindingResult| {
        let machine = several_machines.then(|| f.machine.clone());
        let line = several_lines.then(|| f.line.clone());
        let numbers = [
            f.wire.clone(),
            units.length_range(f.closest_approach.lower_m, f.closest_approach.upper_m),
            units.length_up(f.limit_m),
            units.length_down(f.spare.lower_m),
            f.verdict.shout().into(),
        ];
        machine.into_iter().chain(line).chain(numbers).collect::<Vec<String>>()
    };
    let names = [(several_machines, "Machine"), (several_lines, "Line")].into_iter().filter(|(shown, _)| *shown);
    let names: Vec<&str> = names.map(|(_, name)| name).collect();
    let header: Vec<&str> =
        names.iter().copied().chain(["Wire", "Closest approach", "Limit", "Spare", "Verdict"]).collect();
    let right: Vec<bool> = names.iter().map(|_| false).chain([false, true, true, true, false]).collect();
    format!("\n{}\n", table(&header, &right, document.findings.iter().map(row).collect()))
}

/// The first warnings, and how much more there is to know.
fn warnings(document: &ResultDocument) -> String {
    let shown = document.warnings.iter().take(MOST_WARNINGS).cloned();
    let rest = [
        (document.warnings.len().saturating_sub(MOST_WARNINGS), "more to note"),
        (document.defaults_taken.len(), "values not given and taken as usual"),
    ];
    let rest: Vec<String> =
        rest.iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!("{count} {what}")).collect();
    let rest = (!rest.is_empty()).then(|| format!("{}: see --format json", rest.join(" and ")));
    let all: Vec<String> = shown.chain(rest).collect();
    if all.is_empty() { String::new() } else { labelled("Note", &all.join("; ")) }
}
