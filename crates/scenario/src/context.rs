//! What a scenario may refer to: the catalogue, the machine library, the tables of limits, and files of the user's own.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use jiff::civil::Date;
use wideberth_rules::RuleBook;

use crate::catalogue::{Catalogue, CatalogueError};
use crate::machine::Library;

/// How a file that a scenario names is read: from its name to its text, or to the reason why not.
pub type ReadFile<'a> = dyn Fn(&str) -> Result<String, String> + Sync + 'a;

/// What a scenario may refer to.
pub struct Context<'a> {
    /// Conductors.
    pub catalogue: Catalogue,
    /// Machines.
    pub machines: Library,
    /// Limits of approach.
    pub rules: RuleBook,
    read_file: Box<ReadFile<'a>>,
    asked: Option<Date>,
    today: Option<Date>,
    stop: Option<Arc<AtomicBool>>,
}

impl<'a> Context<'a> {
    /// What comes with the program, and a way to read files; names are relative to the scenario's folder.
    ///
    /// # Errors
    /// When the built-in catalogue is faulty, which a test rules out.
    pub fn embedded(read_file: impl Fn(&str) -> Result<String, String> + Sync + 'a) -> Result<Self, CatalogueError> {
        let catalogue = Catalogue::embedded()?;
        Ok(Self {
            catalogue,
            machines: Library::embedded(),
            rules: RuleBook::embedded(),
            read_file: Box::new(read_file),
            asked: None,
            today: None,
            stop: None,
        })
    }

    /// What comes with the program; scenarios that name files are refused.
    ///
    /// # Errors
    /// As [`Context::embedded`].
    pub fn without_files() -> Result<Self, CatalogueError> {
        Self::embedded(|_| Err("files cannot be read here".into()))
    }

    /// The same, with the day that the user asks about, and the day that it is: where neither the user nor the scenario
    /// says when the work is, it is today.
    #[must_use]
    pub fn on(self, asked: Option<Date>, today: Option<Date>) -> Self {
        Self { asked, today, ..self }
    }

    /// The same, with the day that the user asks about.
    #[must_use]
    pub fn asked_on(self, asked: Option<Date>) -> Self {
        Self { asked, ..self }
    }

    /// The same, with a flag that ends every search of the jobs that are read with it as soon as somebody sets it. What is
    /// proven until then still holds.
    #[must_use]
    pub fn stopped_by(self, stop: Arc<AtomicBool>) -> Self {
        Self { stop: Some(stop), ..self }
    }

    /// The flag that ends searches.
    #[must_use]
    pub fn stop(&self) -> Option<Arc<AtomicBool>> {
        self.stop.clone()
    }

    /// The day that the user asks about.
    #[must_use]
    pub fn asked_day(&self) -> Option<Date> {
        self.asked
    }

    /// The day that it is.
    #[must_use]
    pub fn today(&self) -> Option<Date> {
        self.today
    }

    /// The text of a file that the scenario names.
    ///
    /// # Errors
    /// Why it cannot be read, in words.
    pub fn read(&self, name: &str) -> Result<String, String> {
        (self.read_file)(name)
    }
}
