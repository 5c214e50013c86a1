//! String-hung sections against an independent solution: `tests/cross/string_section.py` minimised the total potential energy
//! of 200 generated sections with SciPy (versions in `tests/cross/requirements.txt`); its output is
//! `tests/data/cross/string_section.csv`.

use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};
use std::fmt::Write;

use nalgebra::Point3;
use serde::Deserialize;
use wideberth_physics::interval::Interval;
use wideberth_physics::line::{
    Conditions, Conductor, ConductorProperties, KnownBy, LoadsAlongSpan, SectionState, Span, SuspensionString,
    WindDirection, Wire, WireDescription,
};

const REFERENCE: &str = include_str!("../../data/cross/string_section.csv");
/// Largest relative difference of a length or tension that is accepted anywhere.
const ACCEPTED: f64 = 1e-9;
/// Largest distance between the strings' lower ends that is accepted anywhere, m.
const ACCEPTED_M: f64 = 1e-6;

/// One span of a section; its far end hangs on a string, the last one's is rigid.
#[derive(Debug, Deserialize)]
struct Row {
    section: usize,
    mass_kg_per_m: f64,
    diameter_m: f64,
    stiffness_n: f64,
    expansion_per_k: f64,
    clamped_n: f64,
    string_length_m: f64,
    string_weight_n: f64,
    string_area_m2: f64,
    rise_k: f64,
    wind_m_per_s: f64,
    ice_m: f64,
    near_x_m: f64,
    near_z_m: f64,
    far_x_m: f64,
    far_z_m: f64,
    unstretched_m: f64,
    horizontal_n: f64,
    end_x_m: f64,
    end_y_m: f64,
    end_z_m: f64,
}

fn point(value: f64) -> Interval {
    Interval::point(value).expect("finite")
}

fn sections() -> Vec<Vec<Row>> {
    let rows = csv::Reader::from_reader(REFERENCE.as_bytes()).deserialize().collect::<Result<Vec<Row>, _>>();
    let mut sections: Vec<Vec<Row>> = Vec::new();
    for row in rows.expect("the reference parses") {
        if row.section == sections.len() {
            sections.push(Vec::new());
        }
        sections.last_mut().expect("sections are numbered from 0").push(row);
    }
    sections
}

/// A section turned to some bearing on the map: x along the line becomes `way`.
struct Turned<'a> {
    rows: &'a [Row],
    azimuth_rad: f64,
}

impl Turned<'_> {
    fn at(&self, x: f64, y: f64, z: f64) -> Point3<f64> {
        let (sin, cos) = self.azimuth_rad.sin_cos();
        Point3::new(x * cos - y * sin, x * sin + y * cos, z)
    }

    fn wire(&self) -> Wire {
        let row = &self.rows[0];
        let conductor = Conductor::new(ConductorProperties {
            diameter_m: row.diameter_m,
            mass_kg_per_m: row.mass_kg_per_m,
            axial_stiffness_n: row.stiffness_n,
            expansion_per_k: row.expansion_per_k,
            rated_strength_n: None,
        });
        let spans = self.rows.iter().map(|r| {
            Span::new(self.at(r.near_x_m, 0.0, r.near_z_m), self.at(r.far_x_m, 0.0, r.far_z_m))
                .expect("a possible span")
        });
        let description = WireDescription {
            name: "hung".into(),
            conductor: conductor.expect("a possible conductor"),
            spans: spans.collect(),
            known_by: KnownBy::Tension { horizontal_n: point(row.clamped_n), temperature_degc: point(0.0) },
            permanent_strain: point(0.0),
            position_tolerance_m: 0.0,
        };
        let string = SuspensionString {
            length_m: row.string_length_m,
            weight_n: row.string_weight_n,
            wind_area_m2: row.string_area_m2,
        };
        let strings: Vec<_> = (0..self.rows.len()).map(|k| (k > 0).then_some(string)).collect();
        let conditions = Conditions {
            temperature_degc: point(row.rise_k),
            wind_m_per_s: point(row.wind_m_per_s.abs()),
            wind_direction: WindDirection::Sector { from_rad: self.wind_from_rad(), sweep_rad: 0.0 },
            ice_m: point(row.ice_m),
            ice_density_kg_per_m3: 913.0,
            air_density_kg_per_m3: 1.225,
            drag: 1.0,
            wind_rise_rad: Interval::ZERO,
            loads_along_span: LoadsAlongSpan::Uniform,
            sway_allowance_m: 0.0,
        };
        Wire::with_strings(description, &strings, &conditions).unwrap_or_else(|e| panic!("{}: {e}", row.section))
    }

    /// From the right for a wind to the left, which is positive.
    fn wind_from_rad(&self) -> f64 {
        let left_rad = -self.azimuth_rad;
        if self.rows[0].wind_m_per_s >= 0.0 { left_rad + PI } else { left_rad }
    }

    fn differences(&self) -> Vec<(&'static str, f64)> {
        let (wire, first) = (self.wire(), &self.rows[0]);
        let state = SectionState {
            clamped_n: first.clamped_n,
            growth: 1.0 + first.expansion_per_k * first.rise_k,
            wind_m_per_s: first.wind_m_per_s.abs(),
            wind_from_rad: self.wind_from_rad(),
            ice_m: first.ice_m,
        };
        let mut found = Vec::new();
        for (row, span) in self.rows.iter().zip(wire.spans()) {
            let placed = span.placed_in(&state).expect("a string-hung span").expect("a shape");
            let end = self.at(row.end_x_m, row.end_y_m, row.end_z_m);
            found.push((LENGTH, relative(placed.state.unstretched_m, row.unstretched_m)));
            found.push((HORIZONTAL, relative(placed.shape.horizontal_n(), row.horizontal_n)));
            found.push((END, (placed.shape.span.to() - end).norm()));
        }
        found
    }
}

