//! Tries to come closer than a proven lower end: random poses and states, ends of ranges, and a climb from the best so far.
//!
//! Several poses are tried with several states at a time, each pose with each state: a sample is one pose in one state.

use wideberth_physics::approach::Witness;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, Wire, WireSpan};
use wideberth_physics::machine::Machine;

use crate::generate::{Draw, RandomWire};
use crate::hanging::{Hanging, Stance};
use crate::oracle::{Solid, solids};
use crate::physical::{physical_state, pick};

/// The closest that an adversary came.
#[derive(Clone, Debug)]
pub struct Closest {
    /// Distance between the surfaces less margins, m.
    pub distance_m: f64,
    /// Joint values.
    pub pose: Vec<f64>,
    /// State.
    pub state: SpanState,
    /// Body.
    pub body: usize,
    /// Span.
    pub span: usize,
    /// Fraction of the chord.
    pub fraction: f64,
    /// How many samples were tried.
    pub samples: u64,
}

/// How many poses and states are tried with each other at a time.
struct Round {
    poses: usize,
    states: usize,
    /// How many of the states are solved anew; the others were solved in earlier rounds.
    fresh: usize,
}

/// A wire between rigid attachments is solved in a microsecond.
const RIGID: Round = Round { poses: 4, states: 4, fresh: 4 };
/// Balancing a whole section on strings takes a thousand times as long.
const STRUNG: Round = Round { poses: 16, states: 8, fresh: 1 };
/// Solved states of sections that are kept: from anywhere, and from near the best so far.
const KEPT: [usize; 2] = [2048, 32];
/// Tries to find a pose that a limiter allows.
const TRIES: usize = 16;

/// Where values are drawn from.
#[derive(Clone, Copy, PartialEq)]
enum Region {
    /// Anywhere; at an end of its range with this probability.
    Anywhere { ends: f64 },
    /// Near the best so far, by about this part of a range.
    Near { scale: f64 },
}

/// A machine against a wire.
pub struct Adversary<'a> {
    machine: &'a Machine,
    wire: &'a Wire,
    known: Option<&'a RandomWire>,
    ranges: Vec<Interval>,
    /// The ranges of the numbers that make a state, for each span.
    states: Vec<Vec<Interval>>,
    solids: Vec<Solid>,
    kept: [Vec<Hanging<'a>>; 2],
    best: Closest,
    /// The wire as it hangs at the best.
    at_best: Hanging<'a>,
}

impl<'a> Adversary<'a> {
    /// Starts from a pose and state that a search found.
    #[must_use]
    pub fn new(machine: &'a Machine, wire: &'a Wire, found: &Witness) -> Self {
        let (state, span) = (found.state, found.span);
        let rigid = || vec![state.unstretched_m, state.wind_m_per_s, state.ice_m];
        let values = found.section.map_or_else(rigid, |section| section.values().to_vec());
        let at_best = Hanging::new(&wire.spans()[span], span, values);
        let pose = found.pose.clone();
        let best = Closest { distance_m: f64::INFINITY, pose, state, body: 0, span, fraction: 0.0, samples: 0 };
        let states = wire.spans().iter().map(|span| span.cover().ranges()).collect();
        let (ranges, solids) = (machine.ranges(), solids(machine));
        let kept = [Vec::new(), Vec::new()];
        let mut new = Self { machine, wire, known: None, ranges, states, solids, kept, best, at_best };
        if let Some(stance) = Stance::allowed(machine, &new.solids, found.pose.clone()) {
            new.measure(&stance, &new.at_best.clone());
        }
        new
    }

    /// Draws states also from what is known of the wire, by formulas of its own.
    #[must_use]
    pub fn knowing(mut self, wire: &'a RandomWire) -> Self {
        self.known = Some(wire);
        self
    }

    /// The closest so far.
    #[must_use]
    pub fn best(&self) -> &Closest {
        &self.best
    }

    /// Tries at least so many samples: a third uniform, a sixth toward ends, the rest near the best so far.
    ///
    /// # Panics
    /// When a limiter leaves no pose.
    pub fn try_many(&mut self, draw: &mut Draw, samples: u64) {
        let until = self.best.samples + samples;
        let (mut scale, mut empty) = (0.1, 0);
        for round in 0.. {
            if self.best.samples >= until {
                break;
            }
            let region = match round % 6 {
                0 | 1 => Region::Anywhere { ends: 0.05 },
                2 => Region::Anywhere { ends: 0.6 },
                _ => Region::Near { scale },
            };
            let before = self.best.clone();
            self.try_round(draw, region);
            empty = if self.best.samples == before.samples { empty + 1 } else { 0 };
            assert!(empty < 1000, "no pose is left of {}", self.machine.name());
            if region == (Region::Near { scale }) {
                // One fifth success rule.
                scale *= if self.best.distance_m < before.distance_m { 1.6 } else { 0.96 };
                if scale < 1e-7 {
                    scale = 0.2;
                }
            }
        }
    }

