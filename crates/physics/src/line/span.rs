//! A span: two fixed attachment points and the directions that wind and weight take there.

use nalgebra::{Point3, Vector3};
use thiserror::Error;

use super::Chord;

/// Two attachment points of one wire, in the site frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    from: Point3<f64>,
    chord: Vector3<f64>,
    lateral: Vector3<f64>,
    /// Unit vector of the load without what pushes to the side: down, but where wind along a rising span lifts or presses it.
    plumb: Vector3<f64>,
    /// How far the chord leads to the lateral's side, m: 0 where that is square to it.
    aside_m: f64,
}

/// Why two points are no span.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum SpanError {
    /// A coordinate is not finite or beyond 100 km.
    #[error("an attachment lies at a coordinate that is not a number within 100 km of the site's origin")]
    NotFinite,
    /// The supports are one above the other, or the same.
    #[error("the supports are {run_m} m apart on the map: a span needs at least 1 m; check the positions")]
    TooShort {
        /// Horizontal distance, m.
        run_m: f64,
    },
    /// Steeper than any span that the model covers.
    #[error("the span rises {rise_m} m over {run_m} m: steeper than 1 in 1, which this model does not cover")]
    TooSteep {
        /// Horizontal distance, m.
        run_m: f64,
        /// Rise, m.
        rise_m: f64,
    },
}

impl Span {
    /// The span between two attachment points.
    ///
    /// # Errors
    /// When a coordinate is not finite, the points are less than 1 m apart on the map, or the chord is steeper than 45°.
    pub fn new(from: Point3<f64>, to: Point3<f64>) -> Result<Self, SpanError> {
        if !from.iter().chain(to.iter()).all(|c| c.abs() <= 1e5) {
            return Err(SpanError::NotFinite);
        }
        let chord = to - from;
        let run_m = chord.xy().norm();
        if run_m < 1.0 {
            return Err(SpanError::TooShort { run_m });
        }
        if chord.z.abs() > run_m {
            return Err(SpanError::TooSteep { run_m, rise_m: chord.z });
        }
        let lateral = Vector3::new(-chord.y, chord.x, 0.0) / run_m;
        Ok(Self { from, chord, lateral, plumb: -Vector3::z(), aside_m: 0.0 })
    }

    /// The same span between ends that strings have moved: its left, toward which the wind is counted, stays the same.
    ///
    /// # Errors
    /// As for [`Span::new`].
    pub fn moved(&self, from: Point3<f64>, to: Point3<f64>) -> Result<Self, SpanError> {
        let span = Self::new(from, to)?;
        Ok(Self { lateral: self.lateral, aside_m: span.chord.dot(&self.lateral), ..span })
    }

    /// The same span from another near end.
    pub(super) fn starting_at(self, from: Point3<f64>) -> Self {
        Self { from, ..self }
    }

    /// The same span where weight and the wind along it together pull along a unit vector square to its lateral.
    pub(super) fn with_plumb(self, plumb: Vector3<f64>) -> Self {
        Self { plumb, ..self }
    }

    /// Unit vector of the load at no swing: down, but where wind along a rising span lifts or presses it.
    pub(crate) fn plumb(&self) -> Vector3<f64> {
        self.plumb
    }

    /// How far the chord leads to the left, m: 0 but where strings have moved the ends.
    #[must_use]
    pub fn aside_m(&self) -> f64 {
        self.aside_m
    }

    /// Near attachment, m.
    #[must_use]
    pub fn from(&self) -> Point3<f64> {
        self.from
    }

    /// Far attachment, m.
    #[must_use]
    pub fn to(&self) -> Point3<f64> {
        self.from + self.chord
    }

    /// Vector from the near to the far attachment, m.
    #[must_use]
    pub fn chord(&self) -> Vector3<f64> {
        self.chord
    }

    /// Horizontal distance between the attachments, m.
    #[must_use]
    pub fn run_m(&self) -> f64 {
        self.chord.xy().norm()
    }

    /// Horizontal unit vector to the left of the span's direction, toward which a positive wind blows.
    #[must_use]
    pub fn lateral(&self) -> Vector3<f64> {
        self.lateral
    }

    /// Unit vector of the load when the wire hangs at a swing angle (rad, positive to the left).
    #[must_use]
    pub fn load_direction(&self, swing_rad: f64) -> Vector3<f64> {
        let (sin, cos) = swing_rad.sin_cos();
        self.lateral * sin + self.plumb * cos
    }

    /// The chord seen in the plane of the load at a swing angle.
    #[must_use]
    pub fn chord_in_plane(&self, swing_rad: f64) -> Chord {
        let (sin, cos) = swing_rad.sin_cos();
        let rise_m = self.rise_m() * cos - self.aside_m * sin;
        self.chord_with_rise(rise_m, self.chord.norm_squared())
    }

    /// The same for the chord less what leads aside.
    pub(super) fn square_chord_in_plane(&self, swing_rad: f64) -> Chord {
        let squared_m2 = self.chord.norm_squared() - self.aside_m * self.aside_m;
        self.chord_with_rise(self.rise_m() * swing_rad.cos(), squared_m2)
    }

    /// Rise of the chord against the load at no swing, m.
    fn rise_m(&self) -> f64 {
        -self.chord.dot(&self.plumb)
    }

    fn chord_with_rise(&self, rise_m: f64, squared_m2: f64) -> Chord {
        let level = self.rise_m() == 0.0 && self.aside_m == 0.0;
        let run_m = if level { self.run_m() } else { (squared_m2 - rise_m * rise_m).sqrt() };
        Chord { run_m, rise_m }
    }

    /// The point at fraction `t` of the chord that hangs `sag_m` along the load at a swing angle.
    #[must_use]
    pub fn point(&self, t: f64, sag_m: f64, swing_rad: f64) -> Point3<f64> {
        self.from + self.chord * t + self.load_direction(swing_rad) * sag_m
    }
}
