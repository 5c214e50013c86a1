//! Published values: what books, standards and calculation sheets print against what the code computes.
//!
//! The values stand in `tests/data/published/*.json`, each with its source, the printed unit and the tolerance of its
//! digits. Known misprints must stay disagreements. `docs/published-values.md` is generated from here.

mod conductors;
mod data;
mod heat;
mod history;
mod judge;
mod loads;
mod parabola;
mod root;
mod spans;
mod states;
mod strings;
mod sway;
mod table;
mod units;

use std::collections::HashSet;

use data::{Check, Expect, FILES, Kind, checks};
use judge::{Computed, judge};

fn compute(check: &Check) -> Result<Computed, String> {
    let inputs = &check.inputs;
    match check.kind {
        Kind::LevelByTension => spans::level_by_tension(inputs),
        Kind::LevelBySag => spans::level_by_sag(inputs),
        Kind::LevelByGreatestTension => spans::level_by_greatest_tension(inputs),
        Kind::ByLengthAndSag => spans::by_length_and_sag(inputs),
        Kind::SagAtPoint => spans::sag_at_point(inputs),
        Kind::WeightInSpan => spans::weight_in_span(inputs),
        Kind::UnlevelByTension => spans::unlevel_by_tension(inputs),
        Kind::TensionFromMidHeight => spans::tension_from_mid_height(inputs),
        Kind::ElasticCatenary => spans::elastic_catenary(inputs),
        Kind::GroundedLine => spans::grounded_line(inputs),
        Kind::SagFromMeanTension => states::sag_from_mean_tension(inputs),
        Kind::ChangeOfState => states::change_of_state(inputs),
        Kind::ThermalElongation => states::thermal_elongation(inputs),
        Kind::StateConstant => states::state_constant(inputs),
        Kind::DistrictLoads => loads::district_loads(inputs),
        Kind::LoadedSag => loads::loaded_sag(inputs),
        Kind::SpanForSag => loads::span_for_sag(inputs),
        Kind::WindPressure => loads::wind_pressure(inputs),
        Kind::TowerLoad => loads::tower_load(inputs),
        Kind::Swing => loads::swing(inputs),
        Kind::StringSwing => strings::string_swing(inputs),
        Kind::RulingSpan => strings::ruling_span(inputs),
        Kind::CatalogueRow => conductors::catalogue_row(check),
        Kind::RuleOfMixtures => conductors::rule_of_mixtures(inputs),
        Kind::Knee => history::knee(inputs),
        Kind::InitialLine => history::initial_line(inputs),
        Kind::HeatBalance => heat::heat_balance(inputs),
        Kind::HeatCapacity => heat::heat_capacity(inputs),
        Kind::TemperatureByCurrent => heat::temperature_by_current(inputs),
        Kind::TemperatureInTime => heat::temperature_in_time(inputs),
        Kind::CableFrequency => sway::cable_frequency(inputs),
        Kind::SpanFrequencies => sway::span_frequencies(inputs),
        Kind::Later => Ok(Computed::default()),
    }
}

/// Judges every output of a file and reports all failures at once.
fn assert_all(file: &str) {
    let failures: Vec<String> = checks(file)
        .iter()
        .flat_map(|check| {
            let computed = compute(check);
            check.outputs.iter().filter_map(|output| judge(check, output, &computed).failure).collect::<Vec<_>>()
        })
        .collect();
    assert!(failures.is_empty(), "{} values of {file}:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn level_spans() {
    assert_all("catenary");
}

#[test]
fn unlevel_spans() {
    assert_all("unlevel");
}

#[test]
fn changes_of_state() {
    assert_all("state-change");
}

#[test]
fn weight_ice_and_wind() {
    assert_all("loads");
}

#[test]
fn wind_pressure() {
    assert_all("wind");
}

#[test]
fn swing() {
    assert_all("swing");
}

#[test]
fn elastic_catenary() {
    assert_all("elastic");
}

#[test]
fn frequencies_of_swaying_wires() {
    assert_all("sway");
}

#[test]
fn conductor_data() {
    assert_all("conductors");
}

#[test]
fn conductor_temperature() {
    assert_all("heat");
}

#[test]
fn every_check_has_its_own_id_a_source_and_something_to_compare() {
    let mut ids = HashSet::new();
    for (file, ..) in FILES {
        for check in checks(file) {
            assert!(!check.source.is_empty() && !check.outputs.is_empty(), "{}", check.id);
            assert!(["seen", "from memory", "recomputed", "constructed"].contains(&check.tag.as_str()), "{}", check.id);
            let explained = |o: &data::Output| o.expect == Expect::Agrees || !o.why.is_empty();
            assert!(check.outputs.iter().all(explained), "{}: a disagreement needs its reason", check.id);
            assert!(ids.insert(check.id.clone()), "{} occurs twice", check.id);
        }
    }
    assert_eq!(ids.len(), 287);
}

#[test]
fn the_document_is_up_to_date() {
    wideberth_tests::generated::compare_or_bless("docs/published-values.md", &table::document(compute));
}
