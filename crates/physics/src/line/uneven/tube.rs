//! All places that a wire may take under any distribution of its loads, as bounds that are computed where they are asked for.

use std::f64::consts::TAU;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

use super::Across;
use super::premises::{Premises, UnevenSpan};

/// Fractions of the run at which bounds are computed: multiples of 1/this.
const PLACES: usize = 64;

/// Directions square to the run in which they are computed.
const DIRECTIONS: usize = 128;

/// A bound over a stretch is sharp enough when it lies within this of one of its places, m, and within this share.
const SHARP_M: f64 = 2e-4;

/// Marks what is not yet computed: no bound is this number.
const UNKNOWN: u64 = u64::MAX;

/// Bounds of a span under loads that differ along it.
#[derive(Debug)]
pub struct Tube {
    span: UnevenSpan,
    farthest_m: f64,
    computed: OnceLock<Option<Computed>>,
}

/// What is known of a span once somebody asked.
#[derive(Debug)]
struct Computed {
    premises: Premises,
    /// n·d in metres, by place and direction.
    bounds: Vec<AtomicU64>,
}

impl PartialEq for Tube {
    fn eq(&self, other: &Self) -> bool {
        self.span == other.span
    }
}

/// Where a stretch of wire reaches farthest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Farthest {
    /// n·(x − from), m: no point of the stretch lies beyond.
    pub reach_m: f64,
    /// Fraction of the run, about.
    pub fraction: f64,
}

impl Tube {
    /// Of a span.
    #[must_use]
    pub fn new(span: UnevenSpan) -> Self {
        let farthest_m = span.farthest_m();
        Self { span, farthest_m, computed: OnceLock::new() }
    }

    /// No point of the wire is farther from the chord in any state, m.
    #[must_use]
    pub fn farthest_m(&self) -> f64 {
        self.farthest_m
    }

    fn computed(&self) -> Option<&Computed> {
        let compute = || {
            let premises = self.span.premises()?;
            let bounds = (0..DIRECTIONS * (PLACES - 1)).map(|_| AtomicU64::new(UNKNOWN)).collect();
            Some(Computed { premises, bounds })
        };
        self.computed.get_or_init(compute).as_ref()
    }

    /// What holds of the span; none where slopes and tension have no bound that implies itself.
    #[cfg(test)]
    pub fn premises(&self) -> Option<&Premises> {
        self.computed().map(|computed| &computed.premises)
    }

    /// A number that n·(x − from) does not exceed for any point x between two fractions of the run, with n·d = `across`·d
    /// and n·chord given.
    #[must_use]
    pub fn reach(&self, across: &Across, chord_m: f64, from: f64, to: f64) -> Farthest {
        let size = across.norm();
        match self.computed() {
            Some(computed) if size > 1e-12 => Look::new(computed, across, chord_m).farthest(from, to),
            _ => {
                // Every point of the ellipse about the ends.
                let fraction = if chord_m > 0.0 { to } else { from };
                Farthest { reach_m: chord_m * fraction + size * self.farthest_m, fraction }
            }
        }
    }

    /// About where the wire is off its chord when it reaches farthest in a direction at a fraction of the run, m.
    #[must_use]
    pub fn off_m(&self, across: &Across, fraction: f64) -> Across {
        let size = across.norm();
        match self.computed() {
            Some(computed) if size > 1e-12 => Look::new(computed, across, 0.0).off_m(fraction),
            _ => across * (self.farthest_m / size.max(1e-12)),
        }
    }
}

impl Computed {
    /// Bound of n·d at a place in a direction, m.
    fn bound_m(&self, place: usize, direction: usize) -> f64 {
        let Some(cell) = place.checked_sub(1).and_then(|inner| self.bounds.get(inner * DIRECTIONS + direction)) else {
            return 0.0;
        };
        let known = cell.load(Ordering::Relaxed);
        if known != UNKNOWN {
            return f64::from_bits(known);
        }
        let bound_m = self.premises.reach_m(place as f64 / PLACES as f64, &normal(direction));
        cell.store(bound_m.to_bits(), Ordering::Relaxed);
        bound_m
    }
}

/// A direction square to the run.
fn normal(direction: usize) -> Across {
    let (sine, cosine) = (TAU * direction as f64 / DIRECTIONS as f64).sin_cos();
    Across::new(cosine, sine)
}

/// A tube seen along one direction.
struct Look<'a> {
    computed: &'a Computed,
    chord_m: f64,
    /// The two directions between which it lies, each with its share.
    between: [(usize, f64); 2],
    /// At least −d²(n·d)/dt², m.
    bend_m: f64,
}

