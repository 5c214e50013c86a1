//! The line physics against an independent solution: `tests/cross/elastic_catenary.py` solved 1,000 generated spans with
//! SciPy and mpmath (versions in `tests/cross/requirements.txt`); its output is `tests/data/cross/elastic_catenary.csv`.
//!
//! State 1 gives the horizontal tension in still air; state 2 has another temperature, wind and ice. Compared are the
//! unstretched length, the horizontal and support tensions of state 2, its sag at nine places and where its middle hangs.

use std::collections::BTreeMap;
use std::fmt::Write;

use nalgebra::Point3;
use serde::Deserialize;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, Span, WindDirection, Wire, WireDescription,
};

const REFERENCE: &str = include_str!("../../data/cross/elastic_catenary.csv");
/// Largest relative difference that is accepted anywhere.
const ACCEPTED: f64 = 1e-9;

#[derive(Debug, Deserialize)]
struct Case {
    conductor: String,
    diameter_m: f64,
    mass_kg_per_m: f64,
    stiffness_n: f64,
    expansion_per_k: f64,
    strength_n: f64,
    span_m: f64,
    rise_m: f64,
    tension_n: f64,
    temperature_1_degc: f64,
    temperature_2_degc: f64,
    wind_m_per_s: f64,
    ice_m: f64,
    air_density_kg_per_m3: f64,
    drag: f64,
    ice_density_kg_per_m3: f64,
    unstretched_1_m: f64,
    horizontal_2_n: f64,
    near_tension_2_n: f64,
    far_tension_2_n: f64,
    sag_1_m: f64,
    sag_2_m: f64,
    sag_3_m: f64,
    sag_4_m: f64,
    sag_5_m: f64,
    sag_6_m: f64,
    sag_7_m: f64,
    sag_8_m: f64,
    sag_9_m: f64,
    /// Wire at the middle of the chord, to the left of the span and above the near end.
    left_5_m: f64,
    up_5_m: f64,
}

impl Case {
    fn sags_m(&self) -> [f64; 9] {
        let Self { sag_1_m, sag_2_m, sag_3_m, sag_4_m, sag_5_m, sag_6_m, sag_7_m, sag_8_m, sag_9_m, .. } = *self;
        [sag_1_m, sag_2_m, sag_3_m, sag_4_m, sag_5_m, sag_6_m, sag_7_m, sag_8_m, sag_9_m]
    }

    fn conductor(&self) -> Conductor {
        Conductor::new(ConductorProperties {
            diameter_m: self.diameter_m,
            mass_kg_per_m: self.mass_kg_per_m,
            axial_stiffness_n: self.stiffness_n,
            expansion_per_k: self.expansion_per_k,
            rated_strength_n: Some(self.strength_n),
        })
        .expect("a catalogue conductor")
    }

    /// The span in some direction on the map.
    fn span(&self, azimuth_rad: f64) -> Span {
        let from = Point3::new(0.0, 0.0, 10.0);
        let (sin, cos) = azimuth_rad.sin_cos();
        let to = Point3::new(self.span_m * cos, self.span_m * sin, 10.0 + self.rise_m);
        Span::new(from, to).expect("a possible span")
    }

    fn wire(&self, azimuth_rad: f64) -> Wire {
        let description = WireDescription {
            name: self.conductor.clone(),
            conductor: self.conductor(),
            spans: vec![self.span(azimuth_rad)],
            known_by: KnownBy::Tension {
                horizontal_n: point(self.tension_n),
                temperature_degc: point(self.temperature_1_degc),
            },
            permanent_strain: point(0.0),
            position_tolerance_m: 0.0,
        };
        let conditions = Conditions {
            temperature_degc: point(self.temperature_2_degc),
            wind_m_per_s: point(self.wind_m_per_s.abs()),
            wind_direction: WindDirection::Sector {
                from_rad: (-azimuth_rad.sin()).atan2(azimuth_rad.cos()),
                sweep_rad: 0.0,
            },
            ice_m: point(self.ice_m),
            ice_density_kg_per_m3: self.ice_density_kg_per_m3,
            air_density_kg_per_m3: self.air_density_kg_per_m3,
            drag: self.drag,
            wind_rise_rad: Interval::ZERO,
            loads_along_span: LoadsAlongSpan::Uniform,
            sway_allowance_m: 0.0,
        };
        Wire::new(description, &conditions).unwrap_or_else(|error| panic!("{}: {error}", self.conductor))
    }

