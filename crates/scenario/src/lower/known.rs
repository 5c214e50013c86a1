//! How the tautness of a wire is known: ranges with their tolerances, and the same in words.

use nalgebra::Vector2;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{KnownBy, Span};

use super::class::{STRUNG_DEGC, STRUNG_SHARE, strung_share};
use super::conditions;
use super::wire::interval;
use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::quantity::Either;
use crate::raw::{RawKnownBy, RawSupport, RawTemperature};

/// What is known, for the physics. The checks have made sure that it is complete.
///
/// `seen_degc` is the temperature by the weather, where it is to come from there.
pub(super) fn lower(
    raw: &RawKnownBy,
    (supports, spans): (&[RawSupport], &[Span]),
    seen_degc: Option<Interval>,
    here: &Here<'_>,
) -> Result<KnownBy, Problems> {
    if raw.tension.is_some() {
        let share = strung_share().ok_or_else(|| incomplete(here))?;
        let temperature_degc = interval(STRUNG_DEGC, STRUNG_DEGC, here)?;
        return Ok(KnownBy::StrengthShare { share, temperature_degc });
    }
    let given_degc = raw.conductor_temperature.as_ref().and_then(conditions::temperature);
    let temperature_degc = given_degc.or(seen_degc).ok_or_else(|| incomplete(here))?;
    match (raw, &raw.tolerance) {
        (RawKnownBy { horizontal_tension: Some(tension), .. }, Some(Either::First(tolerance))) => {
            let horizontal_n = interval(tension.si * (1.0 - tolerance.si), tension.si * (1.0 + tolerance.si), here)?;
            Ok(KnownBy::Tension { horizontal_n, temperature_degc })
        }
        (RawKnownBy { share_of_strength: Some(share), .. }, Some(Either::First(tolerance))) => {
            let share = interval(share.si * (1.0 - tolerance.si), share.si * (1.0 + tolerance.si), here)?;
            Ok(KnownBy::StrengthShare { share, temperature_degc })
        }
        (RawKnownBy { height: Some(height), .. }, Some(Either::Second(tolerance))) => {
            let place = Place::find(raw, supports, spans).ok_or_else(|| incomplete(here))?;
            if height.si < tolerance.si {
                let message = format!(
                    "the height {} is smaller than its tolerance {}: the wire could lie on the ground",
                    height.written, tolerance.written
                );
                let help = "check the height and its tolerance";
                return Err(here.key("height").problem(Code::KnownHeight, message, help).into());
            }
            let z_m = place.ground_m + height.si;
            let height_m = interval(z_m - tolerance.si, z_m + tolerance.si, here)?;
            Ok(KnownBy::Height { span: place.span, fraction: place.fraction, height_m, temperature_degc })
        }
        _ => Err(incomplete(here)),
    }
}

fn incomplete(here: &Here<'_>) -> Problems {
    let message = "what is known of the wire is not complete";
    here.problem(Code::Structure, message, "give one of the ways in docs/formats.md with all its keys").into()
}

/// Where a height was measured.
struct Place {
    span: usize,
    /// From the near end of the span: all places that the words may mean.
    fraction: Interval,
    /// Level of the ground there, m.
    ground_m: f64,
}

impl Place {
    fn find(raw: &RawKnownBy, supports: &[RawSupport], spans: &[Span]) -> Option<Self> {
        let (between, at) = (raw.between.as_ref()?, raw.at.as_ref()?);
        let find = |name: &str| supports.iter().position(|support| support.name == name);
        let (first, second) = (find(&between[0])?, find(&between[1])?);
        let (a, b) = (supports.get(first)?, supports.get(second)?);
        let place = |support: &RawSupport| Vector2::new(support.position[0].si, support.position[1].si);
        let line = place(b) - place(a);
        let share = at.si / line.norm();
        let level = |support: &RawSupport| support.ground.as_ref().map_or(0.0, |level| level.si);
        let straight_m = level(a) + share * (level(b) - level(a));
        let ground_m = raw.ground.as_ref().map_or(straight_m, |level| level.si);
        let span = spans.get(first.min(second))?;
        let wire = if first < second { [span.from(), span.to()] } else { [span.to(), span.from()] };
        let along_wire = wire[1].xy() - wire[0].xy();
        // The place abeam of the mark on the line of supports; the same distance along the wire; the same share of it.
        let mark = place(a) + line * share;
        let abeam = (mark - wire[0].xy().coords).dot(&line) / along_wire.dot(&line);
        let meanings = [share, abeam, at.si / along_wire.norm()];
        let from_near = |share: f64| if first < second { share } else { 1.0 - share };
        let [least, most] = [f64::min, f64::max].map(|pick: fn(f64, f64) -> f64| {
            let chosen = meanings.iter().copied().map(from_near).reduce(pick).unwrap_or(share);
            // On a straight line all mean the same but for rounding.
            if (chosen - from_near(share)).abs() < SAME_PLACE { from_near(share) } else { chosen }
        });
        Some(Self { span: first.min(second), fraction: Interval::new(least, most).ok()?, ground_m })
    }
}

/// Shares of a span that differ by less are one.
const SAME_PLACE: f64 = 1e-12;

/// What is known, in the words of the file.
pub(super) fn words(raw: &RawKnownBy, seen_degc: Option<Interval>) -> String {
    if raw.tension.is_some() {
        let [least, most] = STRUNG_SHARE.map(|share| 100.0 * share);
        return format!(
            "nothing: any tension of {least:.0} to {most:.0} % of the rated strength at {STRUNG_DEGC:.0} degC"
        );
    }
    let tolerance = match &raw.tolerance {
        Some(Either::First(share)) => share.written.as_str(),
        Some(Either::Second(length)) => &length.written,
        None => "",
    };
    let at = match (&raw.conductor_temperature, &raw.seen_at, seen_degc) {
        (Some(RawTemperature::Range(range)), ..) => {
            format!("± {tolerance} at a conductor temperature of {}", range.written)
        }
        (_, Some(time), Some(seen)) => {
            let (low, high) = (seen.low().floor(), seen.high().ceil());
            format!("± {tolerance} at {time}, when the wire had {low:.0} to {high:.0} degC by the weather")
        }
        _ => format!("± {tolerance}"),
    };
    let place = match (&raw.between, &raw.at) {
        (Some([a, b]), Some(along)) => format!(" measured between {a} and {b}, {} from {a},", along.written),
        _ => String::new(),
    };
    match (&raw.horizontal_tension, &raw.share_of_strength, &raw.height) {
        (Some(tension), ..) => format!("horizontal tension {} {at}", tension.written),
        (_, Some(share), _) => format!("horizontal tension of {} of the rated strength {at}", share.written),
        (.., Some(height)) => format!("height {} above ground{place} {at}", height.written),
        _ => String::new(),
    }
}
