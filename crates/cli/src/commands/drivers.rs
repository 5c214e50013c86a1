//! `drivers`: what the worst spare depends on.

use wideberth_physics::assess::assess;
use wideberth_plan::drivers::drivers;
use wideberth_report::Document;
use wideberth_report::drivers::DriversDocument;
use wideberth_scenario::source::Source;

use super::{Opened, job_of, print, unexpected};
use crate::args::{Drivers, Format, Style};
use crate::exit::Outcome;
use crate::text;

/// Prints the table.
pub fn run(args: &Drivers, style: Style) -> Outcome {
    let opened = match job_of(&args.file, style) {
        Ok(opened) => opened,
        Err(outcome) => return outcome,
    };
    let document = match search(&opened) {
        Ok(document) => document,
        Err(error) => return unexpected(&error, style.color),
    };
    let rendered = match style.format {
        Format::Text => Ok(text::drivers::render(&document, style.units.into())),
        Format::Json => document.to_json().map_err(Into::into),
        Format::Csv => document.to_csv().map_err(Into::into),
    };
    print(rendered, style)
}

fn search(opened: &Opened) -> Result<DriversDocument, Box<dyn std::error::Error>> {
    let Opened { input, job } = opened;
    let context = input.context()?;
    let source = Source::read(&input.text).map_err(|problems| problems.to_string())?;
    let assessment = assess(&job.study, &job.options, &|_| {})?;
    let found = drivers(source.value(), &context, job, &assessment)?;
    Ok(DriversDocument::of(job, &assessment, &found))
}
