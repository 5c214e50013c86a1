//! `day`: when is the job clear?

use wideberth_plan::answer::answer_alone;
use wideberth_plan::day::{Progress, Spell, day, heights};
use wideberth_report::day::DayDocument;

use super::{Opened, job_of};
use crate::args::{Day, Style};
use crate::exit::{Outcome, Trouble};
use crate::progress::{advance, bar};
use crate::reply::{Asked, Reply};
use crate::text;

/// The hours of one scenario.
pub fn run(args: &Day, style: Style) -> Asked {
    let document = document(job_of(&args.file)?, args)?;
    let reply =
        Reply::document(&document, style, || text::day::render(&document, style.units.into()), || document.to_csv())?;
    Ok(reply.ending(Outcome::from(&document)))
}

fn document(opened: Opened, args: &Day) -> Result<DayDocument, Trouble> {
    let Opened { input, job } = opened;
    let spell = if args.all { Spell::All } else { Spell::Job };
    if args.heights {
        return Ok(DayDocument::of(&job, &heights(&job, spell)?, false));
    }
    let bar = bar("hours");
    let found = day(&job, spell, &|progress: Progress| advance(&bar, progress.done, progress.total));
    bar.finish_and_clear();
    let document = DayDocument::of(&job, &found?, true);
    let judged = answer_alone(&input.text, &input.context()?, &|_| {});
    match judged {
        Ok(answer) => Ok(document.judged(&answer)),
        Err(error) => Err(Trouble::of_answer(error, input)),
    }
}
