//! An adversary that shares neither the kinematics nor the wires of the product: frames by products of matrices, each wire followed in
//! small steps under a load that may differ along it, its attachments moved each on its own, distances by parry3d's shapes and closed
//! forms. It tries at random, then near the closest so far. Nothing is subtracted: what it finds is a distance that can occur.

use nalgebra::{Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{KnownBy, Span};
use wideberth_physics::machine::Machine;

use crate::followed::{FollowedWire, between};
use crate::generate::{Draw, RandomWire};
use crate::kinematics::frames;
use crate::oracle::{Solid, golden, solids};

/// How the weather is along a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// The same everywhere.
    Even,
    /// Different in three pieces.
    Pieces,
}

/// A machine against one span of a wire.
pub struct Stranger<'a> {
    machine: &'a Machine,
    solids: Vec<Solid>,
    random: &'a RandomWire,
    span: usize,
    along: Along,
}

/// Numbers of a state beside the joints: what is known, temperatures then and now, strain (4); two cuts; speed, bearing and ice of
/// each piece (9); the shifts of both attachments, each by length, bearing and height (6).
const NUMBERS: usize = 4 + 2 + 9 + 6;
/// Golden sections about the nearest point.
const SECTIONS: usize = 30;

impl<'a> Stranger<'a> {
    /// Against a span of one piece between rigid attachments.
    #[must_use]
    pub fn new(machine: &'a Machine, random: &'a RandomWire, span: usize, along: Along) -> Self {
        Self { machine, solids: solids(machine), random, span, along }
    }

    /// The closest of so many tries, m.
    #[must_use]
    pub fn closest_m(&self, draw: &mut Draw, tries: usize) -> f64 {
        let count = self.machine.movers().len() + NUMBERS;
        let anywhere = |draw: &mut Draw| -> Vec<f64> {
            let share =
                |draw: &mut Draw| if draw.chance(0.3) { f64::from(u8::from(draw.chance(0.5))) } else { draw.share() };
            (0..count).map(|_| share(draw)).collect()
        };
        let mut best = (f64::INFINITY, anywhere(draw));
        let mut scale = 0.2;
        for number in 0..tries {
            let shares = if number * 3 < tries {
                anywhere(draw)
            } else {
                let near = |share: &f64, draw: &mut Draw| {
                    if draw.chance(0.4) { (share + scale * draw.normal()).clamp(0.0, 1.0) } else { *share }
                };
                best.1.iter().map(|share| near(share, draw)).collect()
            };
            let Some(distance_m) = self.distance_m(&shares) else { continue };
            // One fifth success rule.
            scale = if distance_m < best.0 { (scale * 1.6).min(0.3) } else { (scale * 0.97).max(1e-4) };
            if distance_m < best.0 {
                best = (distance_m, shares);
            }
        }
        best.0
    }

    /// The distance with shares of all ranges, m; none where there is no such state.
    fn distance_m(&self, shares: &[f64]) -> Option<f64> {
        let (joints, state) = shares.split_at(self.machine.movers().len());
        let pose: Vec<f64> = self.machine.ranges().iter().zip(joints).map(|(range, share)| range.at(*share)).collect();
        let frames = frames(self.machine, &pose);
        let (wire, ices_m) = self.wire(state)?;
        let points = wire.points()?;
        let radius_m = |share: f64| {
            let piece = wire.pieces.iter().position(|(to_share, _)| share <= *to_share).unwrap_or(0);
            0.5 * self.random.description.conductor.properties().diameter_m + ices_m[piece]
        };
        let bodies = self.machine.bodies().iter().zip(&self.solids).map(|(body, solid)| {
            let posed = solid.pose(&frames);
            let apart_m = |share: f64, point: &Point3<f64>| solid.distance_m(&posed, point) - radius_m(share);
            let each: Vec<f64> = points.iter().map(|(share, point)| apart_m(*share, point)).collect();
            let nearest = (0..each.len()).min_by(|a, b| each[*a].total_cmp(&each[*b])).unwrap_or(0);
            let middle = nearest.clamp(1, points.len() - 2);
            let three = [points[middle - 1], points[middle], points[middle + 1]];
            let fine = golden(&|share| apart_m(share, &between(three, share)), three[0].0, three[2].0, SECTIONS);
            fine.0.min(each[nearest]) - body.radius_m
        });
        bodies.reduce(f64::min)
    }