    /// Each of some poses with each of some states.
    fn try_round(&mut self, draw: &mut Draw, region: Region) {
        let size = if self.wire.spans().iter().any(WireSpan::is_strung) { STRUNG } else { RIGID };
        let stances: Vec<Stance> = (0..size.poses).filter_map(|_| self.stance(draw, region)).collect();
        let states = self.hanging(draw, region, &size);
        for state in &states {
            for stance in &stances {
                self.measure(stance, state);
            }
        }
        self.best.samples += (stances.len() * states.len()) as u64;
        self.keep(draw, region, &size, states);
    }

    /// A pose that no limiter holds back.
    fn stance(&self, draw: &mut Draw, region: Region) -> Option<Stance> {
        (0..TRIES).find_map(|_| {
            let pose = values(draw, region, &self.best.pose, &self.ranges);
            Stance::allowed(self.machine, &self.solids, pose)
        })
    }

    /// States to try: some solved anew, the others kept from earlier rounds; one of those near the best is the best itself.
    fn hanging(&self, draw: &mut Draw, region: Region, size: &Round) -> Vec<Hanging<'a>> {
        let mut states: Vec<_> = (0..size.fresh).map(|_| self.solved(draw, region)).collect();
        if let Region::Near { .. } = region {
            states.push(self.at_best.clone());
        }
        let kept = &self.kept[usize::from(matches!(region, Region::Near { .. }))];
        while states.len() < size.states && !kept.is_empty() {
            states.push(kept[draw.index(kept.len())].clone());
        }
        states
    }

    fn solved(&self, draw: &mut Draw, region: Region) -> Hanging<'a> {
        let anywhere = |draw: &mut Draw| draw.index(self.wire.spans().len());
        let span = if let Region::Near { .. } = region { self.best.span } else { anywhere(draw) };
        let wire = &self.wire.spans()[span];
        let known = self.known.filter(|_| draw.chance(0.5));
        let values = match (region, known) {
            (Region::Anywhere { ends }, Some(known)) => {
                physical_state(&known.description, &known.conditions, draw, (span, wire), ends)
            }
            _ => values(draw, region, &self.at_best.values, &self.states[span]),
        };
        Hanging::new(wire, span, values)
    }

    /// Keeps the states that were dear to solve.
    fn keep(&mut self, draw: &mut Draw, region: Region, size: &Round, states: Vec<Hanging<'a>>) {
        if size.fresh == size.states {
            return;
        }
        let place = usize::from(matches!(region, Region::Near { .. }));
        let kept = &mut self.kept[place];
        for state in states.into_iter().take(size.fresh) {
            if kept.len() < KEPT[place] {
                kept.push(state);
            } else {
                let index = draw.index(kept.len());
                kept[index] = state;
            }
        }
    }

    fn measure(&mut self, stance: &Stance, hanging: &Hanging<'a>) {
        for (body, (part, solid)) in stance.parts.iter().zip(&self.solids).enumerate() {
            if let Some((distance_m, fraction)) = hanging.nearer(solid, part, self.best.distance_m) {
                let (pose, state, span, samples) =
                    (stance.pose.clone(), hanging.state, hanging.span, self.best.samples);
                self.best = Closest { distance_m, pose, state, body, span, fraction, samples };
                self.at_best = hanging.clone();
            }
        }
    }
}

/// Values of ranges; those near others keep some of them half of the time.
fn values(draw: &mut Draw, region: Region, near: &[f64], ranges: &[Interval]) -> Vec<f64> {
    let each = draw.chance(0.5);
    let mut value = |(near, range): (&f64, &Interval)| match region {
        Region::Anywhere { ends } => pick(draw, range, ends),
        Region::Near { scale } if each || draw.chance(0.3) => {
            (near + draw.normal() * scale * range.width()).clamp(range.low(), range.high())
        }
        Region::Near { .. } => *near,
    };
    near.iter().zip(ranges).map(&mut value).collect()
}
