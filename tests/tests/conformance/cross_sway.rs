//! Swaying spans against an independent solution: `tests/cross/sway.py` followed six of them for 20 s with SciPy's explicit
//! Runge-Kutta method (versions in `tests/cross/requirements.txt`); its output is `tests/data/cross/sway.csv`.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use nalgebra::Vector3;
use serde::Deserialize;
use wideberth_physics::line::SpanState;
use wideberth_physics::sway::{Cable, Gusts, run};
use wideberth_tests::swaying::span;

const REFERENCE: &str = include_str!("../../data/cross/sway.csv");
const ELEMENTS: usize = 24;
const STEP_S: f64 = 0.005;
/// Distance accepted at the median, at 90 % and at most, m: a step of 5 ms against one of the reference's own choice.
const ACCEPTED_M: [f64; 3] = [2e-4, 1e-3, 5e-3];

#[derive(Clone, Debug, Deserialize)]
struct Row {
    case: usize,
    run_m: f64,
    rise_m: f64,
    unstretched_m: f64,
    start_m_per_s: f64,
    mean_m_per_s: f64,
    swing_m_per_s: f64,
    frequency_hz: f64,
    time_s: f64,
    node: usize,
    x_m: f64,
    y_m: f64,
    z_m: f64,
}

fn cases() -> BTreeMap<usize, Vec<Row>> {
    let mut cases: BTreeMap<usize, Vec<Row>> = BTreeMap::new();
    for row in csv::Reader::from_reader(REFERENCE.as_bytes()).deserialize() {
        let row: Row = row.expect("the reference parses");
        cases.entry(row.case).or_default().push(row);
    }
    cases
}

/// Distances from the rows of a case, m.
fn distances_m(rows: &[Row]) -> Vec<f64> {
    let case = &rows[0];
    let span = span(case.run_m, case.rise_m, 20_000.0);
    let state = SpanState { unstretched_m: case.unstretched_m, wind_m_per_s: case.start_m_per_s, ice_m: 0.0 };
    let (cable, start) = Cable::new(span.strand(), &state, ELEMENTS).expect("a wire at rest");
    let last_s = rows.iter().map(|row| row.time_s).fold(0.0, f64::max);
    let steps = (last_s / STEP_S).round() as usize;
    let wind = |step: usize| {
        let middle_s = (step as f64 + 0.5) * STEP_S;
        case.mean_m_per_s + case.swing_m_per_s * (TAU * case.frequency_hz * middle_s).sin()
    };
    let gusts = Gusts::even(&(0..steps).map(wind).collect::<Vec<_>>(), cable.nodes(), STEP_S);
    let mut places: Vec<Vec<Vector3<f64>>> = Vec::new();
    run(&cable, start, &gusts, |_, state| places.push(state.places_m.clone())).expect("settles");
    let distance = |row: &Row| {
        let ours = places[(row.time_s / STEP_S).round() as usize][row.node - 1];
        (ours - Vector3::new(row.x_m, row.y_m, row.z_m)).norm()
    };
    rows.iter().map(distance).collect()
}

#[test]
fn swaying_spans_follow_the_reference() {
    let cases = cases();
    assert_eq!(cases.len(), 6);
    let (mut all, mut moved) = (Vec::new(), 0.0_f64);
    for rows in cases.values() {
        moved = moved.max(rows.iter().map(|row| (row.y_m - rows[0].y_m).abs()).fold(0.0, f64::max));
        all.extend(distances_m(rows));
    }
    assert_eq!(all.len(), 6 * 41 * 3);
    assert!(moved > 5.0, "the reference hardly moves: {moved} m");
    all.sort_by(f64::total_cmp);
    let at = |share: f64| all[((all.len() - 1) as f64 * share) as usize];
    let found = [at(0.5), at(0.9), at(1.0)];
    for (found, accepted) in found.into_iter().zip(ACCEPTED_M) {
        assert!(found <= accepted, "{found} m > {accepted} m");
    }
    wideberth_tests::generated::compare_or_bless("docs/cross-checks-sway.md", &document(all.len(), found));
}

fn document(values: usize, found_m: [f64; 3]) -> String {
    let [median, most, greatest] = found_m.map(|m| format!("{:.1} mm", (m * 1e4).ceil() / 10.0));
    format!(
        "# Sway in time against an independent solution

`tests/cross/sway.py` follows six swaying spans of 60 to 400 m, level and inclined, released from a steady wind or in gusts that
rise and fall, for 20 s with SciPy's explicit Runge-Kutta method DOP853 on equations written down independently. Compared: the
distance between its place and ours of three material points of each span, every half second, with {ELEMENTS} elements and steps
of {STEP_S} s. Each figure is rounded up. Written by `WIDEBERTH_BLESS=1 cargo test -p wideberth-tests --test conformance cross_sway`.

| Quantity | Values | Median | 90 % | Maximum |
|---|---|---|---|---|
| place of a point | {values} | {median} | {most} | {greatest} |
"
    )
}
