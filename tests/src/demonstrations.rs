//! The demonstrations, read and lowered.

use wideberth_scenario::source::Source;
use wideberth_scenario::{Context, Job};

use crate::generated::repository_root;

/// The text of a demonstration.
///
/// # Panics
/// When there is none of that name.
#[must_use]
pub fn text(name: &str) -> String {
    let path = repository_root().join("scenarios").join(name).with_extension("json");
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// A scenario without its lesson, which shows what its ranges allow and must change with them.
///
/// # Panics
/// When the text is no JSON object.
#[must_use]
pub fn without_lesson(text: &str) -> String {
    let mut scenario = Source::read(text).expect("JSON").value().clone();
    scenario.as_object_mut().expect("an object").remove("lesson");
    scenario.to_string()
}

/// What comes with the program, with the files beside the demonstrations.
///
/// # Panics
/// When the catalogue is faulty.
#[must_use]
pub fn context() -> Context<'static> {
    let folder = repository_root().join("scenarios");
    let read = move |name: &str| std::fs::read_to_string(folder.join(name)).map_err(|error| error.to_string());
    Context::embedded(read).expect("the catalogue is right")
}

/// The job of a text.
///
/// # Panics
/// When it is refused.
#[must_use]
pub fn job(text: &str) -> Job {
    Job::from_text(text, &context()).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}
