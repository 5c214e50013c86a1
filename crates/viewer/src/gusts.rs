//! The wires in gusts, asked of the plan crate, and the gaps to them as they are drawn.

use nalgebra::Point3;
use thiserror::Error;
use wideberth_physics::approach::{ApproachError, Pieces, gap, gap_to_pieces};
use wideberth_physics::study::{Pairing, Study};
use wideberth_plan::sway::{SpanAt, SpanMotion, SwayMotion, SwayQuestion, SwayStudyError, motion};

use crate::loaded::Loaded;
use crate::moment::{Gaps, Moment};
use crate::scene::stage::{SpanCurve, bases, curves, hanging};

/// Spans farther than this from every machine hang still, m.
const NEAR_M: f64 = 150.0;

/// An instant of gusts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instant {
    /// Time in the part that is shown, s.
    pub time_s: f64,
    /// How long that part is, s.
    pub length_s: f64,
    /// The strongest gust of any span, m/s.
    pub gust_m_per_s: f64,
}

/// Wires that were followed through gusts.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// Those near the machines.
    pub motion: SwayMotion,
    /// Every span as it hangs still.
    still: Vec<SpanCurve>,
}

/// Why gusts cannot be shown.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum GustError {
    /// No wind, or a wire that cannot be followed.
    #[error(transparent)]
    Sway(#[from] SwayStudyError),
    /// A wire that hangs still has no shape.
    #[error(transparent)]
    Still(#[from] ApproachError),
}

/// Follows the wires near the machines through gusts, as `wideberth sway` does without options; from the lengths and the side of
/// the wind of a moment's weather.
///
/// # Errors
/// When there is no wind, or a wire cannot be followed or has no shape.
pub fn follow(loaded: &Loaded, moment: &Moment) -> Result<Followed, GustError> {
    let (machines, weather) = (bases(loaded), &moment.weather);
    let state = |at: &SpanAt<'_>| {
        let (from, to) = (at.span.span().from(), at.span.span().to());
        let is_near = machines.iter().any(|machine| map_distance_m(&from, &to, machine) < NEAR_M);
        is_near.then(|| weather.state((at.line, at.wire), at.span))
    };
    let motion = motion(&loaded.job, &SwayQuestion::default(), &state)?;
    Ok(Followed { motion, still: curves(loaded, moment)? })
}

/// Distance on the map of a place from a straight line, m.
fn map_distance_m(from: &Point3<f64>, to: &Point3<f64>, place: &Point3<f64>) -> f64 {
    let (way, away) = ((to - from).xy(), (place - from).xy());
    let t = (away.dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
    (away - way * t).norm()
}

/// What is said of an instant.
#[must_use]
pub fn instant(motion: &SwayMotion, time_s: f64) -> Instant {
    Instant {
        time_s,
        length_s: motion.length_s,
        gust_m_per_s: motion.spans.iter().map(|span| span.wind.gust_m_per_s).fold(0.0, f64::max),
    }
}

/// Gaps and wires of a pose at a time in gusts, s: the gap of each pairing to the spans that sway as they are drawn, to the others
/// as they hang.
///
/// # Errors
/// When a pairing names a machine without bodies.
pub fn show(
    study: &Study,
    moment: &Moment,
    followed: &Followed,
    time_s: f64,
) -> Result<(Gaps, Vec<SpanCurve>), ApproachError> {
    let mut wires = followed.still.clone();
    for span in &followed.motion.spans {
        if let Some(curve) = wires.iter_mut().find(|curve| is_of(curve, span)) {
            curve.points = span.points_m(time_s);
        }
    }
    let standing = moment.standing(study);
    let mut still = Vec::new();
    for (line, hung) in hanging(study, &followed.still)?.into_iter().enumerate() {
        let rest = hung.into_iter().enumerate().map(|(wire, hanging)| hanging.without(&places(followed, line, wire)));
        still.push(rest.collect::<Vec<_>>());
    }
    let one = |pairing: &Pairing| {
        let machine = &standing[pairing.machine];
        let own = followed.motion.spans.iter().filter(|s| (s.line, s.wire) == (pairing.line, pairing.wire));
        let moving = own.filter_map(|span| gap_to_pieces(machine, &pieces(span, &wires)?));
        let all = moving.chain(gap(machine, &still[pairing.line][pairing.wire]));
        all.min_by(|a, b| a.distance_m.total_cmp(&b.distance_m)).ok_or(ApproachError::NoSuchPair(*pairing))
    };
    let gaps = Gaps::of(study, study.pairings.iter().map(one).collect::<Result<_, _>>()?);
    Ok((gaps, wires))
}

/// Places of the spans of a wire that sway.
fn places(followed: &Followed, line: usize, wire: usize) -> Vec<usize> {
    let own = followed.motion.spans.iter().filter(|span| (span.line, span.wire) == (line, wire));
    own.map(|span| span.place).collect()
}

fn is_of(curve: &SpanCurve, span: &SpanMotion) -> bool {
    (curve.line, curve.wire, curve.place) == (span.line, span.wire, span.place)
}

fn pieces<'a>(span: &SpanMotion, wires: &'a [SpanCurve]) -> Option<Pieces<'a>> {
    let points = &wires.iter().find(|curve| is_of(curve, span))?.points;
    Some(Pieces { span: span.place, points, radius_m: span.radius_m, margin_m: span.margin_m })
}
