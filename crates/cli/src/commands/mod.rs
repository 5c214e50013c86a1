//! One file per command. Each takes its arguments and comes to a reply or a trouble; `reply` gives either.

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
mod terms;

use std::io;
use std::path::Path;

use wideberth_report::draw;
use wideberth_scenario::Job;

use crate::args::{Args, Color, Command, Pictures};
use crate::exit::{Outcome, Trouble};
use crate::output::Output;
use crate::reply::{Reply, finish};
use crate::{input, output};

/// Does what the arguments ask.
pub fn run(args: &Args) -> Outcome {
    let style = args.style;
    let asked = match &args.command {
        None => demo::run(style),
        // Files are answered one after the other, as they are done.
        Some(Command::Check(check)) => return check::run(check, style),
        Some(Command::Fixes(fixes)) => fixes::run(fixes, style),
        Some(Command::Stand(stand)) => stand::run(stand, style),
        Some(Command::Chart(chart)) => chart::run(chart, style),
        Some(Command::Drivers(drivers)) => drivers::run(drivers, style),
        Some(Command::Sag(sag)) => sag::run(sag, style),
        Some(Command::Day(day)) => day::run(day, style),
        Some(Command::Sway(sway)) => sway::run(sway, style),
        Some(Command::Limit(limit)) => limit::run(limit, style),
        Some(Command::New(new)) => new::run(new),
        Some(Command::Explain(explain)) => explain::run(explain),
        Some(Command::Schema(schema)) => Ok(schema::run(schema)),
        Some(Command::Completions(completions)) => Ok(completions::run(completions)),
    };
    let file = args.command.as_ref().and_then(scenario_of).map(input::name);
    finish(asked, file.as_deref(), style)
}

/// The scenario that a command is asked about.
fn scenario_of(command: &Command) -> Option<&Path> {
    match command {
        Command::Fixes(args) => Some(&args.file),
        Command::Stand(args) => Some(&args.file),
        Command::Chart(args) => Some(&args.file),
        Command::Drivers(args) => Some(&args.file),
        Command::Sag(args) => Some(&args.file),
        Command::Day(args) => Some(&args.file),
        Command::Sway(args) => Some(&args.file),
        _ => None,
    }
}

/// Help and version are answers; everything else about arguments is a refusal.
pub fn refuse_arguments(error: &clap::Error) -> Outcome {
    if error.use_stderr() {
        // Where it cannot be written there is nobody to tell.
        let _ = error.print();
        return Outcome::Usage;
    }
    if output::is_closed() {
        return Outcome::File;
    }
    let printed = error.print().and_then(|()| io::Write::flush(&mut io::stdout().lock()));
    output::written(printed, Color::Auto)
}

/// A job, read and lowered from a file, with its text.
fn job_of(path: &Path) -> Result<Opened, Trouble> {
    let input = input::read(path)?;
    let job = {
        let context = input.context()?;
        Job::from_text(&input.text, &context)
    };
    match job {
        Ok(job) => Ok(Opened { input, job }),
        Err(problems) => Err(Trouble::Problems(Box::new(input), problems)),
    }
}

/// A scenario that was found possible.
struct Opened {
    input: input::Input,
    job: Job,
}

impl Opened {
    /// The index of a machine by its name, or the first.
    fn machine(&self, name: Option<&str>) -> Result<usize, Trouble> {
        let Some(name) = name else { return Ok(0) };
        let found = self.job.machines.iter().position(|machine| machine.name == name);
        found.ok_or_else(|| {
            let names: Vec<_> = self.job.machines.iter().map(|machine| format!("\"{}\"", machine.name)).collect();
            Trouble::Usage(format!("the scenario has no machine \"{name}\"; it has {}", names.join(", ")))
        })
    }
}

/// The drawings that were asked for, added to a reply.
fn with_pictures(
    mut reply: Reply,
    [svg, png]: [Option<Output>; 2],
    pixels: u32,
    drawn: impl FnOnce() -> Result<String, draw::PictureError>,
) -> Result<Reply, Trouble> {
    if svg.is_none() && png.is_none() {
        return Ok(reply);
    }
    let drawing = drawn()?;
    if let Some(file) = png {
        reply = reply.with_file(file, draw::png(&drawing, pixels)?);
    }
    Ok(match svg {
        Some(file) => reply.with_file(file, drawing.into_bytes()),
        None => reply,
    })
}

/// The width of a picture is judged before anything is computed.
fn judge_pixels(files: &Pictures) -> Result<(), Trouble> {
    match files.png {
        Some(_) => Ok(draw::judge_width(files.pixels)?),
        None => Ok(()),
    }
}
