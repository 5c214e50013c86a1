//! Lifting and toppling winds against the figures that practice computes for empty bins (`data/bin-winds.csv`).

use serde::Deserialize;
use wideberth_plan::wind::{lifting_limit_m_per_s, toppling_limit_m_per_s};
use wideberth_rules::{Shape, WindLoads};
use wideberth_scenario::job::{Lift, Topple};

/// A figure with its range and source.
#[derive(Debug, Deserialize)]
struct Case {
    what: String,
    width_m: f64,
    height_m: f64,
    mass_kg: f64,
    drag: f64,
    chart_m_per_s: Option<f64>,
    least_m_per_s: f64,
    most_m_per_s: f64,
    tag: String,
    source: String,
}

fn cases() -> Vec<Case> {
    let text = include_str!("../../data/bin-winds.csv");
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("the table is whole")
}

#[test]
fn figures_for_empty_bins_are_found_again() {
    let loads = WindLoads::embedded();
    let cases = cases();
    assert!(cases.len() >= 6);
    for case in cases {
        assert!(
            ["seen", "from memory", "computed"].contains(&case.tag.as_str()) && !case.source.is_empty(),
            "{case:?}"
        );
        let found_m_per_s = match case.what.as_str() {
            "lift" => {
                let lift = Lift {
                    mass_kg: case.mass_kg,
                    sail_m2: case.width_m * case.height_m,
                    shape: Shape::Cylinder,
                    chart_wind_m_per_s: case.chart_m_per_s.expect("a chart"),
                };
                lifting_limit_m_per_s(&lift, case.drag, loads.sail_per_mass_m2_per_t)
            }
            "topple" => {
                let topple = Topple {
                    name: "bin".into(),
                    machine: None,
                    width_m: case.width_m,
                    lever_m: 0.5 * case.width_m,
                    height_m: case.height_m,
                    mass_kg: case.mass_kg,
                    shape: Shape::Cylinder,
                };
                toppling_limit_m_per_s(&topple, case.drag, 1.225)
            }
            other => panic!("\"{other}\" is neither lift nor topple"),
        };
        assert!((case.least_m_per_s..=case.most_m_per_s).contains(&found_m_per_s), "{case:?}: {found_m_per_s}");
    }
}

#[test]
fn the_drags_that_are_used_are_those_that_are_printed() {
    let loads = WindLoads::embedded();
    let lifting = [(Shape::Cylinder, 1.0), (Shape::Box, 2.0), (Shape::Unknown, 2.4)];
    for (shape, drag) in lifting {
        assert_eq!(loads.lifting_drag(shape).map(|row| row.drag), Some(drag), "{shape:?}");
    }
    let (smallest, largest) = loads.standing_drags(Shape::Cylinder).expect("rows");
    assert_eq!((smallest.drag, largest.drag), (0.63, 1.2));
}
