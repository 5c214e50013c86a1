//! One file per command.

mod chart;
mod check;
mod completions;
mod day;
mod demo;
mod drivers;
mod explain;
mod fixes;
mod limit;
pub mod new;
mod sag;
mod schema;
mod stand;
mod sway;

use wideberth_plan::decide::PlanError;
use wideberth_report::draw::{self, PictureError};
use wideberth_scenario::Job;

use crate::args::{Args, Color, Command, Pictures, Style};
use crate::exit::Outcome;
use crate::{input, output, text};

/// Does what the arguments ask.
pub fn run(args: &Args) -> Outcome {
    let style = args.style;
    match &args.command {
        None => demo::run(style),
        Some(Command::Check(check)) => check::run(check, style),
        Some(Command::Fixes(fixes)) => fixes::run(fixes, style),
        Some(Command::Stand(stand)) => stand::run(stand, style),
        Some(Command::Chart(chart)) => chart::run(chart, style),
        Some(Command::Drivers(drivers)) => drivers::run(drivers, style),
        Some(Command::Sag(sag)) => sag::run(sag, style),
        Some(Command::Day(day)) => day::run(day, style),
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

/// A job, read and lowered from a file, with its text; troubles are reported.
fn job_of(path: &std::path::Path, style: Style) -> Result<Opened, Outcome> {
    let input = input::read(path).map_err(|error| check::refused_input(&error, style))?;
    let job = {
        let context = input.context().map_err(|error| unexpected(&error, style.color))?;
        Job::from_text(&input.text, &context)
    };
    match job {
        Ok(job) => Ok(Opened { input, job }),
        Err(problems) => {
            output::remark(&text::problems::render(&problems, &input), style.color);
            Err(Outcome::Refused)
        }
    }
}

/// A scenario that was found possible.
struct Opened {
    input: input::Input,
    job: Job,
}

impl Opened {
    /// The index of a machine by its name, or the first.
    fn machine(&self, name: Option<&str>, style: Style) -> Result<usize, Outcome> {
        let Some(name) = name else { return Ok(0) };
        let found = self.job.machines.iter().position(|machine| machine.name == name);
        found.ok_or_else(|| {
            let names: Vec<_> = self.job.machines.iter().map(|machine| format!("\"{}\"", machine.name)).collect();
            let message = format!("the scenario has no machine \"{name}\"; it has {}", names.join(", "));
            wrong_usage(&message, style.color)
        })
    }
}

/// Writes a file that was asked for, and says so.
fn write_file(path: &std::path::Path, bytes: &[u8], style: Style) -> Result<(), Outcome> {
    std::fs::write(path, bytes).map_err(|error| {
        output::remark(&format!("error: {} cannot be written: {error}\n", path.display()), style.color);
        Outcome::File
    })?;
    output::remark(&format!("written: {}\n", path.display()), style.color);
    Ok(())
}

/// Writes the drawings that were asked for.
fn write_pictures(files: &Pictures, drawn: Result<String, PictureError>, style: Style) -> Result<(), Outcome> {
    let refuse = |error: PictureError| wrong_usage(&error.to_string(), style.color);
    let svg = drawn.map_err(refuse)?;
    if let Some(path) = &files.svg {
        write_file(path, svg.as_bytes(), style)?;
    }
    if let Some(path) = &files.png {
        let picture = draw::png(&svg, files.pixels).map_err(refuse)?;
        write_file(path, &picture, style)?;
    }
    Ok(())
}

/// A question that makes no sense is refused; anything else is unexpected.
fn refused_plan(error: &PlanError, style: Style) -> Outcome {
    match error {
        PlanError::Question(message) => wrong_usage(message, style.color),
        PlanError::Refused(_) => {
            output::remark(&format!("error: {error}\n"), style.color);
            Outcome::Refused
        }
        _ => unexpected(error, style.color),
    }
}

/// Prints what was rendered.
fn print(rendered: Result<String, Box<dyn std::error::Error>>, style: Style) -> Outcome {
    match rendered {
        Ok(text) => output::answer(&text, style.color),
        Err(error) => unexpected(&error, style.color),
    }
}

/// Something that should not happen.
fn unexpected(error: &dyn std::fmt::Display, color: Color) -> Outcome {
    output::remark(&format!("wideberth: unexpected: {error}\n"), color);
    Outcome::Unexpected
}
