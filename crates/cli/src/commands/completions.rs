//! `completions`: for a shell.

use clap::CommandFactory;

use crate::args::{Args, Completions};
use crate::reply::Reply;

/// The completions.
pub fn run(args: &Completions) -> Reply {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "wideberth", &mut script);
    Reply::text(String::from_utf8_lossy(&script))
}
