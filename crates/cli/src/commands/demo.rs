//! No command: the built-in demonstration.

use crate::args::{Format, Style};
use crate::exit::Outcome;
use crate::input::Input;
use crate::reply::{Asked, Reply};
use crate::text;

/// The demonstration.
const DEMONSTRATION: &str = include_str!("../../../../scenarios/silo-shell-tilts-under-a-farm-line.json");

/// Its name.
const NAME: &str = "the built-in demonstration";

/// Checks the demonstration and says what to try next.
pub fn run(style: Style) -> Asked {
    let record = super::check::assess(Input::embedded(NAME, DEMONSTRATION), None, &Default::default(), &|_| {})?;
    let next = if style.format == Format::Text { text::demo::next_steps() } else { String::new() };
    let text = super::check::alone(&record, style)?;
    Ok(Reply::text(text + &next).ending(Outcome::from(&record.result)))
}
