//! What must hold of balanced sections whatever the numbers.

use approx::assert_relative_eq;
use nalgebra::Point3;
use wideberth_physics::line::{
    Conditions, SectionError, SectionState, Span, StateShape, SuspensionString, Wire, WireError, ruling_span_m,
};
use wideberth_tests::interval::range;
use wideberth_tests::sections::{Hung, five_spans, heavy_conductor, usual_conditions, usual_string};

/// Still air, one temperature, no ice.
fn still(degc: f64) -> Conditions {
    Conditions { temperature_degc: range(degc, degc), wind_m_per_s: range(0.0, 0.0), ..usual_conditions() }
}

fn line(runs: &[f64], heights: &[f64], string: SuspensionString, tension_n: f64, conditions: Conditions) -> Hung {
    let supports: Vec<_> =
        (0..=runs.len()).map(|k| Point3::new(runs[..k].iter().sum::<f64>(), 0.0, heights[k])).collect();
    Hung::over(&supports, string, range(tension_n, tension_n), conditions)
}

fn growth(degc: f64) -> f64 {
    1.0 + heavy_conductor().properties().expansion_per_k * (degc - 15.0)
}

fn state(clamped_n: f64, degc: f64, wind_m_per_s: f64) -> SectionState {
    SectionState { clamped_n, growth: growth(degc), wind_m_per_s, wind_from_rad: std::f64::consts::PI, ice_m: 0.0 }
}

fn shapes(wire: &Wire, state: &SectionState) -> Vec<StateShape> {
    let shape = |span: &wideberth_physics::line::WireSpan| {
        span.placed_in(state).expect("a string-hung span").expect("a shape").shape
    };
    wire.spans().iter().map(shape).collect()
}

#[test]
fn as_clamped_in_every_string_hangs_plumb_at_one_tension() {
    let hung = line(&[200.0, 320.0, 150.0], &[20.0, 26.0, 18.0, 21.0], usual_string(), 22e3, still(15.0));
    let wire = hung.wire().expect("a possible wire");
    for (shape, rest) in shapes(&wire, &state(22e3, 15.0, 0.0)).iter().zip(&hung.description.spans) {
        assert_relative_eq!(shape.horizontal_n(), 22e3, max_relative = 1e-9);
        assert!((shape.span.from() - rest.from()).norm() < 1e-6 && (shape.span.to() - rest.to()).norm() < 1e-6);
    }
}

#[test]
fn equal_level_spans_stay_plumb_and_behave_as_one_rigid_span() {
    let hung = line(&[250.0; 4], &[20.0; 5], usual_string(), 22e3, still(70.0));
    let wire = hung.wire().expect("a possible wire");
    let rigid = Wire::new(hung.description.clone(), &hung.conditions).expect("a possible wire");
    let alone = rigid.spans()[0].shape(&rigid.spans()[0].nominal_state(70.0, 0.0, 0.0)).expect("a shape");
    for shape in shapes(&wire, &state(22e3, 70.0, 0.0)) {
        assert_relative_eq!(shape.horizontal_n(), alone.horizontal_n(), max_relative = 1e-9);
        assert_relative_eq!(shape.catenary.sag_m(0.4), alone.catenary.sag_m(0.4), max_relative = 1e-8);
    }
}

/// The horizontal tension of the level ruling span, clamped in alike.
fn by_ruling_span_n(runs: &[f64], tension_n: f64, degc: f64) -> f64 {
    let run_m = ruling_span_m(runs);
    let span = Span::new(Point3::new(0.0, 0.0, 20.0), Point3::new(run_m, 0.0, 20.0)).expect("a possible span");
    let description = wideberth_physics::line::WireDescription {
        spans: vec![span],
        ..line(&[1.0 + run_m, 100.0], &[20.0; 3], usual_string(), tension_n, still(degc)).description
    };
    let wire = Wire::new(description, &still(degc)).expect("a possible wire");
    wire.spans()[0].shape(&wire.spans()[0].nominal_state(degc, 0.0, 0.0)).expect("a shape").horizontal_n()
}

#[test]
fn with_long_light_strings_the_ruling_span_holds() {
    let runs = [200.0, 300.0, 240.0, 320.0];
    let string = SuspensionString { length_m: 15.0, weight_n: 10.0, wind_area_m2: 0.0 };
    let wire = line(&runs, &[40.0; 5], string, 22e3, still(60.0)).wire().expect("a possible wire");
    let ruling_n = by_ruling_span_n(&runs, 22e3, 60.0);
    for shape in shapes(&wire, &state(22e3, 60.0, 0.0)) {
        assert_relative_eq!(shape.horizontal_n(), ruling_n, max_relative = 0.02);
    }
}

