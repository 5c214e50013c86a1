//! `sway`: how each wire moves in gusts, and the allowance that this needs.

use wideberth_plan::sway::{Progress, SwayQuestion, SwayStudyError};
use wideberth_report::Document;
use wideberth_report::sway::{SwayDocument, sway};
use wideberth_scenario::Job;

use crate::args::{Format, Style, Sway};
use crate::exit::Outcome;
use crate::progress::{advance, bar};
use crate::{output, text};

/// Prints the table.
pub fn run(args: &Sway, style: Style) -> Outcome {
    let job = match super::job_of(&args.file, style) {
        Ok(opened) => opened.job,
        Err(outcome) => return outcome,
    };
    let document = match answer(&job, args) {
        Ok(document) => document,
        Err(error) => {
            output::remark(&format!("error: {error}\n"), style.color);
            return Outcome::Refused;
        }
    };
    match render(&document, style) {
        Ok(text) => output::answer(&text, style.color),
        Err(error) => super::unexpected(&error, style.color),
    }
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

fn render(document: &SwayDocument, style: Style) -> Result<String, Box<dyn std::error::Error>> {
    Ok(match style.format {
        Format::Text => text::sway::render(document, style.units.into()),
        Format::Json => document.to_json()?,
        Format::Csv => document.to_csv()?,
    })
}
