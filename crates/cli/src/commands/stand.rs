//! `stand`: where a machine may stand, or how high something may be that passes.

use nalgebra::Point2;
use wideberth_plan::stand::{Question, Route, clearway, map, setbacks};
use wideberth_report::draw::map_svg;
use wideberth_report::stand::{StandDocument, clearway_words, to_csv, to_geojson};

use super::{Opened, job_of, judge_pixels, with_pictures};
use crate::args::{Format, Stand, Style};
use crate::exit::Outcome;
use crate::output::Output;
use crate::reply::{Asked, Reply};
use crate::text;

/// The map's summary and its files.
pub fn run(args: &Stand, style: Style) -> Asked {
    judge_pixels(&args.files)?;
    let opened = job_of(&args.file)?;
    let asked = [
        ("--svg", args.files.svg.as_deref()),
        ("--png", args.files.png.as_deref()),
        ("--geojson", args.geojson.as_deref()),
    ];
    let [svg, png, geojson] = Output::all(asked, &opened.input)?;
    let machine = opened.machine(args.machine.as_deref())?;
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
    let found = map(&opened.job, &question)?;
    let document = StandDocument::of(&opened.job, &found, &setbacks(&opened.job, &found));
    let text = || text::stand::render(&document, style.units.into());
    let mut reply = Reply::document(&document, style, text, || to_csv(&found))?;
    if let Some(file) = geojson {
        reply = reply.with_file(file, to_geojson(&opened.job, &found, &document).into_bytes());
    }
    with_pictures(reply, [svg, png], args.files.pixels, || map_svg(&opened.job, &found, &document))
}

/// The greatest height along a route.
fn passing(args: &Stand, opened: &Opened, machine: usize, style: Style) -> Asked {
    let ground_m = opened.job.machines.get(machine).map_or(0.0, |machine| machine.position.z);
    let along = args.route.iter().map(|place| Point2::from(*place)).collect();
    let route = Route { machine, along, width_m: args.width, ground_m };
    let found = clearway(&opened.job, &route)?;
    let text = match style.format {
        Format::Text => text::stand::passing(&clearway_words(&route, found.as_ref(), style.units.into())),
        Format::Json => wideberth_report::stand::clearway_json(&opened.job, &route, found.as_ref())?,
        Format::Jsonl => crate::reply::line(&serde_json::from_str::<serde_json::Value>(
            &wideberth_report::stand::clearway_json(&opened.job, &route, found.as_ref())?,
        )?)?,
        Format::Csv => wideberth_report::stand::clearway_csv(&route, found.as_ref())?,
    };
    Ok(Reply::text(text).ending(if found.is_some() { Outcome::Done } else { Outcome::TooClose }))
}
