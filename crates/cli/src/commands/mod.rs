//! One file per command.

mod check;
mod completions;
mod demo;
mod explain;
mod limit;
pub mod new;
mod sag;
mod schema;
mod sway;

use crate::args::{Args, Color, Command};
use crate::exit::Outcome;
use crate::output;

/// Does what the arguments ask.
pub fn run(args: &Args) -> Outcome {
    let style = args.style;
    match &args.command {
        None => demo::run(style),
        Some(Command::Check(check)) => check::run(check, style),
        Some(Command::Sag(sag)) => sag::run(sag, style),
        Some(Command::Sway(sway)) => sway::run(sway, style),
        Some(Command::Limit(limit)) => limit::run(limit, style),
        Some(Command::New(new)) => new::run(new, style),
        Some(Command::Explain(explain)) => explain::run(explain, style),
        Some(Command::Schema(schema)) => schema::run(schema, style),
        Some(Command::Completions(completions)) => completions::run(completions, style),
    }
}

/// Help and version are answers; everything else about arguments is a refusal.
pub fn refuse_arguments(error: &clap::Error) -> Outcome {
    let asked_for = !error.use_stderr();
    // Where it cannot be written there is nobody to tell.
    let _ = error.print();
    if asked_for { Outcome::Done } else { Outcome::Usage }
}

/// Refuses arguments that belong together in a way that the parser does not know.
fn wrong_usage(message: &str, color: Color) -> Outcome {
    output::remark(&format!("error: {message}\n\nFor more information, try '--help'.\n"), color);
    Outcome::Usage
}

/// Something that should not happen.
fn unexpected(error: &dyn std::fmt::Display, color: Color) -> Outcome {
    output::remark(&format!("wideberth: unexpected: {error}\n"), color);
    Outcome::Unexpected
}
