//! `day`: when is the job clear?

use wideberth_plan::day::{DayError, Progress, Spell, day, heights};
use wideberth_report::Document;
use wideberth_report::day::DayDocument;
use wideberth_scenario::Job;

use crate::args::{Day, Format, Style};
use crate::exit::Outcome;
use crate::progress::{advance, bar};
use crate::{output, text};

/// Answers one scenario.
pub fn run(args: &Day, style: Style) -> Outcome {
    let job = match super::job_of(&args.file, style) {
        Ok(opened) => opened.job,
        Err(outcome) => return outcome,
    };
    match answer(&job, args) {
        Ok(document) => write(&document, style),
        Err(error @ DayError::Search(_)) => super::unexpected(&error, style.color),
        Err(error) => {
            output::remark(&format!("error: {error}\n"), style.color);
            Outcome::Refused
        }
    }
}

fn answer(job: &Job, args: &Day) -> Result<DayDocument, DayError> {
    let spell = if args.all { Spell::All } else { Spell::Job };
    if args.heights {
        return heights(job, spell).map(|found| DayDocument::of(job, &found, false));
    }
    let bar = bar("hours");
    let listen = |progress: Progress| advance(&bar, progress.done, progress.total);
    let found = day(job, spell, &listen);
    bar.finish_and_clear();
    found.map(|found| DayDocument::of(job, &found, true))
}

fn write(document: &DayDocument, style: Style) -> Outcome {
    let text = match style.format {
        Format::Text => Ok(text::day::render(document, style.units.into())),
        Format::Json => document.to_json().map_err(|error| error.to_string()),
        Format::Csv => document.to_csv().map_err(|error| error.to_string()),
    };
    let outcome = if document.searched { document.verdict.into() } else { Outcome::Done };
    match text {
        Ok(text) => outcome.max(output::answer(&text, style.color)),
        Err(error) => outcome.max(super::unexpected(&error, style.color)),
    }
}
