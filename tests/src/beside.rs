//! Files beside the demonstrations.

use wideberth_scenario::Context;

use crate::generated::repository_root;

/// What a demonstration may refer to: what comes with the program, and the files beside it.
///
/// # Panics
///
/// When the built-in catalogue is faulty.
#[must_use]
pub fn demonstration_context() -> Context<'static> {
    let folder = repository_root().join("scenarios");
    let read = move |name: &str| std::fs::read_to_string(folder.join(name)).map_err(|error| error.to_string());
    Context::embedded(read).expect("the built-in catalogue is right")
}