    /// The wire in a state, and the ice of its pieces, m.
    fn wire(&self, state: &[f64]) -> Option<(FollowedWire, Vec<f64>)> {
        let (known, rest) = state.split_at(4);
        let (cuts, rest) = rest.split_at(2);
        let (weather, moved) = rest.split_at(9);
        let span = self.moved(moved)?;
        let unstretched_m = self.unstretched_m(known, &span)?;
        let mut ends = vec![1.0];
        if self.along == Along::Pieces {
            ends = vec![cuts[0].min(cuts[1]).clamp(0.01, 0.98), cuts[0].max(cuts[1]).clamp(0.02, 0.99), 1.0];
            ends[1] = ends[1].max(ends[0] + 0.005);
        }
        let mut ices_m = Vec::new();
        let pieces = ends.iter().zip(weather.chunks(3)).map(|(to_share, weather)| {
            ices_m.push(self.random.conditions.ice_m.at(weather[2]));
            (*to_share, self.force_n_per_m(weather, &span))
        });
        let pieces = pieces.collect();
        let stiffness_n = self.random.description.conductor.properties().axial_stiffness_n;
        Some((FollowedWire { ends: [span.from(), span.to()], unstretched_m, stiffness_n, core: None, pieces }, ices_m))
    }

    /// The span with each of its attachments moved within its tolerance.
    fn moved(&self, shares: &[f64]) -> Option<Span> {
        let span = &self.random.description.spans[self.span];
        let tolerance_m = self.random.description.position_tolerance_m;
        let shift = |shares: &[f64]| {
            let (sin, cos) = (std::f64::consts::TAU * shares[1]).sin_cos();
            let up = 2.0 * shares[2] - 1.0;
            let level = (1.0 - up * up).sqrt();
            Vector3::new(level * cos, level * sin, up) * (tolerance_m * shares[0])
        };
        Span::new(span.from() + shift(&shares[..3]), span.to() + shift(&shares[3..])).ok()
    }

    /// From one history: known at one temperature, now at another, with strain gained between.
    fn unstretched_m(&self, shares: &[f64], span: &Span) -> Option<f64> {
        let description = &self.random.description;
        let (p, conditions) = (description.conductor.properties(), &self.random.conditions);
        let exact = |range: &Interval| Interval::point(range.at(shares[0])).ok();
        let known_degc = description.known_by.temperature_degc().at(shares[1]);
        let temperature_degc = Interval::point(known_degc).ok()?;
        let known_by = match &description.known_by {
            KnownBy::Tension { horizontal_n, .. } => {
                KnownBy::Tension { horizontal_n: exact(horizontal_n)?, temperature_degc }
            }
            KnownBy::StrengthShare { share, .. } => KnownBy::StrengthShare { share: exact(share)?, temperature_degc },
            KnownBy::Height { span, fraction, height_m, .. } => {
                KnownBy::Height { span: *span, fraction: *fraction, height_m: exact(height_m)?, temperature_degc }
            }
        };
        let mut spans = description.spans.clone();
        spans[self.span] = *span;
        let then_m = known_by.tautness(&description.conductor, &spans, 0.0).ok()?[self.span].unstretched_m.low();
        let growth = 1.0 + p.expansion_per_k * (conditions.temperature_degc.at(shares[2]) - known_degc);
        Some(then_m * growth * (1.0 + description.permanent_strain.at(shares[3])))
    }

    /// Weight, ice and the push of a wind on the part of it that is square to the chord, N/m.
    fn force_n_per_m(&self, shares: &[f64], span: &Span) -> Vector3<f64> {
        let (conditions, p) = (&self.random.conditions, self.random.description.conductor.properties());
        let speed_m_per_s = conditions.wind_m_per_s.at(shares[0]);
        let bearing_rad = conditions.wind_direction.at(shares[1]);
        let wind = Vector3::new(bearing_rad.sin(), bearing_rad.cos(), 0.0) * -speed_m_per_s;
        let along = span.chord().normalize();
        let square = wind - along * along.dot(&wind);
        let ice_m = conditions.ice_m.at(shares[2]);
        let width_m = p.diameter_m + 2.0 * ice_m;
        let push = square * (0.5 * conditions.air_density_kg_per_m3 * conditions.drag * width_m * square.norm());
        let sleeve = conditions.ice_density_kg_per_m3 * std::f64::consts::PI * ice_m * (p.diameter_m + ice_m);
        push - Vector3::z() * (wideberth_physics::GRAVITY_M_PER_S2 * (p.mass_kg_per_m + sleeve))
    }
}
