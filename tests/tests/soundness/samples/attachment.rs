//! Attachments that lie elsewhere within their tolerance: the wire stays within its margin of the wire as stated.

use nalgebra::{Point3, Vector3};
use wideberth_physics::line::{KnownBy, Span, SpanState, Wire, WireDescription, WireSpan};
use wideberth_tests::generate::{Draw, random_wire};

/// Spans with every attachment moved by a tolerance in a random direction; neighbours share theirs.
fn moved(draw: &mut Draw, spans: &[Span], tolerance_m: f64) -> Option<Vec<Span>> {
    let up = Vector3::z() * if draw.chance(0.5) { tolerance_m } else { -tolerance_m };
    let mut ends: Vec<Point3<f64>> = spans.iter().map(Span::from).collect();
    ends.extend(spans.last().map(Span::to));
    let tilt = draw.chance(0.5);
    for (index, end) in ends.iter_mut().enumerate() {
        let sign = if tilt && index % 2 == 1 { -1.0 } else { 1.0 };
        *end += if draw.chance(0.5) { up * sign } else { draw.direction().into_inner() * tolerance_m };
    }
    ends.windows(2).map(|pair| Span::new(pair[0], pair[1]).ok()).collect()
}

/// Distance from a point to the wire as stated, over all its lengths at one wind and ice, m.
fn distance_to_stated_m(stated: &WireSpan, point: &Point3<f64>, state: &SpanState) -> f64 {
    let lengths = stated.states().unstretched_m;
    let shape = |unstretched_m| stated.shape(&SpanState { unstretched_m, ..*state }).expect("a shape in every state");
    let (taut, slack) = (shape(lengths.low()), shape(lengths.high()));
    let drop = stated.span().load_direction(taut.swing_rad);
    let across = stated.span().chord() - drop * drop.dot(&stated.span().chord());
    let near = (point - stated.span().from()).dot(&across) / across.norm_squared();
    (0..=200)
        .map(|k| (near + (f64::from(k) - 100.0) * 2e-4).clamp(0.0, 1.0))
        .map(|t| {
            let chord = stated.span().from() + stated.span().chord() * t;
            let sag_m = (point - chord).dot(&drop).clamp(taut.catenary.sag_m(t), slack.catenary.sag_m(t));
            (chord + drop * sag_m - point).norm()
        })
        .fold(f64::INFINITY, f64::min)
}

/// How much farther than its margin a moved wire strays from the wire as stated, m.
fn stray_m(draw: &mut Draw, stated: &Wire, truth: &Wire) -> f64 {
    let mut worst_m = f64::NEG_INFINITY;
    for (stated, truth) in stated.spans().iter().zip(truth.spans()) {
        let states = truth.states();
        for unstretched_m in [states.unstretched_m.low(), states.unstretched_m.high()] {
            let state = SpanState {
                unstretched_m,
                wind_m_per_s: draw.within(stated.states().wind_m_per_s.low(), stated.states().wind_m_per_s.high()),
                ice_m: draw.within(states.ice_m.low(), states.ice_m.high()),
            };
            let Ok(shape) = truth.shape(&state) else { continue };
            for t in [0.05, 0.25, 0.5, 0.8] {
                let away_m = distance_to_stated_m(stated, &truth.point(&shape, t), &state);
                worst_m = worst_m.max(away_m - stated.margin_m());
            }
        }
    }
    worst_m
}

#[test]
fn moved_attachments_stay_within_the_margin() {
    let mut draw = Draw::new(5);
    let (mut worst, mut cases, mut outside) = ((f64::NEG_INFINITY, String::new()), 0, [0; 3]);
    let mut worst_by_kind = [f64::NEG_INFINITY; 3];
    for _ in 0..if super::long() { 3000 } else { 300 } {
        let random = random_wire(&mut draw);
        let tolerance_m = draw.within(0.02, 0.3);
        let described = WireDescription { position_tolerance_m: tolerance_m, ..random.description.clone() };
        let Ok(stated) = Wire::new(described, &random.conditions) else { continue };
        for _ in 0..4 {
            let Some(spans) = moved(&mut draw, &random.description.spans, tolerance_m) else { continue };
            let elsewhere = WireDescription { spans, position_tolerance_m: 0.0, ..random.description.clone() };
            let Ok(truth) = Wire::new(elsewhere, &random.conditions) else { continue };
            cases += 1;
            let stray_m = stray_m(&mut draw, &stated, &truth);
            let kind = match random.description.known_by {
                KnownBy::Tension { .. } => 0,
                KnownBy::StrengthShare { .. } => 1,
                KnownBy::Height { .. } => 2,
            };
            outside[kind] += usize::from(stray_m > 1e-6);
            worst_by_kind[kind] = worst_by_kind[kind].max(stray_m);
            if stray_m > worst.0 {
                worst = (
                    stray_m,
                    format!(
                        "tolerance {tolerance_m}: {:?} of {:?}",
                        random.description.known_by, random.description.spans
                    ),
                );
            }
        }
    }
    println!("{cases} cases, outside by tension, share, height: {outside:?}, worst {worst_by_kind:?} m");
    assert!(worst.0 <= 1e-6, "the wire strays {} m beyond its margin: {}", worst.0, worst.1);
}
