//! `chart`: how far a machine may luff in each sector of its slew.

use wideberth_plan::chart::chart;
use wideberth_report::Document;
use wideberth_report::chart::ChartDocument;
use wideberth_report::draw::chart_svg;

use super::{job_of, print, refused_plan, write_pictures};
use crate::args::{Chart, Format, Style};
use crate::exit::Outcome;
use crate::text;

/// Prints the table and writes the drawings.
pub fn run(args: &Chart, style: Style) -> Outcome {
    answer(args, style).unwrap_or_else(|outcome| outcome)
}

fn answer(args: &Chart, style: Style) -> Result<Outcome, Outcome> {
    let opened = job_of(&args.file, style)?;
    let machine = opened.machine(args.machine.as_deref(), style)?;
    let found = chart(&opened.job, machine, args.sector).map_err(|error| refused_plan(&error, style))?;
    let document = ChartDocument::of(&opened.job, &found);
    if args.files.svg.is_some() || args.files.png.is_some() {
        write_pictures(&args.files, chart_svg(&document), style)?;
    }
    let rendered = match style.format {
        Format::Text => Ok(text::chart::render(&document)),
        Format::Json => document.to_json().map_err(Into::into),
        Format::Csv => document.to_csv().map_err(Into::into),
    };
    Ok(print(rendered, style))
}
