//! Places along wires.

use nalgebra::{Point2, Vector2};
use wideberth_physics::line::{CatenaryError, SpanState, WireSpan};
use wideberth_scenario::Job;

/// A place that somebody asks about.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// A place on the map; each wire where it passes nearest.
    Map {
        /// What it is.
        name: String,
        /// East and north, m.
        at_m: Point2<f64>,
    },
    /// A distance along a span of every line that has it.
    Along {
        /// Number of the span, from 1.
        span: usize,
        /// Distance along the map from its first support, m.
        along_m: f64,
    },
}

/// A place on one wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// What it is.
    pub name: String,
    /// Index of the line.
    pub line: usize,
    /// Index of the wire.
    pub wire: usize,
    /// Index of the span.
    pub span: usize,
    /// Share of the span, 0..1.
    pub fraction: f64,
}

/// The spots of places, or the usual ones where none is asked for. A place that lies beside no span of a wire gives none.
pub(super) fn spots(job: &Job, places: &[Place]) -> Result<Vec<Spot>, CatenaryError> {
    let (mut spots, mut asked) = (Vec::new(), places.to_vec());
    if places.is_empty() {
        let own = job.sag_points.iter().map(|point| Place::Map { name: point.name.clone(), at_m: point.at });
        let at = |m: &wideberth_scenario::job::MachineInfo| Place::Map { name: m.name.clone(), at_m: m.position.xy() };
        asked = job.machines.iter().map(at).chain(own).collect();
    }
    for (line, wires) in job.study.lines.iter().enumerate() {
        for (wire, lowered) in wires.wires.iter().enumerate() {
            let first = spots.len();
            let spans: Vec<&WireSpan> = lowered.variant_spans(0).collect();
            let spot = |(name, span, fraction): (String, usize, f64)| Spot { name, line, wire, span, fraction };
            if places.is_empty() {
                for (index, span) in spans.iter().enumerate() {
                    spots.push(spot(("lowest point".into(), index, lowest_fraction(span)?)));
                }
            }
            for found in asked.iter().filter_map(|place| on_wire(place, &spans)).map(spot) {
                add(&mut spots, first, found);
            }
        }
    }
    Ok(spots)
}

/// Adds a spot, or its name to one at the same place of the same wire.
fn add(spots: &mut Vec<Spot>, first: usize, found: Spot) {
    let same = |spot: &&mut Spot| spot.span == found.span && (spot.fraction - found.fraction).abs() < 1e-3;
    match spots[first..].iter_mut().find(same) {
        Some(spot) => spot.name = format!("{} and {}", spot.name, found.name),
        None => spots.push(found),
    }
}

/// Name, span and fraction of a place on a wire.
fn on_wire(place: &Place, spans: &[&WireSpan]) -> Option<(String, usize, f64)> {
    match place {
        Place::Along { span, along_m } => {
            let index = span.checked_sub(1)?;
            let fraction = along_m / spans.get(index)?.span().run_m();
            (0.0..=1.0).contains(&fraction).then(|| ("place asked for".into(), index, fraction))
        }
        Place::Map { name, at_m } => {
            let beside = spans.iter().enumerate().filter_map(|(index, span)| {
                let (fraction, apart_m) = beside(span, at_m);
                (0.0..=1.0).contains(&fraction).then_some((index, fraction, apart_m))
            });
            let nearest = beside.min_by(|a, b| a.2.total_cmp(&b.2))?;
            Some((name.clone(), nearest.0, nearest.1))
        }
    }
}

/// Share of a span at which a place lies beside it, and how far beside.
fn beside(span: &WireSpan, at_m: &Point2<f64>) -> (f64, f64) {
    let chord: Vector2<f64> = span.span().chord().xy();
    let from = at_m - span.span().from().xy();
    let fraction = from.dot(&chord) / chord.norm_squared();
    (fraction, (from - chord * fraction).norm())
}

/// Height above the site's zero of the lower side of the wire in the slackest still state of any variant, tolerances included, m: at the
/// hottest temperature (°C) and with the ice (m) that are asked for, else at the hottest and iciest of the conditions.
pub(super) fn lowest_z_m(spans: &[&WireSpan], fraction: f64, asked: Option<(f64, f64)>) -> Result<f64, CatenaryError> {
    spans.iter().try_fold(f64::INFINITY, |lowest_m, span| {
        let state = asked.map_or_else(|| slack_still(span), |(degc, ice_m)| span.slackest_still(degc, ice_m));
        let shape = span.shape(&state)?;
        Ok(lowest_m.min(span.point(&shape, fraction).z - shape.radius_m - span.margin_m()))
    })
}

/// Share of the span at its lowest point in that state; an end where the wire falls all the way.
fn lowest_fraction(span: &WireSpan) -> Result<f64, CatenaryError> {
    Ok(span.shape(&slack_still(span))?.catenary.fraction_at_slope(0.0).clamp(0.0, 1.0))
}

fn slack_still(span: &WireSpan) -> SpanState {
    let states = span.states();
    SpanState { unstretched_m: states.unstretched_m.high(), wind_m_per_s: 0.0, ice_m: states.ice_m.high() }
}
