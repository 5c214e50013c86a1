//! Random machines placed near random wires.

use nalgebra::{Point3, Vector3};
use wideberth_physics::interval::Interval;
use wideberth_physics::line::SpanState;
use wideberth_physics::machine::Machine;
use wideberth_physics::study::{Line, Pairing, Study};

use super::{Draw, RandomWire, Sketch, random_sketch, random_wire};

/// A machine and wires.
#[derive(Clone, Debug)]
pub struct RandomStudy {
    /// The machine.
    pub machine: Machine,
    /// What it was made from.
    pub sketch: Sketch,
    /// Where it stands.
    pub position: Point3<f64>,
    /// The wires.
    pub wires: Vec<RandomWire>,
    /// Limit of approach, m.
    pub limit_m: f64,
}

impl RandomStudy {
    /// The same as the physics takes it: one line, one machine, every wire.
    #[must_use]
    pub fn study(&self) -> Study {
        let wires: Vec<_> = self.wires.iter().map(|w| w.wire.clone()).collect();
        let pairings =
            (0..wires.len()).map(|wire| Pairing { machine: 0, line: 0, wire, limit_m: self.limit_m }).collect();
        let line = Line { name: "line".into(), wires };
        Study { lines: vec![line], machines: vec![self.machine.clone()], pairings }
    }
}

/// The study of a seed: one machine, one or two wires. Some pose of the machine comes near the first wire, from any side.
#[must_use]
pub fn random_study(seed: u64) -> RandomStudy {
    let mut draw = Draw::new(seed);
    let first = random_wire(&mut draw);
    let wires = if draw.chance(0.3) { vec![first, random_wire(&mut draw)] } else { vec![first] };
    let limit_m = draw.within(1.0, 7.0);
    loop {
        let sketch = random_sketch(&mut draw);
        let Ok(machine) = sketch.at(Point3::origin()) else { continue };
        let position = random_position(&mut draw, &machine, &wires[0]);
        if let Ok(machine) = sketch.at(position) {
            return RandomStudy { machine, sketch, position, wires, limit_m };
        }
    }
}

/// Puts a point of a body in some pose on a point of the wire in some state, then backs off in one direction until random
/// poses and states keep a distance; one in eight stays in contact.
fn random_position(draw: &mut Draw, machine: &Machine, wire: &RandomWire) -> Point3<f64> {
    let (reached, target) = (reached(draw, machine), target(draw, wire));
    let mut position = target - reached.coords;
    if draw.chance(0.125) {
        return position;
    }
    let away_m = [1.0, 4.0, 12.0, 40.0][draw.index(4)] * draw.within(0.2, 1.0);
    let toward = backing_direction(draw, wire);
    for _ in 0..60 {
        let gap_m = sampled_gap_m(draw, machine, wire, &position);
        if gap_m >= away_m {
            break;
        }
        position += toward * (away_m - gap_m).clamp(0.3, 4.0);
    }
    position
}

/// Up, down, aside or any.
fn backing_direction(draw: &mut Draw, wire: &RandomWire) -> Vector3<f64> {
    let aside = wire.wire.spans()[0].span().lateral();
    match draw.index(6) {
        0 => Vector3::z(),
        1 | 2 => -Vector3::z(),
        3 => aside,
        4 => -aside,
        _ => draw.direction().into_inner(),
    }
}

fn sampled_gap_m(draw: &mut Draw, machine: &Machine, wire: &RandomWire, position: &Point3<f64>) -> f64 {
    (0..300)
        .map(|_| (target(draw, wire) - (reached(draw, machine) + position.coords)).norm())
        .fold(f64::INFINITY, f64::min)
        - machine.bodies().iter().map(|b| b.radius_m).fold(0.0, f64::max)
}

/// A point of a body in some pose, with the machine at the origin.
fn reached(draw: &mut Draw, machine: &Machine) -> Point3<f64> {
    let pose: Vec<f64> = machine.ranges().iter().map(|r| draw.within(r.low(), r.high())).collect();
    let body = &machine.bodies()[draw.index(machine.bodies().len())];
    let feature = &body.features[draw.index(body.features.len())];
    let ring_m = feature.ring.map_or(0.0, |r| r.radius_m);
    machine.place(&pose)[feature.frame.0] * feature.at + draw.direction().into_inner() * ring_m
}

/// A point of the wire in some state.
fn target(draw: &mut Draw, wire: &RandomWire) -> Point3<f64> {
    let spans = wire.wire.spans();
    let span = &spans[draw.index(spans.len())];
    let states = span.states();
    let mut pick = |range: &Interval| draw.within(range.low(), range.high());
    let state = SpanState {
        unstretched_m: pick(&states.unstretched_m),
        wind_m_per_s: pick(&states.wind_m_per_s),
        ice_m: pick(&states.ice_m),
    };
    let shape = span.shape(&state).expect("a shape in every state");
    span.point(&shape, draw.share())
}
