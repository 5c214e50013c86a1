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
/// Most spans of one section: the equations are solved as one dense system.
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
        let lengths = (0..self.members.len()).map(|span| Ok(self.clamped_m(span, state.clamped_n)? * state.growth));
        Ok(Parts {
            unstretched_m: lengths.collect::<Result<_, CatenaryError>>()?,
            load_n_per_m: self.members.iter().map(|member| self.load_n_per_m(member, state)).collect(),
            push_n: self.hangers.iter().map(|hanger| self.push_n(hanger, state)).collect(),
        })
    }

    fn load_n_per_m(&self, member: &Member, state: &SectionState) -> Vector3<f64> {
        let load = self.load.load(state.wind_across(member.left_rad), state.ice_m);
        member.rest.lateral() * load.lateral_n_per_m - Vector3::z() * load.down_n_per_m
    }

    /// An even rigid link hands half of its weight and of the wind on it to its lower end.
    fn push_n(&self, hanger: &Hanger, state: &SectionState) -> Vector3<f64> {
        let wind_n = self.load.pressure_pa(state.wind_across(hanger.left_rad)) * hanger.string.wind_area_m2;
        hanger.left() * (0.5 * wind_n) - Vector3::z() * (0.5 * hanger.string.weight_n)
    }
}

impl SectionState {
    /// Wind toward a left side with a bearing (rad), m/s: v = −V·cos(β − β_l).
    pub(super) fn wind_across(&self, left_rad: f64) -> f64 {
        -self.wind_m_per_s * (self.wind_from_rad - left_rad).cos()
    }
}

impl Member {
    fn new(rest: Span) -> Self {
        let (along, left) = (rest.chord().normalize(), rest.lateral());
        let frame = Matrix3::from_columns(&[along, left, along.cross(&left)]);
        Self { rest, frame, left_rad: left.x.atan2(left.y) }
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

    pub(super) fn left(&self) -> Vector3<f64> {
        self.frame.column(1).into_owned()
    }
}
