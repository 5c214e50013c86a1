//! Writing: the answer to standard output, everything else to standard error.

use std::io::{self, Write};

use anstream::{AutoStream, ColorChoice};

use crate::args::Color;
use crate::exit::Outcome;

/// Writes an answer. A reader who has gone away, as in `wideberth ... | head`, is no failure.
pub fn answer(text: &str, color: Color) -> Outcome {
    let mut stream = AutoStream::new(io::stdout().lock(), choice(color));
    match stream.write_all(text.as_bytes()).and_then(|()| stream.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            remark(&format!("wideberth: the answer cannot be written: {error}\n"), color);
            Outcome::Unexpected
        }
        _ => Outcome::Done,
    }
}

/// Writes a remark or a refusal. Where even that cannot be written there is nobody to tell.
pub fn remark(text: &str, color: Color) {
    let mut stream = AutoStream::new(io::stderr().lock(), choice(color));
    let _ = stream.write_all(text.as_bytes()).and_then(|()| stream.flush());
}

fn choice(color: Color) -> ColorChoice {
    match color {
        Color::Auto => ColorChoice::Auto,
        Color::Always => ColorChoice::Always,
        Color::Never => ColorChoice::Never,
    }
}