/// The example of `docs/theory/strings.md`: short heavy strings and a long span among short ones.
#[test]
fn with_short_strings_and_unequal_spans_the_ruling_span_errs_as_the_document_says() {
    let runs = [120.0, 120.0, 400.0, 120.0, 120.0];
    let string = SuspensionString { length_m: 0.8, weight_n: 500.0, wind_area_m2: 0.0 };
    let wire = line(&runs, &[25.0; 6], string, 22e3, still(75.0)).wire().expect("a possible wire");
    let shapes = shapes(&wire, &state(22e3, 75.0, 0.0));
    let ruling_n = by_ruling_span_n(&runs, 22e3, 75.0);
    let weight_n_per_m = shapes[0].load_n_per_m;
    let by_ruling_m = weight_n_per_m * 400.0_f64.powi(2) / (8.0 * ruling_n);
    let sag_m = shapes[2].catenary.sag_m(0.5);
    let short_by_ruling_m = weight_n_per_m * 120.0_f64.powi(2) / (8.0 * ruling_n);
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../docs/theory/strings.md"));
    let text = text.expect("the document");
    for number in [
        format!("{:.1} m", ruling_span_m(&runs)),
        format!("{:.2} kN", ruling_n / 1e3),
        format!("{by_ruling_m:.2} m"),
        format!("{:.2} kN", shapes[2].horizontal_n() / 1e3),
        format!("{:.2} kN", shapes[0].horizontal_n() / 1e3),
        format!("{sag_m:.2} m"),
        format!("{short_by_ruling_m:.2} m"),
        format!("{:.2} m", shapes[0].catenary.sag_m(0.5)),
    ] {
        assert!(text.contains(&number), "the document does not say {number}");
    }
}

#[test]
fn wind_from_the_other_side_mirrors_the_section() {
    let wire = five_spans().wire().expect("a possible wire");
    let (left, right) = (shapes(&wire, &state(26e3, 40.0, 15.0)), shapes(&wire, &state(26e3, 40.0, -15.0)));
    for (left, right) in left.iter().zip(&right) {
        let mirrored = Point3::new(right.span.to().x, -right.span.to().y, right.span.to().z);
        assert!((left.span.to() - mirrored).norm() < 1e-9);
        assert_relative_eq!(left.horizontal_n(), right.horizontal_n(), max_relative = 1e-10);
    }
    assert!(left[1].span.to().y > 0.3, "the strings swing out");
}

#[test]
fn strings_keep_their_length_and_their_fixed_ends() {
    let wire = five_spans().wire().expect("a possible wire");
    assert!(wire.spans()[0].near_string().is_none(), "a dead end has no string");
    for wind_m_per_s in [0.0, 15.0] {
        for (span, shape) in wire.spans().iter().zip(shapes(&wire, &state(26e3, 40.0, wind_m_per_s))).skip(1) {
            let (top, string) = span.near_string().expect("a string at every inner support");
            let reach = shape.span.from() - top;
            assert_relative_eq!(reach.norm(), string.length_m, max_relative = 1e-9);
            assert_eq!(reach.y.abs() > 0.1, wind_m_per_s > 0.0, "it swings in the wind alone");
        }
    }
}

#[test]
fn hotter_wire_sags_more_in_every_span_of_a_level_section() {
    let wire = five_spans().wire().expect("a possible wire");
    let sags = |degc: f64| -> Vec<f64> {
        shapes(&wire, &state(26e3, degc, 0.0)).iter().map(|shape| shape.catenary.sag_m(0.5)).collect()
    };
    for (cold, hot) in sags(0.0).iter().zip(sags(60.0)) {
        assert!(hot > cold + 0.1);
    }
}

#[test]
fn a_low_support_is_recognised_as_uplift_with_its_place() {
    let cold = still(-30.0);
    let hung = line(&[200.0, 200.0, 200.0], &[30.0, 30.0, 12.0, 30.0], usual_string(), 26e3, cold);
    match hung.wire() {
        Err(WireError::Strings { first: 0, source: SectionError::Uplift { support: 2, .. } }) => {}
        other => panic!("{other:?}"),
    }
}

#[test]
fn impossible_strings_are_refused() {
    let refused = |change: &dyn Fn(&mut Hung)| {
        let mut hung = five_spans();
        change(&mut hung);
        match hung.wire() {
            Err(WireError::Strings { source, .. }) => source,
            other => panic!("{:?}", other.map(|wire| wire.spans().len())),
        }
    };
    let string = Some(usual_string());
    assert!(matches!(refused(&|h| h.strings[0] = string), SectionError::AtEnd { support: 0 }));
    assert!(matches!(refused(&|h| h.strings[5] = string), SectionError::AtEnd { support: 5 }));
    let short = Some(SuspensionString { length_m: 0.0, ..usual_string() });
    assert!(matches!(refused(&|h| h.strings[2] = short), SectionError::String { support: 2, .. }));
    let bent = refused(&|h| {
        let (from, middle, to) =
            (Point3::new(0.0, 0.0, 20.0), Point3::new(260.0, 0.0, 20.0), Point3::new(500.0, 20.0, 20.0));
        let span = |a, b| Span::new(a, b).expect("a possible span");
        h.description.spans = vec![span(from, middle), span(middle, to)];
        h.strings = vec![None, string];
    });
    assert!(matches!(bent, SectionError::Turns { support: 1, .. }));
}

#[test]
fn a_rigid_attachment_separates_sections() {
    let mut hung = five_spans();
    hung.strings[2] = None;
    hung.conditions = still(60.0);
    let wire = hung.wire().expect("a possible wire");
    let (first, second) = (&shapes(&wire, &state(26e3, 60.0, 0.0))[..2], &wire.spans()[2..]);
    assert!((first[1].span.to() - hung.description.spans[1].to()).norm() < 1e-12);
    assert!((second[0].span().from() - hung.description.spans[1].to()).norm() < 1e-12);
}
