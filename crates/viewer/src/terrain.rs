//! The ground as the scenario knows it: the feet of the supports, and where and how steeply machines stand. Between them it
//! is drawn smooth; nothing is computed from it.

use nalgebra::{Point2, Point3, Vector2, Vector3};
use wideberth_scenario::Job;

/// How far the slope under a machine is drawn, m.
const SLOPE_REACH_M: f64 = 25.0;

/// A known place of the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Anchor {
    at: Point3<f64>,
    /// Rise to the east and to the north, m/m.
    slope: Vector2<f64>,
}

/// The ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Terrain {
    anchors: Vec<Anchor>,
}

impl Terrain {
    /// The ground of a job.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let feet = job.lines.iter().flat_map(|line| &line.supports);
        let feet = feet.map(|support| Anchor { at: support.foot, slope: Vector2::zeros() });
        let stands = job.study.machines.iter().filter_map(|machine| machine.frames().first()).map(|ground| {
            let up = ground.offset.rotation * Vector3::z();
            let slope = Vector2::new(-up.x / up.z, -up.y / up.z);
            Anchor { at: ground.offset.translation.vector.into(), slope }
        });
        Self { anchors: feet.chain(stands).collect() }
    }

    /// Level ground at zero.
    #[cfg(test)]
    pub(crate) fn level() -> Self {
        Self { anchors: Vec::new() }
    }

    /// Its level at a place on the map, m: the known places weighted by 1/d⁴.
    #[must_use]
    pub fn level_m(&self, at: &Point2<f64>) -> f64 {
        let (mut sum, mut weights) = (0.0, 0.0);
        for anchor in &self.anchors {
            let offset = at - anchor.at.xy();
            let far_m2 = offset.norm_squared();
            let weight = 1.0 / (far_m2 * far_m2 + 1.0);
            let fade = (-far_m2 / (SLOPE_REACH_M * SLOPE_REACH_M)).exp();
            sum += weight * (anchor.at.z + anchor.slope.dot(&offset) * fade);
            weights += weight;
        }
        if weights > 0.0 { sum / weights } else { 0.0 }
    }

    /// The point of the ground at a place on the map.
    #[must_use]
    pub fn point(&self, east_m: f64, north_m: f64) -> Point3<f64> {
        Point3::new(east_m, north_m, self.level_m(&Point2::new(east_m, north_m)))
    }

    /// The upward normal at a place.
    #[must_use]
    pub fn normal(&self, at: &Point3<f64>) -> Vector3<f64> {
        let rise = |dx: f64, dy: f64| self.point(at.x + dx, at.y + dy).z - self.point(at.x - dx, at.y - dy).z;
        Vector3::new(-rise(0.5, 0.0), -rise(0.0, 0.5), 1.0).normalize()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ground_passes_through_what_is_known() {
        let foot = Anchor { at: Point3::new(0.0, 0.0, 2.0), slope: Vector2::zeros() };
        let stand = Anchor { at: Point3::new(40.0, 0.0, 0.0), slope: Vector2::new(0.1, 0.0) };
        let terrain = Terrain { anchors: vec![foot, stand] };
        assert!((terrain.point(0.0, 0.0).z - 2.0).abs() < 1e-3);
        assert!((terrain.point(40.0, 0.0).z).abs() < 1e-3);
        assert!((terrain.point(42.0, 0.0).z - 0.2).abs() < 0.02);
    }
}
