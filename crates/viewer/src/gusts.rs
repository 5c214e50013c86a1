//! The wires in gusts, asked of the plan crate, and the gaps to them as they are drawn.

use nalgebra::Point3;
use wideberth_physics::approach::{ApproachError, Gap, Pieces, Standing, gap, gap_to_pieces};
use wideberth_physics::study::{Pairing, Study};
use wideberth_plan::sway::{SpanAt, SpanMotion, SwayMotion, SwayQuestion, SwayStudyError, motion};

use crate::loaded::Loaded;
use crate::moment::{Gaps, Moment, Weather};
use crate::scene::stage::{SpanCurve, bases, curves};

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
    /// Whether any wire hangs on strings, which are taken as still.
    pub strung: bool,
}

/// Follows the wires near the machines through gusts, as `wideberth sway` does without options; from the lengths and the side of
/// the wind of a moment's weather.
///
/// # Errors
/// When there is no wind, or a wire cannot be followed.
pub fn follow(loaded: &Loaded, weather: &Weather) -> Result<SwayMotion, SwayStudyError> {
    let machines = bases(loaded);
    let state = |at: &SpanAt<'_>| {
        let (from, to) = (at.span.span().from(), at.span.span().to());
        let is_near = machines.iter().any(|machine| map_distance_m(&from, &to, machine) < NEAR_M);
        is_near.then(|| weather.state((at.line, at.wire), at.span))
    };
    motion(&loaded.job, &SwayQuestion::default(), &state)
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
        strung: motion.spans.iter().any(|span| span.strung),
    }
}

/// Gaps and wires of a moment at a time in gusts, s.
///
/// # Errors
/// When a wire that hangs still has no shape.
pub fn show(
    loaded: &Loaded,
    moment: &Moment,
    motion: &SwayMotion,
    time_s: f64,
) -> Result<(Gaps, Vec<SpanCurve>), ApproachError> {
    let mut wires = curves(loaded, moment)?;
    for span in &motion.spans {
        let own = |curve: &&mut SpanCurve| (curve.line, curve.wire, curve.place) == (span.line, span.wire, span.place);
        if let Some(curve) = wires.iter_mut().find(own) {
            curve.points = span.points_m(time_s);
        }
    }
    Ok((gaps(&loaded.job.study, moment, motion, &wires)?, wires))
}

/// The gap of each pairing: to the spans that sway as they are drawn, to the others as they hang.
fn gaps(study: &Study, moment: &Moment, motion: &SwayMotion, wires: &[SpanCurve]) -> Result<Gaps, ApproachError> {
    let standing: Vec<Standing<'_>> =
        study.machines.iter().zip(&moment.poses).map(|(machine, pose)| Standing::new(machine, pose)).collect();
    let one = |pairing: &Pairing| {
        let machine = &standing[pairing.machine];
        let moving = || motion.spans.iter().filter(|span| (span.line, span.wire) == (pairing.line, pairing.wire));
        let places: Vec<usize> = moving().map(|span| span.place).collect();
        let wire = &study.lines[pairing.line].wires[pairing.wire];
        let still = gap(machine, &moment.weather.hang((pairing.line, pairing.wire), wire)?.without(&places));
        let all = moving().filter_map(|span| gap_to_pieces(machine, &pieces(span, wires)?)).chain(still);
        all.min_by(|a: &Gap, b| a.distance_m.total_cmp(&b.distance_m)).ok_or(ApproachError::NoSuchPair(*pairing))
    };
    Ok(Gaps::of(study, study.pairings.iter().map(one).collect::<Result<_, _>>()?))
}

fn pieces<'a>(span: &SpanMotion, wires: &'a [SpanCurve]) -> Option<Pieces<'a>> {
    let own = |curve: &&SpanCurve| (curve.line, curve.wire, curve.place) == (span.line, span.wire, span.place);
    let points = &wires.iter().find(own)?.points;
    Some(Pieces { span: span.place, points, radius_m: span.radius_m, margin_m: span.margin_m })
}
