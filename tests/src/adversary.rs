//! Tries to come closer than a proven lower end: random poses and states, ends of ranges, and a climb from the best so far.

use nalgebra::{Isometry3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{Conditions, KnownBy, SpanState, StateShape, Wire, WireDescription, WireSpan};
use wideberth_physics::machine::Machine;

use crate::generate::{Draw, RandomWire};
use crate::oracle::{Solid, solids, surface_distance_m};

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

/// A machine against a wire.
pub struct Adversary<'a> {
    machine: &'a Machine,
    wire: &'a Wire,
    known: Option<(&'a WireDescription, &'a Conditions)>,
    ranges: Vec<Interval>,
    solids: Vec<Solid>,
    best: Closest,
}

impl<'a> Adversary<'a> {
    /// Starts from a pose and state.
    #[must_use]
    pub fn new(machine: &'a Machine, wire: &'a Wire, pose: Vec<f64>, state: SpanState, span: usize) -> Self {
        let best = Closest { distance_m: f64::INFINITY, pose, state, body: 0, span, fraction: 0.0, samples: 0 };
        let mut adversary =
            Self { machine, wire, known: None, ranges: machine.ranges(), solids: solids(machine), best };
        let start = adversary.best.clone();
        // The state of a span on strings says nothing without that of its section.
        if !wire.spans()[span].is_strung() {
            adversary.attempt(start.pose, start.state, start.span);
        }
        adversary
    }

    /// Draws states also from what is known of the wire, by formulas of its own.
    #[must_use]
    pub fn knowing(mut self, wire: &'a RandomWire) -> Self {
        self.known = Some((&wire.description, &wire.conditions));
        self
    }

    /// The closest so far.
    #[must_use]
    pub fn best(&self) -> &Closest {
        &self.best
    }

    /// Tries many samples of a wire on strings, through the states of its whole section: half near the best pose so far, most
    /// values at ends of their ranges.
    pub fn try_strung(&mut self, draw: &mut Draw, samples: u64) {
        for index in 0..samples {
            let near = index % 3 != 0;
            let values = self.best.pose.iter().zip(&self.ranges).map(|(at, range)| {
                let near_m = at + 0.02 * draw.normal() * range.width();
                if near { near_m.clamp(range.low(), range.high()) } else { range.at(draw.share()) }
            });
            let pose: Vec<f64> = values.collect();
            let span = if index % 2 == 0 { self.best.span } else { draw.index(self.wire.spans().len()) };
            let ranges = self.span(span).cover().ranges();
            let state: Vec<f64> = ranges.iter().map(|range| pick(draw, range, 0.6)).collect();
            let shape = self.span(span).placed(&state).expect("a shape in every state").shape;
            self.measure(pose, self.best.state, span, &shape);
        }
        self.best.samples += samples;
    }

    /// Tries many samples: a third uniform, a sixth toward ends, the rest near the best so far.
    pub fn try_many(&mut self, draw: &mut Draw, samples: u64) {
        let mut scale = 0.1;
        for index in 0..samples {
            let before_m = self.best.distance_m;
            let (pose, state, span) = match index % 6 {
                0 | 1 => self.anywhere(draw, 0.05),
                2 => self.anywhere(draw, 0.6),
                _ => self.nearby(draw, scale),
            };
            self.attempt(pose, state, span);
            if index % 6 >= 3 {
                // One fifth success rule.
                scale *= if self.best.distance_m < before_m { 1.6 } else { 0.96 };
                if scale < 1e-7 {
                    scale = 0.2;
                }
            }
        }
        self.best.samples += samples;
    }