    /// Relative differences by quantity.
    fn differences(&self, azimuth_rad: f64) -> Vec<(&'static str, f64)> {
        let wire = self.wire(azimuth_rad);
        let span = &wire.spans()[0];
        let before = span.nominal_state(self.temperature_1_degc, 0.0, 0.0);
        let after = span.nominal_state(self.temperature_2_degc, self.wind_m_per_s, self.ice_m);
        let shape = span.shape(&after).expect("a shape");
        let horizontal_n = shape.horizontal_n();
        let (near, far) = shape.catenary.end_tension_ratios();
        let mut found = vec![
            (LENGTH, relative(before.unstretched_m, self.unstretched_1_m)),
            (HORIZONTAL, relative(horizontal_n, self.horizontal_2_n)),
            (SUPPORT, relative(horizontal_n * near, self.near_tension_2_n)),
            (SUPPORT, relative(horizontal_n * far, self.far_tension_2_n)),
        ];
        let middle = span.point(&shape, 0.5) - span.span().from();
        let off_m = (middle.dot(&span.span().lateral()) - self.left_5_m).hypot(middle.z - self.up_5_m);
        found.push((PLACE, off_m / self.sag_5_m));
        let tenths = (1..10).map(|k| f64::from(k) / 10.0);
        found.extend(tenths.zip(self.sags_m()).map(|(t, sag_m)| (SAG, relative(shape.catenary.sag_m(t), sag_m))));
        found
    }
}

const LENGTH: &str = "unstretched length";
const HORIZONTAL: &str = "horizontal tension";
const SUPPORT: &str = "support tensions";
const PLACE: &str = "place of the middle, by the sag there";
const SAG: &str = "sag at 0.1 to 0.9 of the span";

fn point(value: f64) -> Interval {
    Interval::point(value).expect("finite")
}

fn relative(ours: f64, theirs: f64) -> f64 {
    ((ours - theirs) / theirs).abs()
}

fn cases() -> Vec<Case> {
    csv::Reader::from_reader(REFERENCE.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("the reference parses")
}

/// All relative differences, sorted, by quantity.
fn differences() -> BTreeMap<&'static str, Vec<f64>> {
    let mut by_quantity: BTreeMap<_, Vec<f64>> = BTreeMap::new();
    for (index, case) in cases().iter().enumerate() {
        for (quantity, difference) in case.differences(0.37 * index as f64) {
            assert!(difference < ACCEPTED, "case {index}, {quantity}: relative difference {difference:e}\n{case:?}");
            by_quantity.entry(quantity).or_default().push(difference);
        }
    }
    for values in by_quantity.values_mut() {
        values.sort_by(f64::total_cmp);
    }
    by_quantity
}

#[test]
fn the_reference_covers_what_it_says() {
    let cases = cases();
    let count = |test: fn(&Case) -> bool| cases.iter().filter(|case| test(case)).count();
    assert_eq!(cases.len(), 1000);
    assert!(count(|c| c.rise_m == 0.0) > 100 && count(|c| c.rise_m.abs() > 0.2 * c.span_m) > 100);
    assert!(count(|c| c.wind_m_per_s > 10.0) > 100 && count(|c| c.wind_m_per_s < -10.0) > 100);
    assert!(count(|c| c.ice_m > 0.01) > 100 && count(|c| c.temperature_2_degc > 75.0) > 100);
    assert!(count(|c| c.span_m < 50.0) > 100 && count(|c| c.span_m > 400.0) > 100);
    assert!(count(|c| c.unstretched_1_m < c.span_m.hypot(c.rise_m)) > 20, "some wires are shorter than their chord");
}

#[test]
fn shapes_agree_with_the_independent_solution() {
    wideberth_tests::generated::compare_or_bless("docs/cross-checks.md", &document(&differences()));
}

fn document(differences: &BTreeMap<&'static str, Vec<f64>>) -> String {
    let mut text = String::from(HEAD);
    for (quantity, sorted) in differences {
        let at = |share: f64| power_of_ten_above(sorted[((sorted.len() - 1) as f64 * share).ceil() as usize]);
        let _ = writeln!(
            text,
            "| {quantity} | {} | {} | {} | {} | {} |",
            sorted.len(),
            at(0.5),
            at(0.9),
            at(0.99),
            at(1.0)
        );
    }
    text
}

const HEAD: &str = "# Cross-checks

Generated by `tests/tests/conformance/cross_elastic_catenary.rs`; do not edit.

## Elastic catenary and change of state

`tests/cross/elastic_catenary.py` solves 1,000 generated spans (20 to 800 m, level and up to 30 % slope, conductors of the
catalogue, wind to 40 m/s from either side, ice to 25 mm, -40 to 120 degC) by root finding on the boundary-value equations of
the elastic catenary in space with SciPy, refined with mpmath to 40 digits. The code here must agree to 1e-9 everywhere.

Relative differences, each rounded up to a power of ten:

| Quantity | Values | Median | 90 % | 99 % | Maximum |
|---|---|---|---|---|---|
";

fn power_of_ten_above(value: f64) -> String {
    if value == 0.0 { "0".into() } else { format!("1e{}", value.log10().ceil()) }
}
