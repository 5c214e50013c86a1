//! The bodies of a machine against the spans of a wire: a body and a span are a candidate, a run of spans a stretch.

use nalgebra::Point3;

use super::bound::{Candidate, ROUNDING_PAD_M};
use super::limiter::Limiter;
use super::posed::Carried;
use crate::line::WireSpan;

/// Spans in a row, from one index to before another.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    /// The first.
    pub from: u32,
    /// Behind the last.
    pub to: u32,
}

impl Stretch {
    /// Its halves; none where it is a single span.
    pub fn halves(self) -> Option<[Self; 2]> {
        let middle = self.from + (self.to - self.from) / 2;
        (middle > self.from).then_some([Self { to: middle, ..self }, Self { from: middle, ..self }])
    }
}

/// All candidates of a search.
pub struct Contenders<'a> {
    carried: &'a [Carried<'a>],
    limiters: &'a [Vec<Limiter<'a>>],
    spans: &'a [WireSpan],
    /// For each body a ball that holds it in every pose: its centre and radius, m.
    balls: Vec<(Point3<f64>, f64)>,
}

impl<'a> Contenders<'a> {
    /// Of bodies, the limiters that concern them, and spans.
    pub fn new(carried: &'a [Carried<'a>], limiters: &'a [Vec<Limiter<'a>>], spans: &'a [WireSpan]) -> Self {
        Self { carried, limiters, spans, balls: carried.iter().map(Carried::reach).collect() }
    }

    /// All spans; none where there are none.
    pub fn stretch(&self) -> Option<Stretch> {
        (!self.spans.is_empty()).then_some(Stretch { from: 0, to: self.spans.len() as u32 })
    }

    /// The numbers of the candidates of a span.
    pub fn of_span(&self, span: u32) -> std::ops::Range<u32> {
        let bodies = self.carried.len() as u32;
        span * bodies..(span + 1) * bodies
    }

    /// A candidate by its number.
    pub fn candidate(&self, number: u32) -> Candidate<'a> {
        let (span, body) = (number as usize / self.carried.len(), number as usize % self.carried.len());
        let (carried, limiters) = (&self.carried[body], &self.limiters[body]);
        Candidate { carried, body, wire: &self.spans[span], span, limiters }
    }

    /// A lower bound of the distance from all bodies to a stretch: balls, and a box about the spans.
    pub fn stretch_bound_m(&self, stretch: Stretch) -> f64 {
        let (mut low, mut high) = (Point3::from([f64::INFINITY; 3]), Point3::from([f64::NEG_INFINITY; 3]));
        let mut around_m = 0.0_f64;
        for wire in &self.spans[stretch.from as usize..stretch.to as usize] {
            let span = wire.span();
            let ends = [span.from(), span.from() + span.chord()];
            ends.iter().for_each(|end| (low, high) = (low.inf(end), high.sup(end)));
            around_m = around_m.max(wire.around_m());
        }
        let to_ball_m = |(center, reach_m): &(Point3<f64>, f64)| {
            let nearest = center.sup(&low).inf(&high);
            (nearest - center).norm() - reach_m
        };
        let least_m = self.balls.iter().map(to_ball_m).fold(f64::INFINITY, f64::min);
        (least_m - around_m - ROUNDING_PAD_M).max(0.0)
    }
}
