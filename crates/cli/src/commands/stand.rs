//! `stand`: where a machine may stand, or how high something may be that passes.

use nalgebra::Point2;
use wideberth_plan::stand::{Question, Route, StandMap, clearway, map, setbacks};
use wideberth_report::Document;
use wideberth_report::draw::map_svg;
use wideberth_report::stand::{StandDocument, clearway_words, to_csv, to_geojson};

use super::{Opened, job_of, print, refused_plan, write_file, write_pictures};
use crate::args::{Format, Stand, Style};
use crate::exit::Outcome;
use crate::{output, text};

/// Prints the map's summary and writes its files.
pub fn run(args: &Stand, style: Style) -> Outcome {
    answer(args, style).unwrap_or_else(|outcome| outcome)
}

fn answer(args: &Stand, style: Style) -> Result<Outcome, Outcome> {
    let opened = job_of(&args.file, style)?;
    let machine = opened.machine(args.machine.as_deref(), style)?;
    if !args.route.is_empty() {
        return passing(args, &opened, machine, style);
    }
    let question = Question {
        machine,
        center: args.center.map(Point2::from),
        size_m: args.size,
        resolution_m: args.edge,
        any_heading: args.any_heading,
        support_room_m: args.support_room,
    };
    let found = map(&opened.job, &question).map_err(|error| refused_plan(&error, style))?;
    let document = StandDocument::of(&opened.job, &found, &setbacks(&opened.job, &found));
    write(args, &opened, &found, &document, style)?;
    let rendered = match style.format {
        Format::Text => Ok(text::stand::render(&document, style.units.into())),
        Format::Json => document.to_json().map_err(Into::into),
        Format::Csv => to_csv(&found).map_err(Into::into),
    };
    Ok(print(rendered, style))
}

fn write(args: &Stand, opened: &Opened, map: &StandMap, document: &StandDocument, style: Style) -> Result<(), Outcome> {
    if args.files.svg.is_some() || args.files.png.is_some() {
        write_pictures(&args.files, map_svg(&opened.job, map, document), style)?;
    }
    match &args.geojson {
        Some(path) => write_file(path, to_geojson(&opened.job, map, document).as_bytes(), style),
        None => Ok(()),
    }
}

/// The greatest height along a route.
fn passing(args: &Stand, opened: &Opened, machine: usize, style: Style) -> Result<Outcome, Outcome> {
    let ground_m = opened.job.machines.get(machine).map_or(0.0, |machine| machine.position.z);
    let along = args.route.iter().map(|place| Point2::from(*place)).collect();
    let route = Route { machine, along, width_m: args.width, ground_m };
    let found = clearway(&opened.job, &route).map_err(|error| refused_plan(&error, style))?;
    let words = clearway_words(&route, found.as_ref(), style.units.into());
    let clear = found.is_some();
    let rendered = match style.format {
        Format::Text => Ok(text::stand::passing(&words)),
        Format::Json => wideberth_report::stand::clearway_json(&opened.job, &route, found.as_ref()).map_err(Into::into),
        Format::Csv => wideberth_report::stand::clearway_csv(&route, found.as_ref()).map_err(Into::into),
    };
    let printed = match rendered {
        Ok(text) => output::answer(&text, style.color),
        Err::<_, Box<dyn std::error::Error>>(error) => super::unexpected(&error, style.color),
    };
    Ok(if clear { printed } else { printed.max(Outcome::TooClose) })
}
