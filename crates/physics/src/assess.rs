//! The whole answer: every machine against every wire.

use rayon::prelude::*;

use crate::approach::{Approach, ApproachError, Attained, Margins, Options, attained, closest_approach};
use crate::bracket::Bracket;
use crate::line::{Wire, WireMargins};
use crate::study::{Pairing, Study};
use crate::verdict::Verdict;

/// The answer for one machine and one wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Which machine, which wire, which limit.
    pub pairing: Pairing,
    /// What the search found, less margins.
    pub approach: Approach,
    /// How close they come: nothing is closer than the lower end, and the upper end is attained.
    pub distance: Bracket,
    /// Where it is attained.
    pub attained: Attained,
    /// What the lower end leaves room for.
    pub margins: Margins,
    /// Whether that keeps the limit.
    pub verdict: Verdict,
}

impl Finding {
    /// What is left beyond the limit, m; negative inside it.
    #[must_use]
    pub fn spare(&self) -> Bracket {
        self.distance.less(self.pairing.limit_m)
    }
}

/// The answer for a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// One finding per pairing, in their order.
    pub findings: Vec<Finding>,
    /// The worst verdict.
    pub verdict: Verdict,
    /// The smallest distance of any machine to any wire.
    pub distance: Bracket,
    /// The smallest spare of any machine to any wire.
    pub spare: Bracket,
    /// Index of the finding with the smallest upper end of the spare.
    pub worst: usize,
}

/// What an assessment reports while it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Event {
    /// One pairing is finished; `done` of `total` are.
    Paired {
        /// How many are finished.
        done: usize,
        /// How many there are.
        total: usize,
    },
}

/// Assesses a study: how close does each machine come to each wire, and does it keep the limit?
///
/// Same study, same answer, on any number of threads.
///
/// # Errors
/// When the study has no pairing, a pairing names what is not there, or a state of a wire has no shape.
pub fn assess(study: &Study, options: &Options, listen: &(dyn Fn(Event) + Sync)) -> Result<Assessment, ApproachError> {
    let total = study.pairings.len();
    let finished = std::sync::atomic::AtomicUsize::new(0);
    let findings = study
        .pairings
        .par_iter()
        .map(|pairing| {
            let finding = find(study, pairing, options);
            let done = finished.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            listen(Event::Paired { done, total });
            finding
        })
        .collect::<Result<Vec<_>, _>>()?;
    summarize(findings)
}

fn find(study: &Study, pairing: &Pairing, options: &Options) -> Result<Finding, ApproachError> {
    let machine = study.machines.get(pairing.machine).ok_or(ApproachError::NoSuchPair(*pairing))?;
    let wire = study.lines.get(pairing.line).and_then(|line| line.wires.get(pairing.wire));
    let wire = wire.ok_or(ApproachError::NoSuchPair(*pairing))?;
    let approach = closest_approach(machine, wire, &asked(pairing.limit_m, options))?;
    let attained = attained(machine, wire, &approach)?;
    let upper_m = attained.witness.distance_m;
    let distance = Bracket { lower_m: approach.distance.lower_m.min(upper_m), upper_m };
    let margins = margins(wire, &attained, &distance);
    let verdict = Verdict::of(&distance, pairing.limit_m);
    Ok(Finding { pairing: *pairing, approach, distance, attained, margins, verdict })
}

/// What lies between the ends of a bracket. The margins are those of the wire where the upper end is attained.
fn margins(wire: &Wire, attained: &Attained, distance: &Bracket) -> Margins {
    let around = wire.spans().get(attained.witness.span).map_or_else(WireMargins::default, |span| *span.margins());
    let attachments_m = (around.attachments_m - attained.wire.shift_m.norm()).max(0.0);
    let WireMargins { sway_m, rising_m, .. } = around;
    let proof_m = (distance.width_m() - attachments_m - sway_m - rising_m).max(0.0);
    Margins { attachments_m, sway_m, rising_m, proof_m }
}

/// A distance beyond the limit that leaves no question, m: how much farther the wire is is not sought.
const AMPLE_M: f64 = 200.0;

/// The options for a pairing with a limit.
fn asked(limit_m: f64, options: &Options) -> Options {
    let ample_m = limit_m + AMPLE_M;
    let enough_m = Some(options.enough_m.map_or(ample_m, |enough_m| enough_m.min(ample_m)));
    Options { limit_m: Some(limit_m), enough_m, ..options.clone() }
}

fn summarize(findings: Vec<Finding>) -> Result<Assessment, ApproachError> {
    let worst = (0..findings.len())
        .min_by(|&a, &b| findings[a].spare().upper_m.total_cmp(&findings[b].spare().upper_m))
        .ok_or(ApproachError::NothingToAssess)?;
    let none = Bracket { lower_m: f64::INFINITY, upper_m: f64::INFINITY };
    let distance = findings.iter().fold(none, |d, f| d.min(f.distance));
    let spare = findings.iter().fold(none, |s, f| s.min(f.spare()));
    let verdict = findings.iter().map(|f| f.verdict).max().unwrap_or(Verdict::NotProven);
    Ok(Assessment { findings, verdict, distance, spare, worst })
}
