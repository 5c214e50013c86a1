//! `sway`: how each wire moves in gusts, and the allowance that this needs.

use wideberth_plan::sway::{Progress, SwayQuestion, SwayStudyError};
use wideberth_report::sway::{SwayDocument, sway};
use wideberth_scenario::Job;

use crate::args::{Style, Sway};
use crate::progress::{advance, bar};
use crate::reply::{Asked, Reply};
use crate::text;

/// The table.
pub fn run(args: &Sway, style: Style) -> Asked {
    let document = answer(&super::job_of(&args.file)?.job, args)?;
    Reply::document(&document, style, || text::sway::render(&document, style.units.into()), || document.to_csv())
}

fn answer(job: &Job, args: &Sway) -> Result<SwayDocument, SwayStudyError> {
    let bar = bar("runs");
    let listen = |progress: Progress| advance(&bar, progress.done, progress.total);
    let document = sway(job, &question(args), &listen);
    bar.finish_and_clear();
    document
}

fn question(args: &Sway) -> SwayQuestion {
    SwayQuestion {
        gust_m_per_s: args.gust,
        terrain: args.terrain.into(),
        duration_s: args.duration,
        seeds: args.seeds,
        first_seed: args.first_seed,
    }
}
