//! Heights of wires above the ground through the hours, in still air.

use nalgebra::Point2;
use rayon::prelude::*;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{CatenaryError, Conditions, SpanState, Tautness, Wire, WireError, WireSpan};
use wideberth_scenario::Job;
use wideberth_scenario::climate::hull;
use wideberth_scenario::wires::WireVariant;

use super::DayError;
use super::hours::{Hourly, HourlyWire};

/// A place on a wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Index of the wire among those of the answer.
    pub wire: usize,
    /// What the place is.
    pub name: String,
    /// Index of the span.
    pub span: usize,
    /// Share of the span from its first support, 0..1.
    pub fraction: f64,
    /// Level of the straight line between the feet of the supports there, m.
    pub ground_m: f64,
}

/// The middle of a span.
pub(super) fn middle(job: &Job, index: usize, wire: &HourlyWire, span: usize) -> Spot {
    let supports = &job.lines[wire.id.line].supports;
    let foot = |at: usize| supports.get(at).map_or(0.0, |support| support.foot.z);
    let ground_m = 0.5 * (foot(span) + foot(span + 1));
    Spot { wire: index, name: "the middle of the span".into(), span, fraction: 0.5, ground_m }
}

/// One span of a variant: everything that its still height depends on.
pub(super) struct Still {
    span: WireSpan,
    tautness: Tautness,
    expansion_per_k: f64,
    permanent_strain: Interval,
    given_degc: Interval,
    ice_m: Interval,
}

/// The spots of a job, and for each hour the height of each, m.
pub(super) fn heights(job: &Job, hourly: &Hourly<'_>) -> Result<(Vec<Spot>, Vec<Vec<Interval>>), DayError> {
    let spots: Vec<Spot> =
        hourly.wires().iter().enumerate().flat_map(|(index, wire)| spots_of(job, index, wire)).collect();
    let stills = spots.iter().map(|spot| stills(&hourly.wires()[spot.wire], spot.span));
    let stills = stills.collect::<Result<Vec<_>, DayError>>()?;
    let at = |hour: usize| {
        let height = |(spot, stills): (&Spot, &Vec<Still>)| {
            let wire = &hourly.wires()[spot.wire];
            let each = stills.iter().enumerate().map(|(variant, still)| {
                let degc = wire.degc[variant].get(hour).copied().unwrap_or(still.given_degc);
                still.height(spot, degc)
            });
            let heights = each.collect::<Result<Vec<_>, DayError>>()?;
            // A wire has at least one variant.
            heights.into_iter().reduce(hull).ok_or(DayError::Wire(WireError::NoSpan))
        };
        spots.iter().zip(&stills).map(height).collect::<Result<Vec<_>, DayError>>()
    };
    let heights = (0..hourly.hours.len()).into_par_iter().map(at).collect::<Result<_, DayError>>()?;
    Ok((spots, heights))
}

/// The places of interest on a wire: the scenario's sag points, or where the machines stand; each where the wire passes nearest.
fn spots_of(job: &Job, index: usize, wire: &HourlyWire) -> Vec<Spot> {
    let own = job.sag_points.iter().map(|point| (point.name.clone(), point.at));
    let machines = job.machines.iter().map(|machine| (machine.name.clone(), machine.position.xy()));
    let places: Vec<(String, Point2<f64>)> = if job.sag_points.is_empty() { machines.collect() } else { own.collect() };
    let spans = wire.model.variants.first().map(|variant| &variant.description.spans[..]).unwrap_or_default();
    let supports = &job.lines[wire.id.line].supports;
    let spot = |(name, at): (String, Point2<f64>)| {
        let beside = spans.iter().enumerate().filter_map(|(span, ends)| {
            let (run, from) = (ends.chord().xy(), at - ends.from().xy());
            let fraction = from.dot(&run) / run.norm_squared();
            let apart_m = (from - run * fraction).norm();
            (0.0..=1.0).contains(&fraction).then_some((span, fraction, apart_m))
        });
        let (span, fraction, _) = beside.min_by(|a, b| a.2.total_cmp(&b.2))?;
        let (from, to) = (supports.get(span)?.foot.z, supports.get(span + 1)?.foot.z);
        Some(Spot { wire: index, name, span, fraction, ground_m: from + fraction * (to - from) })
    };
    places.into_iter().filter_map(spot).collect()
}

pub(super) fn stills(wire: &HourlyWire, span: usize) -> Result<Vec<Still>, DayError> {
    let base = wire.model.states.base;
    let still = |(variant, by_hour): (&WireVariant, &Vec<Interval>)| {
        let description = &variant.description;
        let given_degc = by_hour.iter().copied().reduce(hull).unwrap_or(base.temperature_degc);
        let calm = Interval::new(0.0, 0.0).unwrap_or(base.wind_m_per_s);
        let conditions = Conditions { temperature_degc: given_degc, wind_m_per_s: calm, ..base };
        let lowered = Wire::with_strings(description.clone(), &wire.model.strings, &conditions)?;
        let found = lowered.spans().iter().find(|found| found.index() == span).cloned();
        let (conductor, tolerance_m) = (&description.conductor, description.position_tolerance_m);
        let tautness = description.known_by.tautness(conductor, &description.spans, tolerance_m)?;
        let found = found.zip(tautness.get(span).copied());
        Ok(found.map(|(span, tautness)| Still {
            span,
            tautness,
            expansion_per_k: conductor.properties().expansion_per_k,
            permanent_strain: description.permanent_strain,
            given_degc,
            ice_m: base.ice_m,
        }))
    };
    let all = wire.model.variants.iter().zip(&wire.degc).map(still).collect::<Result<Vec<_>, DayError>>()?;
    Ok(all.into_iter().flatten().collect())
}

impl Still {
    /// Height above the ground over a range of temperatures and every tolerance, m.
    pub fn height(&self, spot: &Spot, degc: Interval) -> Result<Interval, DayError> {
        let lengths_m = self.tautness.unstretched_over(self.expansion_per_k, degc, self.permanent_strain);
        let z_m = |unstretched_m: f64, ice_m: f64| {
            let shape = self.span.shape(&SpanState { unstretched_m, wind_m_per_s: 0.0, ice_m })?;
            Ok::<f64, CatenaryError>(self.span.point(&shape, spot.fraction).z - spot.ground_m)
        };
        let margin_m = self.span.margin_m();
        let low_m = z_m(lengths_m.high(), self.ice_m.high())? - margin_m;
        let high_m = z_m(lengths_m.low(), self.ice_m.low())? + margin_m;
        Ok(Interval::new(low_m, high_m)?)
    }
}
