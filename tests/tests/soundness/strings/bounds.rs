//! No state of a piece leaves its proven bounds.

use rayon::prelude::*;
use wideberth_physics::line::{Cover, WireSpan};
use wideberth_tests::generate::Draw;
use wideberth_tests::sections::random_section;

/// Rounding of places within 1 km.
const ROUNDING_M: f64 = 1e-7;

/// A random part of a span's states, by halving.
fn random_part(draw: &mut Draw, span: &WireSpan) -> Cover {
    let mut cover = span.cover();
    for _ in 0..draw.index(7) {
        let wide: Vec<usize> = (0..5).filter(|&k| cover.ranges()[k].width() > 0.0).collect();
        if wide.is_empty() {
            break;
        }
        let [low, high] = span.halves(&cover, wide[draw.index(wide.len())]).expect("provable halves");
        cover = if draw.chance(0.5) { low } else { high };
    }
    cover
}

/// States of the part, corners among them: no point of the wire beyond what the search counts with.
fn check(draw: &mut Draw, span: &WireSpan, cover: &Cover) -> Result<f64, String> {
    let mut fullest = f64::NEG_INFINITY;
    let corners = draw.chance(0.5);
    for _ in 0..6 {
        let pick = |range: &wideberth_physics::interval::Interval, draw: &mut Draw| {
            let share = if corners { f64::from(u8::from(draw.chance(0.5))) } else { draw.share() };
            range.at(share)
        };
        let values: Vec<f64> = cover.ranges().iter().map(|range| pick(range, draw)).collect();
        let placed = span.placed(&values).map_err(|error| format!("{error} at {values:?}"))?;
        for _ in 0..20 {
            let (normal, t) = (draw.direction(), draw.share());
            let (from, to) = ((t - 0.5 * draw.share()).max(0.0), (t + 0.5 * draw.share()).min(1.0));
            let reach_m = normal.dot(&(span.point(&placed.shape, t) - cover.span().from()));
            let drop = cover.envelope().drop_range(cover.span(), &normal).high();
            let (bound_m, _) = cover.envelope().reach_m(cover.span(), &normal, drop, from, to);
            let over_m = reach_m - bound_m - cover.sway_m(&normal, from, to);
            fullest = fullest.max(over_m);
            if over_m > ROUNDING_M {
                return Err(format!("{over_m} m beyond the bound at {values:?}, t {t}, normal {normal:?}"));
            }
        }
    }
    Ok(fullest)
}

#[test]
fn no_state_leaves_the_bounds_of_its_piece() {
    let seeds = std::env::var("WIDEBERTH_SECTIONS").ok().and_then(|n| n.parse().ok()).unwrap_or(16_u64);
    let outcomes: Vec<Result<(u64, f64), String>> = (0..seeds)
        .into_par_iter()
        .filter_map(|seed| {
            let mut draw = Draw::new(seed);
            let wire = random_section(&mut draw).wire().ok()?;
            let mut checked = (0, f64::NEG_INFINITY);
            for _ in 0..12 {
                let span = &wire.spans()[draw.index(wire.spans().len())];
                if span.cover().ranges().len() != 5 {
                    continue;
                }
                let cover = random_part(&mut draw, span);
                match check(&mut draw, span, &cover) {
                    Ok(fullest) => checked = (checked.0 + 1, fullest.max(checked.1)),
                    Err(problem) => return Some(Err(format!("seed {seed}: {problem}"))),
                }
            }
            Some(Ok(checked))
        })
        .collect();
    let failures: Vec<&String> = outcomes.iter().filter_map(|outcome| outcome.as_ref().err()).collect();
    assert!(failures.is_empty(), "{failures:#?}");
    let parts: u64 = outcomes.iter().flatten().map(|(parts, _)| parts).sum();
    let fullest = outcomes.iter().flatten().map(|(_, fullest)| *fullest).fold(f64::NEG_INFINITY, f64::max);
    assert!(parts > 5 * seeds && fullest > -0.05, "the bounds are never nearly used: {parts} parts, {fullest} m");
}

#[test]
fn a_proof_is_the_same_on_any_number_of_threads() {
    for seed in 0..6 {
        let hung = random_section(&mut Draw::new(seed));
        let wires = [1, 2, 5].map(|threads| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
            pool.install(|| hung.wire())
        });
        assert!(wires.windows(2).all(|pair| pair[0] == pair[1]), "seed {seed}");
    }
}
