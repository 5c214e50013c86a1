//! A scenario that was read and answered, or why not.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use thiserror::Error;
use wideberth_physics::assess::Assessment;
use wideberth_plan::answer::{Answer, AnswerError, answer, answer_alone};
use wideberth_report::ResultDocument;
use wideberth_scenario::source::{MAX_BYTES, check_size, decode};
use wideberth_scenario::{Context, Job, Problems};

use crate::hours::{HourAnswer, HourWeather, hours};

/// The demonstration that is shown without a file.
const DEMONSTRATION: &str = include_str!("../../../scenarios/silo-shell-tilts-under-a-farm-line.json");

/// Where a scenario comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// The demonstration inside the program.
    BuiltIn,
    /// A file.
    File(PathBuf),
}

/// A scenario with its proven answer.
#[derive(Clone, Debug)]
pub struct Loaded {
    /// Where it comes from.
    pub origin: Origin,
    /// Its text.
    pub text: String,
    /// What it asks.
    pub job: Job,
    /// What the search found.
    pub assessment: Assessment,
    /// The answer for people.
    pub document: ResultDocument,
    /// The hours of its weather; none where nothing changes with the hour.
    pub hours: Vec<Arc<HourWeather>>,
    /// The proven answer for each of them; none where it was not asked for.
    pub day: Vec<HourAnswer>,
}

/// Why there is nothing to show.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum LoadError {
    /// The file cannot be read.
    #[error("{name}: {why}")]
    File {
        /// How people call it.
        name: String,
        /// Why not.
        why: String,
    },
    /// The scenario is refused.
    #[error("{0}")]
    Refused(Problems),
    /// The search could not run.
    #[error("the search could not run: {0}")]
    Search(String),
}

impl LoadError {
    fn of(error: AnswerError) -> Self {
        match error {
            AnswerError::Refused(problems) => Self::Refused(problems),
            AnswerError::Search(error) => Self::Search(error.to_string()),
        }
    }
}

impl Origin {
    /// How people call it.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::BuiltIn => "the built-in demonstration".into(),
            Self::File(path) => path.display().to_string(),
        }
    }

    /// Its text.
    ///
    /// # Errors
    /// When the file is missing, unreadable, too large or no text.
    pub fn read(&self) -> Result<String, LoadError> {
        match self {
            Self::BuiltIn => Ok(DEMONSTRATION.into()),
            Self::File(path) => read_file(path).map_err(|why| LoadError::File { name: self.name(), why }),
        }
    }

    /// Reads and answers it.
    ///
    /// # Errors
    /// When it cannot be read, is refused, or the search could not run.
    pub fn load(&self) -> Result<Loaded, LoadError> {
        self.answer(self.read()?)
    }

    /// Answers a text as if it stood there.
    ///
    /// # Errors
    /// When it is refused, or the search could not run.
    pub fn answer(&self, text: String) -> Result<Loaded, LoadError> {
        let folder = self.folder();
        let context = Context::embedded(move |name| read_file(&folder.join(name)));
        let context = context.map_err(|error| LoadError::Search(error.to_string()))?;
        let answer = answer(&text, &context, &|_| ()).map_err(LoadError::of)?;
        let (hours, day) = hours(&answer.job).map_err(|error| LoadError::Search(error.to_string()))?;
        Ok(Loaded { hours, day, ..self.loaded(text, answer) })
    }

    /// Answers a text without what contributes and without hours: the verdict alone, sooner.
    ///
    /// # Errors
    /// As [`Origin::answer`].
    pub fn answer_quickly(&self, text: String) -> Result<Loaded, LoadError> {
        let folder = self.folder();
        let context = Context::embedded(move |name| read_file(&folder.join(name)));
        let context = context.map_err(|error| LoadError::Search(error.to_string()))?;
        let answer = answer_alone(&text, &context, &|_| ()).map_err(LoadError::of)?;
        Ok(self.loaded(text, answer))
    }

    fn loaded(&self, text: String, answer: Answer) -> Loaded {
        let document = ResultDocument::of(&answer);
        Loaded {
            origin: self.clone(),
            text,
            job: answer.job,
            assessment: answer.assessment,
            document,
            hours: Vec::new(),
            day: Vec::new(),
        }
    }

    /// Folder that the files it names are relative to.
    fn folder(&self) -> PathBuf {
        match self {
            Self::BuiltIn => PathBuf::new(),
            Self::File(path) => path.parent().map(Path::to_path_buf).unwrap_or_default(),
        }
    }
}

fn read_file(path: &Path) -> Result<String, String> {
    let size = fs::metadata(path).map_err(|error| error.to_string())?.len();
    check_size(size.min(MAX_BYTES as u64 + 1)).map_err(|problems| problems.to_string())?;
    let bytes = fs::read(path).map_err(|error| error.to_string())?;
    decode(&bytes).map(str::to_string).map_err(|problems| problems.to_string())
}
