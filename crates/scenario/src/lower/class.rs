//! What a wire may be where only the class of its line is known.
//!
//! Common practice for the classes, from memory: rural single-phase 4 AWG to 1/0 AWG of aluminium, three-phase distribution 1/0 AWG to
//! 795 kcmil, lines of 46 kV and more 336.4 to 1590 kcmil, and the copper, copper-covered steel and steel wires that old lines of each
//! class still carry; strung with 8 % to 25 % of the rated strength at 15 °C.

use wideberth_physics::interval::Interval;

use crate::catalogue::{Catalogue, CatalogueEntry, ConductorType};
use crate::raw::WireClassWord;

/// Share of the rated strength that lines are strung with, at [`STRUNG_DEGC`] (common practice, from memory).
pub(super) const STRUNG_SHARE: [f64; 2] = [0.08, 0.25];
/// Temperature that stringing tensions are stated at, °C.
pub(super) const STRUNG_DEGC: f64 = 15.0;

/// Ranges of the area of the whole metal in a class, mm²: what such lines carry, new and old (common practice, from memory). Aluminium
/// with or without a core of steel, copper, steel covered with copper, steel.
fn areas_mm2(class: WireClassWord, conductor_type: ConductorType) -> Option<[f64; 2]> {
    use ConductorType::{Aaac, Aac, Acsr, Copper, CopperCoveredSteel, Steel};
    match (class, conductor_type) {
        // 4 AWG to 1/0 AWG: 21.1 to 53.5 mm² of aluminium and up to a fifth of steel.
        (WireClassWord::RuralSinglePhase, Acsr | Aac | Aaac) => Some([20.5, 66.0]),
        (WireClassWord::RuralSinglePhase, Copper) => Some([8.0, 54.0]),
        (WireClassWord::RuralSinglePhase, CopperCoveredSteel) => Some([6.0, 60.0]),
        (WireClassWord::RuralSinglePhase, Steel) => Some([8.0, 30.0]),
        // 1/0 AWG to 795 kcmil.
        (WireClassWord::ThreePhaseDistribution, Acsr | Aac | Aaac) => Some([53.0, 497.0]),
        (WireClassWord::ThreePhaseDistribution, Copper) => Some([21.0, 254.0]),
        (WireClassWord::ThreePhaseDistribution, CopperCoveredSteel) => Some([15.0, 94.0]),
        // 336.4 to 1590 kcmil.
        (WireClassWord::SubTransmission, Acsr | Aac | Aaac) => Some([170.0, 938.0]),
        (WireClassWord::SubTransmission, Copper) => Some([53.0, 254.0]),
        (WireClassWord::SubTransmission, CopperCoveredSteel) | (_, Steel) => None,
    }
}

/// The conductors of a class: rows of the catalogue with a rated strength.
pub(super) fn conductors(class: WireClassWord, catalogue: &Catalogue) -> Vec<&CatalogueEntry> {
    let fits = |entry: &&CatalogueEntry| {
        let area_mm2 = 1e6 * entry.area_m2;
        let within =
            areas_mm2(class, entry.conductor_type).is_some_and(|[least, most]| (least..=most).contains(&area_mm2));
        within && entry.rated_strength_n.is_some()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_class_holds_what_old_lines_carry() {
        let catalogue = Catalogue::embedded().unwrap();
        let kinds =
            |class: WireClassWord| conductors(class, &catalogue).iter().map(|e| e.conductor_type).collect::<Vec<_>>();
        let rural = kinds(WireClassWord::RuralSinglePhase);
        for kind in [
            ConductorType::Acsr,
            ConductorType::Aac,
            ConductorType::Copper,
            ConductorType::CopperCoveredSteel,
            ConductorType::Steel,
        ] {
            assert!(rural.contains(&kind), "{kind:?}");
        }
        assert!(kinds(WireClassWord::ThreePhaseDistribution).contains(&ConductorType::Copper));
    }
}
