//! What a wire may be where only the class of its line is known.
//!
//! Common practice for the classes, from memory: rural single-phase 4 AWG to 1/0 AWG ACSR, three-phase distribution 1/0 AWG to
//! 795 kcmil, lines of 46 kV and more 336.4 to 1590 kcmil; strung with 8 % to 25 % of the rated strength at 15 °C.

use wideberth_physics::interval::Interval;

use crate::catalogue::{Catalogue, CatalogueEntry, ConductorType};
use crate::raw::WireClassWord;

/// Area of aluminium in one kcmil, m².
const KCMIL_M2: f64 = 5.067_074_790_975e-7;
/// Share of the rated strength that lines are strung with, at [`STRUNG_DEGC`] (common practice, from memory).
pub(super) const STRUNG_SHARE: [f64; 2] = [0.08, 0.25];
/// Temperature that stringing tensions are stated at, °C.
pub(super) const STRUNG_DEGC: f64 = 15.0;

/// Range of the metal's area in a class, kcmil of aluminium; 4 AWG has 41.7, 1/0 AWG 105.6. The steel of the core adds up to a fifth.
fn area_kcmil(class: WireClassWord) -> [f64; 2] {
    match class {
        WireClassWord::RuralSinglePhase => [41.0, 130.0],
        WireClassWord::ThreePhaseDistribution => [105.0, 980.0],
        WireClassWord::SubTransmission => [336.0, 1850.0],
    }
}

/// The conductors of a class: rows of the catalogue with a rated strength, steel-cored or all aluminium.
pub(super) fn conductors(class: WireClassWord, catalogue: &Catalogue) -> Vec<&CatalogueEntry> {
    let [least, most] = area_kcmil(class).map(|kcmil| kcmil * KCMIL_M2);
    let steel_cored_only = class == WireClassWord::RuralSinglePhase;
    let fits = |entry: &&CatalogueEntry| {
        let kind = match entry.conductor_type {
            ConductorType::Acsr => true,
            ConductorType::Aac | ConductorType::Aaac => !steel_cored_only,
            _ => false,
        };
        kind && entry.rated_strength_n.is_some() && (least..=most).contains(&entry.area_m2)
    };
    thinned(catalogue.entries().iter().filter(fits).collect())
}

/// Rows that differ only by their source or in the last digits count once: of rows whose weight, stiffness, expansion and strength all
/// agree within 2 %, the first is kept.
fn thinned(entries: Vec<&CatalogueEntry>) -> Vec<&CatalogueEntry> {
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 0.02;
    let same = |a: &CatalogueEntry, b: &CatalogueEntry| {
        near(a.mass_kg_per_m, b.mass_kg_per_m)
            && near(a.diameter_m, b.diameter_m)
            && near(a.stiffness_n(), b.stiffness_n())
            && near(a.expansion_per_k, b.expansion_per_k)
            && near(a.rated_strength_n.unwrap_or(0.0), b.rated_strength_n.unwrap_or(0.0))
    };
    let mut kept: Vec<&CatalogueEntry> = Vec::new();
    for entry in entries {
        if !kept.iter().any(|other| same(entry, other)) {
            kept.push(entry);
        }
    }
    kept
}

/// The tension that any line is strung with, as a share of the rated strength.
pub(super) fn strung_share() -> Option<Interval> {
    Interval::new(STRUNG_SHARE[0], STRUNG_SHARE[1]).ok()
}
