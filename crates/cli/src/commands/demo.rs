//! No command: the built-in demonstration.

use crate::args::{Format, Style};
use crate::exit::Outcome;
use crate::input::Input;
use crate::{output, text};

/// The demonstration.
const DEMONSTRATION: &str = include_str!("../../../../scenarios/silo-shell-tilts-under-a-farm-line.json");

/// Its name.
const NAME: &str = "the built-in demonstration";

/// Checks the demonstration and says what to try next.
pub fn run(style: Style) -> Outcome {
    let document = match super::check::assess(&Input::embedded(NAME, DEMONSTRATION), None, style) {
        Ok(document) => document,
        Err(trouble) => return trouble,
    };
    let next = if style.format == Format::Text { text::demo::next_steps() } else { String::new() };
    let outcome = Outcome::from(&document);
    match super::check::render(&[document], false, style) {
        Ok(text) => outcome.max(output::answer(&(text + &next), style.color)),
        Err(error) => super::unexpected(&error, style.color),
    }
}
