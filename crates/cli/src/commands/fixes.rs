//! `fixes`: what makes a machine clear.

use wideberth_physics::assess::{Assessment, assess};
use wideberth_plan::fixes::{MachineFixes, fixes};
use wideberth_report::Document;
use wideberth_report::fixes::{FixesDocument, to_csv};
use wideberth_scenario::source::Source;

use super::{Opened, job_of, unexpected};
use crate::args::{Fixes, Format, Style};
use crate::exit::Outcome;
use crate::{output, text};

/// Prints the controls.
pub fn run(args: &Fixes, style: Style) -> Outcome {
    let opened = match job_of(&args.file, style) {
        Ok(opened) => opened,
        Err(outcome) => return outcome,
    };
    let (assessment, found) = match search(&opened) {
        Ok(found) => found,
        Err(error) => return unexpected(&error, style.color),
    };
    let document = FixesDocument::of(&opened.job, assessment.verdict, &found);
    let rendered = match style.format {
        Format::Text => Ok(text::fixes::render(&opened.job, &document, &found, args.all, style.units.into())),
        Format::Json => document.to_json().map_err(Into::into),
        Format::Csv => to_csv(&document).map_err(Into::into),
    };
    match rendered {
        Ok(text) => output::answer(&text, style.color),
        Err::<_, Box<dyn std::error::Error>>(error) => unexpected(&error, style.color),
    }
}

fn search(opened: &Opened) -> Result<(Assessment, Vec<MachineFixes>), Box<dyn std::error::Error>> {
    let Opened { input, job } = opened;
    let context = input.context()?;
    let source = Source::read(&input.text).map_err(|problems| problems.to_string())?;
    let assessment = assess(&job.study, &job.options, &|_| {})?;
    let found = fixes(source.value(), &context, job, &assessment)?;
    Ok((assessment, found))
}
