//! `completions`: for a shell.

use clap::CommandFactory;

use crate::args::{Args, Completions, Style};
use crate::exit::Outcome;
use crate::output;

/// Prints the completions.
pub fn run(args: &Completions, style: Style) -> Outcome {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "wideberth", &mut script);
    output::answer(&String::from_utf8_lossy(&script), style.color)
}
