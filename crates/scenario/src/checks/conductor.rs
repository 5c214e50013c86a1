//! The conductor is in the catalogue, or its own data fit together.

use crate::catalogue::Catalogue;
use crate::code::Code;
use crate::here::Here;
use crate::lower::conductor_of;
use crate::nearest::nearest;
use crate::problem::Problems;
use crate::raw::RawConductorRef;

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
        Some(Ok(_)) | None => Problems::none(),
    }
}
