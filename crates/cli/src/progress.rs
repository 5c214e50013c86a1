//! Progress on standard error, only on a terminal: of an assessment in words, of long plans as a bar.

use std::io::{self, IsTerminal, Write};

use indicatif::{ProgressBar, ProgressStyle};
use wideberth_physics::assess::Event;

/// Shows how far an assessment is.
#[derive(Debug)]
pub struct Progress {
    shown: bool,
}

impl Progress {
    /// Shown on a terminal only.
    pub fn new() -> Self {
        Self { shown: io::stderr().is_terminal() && !is_dumb() }
    }

    /// Takes note of an event.
    pub fn listen(&self, event: Event) {
        let Event::Paired { done, total } = event;
        if self.shown && total > 1 {
            self.write(&format!("\r{done} of {total} wires checked"));
        }
    }

    /// How many of several files are done.
    pub fn files(&self, done: usize, total: usize) {
        if self.shown && total > 1 && done < total {
            self.write(&format!("\r{done} of {total} files checked"));
        }
    }

    /// Clears the line.
    pub fn end(&self) {
        if self.shown {
            self.write("\r\x1b[K");
        }
    }

    fn write(&self, text: &str) {
        let mut stream = io::stderr().lock();
        let _ = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
    }
}

/// Whether the terminal says that it cannot go back in a line.
fn is_dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term == "dumb")
}

/// A bar for a long plan, which counts in some unit; it hides itself where there is no terminal.
pub fn bar(unit: &str) -> ProgressBar {
    let bar = if is_dumb() { ProgressBar::hidden() } else { ProgressBar::new(0) };
    if let Ok(look) = ProgressStyle::with_template(&format!("{{wide_bar}} {{pos}} of {{len}} {unit}, {{eta}} left")) {
        bar.set_style(look);
    }
    bar
}

/// Shows how far a long plan is.
pub fn advance(bar: &ProgressBar, done: usize, total: usize) {
    bar.set_length(total as u64);
    bar.set_position(done as u64);
}
