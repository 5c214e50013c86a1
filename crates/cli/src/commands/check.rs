//! `check`: is every machine clear of every wire?

use jiff::civil::Date;
use wideberth_physics::approach::ApproachError;
use wideberth_report::{Answer, AnswerError, Document, ResultDocument, answer, rows};

use crate::args::{Check, Format, Style};
use crate::exit::Outcome;
use crate::input::{self, Input, InputError};
use crate::progress::Progress;
use crate::{output, text};

/// Answers every file; the worst outcome counts.
pub fn run(check: &Check, style: Style) -> Outcome {
    let mut outcome = Outcome::Done;
    let mut documents = Vec::new();
    for path in &check.files {
        let found = input::read(path)
            .map_err(|error| refused_input(&error, style))
            .and_then(|input| assess(&input, check.on, style));
        match found {
            Ok(document) => {
                outcome = outcome.max((&document).into());
                documents.push(document);
            }
            Err(trouble) => outcome = outcome.max(trouble),
        }
    }
    if documents.is_empty() {
        return outcome;
    }
    match render(&documents, check.files.len() > 1, style) {
        Ok(text) => outcome.max(output::answer(&text, style.color)),
        Err(error) => outcome.max(super::unexpected(&error, style.color)),
    }
}

/// The answer to one scenario; troubles are reported.
pub fn assess(input: &Input, on: Option<Date>, style: Style) -> Result<ResultDocument, Outcome> {
    let context = input.context().map_err(|error| super::unexpected(&error, style.color))?;
    let context = context.asked_on(on);
    let progress = Progress::new();
    let found = answer(&input.text, &context, &|event| progress.listen(event));
    progress.end();
    found.as_ref().map(Answer::document).map_err(|error| match error {
        AnswerError::Refused(problems) => {
            output::remark(&text::problems::render(problems, input), style.color);
            Outcome::Refused
        }
        AnswerError::Search(error @ ApproachError::NoPose { .. }) => {
            output::remark(&format!("error: {}: {error}\n", input.name), style.color);
            Outcome::Refused
        }
        AnswerError::Search(error) => super::unexpected(error, style.color),
    })
}

/// Reports why a file could not be read.
pub fn refused_input(error: &InputError, style: Style) -> Outcome {
    match error {
        InputError::File { .. } => {
            output::remark(&format!("error: {error}\n"), style.color);
            Outcome::File
        }
        InputError::Refused { name, problems } => {
            output::remark(&text::problems::render(problems, &Input::embedded(name, "")), style.color);
            Outcome::Refused
        }
    }
}

/// The answers in the form asked for: of several files, JSON is a list.
pub fn render(documents: &[ResultDocument], several: bool, style: Style) -> Result<String, Box<dyn std::error::Error>> {
    Ok(match (style.format, documents) {
        (Format::Text, _) => {
            let texts = documents.iter().map(|document| text::check::render(document, style.units.into()));
            texts.collect::<Vec<_>>().join("\n")
        }
        (Format::Csv, _) => rows::to_csv(documents)?,
        (Format::Json, [single]) if !several => single.to_json()?,
        (Format::Json, _) => serde_json::to_string_pretty(documents)? + "\n",
    })
}
