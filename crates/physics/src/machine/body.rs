//! Bodies: the convex hull of points and rings, thickened by a radius.
//!
//! A sphere is one point, a capsule two, a box eight, a cylinder or frustum two rings. The features of one body may sit in
//! different frames, so a telescoping boom or a rope of varying length is one body too.

use nalgebra::{Point3, Unit, Vector3};

use super::FrameId;

/// A circle about a feature's point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Axis, in the feature's frame.
    pub axis: Unit<Vector3<f64>>,
    /// Radius, m; positive.
    pub radius_m: f64,
}

/// A point, or a ring about a point, carried by a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feature {
    /// The frame that carries it.
    pub frame: FrameId,
    /// Place in that frame, m.
    pub at: Point3<f64>,
    /// The ring about it; none for a point.
    pub ring: Option<Ring>,
}

/// What a body is to whoever asks about it. Its name is a label for people and decides nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BodyRole {
    /// A part of the machine.
    #[default]
    Part,
    /// A part of the machine in which the operator sits.
    Seat,
    /// A rope from which something hangs.
    Rope,
    /// What is between hook and load.
    Rigging,
    /// A load, or a part of one.
    Load,
}

/// A solid part of a machine or load.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Name, as people know it.
    pub name: String,
    /// What it is.
    pub role: BodyRole,
    /// Its features; at least one.
    pub features: Vec<Feature>,
    /// Thickness about the hull of the features, m: rounding, and allowances for deflection.
    pub radius_m: f64,
    /// The part of that which only stands for doubt about where the body is, m.
    pub allowance_m: f64,
}

impl Body {
    /// A ball about a point of a frame.
    #[must_use]
    pub fn sphere(name: impl Into<String>, frame: FrameId, center: Point3<f64>, radius_m: f64) -> Self {
        Self {
            name: name.into(),
            role: BodyRole::Part,
            features: vec![Feature { frame, at: center, ring: None }],
            radius_m,
            allowance_m: 0.0,
        }
    }

    /// A rod with round ends between a point of one frame and a point of another, or of the same.
    #[must_use]
    pub fn capsule(
        name: impl Into<String>,
        from: (FrameId, Point3<f64>),
        to: (FrameId, Point3<f64>),
        radius_m: f64,
    ) -> Self {
        let features = [from, to].map(|(frame, at)| Feature { frame, at, ring: None });
        Self { name: name.into(), role: BodyRole::Part, features: features.to_vec(), radius_m, allowance_m: 0.0 }
    }

    /// The hull of points of one frame.
    #[must_use]
    pub fn convex(name: impl Into<String>, frame: FrameId, points: &[Point3<f64>]) -> Self {
        let features = points.iter().map(|&at| Feature { frame, at, ring: None }).collect();
        Self { name: name.into(), role: BodyRole::Part, features, radius_m: 0.0, allowance_m: 0.0 }
    }

    /// A box with edges along the axes of its frame, from its least to its greatest corner.
    #[must_use]
    pub fn cuboid(name: impl Into<String>, frame: FrameId, least: Point3<f64>, greatest: Point3<f64>) -> Self {
        let pick = |corner: usize, axis: usize| if corner >> axis & 1 == 0 { least[axis] } else { greatest[axis] };
        let corners: Vec<_> = (0..8).map(|c| Point3::new(pick(c, 0), pick(c, 1), pick(c, 2))).collect();
        Self::convex(name, frame, &corners)
    }

    /// A cylinder, frustum or cone about a line of one frame, with a radius at each end (zero for a tip).
    #[must_use]
    pub fn frustum(name: impl Into<String>, frame: FrameId, from: (Point3<f64>, f64), to: (Point3<f64>, f64)) -> Self {
        let axis = Unit::try_new(to.0 - from.0, 1e-9).unwrap_or(Vector3::z_axis());
        let feature = |(at, radius_m): (Point3<f64>, f64)| {
            let ring = (radius_m > 0.0).then_some(Ring { axis, radius_m });
            Feature { frame, at, ring }
        };
        let features = vec![feature(from), feature(to)];
        Self { name: name.into(), role: BodyRole::Part, features, radius_m: 0.0, allowance_m: 0.0 }
    }

    /// The same body in a role.
    #[must_use]
    pub fn as_role(self, role: BodyRole) -> Self {
        Self { role, ..self }
    }

    /// The same body, thicker by an allowance, m.
    #[must_use]
    pub fn thickened(mut self, allowance_m: f64) -> Self {
        self.radius_m += allowance_m;
        self.allowance_m += allowance_m;
        self
    }
}
