//! What to measure of a wire that nobody knows: the height from which on the job would be clear.

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{KnownBy, WireDescription};
use wideberth_scenario::wires::{WireVariant, possible};

use super::decide::clear;
use super::heights::{middle, stills};
use super::hours::{Hourly, HourlyWire};
use super::{Day, DayError};

/// How exactly people measure the height of a wire, m (common practice for a laser or a hot stick from the ground).
pub const MEASURED_TO_M: f64 = 0.1;
/// How well the height is found, m.
const STEP_M: f64 = 0.05;

/// A height that would tell more.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Index of the wire among those of the answer.
    pub wire: usize,
    /// Index of the span in whose middle it is to be measured.
    pub span: usize,
    /// What the height may be there in the first hour, above the ground, m.
    pub may_be_m: Interval,
    /// Measured in the first hour at this height or more, to within [`MEASURED_TO_M`], every hour is proven clear
    /// of this wire, m; none where no
    /// height of that range makes it so.
    pub clear_from_m: Option<f64>,
}

/// What to measure of each wire whose tension is not known, in the span that comes closest.
pub(super) fn measures(hourly: &Hourly<'_>, day: &mut Day) -> Result<(), DayError> {
    let worst = day.hours.get(day.worst).and_then(|hour| hour.worst.as_ref());
    for (index, wire) in hourly.wires().iter().enumerate() {
        let unknown = |variant: &WireVariant| matches!(variant.description.known_by, KnownBy::StrengthShare { .. });
        if wire.model.variants.len() < 2 || !wire.model.variants.iter().all(unknown) {
            continue;
        }
        let of_wire = worst.filter(|f| (f.pairing.line, f.pairing.wire) == (wire.id.line, wire.id.wire));
        let study = &hourly.job.study.lines[wire.id.line].wires[wire.id.wire];
        let span = of_wire.and_then(|f| study.spans().get(f.attained.witness.span)).map_or(0, |span| span.index());
        day.measures.push(measure(hourly, index, span, &mut day.searches)?);
    }
    Ok(())
}

fn measure(hourly: &Hourly<'_>, index: usize, span: usize, searches: &mut usize) -> Result<Measure, DayError> {
    let wire = &hourly.wires()[index];
    let spot = middle(hourly.job, index, wire, span);
    let all = stills(wire, span)?;
    let mut may_be_m: Option<Interval> = None;
    for (variant, still) in all.iter().enumerate() {
        let height_m = still.height(&spot, first_degc(wire, variant))?;
        may_be_m = Some(may_be_m.map_or(height_m, |range| wideberth_scenario::climate::hull(range, height_m)));
    }
    let may_be_m = may_be_m.ok_or(DayError::Wire(wideberth_physics::line::WireError::NoSpan))?;
    let hours: Vec<usize> = (0..hourly.hours.len()).collect();
    let mut is_clear = |height_m: f64| {
        *searches += 1;
        let Some(measured) = measured(wire, &spot, Interval::new(height_m, may_be_m.high().max(height_m))?) else {
            return Ok(false);
        };
        match hourly.with_wire(index, measured).covering(&hours) {
            Ok(mut study) => {
                study.pairings.retain(|pairing| (pairing.line, pairing.wire) == (wire.id.line, wire.id.wire));
                clear(&study, &hourly.job.options)
            }
            // A state that the wire cannot be in proves nothing.
            Err(DayError::Wire(_)) => Ok(false),
            Err(error) => Err(error),
        }
    };
    let (mut low_m, mut high_m) = (may_be_m.low(), highest_m(wire, &spot, may_be_m));
    let mut clear_from_m = None;
    if high_m > low_m && is_clear(high_m)? {
        clear_from_m = Some(high_m);
        while high_m - low_m > STEP_M {
            let middle_m = 0.5 * (low_m + high_m);
            if is_clear(middle_m)? {
                (high_m, clear_from_m) = (middle_m, Some(middle_m));
            } else {
                low_m = middle_m;
            }
        }
    }
    Ok(Measure { wire: index, span, may_be_m, clear_from_m })
}

/// The highest that is worth asking about: what is measured must lie below the straight line between the attachments.
fn highest_m(wire: &HourlyWire, spot: &super::Spot, may_be_m: Interval) -> f64 {
    let least_sag_m = 3.0 * MEASURED_TO_M;
    let chord_m = wire.model.variants.first().and_then(|variant| {
        let span = variant.description.spans.get(spot.span)?;
        Some(span.from().z + 0.5 * span.chord().z - spot.ground_m)
    });
    chord_m.map_or(may_be_m.high(), |chord_m| may_be_m.high().min(chord_m - least_sag_m))
}

fn first_degc(wire: &HourlyWire, variant: usize) -> Interval {
    let by_hour = wire.degc.get(variant).and_then(|hours| hours.first()).copied();
    by_hour.unwrap_or(wire.model.states.base.temperature_degc)
}

/// The wire as it would be known if its height in the first hour were measured in a range; none where none of its variants can hang so.
fn measured(wire: &HourlyWire, spot: &super::Spot, height_m: Interval) -> Option<HourlyWire> {
    let low_m = height_m.low() - MEASURED_TO_M + spot.ground_m;
    let high_m = height_m.high() + MEASURED_TO_M + spot.ground_m;
    let range = Interval::new(low_m, high_m).ok()?;
    let mut found = HourlyWire { degc: Vec::new(), ..wire.clone() };
    found.model.variants.clear();
    for (variant, known) in wire.model.variants.iter().enumerate() {
        let temperature_degc = first_degc(wire, variant);
        let fraction = Interval::point(spot.fraction).ok()?;
        let known_by = KnownBy::Height { span: spot.span, fraction, height_m: range, temperature_degc };
        let description = WireDescription { known_by, ..known.description.clone() };
        if let Some(description) = possible(description) {
            found.model.variants.push(WireVariant { description, ..known.clone() });
            found.degc.push(wire.degc[variant].clone());
        }
    }
    (!found.model.variants.is_empty()).then_some(found)
}
