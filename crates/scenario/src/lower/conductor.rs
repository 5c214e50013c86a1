//! Conductors: from the catalogue or from their own data.

use wideberth_physics::line::{Conductor, ConductorError, ConductorProperties};

use super::class::conductors;
use super::heating::Metal;
use crate::catalogue::{Catalogue, CatalogueEntry, Provenance};
use crate::job::ConductorInfo;
use crate::raw::{RawConductor, RawConductorRef};

/// The conductor and what reports say of it; none when the catalogue does not have it.
pub(crate) fn conductor_of(
    raw: &RawConductorRef,
    catalogue: &Catalogue,
) -> Option<Result<(Conductor, ConductorInfo), ConductorError>> {
    match raw {
        RawConductorRef::Catalogue(id) => catalogue.find(id).map(from_catalogue),
        RawConductorRef::Own(own) => Some(from_own(own)),
        RawConductorRef::Class(_) => None,
    }
}

/// What a conductor may be: its own properties, what reports say of it, and its metal.
pub(super) struct Candidate {
    pub conductor: Conductor,
    pub info: ConductorInfo,
    pub metal: Metal,
    /// Metal of its core, m², where the catalogue has it.
    pub core_area_m2: Option<f64>,
}

/// Every conductor that a reference may mean: one, or those of a class.
pub(super) fn candidates(raw: &RawConductorRef, catalogue: &Catalogue) -> Result<Vec<Candidate>, ConductorError> {
    let of_entry = |entry: &CatalogueEntry| {
        let (conductor, info) = from_catalogue(entry)?;
        Ok(Candidate { conductor, info, metal: Metal::of_entry(entry), core_area_m2: entry.core_area_m2 })
    };
    match raw {
        RawConductorRef::Catalogue(id) => catalogue.find(id).map(of_entry).into_iter().collect(),
        RawConductorRef::Class(class) => conductors(class.class, catalogue).into_iter().map(of_entry).collect(),
        RawConductorRef::Own(own) => {
            let (conductor, info) = from_own(own)?;
            Ok(vec![Candidate { conductor, info, metal: Metal::of_own(own), core_area_m2: None }])
        }
    }
}

fn from_catalogue(entry: &CatalogueEntry) -> Result<(Conductor, ConductorInfo), ConductorError> {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: entry.diameter_m,
        mass_kg_per_m: entry.mass_kg_per_m,
        axial_stiffness_n: entry.stiffness_n(),
        expansion_per_k: entry.expansion_per_k,
        rated_strength_n: entry.rated_strength_n,
    })?;
    let from_memory = entry.weakest_provenance() == Provenance::FromMemory;
    Ok((conductor, ConductorInfo { name: entry.id.clone(), source: entry.citation.source.clone(), from_memory }))
}

fn from_own(own: &RawConductor) -> Result<(Conductor, ConductorInfo), ConductorError> {
    let conductor = Conductor::new(ConductorProperties {
        diameter_m: own.diameter.si,
        mass_kg_per_m: own.mass.si,
        axial_stiffness_n: own.modulus.si * own.area.si,
        expansion_per_k: own.expansion.si,
        rated_strength_n: own.strength.as_ref().map(|strength| strength.si),
    })?;
    let name = own.name.clone().unwrap_or_else(|| "own data".into());
    let source = own.source.clone().unwrap_or_else(|| "the scenario, which names no source".into());
    Ok((conductor, ConductorInfo { name, source, from_memory: false }))
}
