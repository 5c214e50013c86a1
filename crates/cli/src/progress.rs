//! Progress on standard error, only on a terminal.

use std::io::{self, IsTerminal, Write};

use wideberth_physics::assess::Event;

/// Shows how far an assessment is.
#[derive(Debug)]
pub struct Progress {
    shown: bool,
}

impl Progress {
    /// Shown on a terminal only.
    pub fn new() -> Self {
        Self { shown: io::stderr().is_terminal() }
    }

    /// Takes note of an event.
    pub fn listen(&self, event: Event) {
        let Event::Paired { done, total } = event;
        if self.shown && total > 1 {
            self.write(&format!("\r{done} of {total} wires checked"));
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
