//! `check`: is every machine clear of every wire?

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use jiff::civil::Date;
use wideberth_physics::assess::Event;
use wideberth_plan::answer::answer;
use wideberth_report::record::Record;
use wideberth_report::{Document, ResultDocument, rows};

use crate::args::{Check, Format, Style};
use crate::batch::in_order;
use crate::exit::{Outcome, Trouble};
use crate::input::{self, Input};
use crate::progress::Progress;
use crate::reply::{line, refusal, tell};
use crate::{output, stop, text};

/// Answers every file, each as soon as it and those before it are done; the worst outcome counts.
pub fn run(check: &Check, style: Style) -> Outcome {
    let stop = match stop::listen(check.budget) {
        Ok(stop) => stop,
        Err(error) => {
            let trouble = Trouble::unexpected(error);
            tell(&trouble, style);
            return trouble.outcome();
        }
    };
    let several = check.files.len() > 1;
    let progress = Progress::new();
    let listen = |event: Event| {
        if !several {
            progress.listen(event)
        }
    };
    let mut printer = Printer { style, several, printed: 0, outcome: Outcome::Done };
    let work = |index: usize| one(&check.files[index], check.on, &stop, &listen);
    in_order(check.files.len(), work, |index, found| {
        progress.end();
        printer.give(&input::name(&check.files[index]), found);
        progress.files(index + 1, check.files.len());
    });
    progress.end();
    printer.end()
}

/// The answer to one file. What goes wrong in it is told of it alone.
fn one(
    path: &Path,
    on: Option<Date>,
    stop: &Arc<AtomicBool>,
    listen: &(dyn Fn(Event) + Sync),
) -> Result<Record, Trouble> {
    if stop.load(Ordering::Relaxed) {
        return Err(Trouble::Stopped);
    }
    let answered = catch_unwind(AssertUnwindSafe(|| assess(input::read(path)?, on, stop, listen)));
    answered.unwrap_or_else(|_| Err(Trouble::unexpected(format!("{}: the search broke off", input::name(path)))))
}

/// The answer to one scenario.
pub fn assess(
    input: Input,
    on: Option<Date>,
    stop: &Arc<AtomicBool>,
    listen: &(dyn Fn(Event) + Sync),
) -> Result<Record, Trouble> {
    let found = answer(&input.text, &input.context_until(stop)?.asked_on(on), listen);
    let result = match found {
        Ok(found) => ResultDocument::of(&found),
        Err(error) => return Err(Trouble::of_answer(error, input)),
    };
    let exit = Outcome::from(&result).code();
    Ok(Record { file: input.name, exit, problems: Vec::new(), result })
}

/// Prints one record for each file, in the form asked for.
struct Printer {
    style: Style,
    several: bool,
    printed: usize,
    outcome: Outcome,
}

impl Printer {
    fn give(&mut self, file: &str, found: Result<Record, Trouble>) {
        let (text, outcome) = match &found {
            Ok(record) => (self.record(record), Outcome::from(&record.result)),
            Err(trouble) => {
                tell(trouble, self.style);
                (self.refused(file, trouble), trouble.outcome())
            }
        };
        self.outcome = self.outcome.max(outcome);
        match text {
            Ok(text) => self.print(&text),
            Err(trouble) => {
                tell(&trouble, self.style);
                self.outcome = self.outcome.max(trouble.outcome());
            }
        }
        self.printed += 1;
    }

    fn print(&mut self, text: &str) {
        if !text.is_empty() {
            self.outcome = self.outcome.max(output::answer(text, self.style.color));
        }
    }

    fn record(&self, record: &Record) -> Result<String, Trouble> {
        Ok(match self.style.format {
            Format::Text => self.headed(&record.file) + &text::check::render(&record.result, self.style.units.into()),
            Format::Json => self.element(&record.to_json()?),
            Format::Jsonl => line(record)?,
            Format::Csv => self.header()? + &rows::of_record(record)?,
        })
    }

    /// Of a single file, the words on standard error are enough for people.
    fn refused(&self, file: &str, trouble: &Trouble) -> Result<String, Trouble> {
        let refusal = refusal(Some(file), trouble);
        Ok(match self.style.format {
            Format::Text if !self.several => String::new(),
            Format::Text => self.headed(file) + &text::refused(&refusal),
            Format::Json => self.element(&refusal.to_json()?),
            Format::Jsonl => line(&refusal)?,
            Format::Csv => self.header()? + &rows::of_refusal(&refusal)?,
        })
    }

    /// The name of the file above its text, where there are several.
    fn headed(&self, file: &str) -> String {
        let between = if self.printed > 0 { "\n" } else { "" };
        if self.several { format!("{between}{}", text::file_head(file)) } else { String::new() }
    }

    /// The header of the table, above the first rows.
    fn header(&self) -> Result<String, Trouble> {
        Ok(if self.printed == 0 { rows::header()? } else { String::new() })
    }

    /// An element of the list that several files make.
    fn element(&self, json: &str) -> String {
        match (self.several, self.printed) {
            (false, _) => json.into(),
            (true, 0) => format!("[\n{}", json.trim_end()),
            (true, _) => format!(",\n{}", json.trim_end()),
        }
    }

    fn end(mut self) -> Outcome {
        if self.several && self.style.format == Format::Json {
            self.print("\n]\n");
        }
        self.outcome
    }
}

/// The text of one answer by itself.
///
/// # Errors
/// When it cannot be written, which no answer causes.
pub fn alone(record: &Record, style: Style) -> Result<String, Trouble> {
    Printer { style, several: false, printed: 0, outcome: Outcome::Done }.record(record)
}
