//! Sections on suspension strings that sway: their rest against the section's own balance, their energy, and that strings give way.

use std::fs;

use wideberth_physics::interval::Interval;
use wideberth_physics::line::{SpanState, WireSpan};
use wideberth_physics::sway::{CableState, Gusts, StillRegion, StrungCable, run};
use wideberth_scenario::{Context, Job};
use wideberth_tests::generated::repository_root;

fn spans() -> Vec<WireSpan> {
    let text = fs::read_to_string(repository_root().join("tests/scenarios/valid/strings.json")).expect("the scenario");
    let context = Context::embedded(|_| Err("no files".into())).expect("the built-in catalogue is right");
    let job = Job::from_text(&text, &context).expect("a valid scenario");
    job.study.lines[0].wires[0].spans().to_vec()
}

fn state(span: &WireSpan, wind_m_per_s: f64) -> SpanState {
    SpanState { unstretched_m: span.states().unstretched_m.center(), wind_m_per_s, ice_m: 0.0 }
}

fn strung(span: &WireSpan, wind_m_per_s: f64) -> StrungCable {
    StrungCable::new(span, &state(span, wind_m_per_s), 40).expect("a rest").expect("strings")
}

/// Ends of strings to millimetres, the middle of the span to a thousandth of its sag: forty straight elements hang a little deeper.
#[test]
fn the_rest_is_the_balance_of_the_section() {
    for span in &spans() {
        for wind_m_per_s in [-12.0, 0.0, 6.0, 15.0] {
            let strung = strung(span, wind_m_per_s);
            let picture = span.section_picture(&state(span, wind_m_per_s)).expect("strings").expect("a balance");
            let shape = &picture.spans[picture.place].1;
            let origin = span.span().from();
            let place = |node: usize| origin + strung.rest.places_m[node];
            let (first, last) = (strung.nodes.start, strung.nodes.end - 1);
            let sag_m = shape.catenary.sag_m(0.5);
            if picture.place > 0 {
                assert!((place(first) - shape.span.from()).norm() < 0.005, "{wind_m_per_s}");
            }
            if picture.place + 1 < picture.spans.len() {
                assert!((place(last) - shape.span.to()).norm() < 0.005, "{wind_m_per_s}");
            }
            let middle = shape.span.point(0.5, sag_m, shape.swing_rad);
            let nearest = strung.nodes.clone().map(|node| (place(node) - middle).norm()).fold(f64::INFINITY, f64::min);
            assert!(nearest < 0.003 * sag_m + 0.005, "{wind_m_per_s}: {nearest} of {sag_m}");
        }
    }
}

/// Without air nothing is lost, whatever the strings do.
#[test]
fn without_air_the_energy_of_wires_and_strings_stays() {
    let span = &spans()[1];
    let StrungCable { cable, rest, .. } = strung(span, 12.0);
    let cable = cable.without_air();
    let places = cable.nodes();
    let start = CableState { velocities_m_per_s: vec![nalgebra::Vector3::zeros(); places], ..rest };
    let before_j = cable.energy_j(&start);
    let (mut worst, mut moved_m) = (0.0_f64, 0.0_f64);
    let first = start.places_m[places / 2];
    run(&cable, start, &Gusts::steady(0.0, places, 0.02, 1000), |_, state| {
        moved_m = moved_m.max((state.places_m[places / 2] - first).norm());
        worst = worst.max((cable.energy_j(state) - before_j).abs());
    })
    .expect("a motion");
    let swing_j = 1.0e3_f64;
    assert!(moved_m > 1.0 && worst < 1e-6 * swing_j.max(before_j.abs()), "{moved_m} m, {worst} J of {before_j} J");
}

/// A string of 1.5 m lets the wire's end move aside with the wind; between still ends it would stay.
#[test]
fn strings_give_way_in_gusts() {
    let span = &spans()[1];
    let StrungCable { cable, rest, nodes, .. } = strung(span, 0.0);
    let step_s = 0.025;
    let gust: Vec<f64> = (0..1200).map(|k| if (k as f64 * step_s) % 10.0 < 5.0 { 18.0 } else { 6.0 }).collect();
    let gusts = Gusts::even(&gust, cable.nodes(), step_s);
    let mut aside_m = (0.0_f64, 0.0_f64);
    let string_m = run(&cable, rest, &gusts, |_, state| {
        let end = cable.aside_m(&state.places_m[nodes.start]);
        aside_m = (aside_m.0.min(end), aside_m.1.max(end));
    });
    assert!(string_m.is_ok());
    assert!(aside_m.1 > 0.2 && aside_m.1 < 1.5, "{aside_m:?}");
}

/// One run of a section serves all of its spans: their nodes follow each other, and meet where a string hangs.
#[test]
fn the_spans_of_a_section_share_one_cable() {
    let spans = spans();
    let sections = spans.chunk_by(WireSpan::hangs_with);
    let mut longest = 0;
    for section in sections {
        longest = longest.max(section.len());
        let strung = strung(&section[0], 0.0);
        assert_eq!(strung.spans.len(), section.len());
        assert_eq!((strung.nodes.clone(), strung.spans[0].start), (strung.spans[0].clone(), 0));
        assert_eq!(strung.spans[section.len() - 1].end, strung.cable.nodes());
        assert!(strung.spans.windows(2).all(|pair| pair[0].end == pair[1].start + 1));
    }
    assert!(longest > 2, "{longest}");
}

/// What every node does is looked at: a glance that spares the exact distance changes nothing.
#[test]
fn a_glance_at_the_steady_shapes_finds_the_same_distance() {
    let span = &spans()[1];
    let StrungCable { cable, rest, nodes, .. } = strung(span, 0.0);
    let region = StillRegion::new(&cable, &rest, Interval::new(-12.0, 12.0).expect("a range")).expect("rests");
    let gusts = Gusts::even(&[20.0; 200], cable.nodes(), 0.025);
    let (mut glanced_m, mut exact_m) = (0.0_f64, 0.0_f64);
    run(&cable, rest, &gusts, |_, state| {
        glanced_m = region.outside_at_least_m(state, nodes.clone(), glanced_m);
        exact_m = exact_m.max(region.outside_among_m(state, nodes.clone()));
        assert_eq!(glanced_m, exact_m);
    })
    .expect("a motion");
    assert!(exact_m > 0.1, "{exact_m}");
}
