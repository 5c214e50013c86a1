//! What a section is made of, and its lengths and loads in a state.

use nalgebra::{Matrix3, Point3, Vector3};

use super::{SectionError, SectionState, SuspensionString};
use crate::line::{Catenary, CatenaryError, LoadModel, Span};

/// Spans between two rigid attachments with strings at all inner supports.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    pub(super) members: Vec<Member>,
    pub(super) hangers: Vec<Hanger>,
    pub(super) load: LoadModel,
    pub(super) stiffness_n: f64,
    /// Forces are counted in this unit, so that all unknowns are of one size.
    pub(super) unit_n: f64,
    /// Whether any span rises, so that wind along the line counts.
    pub(super) rises: bool,
}

/// One span of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Member {
    /// Where it hangs while the strings are plumb.
    pub rest: Span,
    /// Columns: along its chord, to its left, square to both.
    pub frame: Matrix3<f64>,
    /// Bearing of its left, rad.
    pub left_rad: f64,
    /// Sine of the angle by which its chord rises.
    pub sine: f64,
}

/// One string of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hanger {
    /// Index of the support in its section, from 0 at the near dead end.
    pub support: usize,
    /// Fixed point, m.
    pub top: Point3<f64>,
    pub string: SuspensionString,
    /// Columns: along the line, to its left, up.
    pub frame: Matrix3<f64>,
    /// Bearing of its left, rad.
    pub left_rad: f64,
}

/// Lengths and loads of a section in a state.
pub(super) struct Parts {
    /// Unstretched length of each span, m.
    pub unstretched_m: Vec<f64>,
    /// Load of each span per unstretched length, N/m.
    pub load_n_per_m: Vec<Vector3<f64>>,
    /// Half of the weight of and the wind on each string, N.
    pub push_n: Vec<Vector3<f64>>,
}

/// Greatest turn of the line where a string hangs, degrees: beyond, strings do not hang plumb when the wire is clamped in.
const MOST_TURN_DEG: f64 = 2.0;
/// Most spans of one section: proofs take the whole inverse of its equations.
const MOST_SPANS: usize = 25;

impl Section {
    /// The section over some spans, given as they hang while the strings are plumb, with a string at each inner support.
    ///
    /// # Errors
    /// When a string is impossible, the line turns at a string, or the section is too long.
    pub fn new(
        spans: &[Span],
        strings: &[SuspensionString],
        load: LoadModel,
        stiffness_n: f64,
        typical_tension_n: f64,
    ) -> Result<Self, SectionError> {
        if spans.len() > MOST_SPANS {
            return Err(SectionError::TooLong { spans: spans.len(), most: MOST_SPANS });
        }
        let hangers = spans.windows(2).zip(strings).enumerate();
        let hangers = hangers.map(|(index, (pair, string))| Hanger::new(index + 1, pair, *string));
        Ok(Self {
            members: spans.iter().map(|span| Member::new(*span)).collect(),
            hangers: hangers.collect::<Result<_, _>>()?,
            load,
            stiffness_n,
            unit_n: typical_tension_n,
            rises: spans.iter().any(|span| span.chord().z != 0.0),
        })
    }

    /// Its spans as they hang while the strings are plumb.
    pub fn rest_spans(&self) -> impl Iterator<Item = &Span> + '_ {
        self.members.iter().map(|member| &member.rest)
    }

    /// Its strings: the support, the fixed point, the string.
    pub fn strings(&self) -> impl Iterator<Item = (Point3<f64>, SuspensionString)> + '_ {
        self.hangers.iter().map(|hanger| (hanger.top, hanger.string))
    }

    /// Unstretched length of a span when it was clamped in at a horizontal tension, m.
    ///
    /// # Errors
    /// When the span has no shape at that tension.
    pub fn clamped_m(&self, span: usize, clamped_n: f64) -> Result<f64, CatenaryError> {
        let chord = self.members[span].rest.chord_in_plane(0.0);
        Ok(Catenary::with_tension(chord, clamped_n, self.load.down_n_per_m(0.0), self.stiffness_n)?.unstretched_m())
    }

    pub(super) fn parts(&self, state: &SectionState) -> Result<Parts, CatenaryError> {
        let clamped = (0..self.members.len()).map(|span| self.clamped_m(span, state.clamped_n));
        let clamped: Vec<f64> = clamped.collect::<Result<_, _>>()?;
        Ok(self.parts_from(state, clamped.into_iter()))
    }

    /// The same where the length of each span when clamped in is known.
    pub(super) fn parts_from(&self, state: &SectionState, clamped_m: impl Iterator<Item = f64>) -> Parts {
        Parts {
            unstretched_m: clamped_m.map(|length_m| length_m * state.growth).collect(),
            load_n_per_m: self
                .members
                .iter()
                .map(|member| member.in_space(&self.load_n_per_m(member, state)))
                .collect(),
            push_n: self.hangers.iter().map(|hanger| hanger.in_space(&self.push_n(hanger, state))).collect(),
        }
    }
}

impl Member {
    fn new(rest: Span) -> Self {
        let (along, left) = (rest.chord().normalize(), rest.lateral());
        let frame = Matrix3::from_columns(&[along, left, along.cross(&left)]);
        Self { rest, frame, left_rad: left.x.atan2(left.y), sine: along.z }
    }

    /// Unit vectors of its forces: to the left, down, and square to the chord upward.
    pub(super) fn axes(&self) -> [Vector3<f64>; 3] {
        [self.rest.lateral(), -Vector3::z(), self.frame.column(2).into_owned()]
    }

    fn in_space(&self, forces: &[f64; 3]) -> Vector3<f64> {
        in_space(&self.axes(), forces)
    }
}

impl Hanger {
    fn new(support: usize, pair: &[Span], string: SuspensionString) -> Result<Self, SectionError> {
        string.check(support)?;
        let ways = [&pair[0], &pair[1]].map(|span| span.chord().xy().normalize());
        let turn_deg = ways[0].perp(&ways[1]).atan2(ways[0].dot(&ways[1])).to_degrees().abs();
        if turn_deg > MOST_TURN_DEG {
            return Err(SectionError::Turns { support, turn_deg, most_deg: MOST_TURN_DEG });
        }
        let way = (ways[0] + ways[1]).normalize();
        let (along, left) = (Vector3::new(way.x, way.y, 0.0), Vector3::new(-way.y, way.x, 0.0));
        let frame = Matrix3::from_columns(&[along, left, Vector3::z()]);
        let top = pair[1].from() + Vector3::z() * string.length_m;
        Ok(Self { support, top, string, frame, left_rad: left.x.atan2(left.y) })
    }

    /// Unit vectors of its forces: to the left, down, and along the line.
    pub(super) fn axes(&self) -> [Vector3<f64>; 3] {
        [self.frame.column(1).into_owned(), -Vector3::z(), self.frame.column(0).into_owned()]
    }

    fn in_space(&self, forces: &[f64; 3]) -> Vector3<f64> {
        in_space(&self.axes(), forces)
    }
}

/// The sum of forces along axes.
pub(super) fn in_space(axes: &[Vector3<f64>; 3], forces: &[f64; 3]) -> Vector3<f64> {
    axes.iter().zip(forces).map(|(axis, force)| axis * *force).sum()
}