const LENGTH: &str = "unstretched length, relative";
const HORIZONTAL: &str = "horizontal tension, relative";
const END: &str = "lower end of a string, m";

fn relative(ours: f64, theirs: f64) -> f64 {
    ((ours - theirs) / theirs).abs()
}

#[test]
fn the_reference_covers_what_it_says() {
    let sections = sections();
    let count = |test: &dyn Fn(&[Row]) -> bool| sections.iter().filter(|rows| test(rows)).count();
    assert_eq!(sections.len(), 200);
    assert!(count(&|s| s.len() == 2) > 20 && count(&|s| s.len() == 5) > 20);
    assert!(count(&|s| s[0].wind_m_per_s > 10.0) > 30 && count(&|s| s[0].wind_m_per_s < -10.0) > 30);
    assert!(count(&|s| s[0].ice_m > 0.005) > 20 && count(&|s| s[0].rise_k > 30.0) > 30);
    let moved = |row: &Row| (row.end_x_m - row.far_x_m).abs();
    assert!(count(&|s| s.iter().any(|row| moved(row) > 0.04)) > 20, "strings swing along the line");
    assert!(count(&|s| s.iter().any(|row| row.end_y_m.abs() > 0.3)) > 50, "strings swing across");
}

#[test]
fn sections_agree_with_the_independent_solution() {
    let mut by_quantity: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (index, rows) in sections().iter().enumerate() {
        for (quantity, difference) in (Turned { rows, azimuth_rad: (0.41 * index as f64) % TAU }).differences() {
            let accepted = if quantity == END { ACCEPTED_M } else { ACCEPTED };
            assert!(difference < accepted, "section {index}, {quantity}: {difference:e}");
            by_quantity.entry(quantity).or_default().push(difference);
        }
    }
    wideberth_tests::generated::compare_or_bless("docs/cross-checks-strings.md", &document(by_quantity));
}

fn document(differences: BTreeMap<&str, Vec<f64>>) -> String {
    let mut text = String::from(HEAD);
    for (quantity, mut values) in differences {
        values.sort_by(f64::total_cmp);
        let at = |share: f64| power_of_ten_above(values[((values.len() - 1) as f64 * share).ceil() as usize]);
        let (half, most, nearly, all) = (at(0.5), at(0.9), at(0.99), at(1.0));
        let _ = writeln!(text, "| {quantity} | {} | {half} | {most} | {nearly} | {all} |", values.len());
    }
    text
}

const HEAD: &str = "# Cross-check of string-hung sections

Generated by `tests/tests/conformance/cross_string_section.rs`; do not edit.

`tests/cross/string_section.py` solves 200 generated sections (2 to 5 unequal spans of 50 to 500 m, strings of 0.4 to 3.5 m, wind
to 25 m/s from either side, ice to 10 mm, 25 K colder to 60 K hotter than when clamped in) by minimising the total potential
energy over the strings' angles with SciPy, without the closed form of the catenary. The code here must agree to 1e-9 in
lengths and tensions and to 1e-6 m in where the strings' lower ends are.

Differences, each rounded up to a power of ten:

| Quantity | Values | Median | 90 % | 99 % | Maximum |
|---|---|---|---|---|---|
";

fn power_of_ten_above(value: f64) -> String {
    if value == 0.0 { "0".into() } else { format!("1e{}", value.log10().ceil()) }
}
