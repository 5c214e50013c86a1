//! What has been done before the work starts: days, briefing, duties.

use super::controls::evidence_of;
use crate::context::Context;
use crate::days::{self, Days};
use crate::here::Here;
use crate::job::{Briefing, DutyDone};
use crate::problem::Problems;
use crate::raw::{RawBriefing, RawDutyDone, RawScenario};

/// The days for which the scenario is judged: the one asked for, else its own, else today.
pub(super) fn days(raw: &RawScenario, context: &Context<'_>, here: &Here<'_>) -> Result<Option<Days>, Problems> {
    let here = here.key("work_dates");
    let own = raw.work_dates.as_ref();
    let own = own.map(|[first, last]| days::from_to([first, last], [&here.index(0), &here.index(1)])).transpose()?;
    Ok(context.asked_day().map(Days::single).or(own).or(context.today().map(Days::single)))
}

pub(super) fn briefing(raw: &RawBriefing, here: &Here<'_>) -> Result<Briefing, Problems> {
    let date = days::day(&raw.date, &here.key("date"))?;
    Ok(Briefing { given_by: raw.given_by.clone(), date, acknowledged_by: raw.acknowledged_by.clone() })
}

pub(super) fn duties(raw: &[RawDutyDone], here: &Here<'_>) -> Result<Vec<DutyDone>, Problems> {
    let mut problems = Problems::none();
    let each = raw.iter().enumerate().filter_map(|(index, duty)| {
        let evidence = problems.collect(evidence_of(&duty.evidence, &here.index(index).key("evidence")))?;
        Some(DutyDone { duty: duty.duty.clone(), owner: duty.owner.clone(), evidence })
    });
    let done = each.collect();
    problems.into_result(done)
}
