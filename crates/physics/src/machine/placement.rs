//! Where and how a machine stands.

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use thiserror::Error;

use super::{Frame, FrameId, FrameRole, Motion};
use crate::interval::Interval;

/// Where a machine stands on the site and how well that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// The machine's reference point on the ground, m.
    pub position: Point3<f64>,
    /// Bearing of its forward axis, clockwise from north, rad.
    pub heading_rad: f64,
    /// Steepness of the ground, rad.
    pub slope_rad: f64,
    /// Bearing toward which the ground falls, rad.
    pub downhill_rad: f64,
    /// How far the machine may stand from where it should, in any direction, m.
    pub position_tolerance_m: f64,
    /// How far its heading may be off, either way, rad.
    pub heading_tolerance_rad: f64,
}

/// Why a placement cannot be.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{quantity} {value} is outside {min}..{max}")]
pub struct PlacementError {
    /// Which quantity.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Least allowed value.
    pub min: f64,
    /// Greatest allowed value.
    pub max: f64,
}

impl Placement {
    /// On level ground, facing north, exactly known.
    #[must_use]
    pub fn level(position: Point3<f64>) -> Self {
        Self {
            position,
            heading_rad: 0.0,
            slope_rad: 0.0,
            downhill_rad: 0.0,
            position_tolerance_m: 0.0,
            heading_tolerance_rad: 0.0,
        }
    }

    /// Checks every number.
    ///
    /// # Errors
    /// The first number outside its range.
    pub fn check(&self) -> Result<(), PlacementError> {
        let Self { position: p, heading_rad, slope_rad, downhill_rad, position_tolerance_m, heading_tolerance_rad } =
            *self;
        let ranges = [
            ("position (m)", p.x, -1e5, 1e5),
            ("position (m)", p.y, -1e5, 1e5),
            ("position (m)", p.z, -1e4, 1e4),
            ("heading (rad)", heading_rad, -10.0, 10.0),
            ("ground slope (rad)", slope_rad, 0.0, 0.6),
            ("downhill bearing (rad)", downhill_rad, -10.0, 10.0),
            ("setting-out tolerance (m)", position_tolerance_m, 0.0, 50.0),
            ("heading tolerance (rad)", heading_tolerance_rad, 0.0, std::f64::consts::PI),
        ];
        ranges.into_iter().try_for_each(|(quantity, value, min, max)| {
            if (min..=max).contains(&value) { Ok(()) } else { Err(PlacementError { quantity, value, min, max }) }
        })
    }

    /// The frames that stand a machine there: the ground, and a hinge for the heading where that is uncertain. The last
    /// one has x to the machine's right, y forward, z away from the ground.
    #[must_use]
    pub fn frames(&self) -> Vec<Frame> {
        let offset = self.offset();
        let ground =
            Frame { name: "ground".into(), role: FrameRole::Place, parent: None, offset, motion: Motion::Fixed };
        if self.heading_tolerance_rad == 0.0 {
            return vec![ground];
        }
        let range_rad = Interval::hull(-self.heading_tolerance_rad, self.heading_tolerance_rad);
        vec![ground, Self::heading(range_rad)]
    }

    /// The hinge by which a machine may be turned from its heading, on the ground.
    pub(super) fn heading(range_rad: Interval) -> Frame {
        Frame {
            name: "heading error".into(),
            role: FrameRole::Heading,
            parent: Some(FrameId(0)),
            offset: Isometry3::identity(),
            motion: Motion::Hinge { axis: Vector3::z_axis(), range_rad },
        }
    }

    /// Turn to the heading about the vertical, then tilt the ground about its level line.
    fn offset(&self) -> Isometry3<f64> {
        let heading = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), -self.heading_rad);
        let (sin, cos) = self.downhill_rad.sin_cos();
        // Tilting about the level line (downhill turned left) lowers the downhill side.
        let level = Unit::new_unchecked(Vector3::new(-cos, sin, 0.0));
        let tilt = UnitQuaternion::from_axis_angle(&level, self.slope_rad);
        Isometry3::from_parts(Translation3::from(self.position), tilt * heading)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn level() -> Placement {
        Placement::level(Point3::new(10.0, 20.0, 1.0))
    }

    #[test]
    fn a_heading_of_east_points_forward_east() {
        let placement = Placement { heading_rad: std::f64::consts::FRAC_PI_2, ..level() };
        let forward = placement.frames()[0].offset * Point3::new(0.0, 1.0, 0.0);
        assert_relative_eq!(forward, Point3::new(11.0, 20.0, 1.0), epsilon = 1e-12);
    }

    #[test]
    fn ground_falls_toward_the_downhill_bearing() {
        for bearing in [0.0_f64, 1.0, 2.5, 4.0] {
            let placement = Placement { slope_rad: 0.1, downhill_rad: bearing, ..level() };
            let downhill = Vector3::new(bearing.sin(), bearing.cos(), 0.0);
            let normal = placement.frames()[0].offset * Vector3::z();
            // A plane that falls downhill has a normal that leans downhill.
            assert_relative_eq!(normal.dot(&downhill), 0.1_f64.sin(), epsilon = 1e-12);
            assert_relative_eq!(normal.z, 0.1_f64.cos(), epsilon = 1e-12);
        }
    }
}
