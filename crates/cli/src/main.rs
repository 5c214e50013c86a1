//! The program `wideberth`: arguments in, one answer out, an exit code that says what it was.

mod args;
mod batch;
mod commands;
mod exit;
mod input;
mod output;
mod progress;
mod reply;
mod stop;
mod text;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let outcome = match args::Args::try_parse() {
        Ok(args) => commands::run(&args),
        Err(error) => commands::refuse_arguments(&error),
    };
    outcome.into()
}
