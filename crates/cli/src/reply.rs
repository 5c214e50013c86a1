//! What a command answers, and how it is given: first the text, then the files.

use serde::Serialize;
use wideberth_report::Document;
use wideberth_report::record::{ProblemResult, Refusal};
use wideberth_scenario::invisible::plain;

use crate::args::{Format, Style};
use crate::exit::{Outcome, Trouble};
use crate::output::{self, Output};
use crate::text;

/// The answer of a command.
#[derive(Debug, Default)]
pub struct Reply {
    text: String,
    outcome: Outcome,
    files: Vec<(Output, Vec<u8>)>,
}

/// What a command comes to.
pub type Asked = Result<Reply, Trouble>;

impl Reply {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// A document in the form asked for.
    ///
    /// # Errors
    /// When it cannot be written, which no document causes.
    pub fn document(
        document: &impl Document,
        style: Style,
        text: impl FnOnce() -> String,
        csv: impl FnOnce() -> Result<String, csv::Error>,
    ) -> Asked {
        Ok(Self::text(match style.format {
            Format::Text => text(),
            Format::Json => document.to_json()?,
            Format::Jsonl => line(document)?,
            Format::Csv => csv()?,
        }))
    }

    /// The same, ending in another way.
    pub fn ending(self, outcome: Outcome) -> Self {
        Self { outcome: self.outcome.max(outcome), ..self }
    }

    /// The same, with a file to be written.
    pub fn with_file(mut self, output: Output, bytes: Vec<u8>) -> Self {
        self.files.push((output, bytes));
        self
    }

    /// Prints the text, then writes the files: an answer that was computed is seen even where a file cannot be written.
    fn give(self, style: Style) -> Outcome {
        let printed = output::answer(&self.text, style.color);
        let files = self.files.iter().map(|(file, bytes)| file.write(bytes, style.color));
        files.fold(self.outcome.max(printed), Outcome::max)
    }
}

/// A value as one line of JSON.
pub fn line(value: &impl Serialize) -> Result<String, serde_json::Error> {
    serde_json::to_string(value).map(|text| text + "\n")
}

/// Gives what a command answers, or says why there is no answer: in words, and as data where data were asked for.
pub fn finish(asked: Asked, file: Option<&str>, style: Style) -> Outcome {
    match asked {
        Ok(reply) => reply.give(style),
        Err(trouble) => {
            tell(&trouble, style);
            let outcome = trouble.outcome();
            let data = matches!(outcome, Outcome::Refused | Outcome::File);
            let refusal = refusal(file, &trouble);
            let text = match style.format {
                Format::Json if data => refusal.to_json().ok(),
                Format::Jsonl if data => line(&refusal).ok(),
                _ => None,
            };
            text.map_or(outcome, |text| outcome.max(output::answer(&text, style.color)))
        }
    }
}

/// Says why there is no answer.
pub fn tell(trouble: &Trouble, style: Style) {
    let text = match trouble {
        Trouble::Usage(message) => format!("error: {}\n\nFor more information, try '--help'.\n", lines(message)),
        Trouble::Refused(message) | Trouble::File(message) => format!("error: {}\n", lines(message)),
        Trouble::Problems(input, problems) => text::problems::render(problems, input),
        Trouble::Limit(error) => lines(&text::limit::refusal(error)) + "\n",
        Trouble::Stopped => format!("{STOPPED}\n"),
        Trouble::Unexpected(message) => format!("wideberth: unexpected: {}\n", lines(message)),
    };
    output::remark(&text, style.color);
}

/// A message whose line ends are the program's own.
fn lines(message: &str) -> String {
    message.lines().map(plain).collect::<Vec<_>>().join("\n")
}

/// The refusal of a file, as data.
pub fn refusal(file: Option<&str>, trouble: &Trouble) -> Refusal {
    let problems = match trouble {
        Trouble::Problems(_, problems) => problems.iter().map(ProblemResult::of).collect(),
        Trouble::Limit(error) => vec![ProblemResult { code: Some(error.code()), ..ProblemResult::says(error) }],
        Trouble::Usage(message) | Trouble::Refused(message) | Trouble::File(message) | Trouble::Unexpected(message) => {
            vec![ProblemResult::says(message)]
        }
        Trouble::Stopped => vec![ProblemResult::says(STOPPED)],
    };
    Refusal::new(file, trouble.outcome().code(), problems)
}

/// What is said of a file whose turn did not come.
const STOPPED: &str = "not checked: the work was stopped before; treat it as too close";
