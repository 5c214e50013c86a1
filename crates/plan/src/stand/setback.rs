//! How far from a line every place is clear.

use nalgebra::Point2;
use wideberth_scenario::Job;

use super::StandMap;
use super::cells::{Cell, Ground};

/// How far a machine must keep from the middle of a line, on one side of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Setback {
    /// Index of the line.
    pub line: usize,
    /// Whether it is the side to the left when looking along the line.
    pub left: bool,
    /// Every place of the map at least this far from the straight lines between the supports, on this side, is proven
    /// clear, m; none where the map ends before.
    pub clear_m: Option<f64>,
    /// The farthest place that is proven too close, m; none where there is none.
    pub too_close_m: Option<f64>,
}

/// The setbacks on both sides of each line that the map touches.
#[must_use]
pub fn setbacks(job: &Job, map: &StandMap) -> Vec<Setback> {
    let sides = (0..job.lines.len()).flat_map(|line| [(line, true), (line, false)]);
    sides.filter_map(|(line, left)| setback(job, map, line, left)).collect()
}

fn setback(job: &Job, map: &StandMap, line: usize, left: bool) -> Option<Setback> {
    let feet: Vec<Point2<f64>> = job.lines.get(line)?.supports.iter().map(|support| support.foot.xy()).collect();
    let segments: Vec<_> = feet.windows(2).filter_map(|ends| Some((*ends.first()?, *ends.get(1)?))).collect();
    let mut found = Setback { line, left, clear_m: Some(0.0), too_close_m: None };
    let mut any = false;
    for cell in &map.cells {
        let corners = cell.area(&map.area).corners();
        if !corners.iter().any(|corner| is_left(corner, &segments) == left) {
            continue;
        }
        any = true;
        let (reached_m, farthest_m) = range_m(&corners, &segments);
        if cell.ground != Ground::Clear {
            let inside = !on_edge(cell, map);
            found.clear_m = found.clear_m.filter(|_| inside).map(|known_m| known_m.max(farthest_m));
        }
        if cell.ground == Ground::TooClose {
            found.too_close_m = Some(found.too_close_m.map_or(reached_m, |known_m| known_m.max(reached_m)));
        }
    }
    any.then_some(found)
}

/// Whether a cell reaches the edge of the map across the line, beyond which nothing is known.
fn on_edge(cell: &Cell, map: &StandMap) -> bool {
    cell.at_m[1].abs() + cell.half_m[1] >= 0.5 * map.area.size_m[1] - 1e-9
}

/// Farthest corner and an upper bound of the distance of all places of a convex cell. The distance to one segment is convex,
/// so a corner is farthest from it; the distance to the line is that to its nearest segment.
fn range_m(corners: &[Point2<f64>; 4], segments: &[(Point2<f64>, Point2<f64>)]) -> (f64, f64) {
    let to = |corner: &Point2<f64>| segments.iter().map(|s| to_segment_m(corner, s)).fold(f64::INFINITY, f64::min);
    let reached_m = corners.iter().map(to).fold(0.0, f64::max);
    let farthest = |s: &(Point2<f64>, Point2<f64>)| corners.iter().map(|c| to_segment_m(c, s)).fold(0.0, f64::max);
    (reached_m, segments.iter().map(farthest).fold(f64::INFINITY, f64::min))
}

/// Whether a place lies to the left of the nearest segment.
fn is_left(place: &Point2<f64>, segments: &[(Point2<f64>, Point2<f64>)]) -> bool {
    let nearest = segments.iter().min_by(|a, b| to_segment_m(place, a).total_cmp(&to_segment_m(place, b)));
    nearest.is_some_and(|(from, to)| (to - from).perp(&(place - from)) >= 0.0)
}

/// Distance of a place from a segment on the map, m.
pub(super) fn to_segment_m(place: &Point2<f64>, (from, to): &(Point2<f64>, Point2<f64>)) -> f64 {
    let along = to - from;
    let length_squared = along.norm_squared();
    let t = if length_squared > 0.0 { ((place - from).dot(&along) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    (place - (from + along * t)).norm()
}
