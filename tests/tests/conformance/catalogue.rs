//! The conductor catalogue against itself: each row must be a conductor that could exist.

use std::collections::HashSet;
use std::f64::consts::PI;

use wideberth_scenario::catalogue::{Catalogue, CatalogueEntry, CatalogueError, ConductorType, Provenance};

fn catalogue() -> Catalogue {
    Catalogue::embedded().expect("the embedded catalogue parses")
}

fn assert_within(entry: &CatalogueEntry, what: &str, value: f64, least: f64, most: f64) {
    assert!((least..=most).contains(&value), "{}: {what} is {value}, outside {least} to {most}", entry.id);
}

#[test]
fn ids_are_unique_kebab_case() {
    let catalogue = catalogue();
    let ids: HashSet<_> = catalogue.entries().iter().map(|entry| &entry.id).collect();
    assert_eq!(ids.len(), catalogue.entries().len());
    for id in ids {
        let plain = id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
        assert!(plain && !id.contains("--") && !id.ends_with('-'), "{id}");
    }
}

#[test]
fn every_kind_is_there() {
    let catalogue = catalogue();
    let count = |kind| catalogue.entries().iter().filter(|e| e.conductor_type == kind).count();
    assert_eq!(count(ConductorType::Acsr), 102);
    assert_eq!(count(ConductorType::Aac), 35);
    assert_eq!(count(ConductorType::Aaac), 14);
    assert_eq!(count(ConductorType::Copper), 13);
    assert_eq!(count(ConductorType::CopperCoveredSteel), 11);
    assert_eq!(count(ConductorType::Steel), 3);
}

#[test]
fn quantities_lie_in_the_range_of_overhead_conductors() {
    for entry in catalogue().entries() {
        assert_within(entry, "area_m2", entry.area_m2, 5e-6, 1300e-6);
        assert_within(entry, "diameter_m", entry.diameter_m, 2.5e-3, 50e-3);
        assert_within(entry, "modulus_pa", entry.modulus_pa, 50e9, 205e9);
        assert_within(entry, "expansion_per_k", entry.expansion_per_k, 11e-6, 23.1e-6);
        assert!(!entry.citation.source.is_empty() && !entry.modulus_citation.source.is_empty());
    }
}

/// Mass over area. Wires lie at an angle, which adds 1 to 3 %; ACSR lies between 5 % and 40 % steel by area.
/// Densities: aluminium 2703, copper 8890, steel 7780, copper-covered steel 8150 kg/m³ (handbook values,
/// from memory).
#[test]
fn mass_fits_the_area_and_the_material() {
    for entry in catalogue().entries() {
        let (least, most) = match entry.conductor_type {
            ConductorType::Acsr => (2850.0, 4700.0),
            ConductorType::Aac | ConductorType::Aaac => (2703.0, 2703.0 * 1.03),
            ConductorType::Copper => (8890.0, 8890.0 * 1.03),
            ConductorType::CopperCoveredSteel => (8100.0, 8260.0),
            ConductorType::Steel => (7780.0, 7780.0 * 1.03),
        };
        let density = entry.mass_kg_per_m / entry.area_m2;
        assert_within(entry, "mass over area", density, least, most);
    }
}

/// Conductors of one stranding share one density, so that a slip of 1 % in the mass of a row is caught.
#[test]
fn acsr_of_one_stranding_share_one_density() {
    let catalogue = catalogue();
    let acsr: Vec<_> = catalogue.entries().iter().filter(|e| e.conductor_type == ConductorType::Acsr).collect();
    for one in &acsr {
        for other in acsr.iter().filter(|other| other.stranding == one.stranding) {
            let ratio = (one.mass_kg_per_m / one.area_m2) / (other.mass_kg_per_m / other.area_m2);
            assert_within(one, &format!("density over that of {}", other.id), ratio, 0.99, 1.0101);
        }
    }
}

/// Round wires fill 72 to 82 % of the circle around them, three wires 64 to 65 % (3/(1+2/√3)² = 0.6462), one
/// wire all of it; the printed digits add 1 %.
#[test]
fn diameter_fits_the_area() {
    for entry in catalogue().entries() {
        let filled = entry.area_m2 / (PI / 4.0 * entry.diameter_m * entry.diameter_m);
        let (least, most) = match entry.stranding.as_str() {
            "solid" => (0.99, 1.01),
            "3" => (0.64, 0.652),
            _ => (0.72, 0.81),
        };
        assert_within(entry, "filled part of the circle", filled, least, most);
    }
}

/// Strength over area: 1350-H19 aluminium 150 to 195 MPa, 6201-T81 alloy 285 to 320 MPa, ACSR between
/// aluminium and steel, hard copper 310 to 350 MPa, steel wire of the table 310 to 320 MPa.
#[test]
fn strength_fits_the_area() {
    for entry in catalogue().entries() {
        let Some(strength_n) = entry.rated_strength_n else {
            continue;
        };
        let (least, most) = match entry.conductor_type {
            ConductorType::Acsr => (190e6, 420e6),
            ConductorType::Aac => (150e6, 195e6),
            ConductorType::Aaac => (280e6, 325e6),
            ConductorType::Copper => (310e6, 350e6),
            ConductorType::CopperCoveredSteel => (650e6, 930e6),
            ConductorType::Steel => (310e6, 320e6),
        };
        assert_within(entry, "strength over area", strength_n / entry.area_m2, least, most);
    }
}

