//! Checks of the catalogue against what its sources print.

use wideberth_scenario::catalogue::Catalogue;

use crate::published::data::{Check, Inputs};
use crate::published::judge::Computed;

type Outcome = Result<Computed, String>;

pub fn catalogue_row(check: &Check) -> Outcome {
    let catalogue = Catalogue::embedded().map_err(|error| error.to_string())?;
    let entry = catalogue.find(&check.catalogue_id).ok_or("not in the catalogue")?;
    let computed = Computed::default()
        .with("diameter", entry.diameter_m)
        .with("area", entry.area_m2)
        .with("mass", entry.mass_kg_per_m);
    Ok(match entry.rated_strength_n {
        Some(strength_n) => computed.with("strength", strength_n),
        None => computed,
    })
}

/// E = (E_a + q·E_s)/(1 + q), α = (α_a·E_a + q·α_s·E_s)/((1 + q)·E), q steel over aluminium area: the rule by which the
/// catalogue fills strandings that no table lists.
pub fn rule_of_mixtures(inputs: &Inputs) -> Outcome {
    let share = inputs.si("steel_to_aluminium");
    let (aluminium, steel) = (inputs.si("aluminium_modulus"), share * inputs.si("steel_modulus"));
    let pull = aluminium * inputs.si("aluminium_expansion") + steel * inputs.si("steel_expansion");
    Ok(Computed::default()
        .with("modulus", (aluminium + steel) / (1.0 + share))
        .with("expansion", pull / (aluminium + steel)))
}