    fn span(&self, index: usize) -> &'a WireSpan {
        &self.wire.spans()[index]
    }

    fn anywhere(&self, draw: &mut Draw, ends: f64) -> (Vec<f64>, SpanState, usize) {
        let span = draw.index(self.wire.spans().len());
        let pose = self.ranges.iter().map(|r| pick(draw, r, ends)).collect();
        let state = self.known.filter(|_| draw.chance(0.5)).map(|known| self.physical_state(known, draw, span, ends));
        let state = state.unwrap_or_else(|| self.any_state(draw, span, ends));
        (pose, state, span)
    }

    /// Any state of the box.
    fn any_state(&self, draw: &mut Draw, span: usize, ends: f64) -> SpanState {
        let states = self.span(span).states();
        SpanState {
            unstretched_m: pick(draw, &states.unstretched_m, ends),
            wind_m_per_s: pick(draw, &states.wind_m_per_s, ends),
            ice_m: pick(draw, &states.ice_m, ends),
        }
    }

    /// A state from temperatures, tension, wind speed and bearing, by formulas of its own.
    fn physical_state(
        &self,
        (description, conditions): (&WireDescription, &Conditions),
        draw: &mut Draw,
        span: usize,
        ends: f64,
    ) -> SpanState {
        let p = description.conductor.properties();
        let known_degc = pick(draw, &description.known_by.temperature_degc(), ends);
        let now_degc = pick(draw, &conditions.temperature_degc, ends);
        let strain = pick(draw, &description.permanent_strain, ends);
        let known_by = exactly(draw, &description.known_by, ends);
        let unstretched_m = known_by
            .tautness(&description.conductor, &description.spans, 0.0)
            .map_or(self.span(span).states().unstretched_m.center(), |t| {
                t[span].unstretched_m.low() * (1.0 + p.expansion_per_k * (now_degc - known_degc)) * (1.0 + strain)
            });
        let speed = pick(draw, &conditions.wind_m_per_s, ends);
        let bearing_rad = match conditions.wind_direction {
            wideberth_physics::line::WindDirection::Any => draw.within(0.0, std::f64::consts::TAU),
            wideberth_physics::line::WindDirection::Sector { from_rad, sweep_rad } => {
                from_rad + sweep_rad * draw.share()
            }
        };
        // Wind from a bearing blows the other way.
        let blow = -speed * Vector3::new(bearing_rad.sin(), bearing_rad.cos(), 0.0);
        let chord = self.span(span).span().chord();
        let left = Vector3::z().cross(&chord).normalize();
        SpanState { unstretched_m, wind_m_per_s: blow.dot(&left), ice_m: pick(draw, &conditions.ice_m, ends) }
    }

    fn nearby(&self, draw: &mut Draw, scale: f64) -> (Vec<f64>, SpanState, usize) {
        let best = &self.best;
        let each = draw.chance(0.5);
        let mut near = |value: f64, range: &Interval| {
            if each || draw.chance(0.3) {
                (value + draw.normal() * scale * range.width()).clamp(range.low(), range.high())
            } else {
                value
            }
        };
        let pose = best.pose.iter().zip(&self.ranges).map(|(v, r)| near(*v, r)).collect();
        let states = self.span(best.span).states();
        let state = SpanState {
            unstretched_m: near(best.state.unstretched_m, &states.unstretched_m),
            wind_m_per_s: near(best.state.wind_m_per_s, &states.wind_m_per_s),
            ice_m: near(best.state.ice_m, &states.ice_m),
        };
        (pose, state, best.span)
    }

    /// Whether a limiter leaves a pose out: some part, as thin and as low as its allowances let it be, is above the height that
    /// is left to the machine.
    fn is_held_back(&self, frames: &[Isometry3<f64>]) -> bool {
        let Some(ceiling_m) = self.machine.ceiling_m() else { return false };
        self.machine.bodies().iter().any(|body| {
            let sure_m = body.radius_m - 2.0 * body.allowance_m;
            body.features.iter().any(|feature| {
                let frame = &frames[feature.frame.0];
                let rises_m = feature.ring.map_or(0.0, |ring| {
                    let level = (frame * ring.axis.into_inner()).xy().norm();
                    ring.radius_m * level
                });
                (frame * feature.at).z + rises_m + sure_m > ceiling_m
            })
        })
    }

    fn attempt(&mut self, pose: Vec<f64>, state: SpanState, span: usize) {
        let wire = self.span(span);
        let shape = wire.shape(&state).expect("a shape in every state");
        self.measure(pose, state, span, &shape);
    }

    fn measure(&mut self, pose: Vec<f64>, state: SpanState, span: usize, shape: &StateShape) {
        let wire = self.span(span);
        let frames = self.machine.place(&pose);
        if self.is_held_back(&frames) {
            return;
        }
        for (body, solid) in self.solids.iter().enumerate() {
            let radius_m = self.machine.bodies()[body].radius_m;
            let posed = solid.pose(&frames);
            let (distance_m, fraction) = surface_distance_m(solid, &posed, radius_m, wire, shape, self.best.distance_m);
            if distance_m < self.best.distance_m {
                self.best =
                    Closest { distance_m, pose: pose.clone(), state, body, span, fraction, ..self.best.clone() };
            }
        }
    }
}

/// The same knowledge with its tolerances at random single values.
fn exactly(draw: &mut Draw, known_by: &KnownBy, ends: f64) -> KnownBy {
    let mut single = |range: &Interval| {
        let value = pick(draw, range, ends);
        Interval::point(value).expect("a finite number")
    };
    match known_by {
        KnownBy::Tension { horizontal_n, temperature_degc } => {
            KnownBy::Tension { horizontal_n: single(horizontal_n), temperature_degc: *temperature_degc }
        }
        KnownBy::StrengthShare { share, temperature_degc } => {
            KnownBy::StrengthShare { share: single(share), temperature_degc: *temperature_degc }
        }
        KnownBy::Height { span, fraction, height_m, temperature_degc } => KnownBy::Height {
            span: *span,
            fraction: *fraction,
            height_m: single(height_m),
            temperature_degc: *temperature_degc,
        },
    }
}

/// A value of a range; an end with a probability.
fn pick(draw: &mut Draw, range: &Interval, ends: f64) -> f64 {
    if draw.chance(ends) {
        if draw.chance(0.5) { range.low() } else { range.high() }
    } else {
        draw.within(range.low(), range.high())
    }
}
