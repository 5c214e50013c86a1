//! `fixes`: what makes a machine clear.

use wideberth_physics::verdict::Verdict;
use wideberth_plan::answer::assessed;
use wideberth_plan::digging::digging;
use wideberth_plan::fixes::{MachineFixes, fixes};
use wideberth_plan::readiness::holding;
use wideberth_report::fixes::{FixesDocument, to_csv};
use wideberth_scenario::FreeEnd;
use wideberth_scenario::source::Source;

use super::{Opened, job_of};
use crate::args::{Fixes, Style};
use crate::exit::Trouble;
use crate::reply::{Asked, Reply};
use crate::text;

/// The controls.
pub fn run(args: &Fixes, style: Style) -> Asked {
    let opened = job_of(&args.file)?;
    let (verdict, found, ends) = search(&opened)?;
    let document = FixesDocument::of(&opened.job, verdict, &found, &ends);
    let text = || text::fixes::render(&opened.job, &document, &found, args.all, style.units.into());
    Reply::document(&document, style, text, || to_csv(&document))
}

/// The worst verdict, above the ground and in it, the controls, and of a clear plan the ends that nobody holds.
type Found = (Verdict, Vec<MachineFixes>, Vec<FreeEnd>);

fn search(opened: &Opened) -> Result<Found, Trouble> {
    let Opened { input, job } = opened;
    let context = input.context()?;
    let source = Source::read(&input.text).map_err(Trouble::unexpected)?;
    let assessment = assessed(job, &|_| {})?;
    let ground = digging(job)?;
    let found = fixes(source.value(), &context, job, &assessment)?;
    let verdict = ground.iter().map(|finding| finding.verdict).fold(assessment.verdict, Verdict::max);
    let ends = if verdict == Verdict::Clear { holding(&input.text, &context, job).ends } else { Vec::new() };
    Ok((verdict, found, ends))
}
