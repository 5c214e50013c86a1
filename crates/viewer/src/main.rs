//! `wideberth-view`: the program.

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use wideberth_viewer::args::Args;
use wideberth_viewer::{capture, window};

fn main() -> ExitCode {
    let args = Args::parse();
    let done = match (&args.picture, &args.film) {
        (Some(path), _) => capture::picture(&args, path).map_err(|error| error.to_string()),
        (None, Some(folder)) => capture::film(&args, folder).map_err(|error| error.to_string()),
        (None, None) => window::run(&args).map_err(|error| error.to_string()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "error: {error}");
            ExitCode::FAILURE
        }
    }
}
