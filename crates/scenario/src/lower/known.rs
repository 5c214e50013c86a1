//! How the tautness of a wire is known: ranges with their tolerances, and the same in words.

use wideberth_physics::line::KnownBy;

use super::wire::interval;
use crate::code::Code;
use crate::here::Here;
use crate::problem::Problems;
use crate::quantity::Either;
use crate::raw::{RawKnownBy, RawSupport};

/// What is known, for the physics. The checks have made sure that it is complete.
pub(super) fn lower(raw: &RawKnownBy, supports: &[RawSupport], here: &Here<'_>) -> Result<KnownBy, Problems> {
    let temperature_degc = raw.conductor_temperature.si;
    match (raw, &raw.tolerance) {
        (RawKnownBy { horizontal_tension: Some(tension), .. }, Either::First(tolerance)) => {
            let horizontal_n = interval(tension.si * (1.0 - tolerance.si), tension.si * (1.0 + tolerance.si), here)?;
            Ok(KnownBy::Tension { horizontal_n, temperature_degc })
        }
        (RawKnownBy { share_of_strength: Some(share), .. }, Either::First(tolerance)) => {
            let share = interval(share.si * (1.0 - tolerance.si), share.si * (1.0 + tolerance.si), here)?;
            Ok(KnownBy::StrengthShare { share, temperature_degc })
        }
        (RawKnownBy { height: Some(height), .. }, Either::Second(tolerance)) => {
            let place = Place::find(raw, supports).ok_or_else(|| incomplete(here))?;
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
    /// From the near end of the span.
    fraction: f64,
    /// Level of the ground there, m.
    ground_m: f64,
}

impl Place {
    fn find(raw: &RawKnownBy, supports: &[RawSupport]) -> Option<Self> {
        let (between, at) = (raw.between.as_ref()?, raw.at.as_ref()?);
        let find = |name: &str| supports.iter().position(|support| support.name == name);
        let (first, second) = (find(&between[0])?, find(&between[1])?);
        let (a, b) = (supports.get(first)?, supports.get(second)?);
        let run_m = (b.position[0].si - a.position[0].si).hypot(b.position[1].si - a.position[1].si);
        let share = at.si / run_m;
        let level = |support: &RawSupport| support.ground.as_ref().map_or(0.0, |level| level.si);
        let straight_m = level(a) + share * (level(b) - level(a));
        let ground_m = raw.ground.as_ref().map_or(straight_m, |level| level.si);
        let fraction = if first < second { share } else { 1.0 - share };
        Some(Self { span: first.min(second), fraction, ground_m })
    }
}

/// What is known, in the words of the file.
pub(super) fn words(raw: &RawKnownBy) -> String {
    let tolerance = match &raw.tolerance {
        Either::First(share) => &share.written,
        Either::Second(length) => &length.written,
    };
    let at = format!("± {tolerance} at a conductor temperature of {}", raw.conductor_temperature.written);
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