/// Resistance times area is the resistivity: aluminium 28.26 nΩ·m, 6201 alloy 32.84 nΩ·m (61 and 52.5 % of
/// annealed copper), 1 to 3 % more by the lay; the steel core of ACSR takes a little current and adds area.
#[test]
fn direct_current_resistance_fits_the_area() {
    for entry in catalogue().entries() {
        let resistance = entry.dc_resistance_20degc_ohm_per_m.or(entry.dc_resistance_max_20degc_ohm_per_m);
        let Some(resistance) = resistance else {
            continue;
        };
        let (least, most) = match entry.conductor_type {
            ConductorType::Aac => (28.0e-9, 29.3e-9),
            ConductorType::Aaac => (32.8e-9, 33.9e-9),
            _ => (29.0e-9, 36.5e-9),
        };
        assert_within(entry, "resistivity", resistance * entry.area_m2, least, most);
    }
}

/// Where no table lists the stranding, the rule of mixtures with aluminium 59.295 GPa and 23.04e-6/K, steel 189.61 GPa and
/// 11.52e-6/K (handbook, from memory); for n/1 with equal wires the steel share is 1/n.
#[test]
fn strandings_without_a_table_follow_the_rule_of_mixtures() {
    let catalogue = catalogue();
    for (stranding, wires) in [("18/1", 18.0), ("36/1", 36.0)] {
        for entry in catalogue.entries().iter().filter(|entry| entry.stranding == stranding) {
            let pull_gpa = wires * 59.295 + 189.606;
            let expansion = (wires * 59.295 * 23.04e-6 + 189.606 * 11.52e-6) / pull_gpa;
            approx::assert_relative_eq!(entry.modulus_pa, pull_gpa / (wires + 1.0) * 1e9, max_relative = 1e-3);
            approx::assert_relative_eq!(entry.expansion_per_k, expansion, max_relative = 1e-3);
        }
    }
}

#[test]
fn a_known_row_comes_out_in_si() {
    // General Order 95, Appendix B, Table 18 and Appendix C(a): 4/0, 7 wires, 0.527 in, 653.3 lb/1000 ft,
    // 7772 lb, 17.0e6 psi, 9.4e-6 per degF. Seen.
    let catalogue = catalogue();
    let copper = catalogue.find("copper-4-0-7").expect("4/0 copper is in the catalogue");
    approx::assert_relative_eq!(copper.diameter_m, 0.527 * 0.0254, max_relative = 1e-4);
    approx::assert_relative_eq!(copper.mass_kg_per_m, 0.6533 * 1.488_164, max_relative = 1e-5);
    let strength_n = copper.rated_strength_n.expect("strength is printed");
    approx::assert_relative_eq!(strength_n, 7772.0 * 4.448_222, max_relative = 1e-4);
    approx::assert_relative_eq!(copper.modulus_pa, 17.0e6 * 6894.757, max_relative = 1e-4);
    approx::assert_relative_eq!(copper.expansion_per_k, 9.4e-6 * 1.8, max_relative = 1e-9);
    assert_eq!(copper.weakest_provenance(), Provenance::Seen);
}

#[test]
fn the_line_physics_accepts_every_row() {
    for entry in catalogue().entries() {
        let conductor = wideberth_physics::line::Conductor::new(entry.properties());
        assert!(conductor.is_ok(), "{}: {conductor:?}", entry.id);
    }
}

#[test]
fn a_row_from_memory_says_so() {
    let catalogue = catalogue();
    let drake = catalogue.find("acsr-drake-795-26-7").expect("Drake is in the catalogue");
    assert_eq!(drake.citation.provenance, Provenance::FromMemory);
    let raven = catalogue.find("acsr-raven-1-0-6-1-b232").expect("Raven is in the catalogue");
    assert_eq!(raven.weakest_provenance(), Provenance::Seen);
}

#[test]
fn a_misspelt_id_finds_its_neighbour() {
    let catalogue = catalogue();
    assert!(catalogue.find("acsr-darke-795-26-7").is_none());
    let near = catalogue.nearest("ACSR-darke-795-26-7").expect("a neighbour");
    assert_eq!(near.id, "acsr-drake-795-26-7");
    assert!(catalogue.nearest("zzzz").is_none());
}

const HEADER: &str = include_str!("../../../assets/conductors.csv");

fn with_row(row: &str) -> Result<Catalogue, CatalogueError> {
    let header = HEADER.lines().next().unwrap_or_default();
    Catalogue::parse(&format!("{header}\n{row}\n"))
}

const GOOD: &str = "a,,steel,,solid,13,4.1,0.1,,200,1e-6,,,,,,s,seen,s,seen,s,seen,,,,";

#[test]
fn impossible_rows_are_refused() {
    assert!(with_row(GOOD).is_ok());
    let negative = with_row(&GOOD.replace(",0.1,", ",-0.1,"));
    assert!(matches!(negative, Err(CatalogueError::NotPositive { column: "mass_kg_per_m", .. })));
    let not_a_number = with_row(&GOOD.replace(",200,", ",NaN,"));
    assert!(matches!(not_a_number, Err(CatalogueError::NotPositive { column: "modulus_gpa", .. })));
    let twice = with_row(&format!("{GOOD}\n{GOOD}"));
    assert!(matches!(twice, Err(CatalogueError::DuplicateId { .. })));
    assert!(matches!(with_row(&GOOD.replace("seen", "heard")), Err(CatalogueError::Row(_))));
}
