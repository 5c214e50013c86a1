//! The answer of `sag`: a table for each wire and place.

use wideberth_report::Units;
use wideberth_report::sag::{Request, SagDocument, SpotResult};

use super::{BOLD, paragraph, styled, table};

/// The whole answer.
pub fn render(document: &SagDocument, request: &Request, units: Units) -> String {
    let spots = document.spots.iter().map(|spot| spot_text(spot, units));
    [
        styled(&document.title, BOLD) + "\n",
        paragraph(&conditions(request, units)),
        spots.collect(),
        reaches(document, units),
        "\n".into(),
        paragraph(document.caution),
    ]
    .concat()
}

fn conditions(request: &Request, units: Units) -> String {
    let wind = if request.wind_m_per_s > 0.0 {
        format!("wind of {} across the line", units.speed(request.wind_m_per_s))
    } else {
        "still air".into()
    };
    let ice = if request.ice_m > 0.0 { format!(", {:.0} mm of ice", request.ice_m * 1000.0) } else { String::new() };
    let lowest = if request.temperatures_degc.is_empty() {
        "at the hottest and iciest of the conditions"
    } else {
        "at the hottest temperature asked for"
    };
    format!(
        "Heights of the middle of each wire with {wind}{ice}, as taut and as stretched for good as the scenario states in the middle of its \
         tolerances; a wire with a core at its slackest, of an unknown one the conductor that hangs lowest. \"Lowest\" is the lower side of \
         the wire in still air, {lowest}, with every tolerance at its worst."
    )
}

fn spot_text(spot: &SpotResult, units: Units) -> String {
    let [from, to] = &spot.between;
    let place = format!(
        "{}, wire \"{}\", {}: {} from {from} toward {to}",
        spot.line,
        spot.wire,
        spot.place,
        units.length(spot.along_m)
    );
    let (length, force) = (units.length_unit(), units.force_unit());
    let header = [
        format!("Wire {}", units.temperature_unit()),
        format!("Height {length}"),
        format!("Sag {length}"),
        format!("Horizontal {force}"),
        format!("Greatest {force}"),
    ];
    let decimals = if units == Units::Si { 2 } else { 0 };
    let rows = spot.states.iter().map(|s| {
        vec![
            format!("{:.0}", units.of_temperature(s.conductor_temperature_degc)),
            format!("{:.2}", units.of_length(s.above_ground_m)),
            format!("{:.2}", units.of_length(s.sag_m)),
            format!("{:.decimals$}", units.of_force(s.horizontal_tension_n)),
            format!("{:.decimals$}", units.of_force(s.greatest_tension_n)),
        ]
    });
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    format!(
        "\n{}\n{}Lowest {} above ground\n",
        styled(&place, BOLD),
        table(&header, &[true; 5], rows.collect()),
        units.length_down(spot.lowest_above_ground_m)
    )
}

fn reaches(document: &SagDocument, units: Units) -> String {
    let reach = |reach: &wideberth_report::sag::Reach| {
        paragraph(&format!(
            "{} reaches {} above the ground where it stands (the highest found over its working ranges, allowances included).",
            reach.machine,
            units.length_up(reach.highest_found_m)
        ))
    };
    format!("\n{}", document.reaches.iter().map(reach).collect::<String>())
}