impl<'a> Look<'a> {
    fn new(computed: &'a Computed, across: &Across, chord_m: f64) -> Self {
        let turn = (across.y.atan2(across.x) / TAU).rem_euclid(1.0) * DIRECTIONS as f64;
        let first = turn as usize % DIRECTIONS;
        let second = (first + 1) % DIRECTIONS;
        let (a, b) = (normal(first), normal(second));
        let det = a.x * b.y - a.y * b.x;
        // Both are ≥ 0 but for rounding, which the pad of the search covers.
        let of_first = ((across.x * b.y - across.y * b.x) / det).max(0.0);
        let of_second = ((a.x * across.y - a.y * across.x) / det).max(0.0);
        let premises = &computed.premises;
        let bend_m = premises.run_m.powi(2) * premises.greatest_toward(across).max(0.0) / premises.tension_n.low();
        Self { computed, chord_m, between: [(first, of_first), (second, of_second)], bend_m }
    }

    /// Bound of n·(x − from) at a place, m.
    fn at(&self, place: usize) -> f64 {
        let share = |&(direction, share): &(usize, f64)| {
            if share > 0.0 { share * self.computed.bound_m(place, direction) } else { 0.0 }
        };
        self.chord_m * (place as f64 / PLACES as f64) + self.between.iter().map(share).sum::<f64>()
    }

    /// Where the lines of both directions meet, m: there a wire is when it reaches farthest between them, about.
    fn off_m(&self, fraction: f64) -> Across {
        let place = ((fraction * PLACES as f64).round() as usize).clamp(1, PLACES - 1);
        let [(first, _), (second, _)] = self.between;
        let (a, b) = (normal(first), normal(second));
        let (of_a, of_b) = (self.computed.bound_m(place, first), self.computed.bound_m(place, second));
        Across::new(of_a * b.y - of_b * a.y, of_b * a.x - of_a * b.x) / (a.x * b.y - a.y * b.x)
    }

    fn farthest(&self, from: f64, to: f64) -> Farthest {
        let places = PLACES as f64;
        // The smallest dyadic stretch that holds the one asked for.
        let (mut first, mut width) = (0, PLACES);
        while width > 1 {
            let half = width / 2;
            let middle = (first + half) as f64 / places;
            if to <= middle {
                width = half;
            } else if from >= middle {
                (first, width) = (first + half, half);
            } else {
                break;
            }
        }
        let mut waiting = vec![self.stretch((first, first + width), (from, to))];
        let mut attained_m = f64::NEG_INFINITY;
        loop {
            let worst = (0..waiting.len()).max_by(|a, b| waiting[*a].most.reach_m.total_cmp(&waiting[*b].most.reach_m));
            let Some(worst) = worst else { return Farthest { reach_m: f64::INFINITY, fraction: from } };
            let Stretch { places: (low, high), most, inner_m } = waiting.swap_remove(worst);
            attained_m = attained_m.max(inner_m);
            if high - low == 1 || most.reach_m - attained_m <= SHARP_M {
                return most;
            }
            let middle = (low + high) / 2;
            let at = middle as f64 / places;
            if from < at {
                waiting.push(self.stretch((low, middle), (from, to.min(at))));
            }
            if to > at {
                waiting.push(self.stretch((middle, high), (from.max(at), to)));
            }
        }
    }

    /// n·d + bend·t²/2 is convex: between two places it lies below the line through their bounds.
    fn stretch(&self, places: (usize, usize), (from, to): (f64, f64)) -> Stretch {
        let ends = [places.0 as f64 / PLACES as f64, places.1 as f64 / PLACES as f64];
        let (near_m, far_m) = (self.at(places.0), self.at(places.1));
        let slope = (far_m - near_m) / (ends[1] - ends[0]);
        let at = |t: f64| near_m + slope * (t - ends[0]) + 0.5 * self.bend_m * (t - ends[0]) * (ends[1] - t);
        let crest = 0.5 * (ends[0] + ends[1])
            + if self.bend_m > 0.0 { slope / self.bend_m } else { f64::INFINITY.copysign(slope) };
        let fraction = crest.clamp(from, to);
        let mut inner_m = f64::NEG_INFINITY;
        for (t, value_m) in [(ends[0], near_m), (ends[1], far_m)] {
            if (from..=to).contains(&t) {
                inner_m = inner_m.max(value_m);
            }
        }
        Stretch { places, most: Farthest { reach_m: at(fraction), fraction }, inner_m }
    }
}

/// A stretch between two places with its bound.
struct Stretch {
    places: (usize, usize),
    most: Farthest,
    /// The bound at a place of the stretch itself.
    inner_m: f64,
}
