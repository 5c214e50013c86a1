//! Ground on which nobody can stand, whatever the wires do: about supports, and inside fences. Cells that reach into it are
//! halved; what is proven of a cell holds for its parts, so that no search is needed.

use nalgebra::{Point2, Vector2};
use wideberth_physics::machine::{FrameRole, Machine};
use wideberth_scenario::Job;

use super::cells::{Area, Cell};

/// A piece of ground that is left out.
#[derive(Clone, Debug, PartialEq)]
pub enum Zone {
    /// About the foot of a support.
    Disc {
        /// Its middle, m.
        center: Point2<f64>,
        /// Its radius, m.
        radius_m: f64,
    },
    /// Inside a fence, whose corners follow each other.
    Fenced(Vec<Point2<f64>>),
}

/// How a cell lies to a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Lies {
    Outside,
    Across,
    Inside,
}

/// The room that a machine's base needs about its reference point, turned anyhow: the farthest place on the map of the parts
/// that no joint moves, m. None where every part moves.
#[must_use]
pub fn base_m(machine: &Machine) -> f64 {
    let still = |joint: &usize| machine.role(*joint) == Some(FrameRole::Heading);
    let pose: Vec<f64> = machine.ranges().iter().map(|range| range.center()).collect();
    let frames = machine.place(&pose);
    let fixed = machine.bodies().iter().filter(|body| machine.joints_of(body).iter().all(&still));
    let reach = fixed.flat_map(|body| {
        let frames = &frames;
        body.features.iter().map(move |feature| {
            let ring_m = feature.ring.map_or(0.0, |ring| ring.radius_m);
            let from = frames[feature.frame.0] * feature.at - machine.position();
            from.xy().norm() + ring_m + body.radius_m
        })
    });
    reach.fold(0.0, f64::max)
}

/// What is left out for a machine: about every support, and inside every fence that holds it.
pub(super) fn zones(job: &Job, machine: usize, room_m: f64) -> Vec<Zone> {
    let supports = job.lines.iter().flat_map(|line| &line.supports);
    let discs = supports.map(|support| Zone::Disc { center: support.foot.xy(), radius_m: room_m });
    let fences = job.fences.iter().filter(|fence| fence.machine.is_none_or(|held| held == machine));
    discs.chain(fences.map(|fence| Zone::Fenced(fence.around.clone()))).collect()
}

/// The cells, with those that reach into a zone halved until they lie inside it, outside, or are as narrow as the edge is to
/// be known. What still lies across is left out.
pub(super) fn carved(cells: Vec<Cell>, area: &Area, zones: &[Zone], resolution_m: f64) -> Vec<Cell> {
    let mut all = Vec::with_capacity(cells.len());
    cells.into_iter().for_each(|cell| carve(cell, area, zones, resolution_m, &mut all));
    all
}

fn carve(cell: Cell, area: &Area, zones: &[Zone], resolution_m: f64, all: &mut Vec<Cell>) {
    let place = cell.area(area);
    let lies = zones.iter().map(|zone| zone.lies(&place)).max().unwrap_or(Lies::Outside);
    let longer = usize::from(cell.half_m[1] > cell.half_m[0]);
    if lies == Lies::Across && 2.0 * cell.half_m[longer] > resolution_m {
        for sign in [-1.0, 1.0] {
            let mut half = cell;
            half.half_m[longer] *= 0.5;
            half.at_m[longer] += sign * half.half_m[longer];
            carve(half, area, zones, resolution_m, all);
        }
    } else {
        all.push(Cell { left_out: lies != Lies::Outside, ..cell });
    }
}

impl Zone {
    fn lies(&self, place: &Area) -> Lies {
        let half = place.size_m.map(|side| 0.5 * side);
        let local = |at: &Point2<f64>| {
            let step = at - place.center;
            Vector2::new(step.dot(&place.along), step.dot(&place.across()))
        };
        match self {
            Self::Disc { center, radius_m } => disc(&local(center), *radius_m, half),
            Self::Fenced(around) => fenced(&around.iter().map(local).collect::<Vec<_>>(), half),
        }
    }
}

/// A rectangle about the origin against a disc.
fn disc(center: &Vector2<f64>, radius_m: f64, half: [f64; 2]) -> Lies {
    let nearest = Vector2::new((center.x.abs() - half[0]).max(0.0), (center.y.abs() - half[1]).max(0.0));
    let farthest = Vector2::new(center.x.abs() + half[0], center.y.abs() + half[1]);
    if nearest.norm() > radius_m {
        Lies::Outside
    } else if farthest.norm() <= radius_m {
        Lies::Inside
    } else {
        Lies::Across
    }
}

/// A rectangle about the origin against a polygon: while no side of the polygon enters it, all of it lies where its middle
/// does.
fn fenced(around: &[Vector2<f64>], half: [f64; 2]) -> Lies {
    let mut sides = around.iter().zip(around.iter().cycle().skip(1));
    if sides.any(|(from, to)| enters(from, to, half)) {
        return Lies::Across;
    }
    if holds_origin(around) { Lies::Inside } else { Lies::Outside }
}

/// Whether a segment has a point in a rectangle about the origin.
fn enters(from: &Vector2<f64>, to: &Vector2<f64>, half: [f64; 2]) -> bool {
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    let step = to - from;
    for axis in 0..2 {
        if step[axis] == 0.0 {
            if from[axis].abs() > half[axis] {
                return false;
            }
            continue;
        }
        let [a, b] = [-half[axis], half[axis]].map(|side| (side - from[axis]) / step[axis]);
        (first, last) = (first.max(a.min(b)), last.min(a.max(b)));
    }
    first <= last
}

/// Whether a polygon holds the origin: a ray crosses its sides an odd number of times.
fn holds_origin(around: &[Vector2<f64>]) -> bool {
    let sides = around.iter().zip(around.iter().cycle().skip(1));
    let crossed = sides.filter(|(from, to)| {
        (from.y > 0.0) != (to.y > 0.0) && from.x + (to.x - from.x) * from.y / (from.y - to.y) > 0.0
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rectangle_against_a_disc_and_a_fence() {
        let at = |x: f64, y: f64| Vector2::new(x, y);
        assert_eq!(disc(&at(5.0, 0.0), 3.0, [1.0, 1.0]), Lies::Outside);
        assert_eq!(disc(&at(3.5, 0.0), 3.0, [1.0, 1.0]), Lies::Across);
        assert_eq!(disc(&at(0.0, 0.0), 3.0, [1.0, 1.0]), Lies::Inside);
        let square = [at(-2.0, -2.0), at(2.0, -2.0), at(2.0, 2.0), at(-2.0, 2.0)];
        assert_eq!(fenced(&square, [1.0, 1.0]), Lies::Inside);
        assert_eq!(fenced(&square, [3.0, 1.0]), Lies::Across);
        assert_eq!(fenced(&square, [3.0, 3.0]), Lies::Across);
        assert_eq!(fenced(&square.map(|corner| corner + at(10.0, 0.0)), [1.0, 1.0]), Lies::Outside);
        // A fence with a notch that the middle lies in.
        let notch = [
            at(-4.0, -4.0),
            at(4.0, -4.0),
            at(4.0, 4.0),
            at(0.5, 4.0),
            at(0.5, -2.0),
            at(-0.5, -2.0),
            at(-0.5, 4.0),
            at(-4.0, 4.0),
        ];
        assert_eq!(fenced(&notch, [0.2, 0.2]), Lies::Outside);
    }
}
