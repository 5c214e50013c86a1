//! The conductor is in the catalogue, or its own data fit together.

use std::f64::consts::FRAC_PI_4;

use crate::catalogue::Catalogue;
use crate::code::Code;
use crate::here::Here;
use crate::lower::conductor_of;
use crate::nearest::nearest;
use crate::problem::Problems;
use crate::raw::RawConductorRef;

/// What rounding may add to the metal of a solid wire, as a share.
const ROUNDING: f64 = 0.02;

pub(super) fn check(raw: &RawConductorRef, here: &Here<'_>, catalogue: &Catalogue) -> Problems {
    if let RawConductorRef::Catalogue(id) = raw
        && catalogue.find(id).is_none()
    {
        let ids = catalogue.entries().iter().map(|entry| entry.id.as_str());
        let help = match nearest(id, ids) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "docs/conductors.md lists the ids; or give the conductor's own data".into(),
        };
        return here.problem(Code::UnknownConductor, format!("the catalogue has no conductor \"{id}\""), help).into();
    }
    match conductor_of(raw, catalogue) {
        Some(Err(error)) => {
            let help = "check each number and its unit against the maker's catalogue";
            here.problem(Code::Conductor, error.to_string(), help).into()
        }
        Some(Ok(_)) | None => metal(raw, here),
    }
}

/// Metal cannot fill more than the circle of the diameter.
fn metal(raw: &RawConductorRef, here: &Here<'_>) -> Problems {
    let RawConductorRef::Own(own) = raw else { return Problems::none() };
    let circle_m2 = FRAC_PI_4 * own.diameter.si.powi(2);
    if own.area.si <= circle_m2 * (1.0 + ROUNDING) {
        return Problems::none();
    }
    let message = format!(
        "{} of metal do not fit into a diameter of {}, which holds {:.1} mm2",
        own.area.written,
        own.diameter.written,
        1e6 * circle_m2
    );
    let help = "check both numbers and their units against the maker's catalogue";
    here.key("area").problem(Code::Conductor, message, help).into()
}
