//! `drivers`: what the worst spare depends on.

use wideberth_plan::answer::assessed;
use wideberth_plan::drivers::drivers;
use wideberth_report::drivers::DriversDocument;
use wideberth_scenario::source::Source;

use super::{Opened, job_of};
use crate::args::{Drivers, Style};
use crate::exit::Trouble;
use crate::reply::{Asked, Reply};
use crate::text;

/// The table.
pub fn run(args: &Drivers, style: Style) -> Asked {
    let document = search(&job_of(&args.file)?)?;
    Reply::document(&document, style, || text::drivers::render(&document, style.units.into()), || document.to_csv())
}

fn search(opened: &Opened) -> Result<DriversDocument, Trouble> {
    let Opened { input, job } = opened;
    let context = input.context()?;
    let source = Source::read(&input.text).map_err(Trouble::unexpected)?;
    let assessment = assessed(job, &|_| {})?;
    let found = drivers(source.value(), &context, job, &assessment)?;
    Ok(DriversDocument::of(job, &assessment, &found))
}
