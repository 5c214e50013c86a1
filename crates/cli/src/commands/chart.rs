//! `chart`: how far a machine may luff in each sector of its slew.

use wideberth_plan::chart::chart;
use wideberth_report::chart::ChartDocument;
use wideberth_report::draw::chart_svg;

use super::{job_of, judge_pixels, with_pictures};
use crate::args::{Chart, Style};
use crate::output::Output;
use crate::reply::{Asked, Reply};
use crate::text;

/// The table and its drawings.
pub fn run(args: &Chart, style: Style) -> Asked {
    judge_pixels(&args.files)?;
    let opened = job_of(&args.file)?;
    let files =
        Output::all([("--svg", args.files.svg.as_deref()), ("--png", args.files.png.as_deref())], &opened.input)?;
    let machine = opened.machine(args.machine.as_deref())?;
    let found = chart(&opened.job, machine, args.sector)?;
    let document = ChartDocument::of(&opened.job, &found);
    let reply = Reply::document(&document, style, || text::chart::render(&document), || document.to_csv())?;
    with_pictures(reply, files, args.files.pixels, || chart_svg(&document))
}
