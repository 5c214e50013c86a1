//! Wires in motion for pictures: the same motion as the study's, kept about its widest swing.

use wideberth_physics::approach::{Pieces, Standing, gap_to_pieces};
use wideberth_physics::assess::assess;
use wideberth_plan::sway::{SHOWN_S, SpanAt, SpanMotion, SwayQuestion, SwayStudyError, motion, sway};
use wideberth_scenario::Job;
use wideberth_tests::beside::demonstration_context;

fn job(name: &str) -> Job {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").join("scenarios");
    let text = std::fs::read_to_string(path.join(format!("{name}.json"))).expect("a text");
    Job::from_text(&text, &demonstration_context()).expect("a demonstration is accepted")
}

fn question() -> SwayQuestion {
    SwayQuestion { duration_s: 90.0, seeds: 1, ..SwayQuestion::default() }
}

#[test]
fn the_widest_swing_that_is_kept_is_that_of_the_study() {
    let job = job("crane-beside-a-line-in-wind");
    let studied = sway(&job, &question(), &|_| {}).expect("it sways");
    // The study follows each corner; the slackest is one of them.
    let state = |at: &SpanAt<'_>| Some(at.span.states().slackest());
    let moved = motion(&job, &question(), &state).expect("it sways");
    assert_eq!(moved.spans.len(), studied.len());
    assert!(moved.length_s <= SHOWN_S && (0.0..=moved.length_s).contains(&moved.widest_s), "{}", moved.widest_s);
    let mut widest_m = 0.0_f64;
    for (span, found) in moved.spans.iter().zip(&studied) {
        assert_eq!((span.line, span.wire, span.span, span.wind), (found.line, found.wire, found.span, found.wind));
        let wire = &job.study.lines[span.line].wires[span.wire];
        let chord = wire.spans()[span.place].span();
        let times = (0..=1200).map(|k| f64::from(k) * 0.05);
        let aside = times.flat_map(|t| span.points_m(t)).map(|p| (p - chord.from()).dot(&chord.lateral()).abs());
        let aside_m = aside.fold(0.0, f64::max);
        assert!(aside_m <= found.gust_reach_m + 1e-9, "{aside_m} {}", found.gust_reach_m);
        // The ends stay where they are.
        let points = span.points_m(12.34);
        assert!((points[0] - chord.from()).norm() < 1e-12 && (points[points.len() - 1] - chord.to()).norm() < 1e-9);
        widest_m = widest_m.max(aside_m);
    }
    let reach_m = studied.iter().map(|found| found.gust_reach_m).fold(0.0, f64::max);
    assert!(widest_m > 0.9 * reach_m, "the widest swing is not in what is kept: {widest_m} {reach_m}");
}

#[test]
fn spans_of_a_section_meet_at_their_strings_which_swing() {
    let job = job("crane-beside-wires-on-strings");
    let asked = SwayQuestion { duration_s: 20.0, ..question() };
    let first = |at: &SpanAt<'_>| (at.line, at.wire) == (0, 0);
    let moved = motion(&job, &asked, &|at| first(at).then(|| at.span.states().slackest())).expect("it sways");
    let spans = job.study.lines[0].wires[0].spans();
    assert!(moved.spans.len() == spans.len() && spans.len() > 2, "{}", moved.spans.len());
    let mut swings_m = 0.0_f64;
    for pair in moved.spans.windows(2).filter(|pair| pair[1].span == pair[0].span + 1) {
        let hang = |time_s: f64| {
            let (before, after) = (pair[0].points_m(time_s), pair[1].points_m(time_s));
            assert_eq!(before[before.len() - 1], after[0], "they part");
            after[0]
        };
        let places: Vec<_> = (0..20).map(|k| hang(f64::from(k))).collect();
        swings_m = places.iter().map(|place| (place - places[0]).norm()).fold(swings_m, f64::max);
    }
    assert!(swings_m > 0.01, "the strings stand still: {swings_m} m");
    let (near, far) = (&moved.spans[0].points_m(7.0)[0], spans[0].span().from());
    assert!((near - far).norm() < 1e-9, "a dead end moves");
}

#[test]
fn the_gap_to_a_swaying_wire_changes_with_time() {
    let job = job("crane-beside-a-line-in-wind");
    let moved = motion(&job, &question(), &|at| Some(at.span.states().slackest())).expect("it sways");
    let found = assess(&job.study, &job.options, &|_| ()).expect("an answer");
    let worst = &found.findings[found.worst];
    let standing = Standing::new(&job.study.machines[worst.pairing.machine], &worst.approach.witness.pose);
    let gap_m = |time_s: f64| {
        let (pairing, place) = (worst.pairing, worst.approach.witness.span);
        let near = |span: &&SpanMotion| (span.line, span.wire, span.place) == (pairing.line, pairing.wire, place);
        let own = moved.spans.iter().find(near);
        let span = own.expect("the wire sways");
        let points = span.points_m(time_s);
        let pieces = Pieces { span: span.span, points: &points, radius_m: span.radius_m, margin_m: span.margin_m };
        gap_to_pieces(&standing, &pieces).expect("bodies and pieces").distance_m
    };
    let all: Vec<f64> = (0..60).map(|k| gap_m(f64::from(k))).collect();
    let (least, most) = all.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), m| (a.min(*m), b.max(*m)));
    assert!(most > least + 0.05, "{least} {most}");
}

#[test]
fn gusts_blow_to_the_side_of_the_state() {
    let job = job("two-machines-and-two-lines");
    let mean_aside_m = |wind_m_per_s: f64| {
        let state = move |at: &SpanAt<'_>| {
            let chosen = at.line == 0 && at.wire == 0 && at.place == 0;
            chosen.then(|| wideberth_physics::line::SpanState { wind_m_per_s, ..at.span.states().slackest() })
        };
        let moved = motion(&job, &question(), &state).expect("it sways");
        let span = &moved.spans[0];
        let chord = job.study.lines[0].wires[0].spans()[0].span();
        let middle = |k: u32| (span.points_m(f64::from(k))[20] - chord.from()).dot(&chord.lateral());
        (0..60).map(middle).sum::<f64>() / 60.0
    };
    let steady = job.study.lines[0].wires[0].spans()[0].states().wind_m_per_s;
    assert!(steady.low() < -1.0 && steady.high() > 1.0, "{steady:?}");
    assert!(mean_aside_m(1.0) > 0.0 && mean_aside_m(-1.0) < 0.0);
}

#[test]
fn without_wind_or_spans_it_says_so() {
    let job = job("crane-beside-a-line-in-wind");
    let none = motion(&job, &question(), &|_| None);
    assert!(matches!(none, Err(SwayStudyError::NoWind { .. })), "{none:?}");
    let short = SwayQuestion { duration_s: 1.0, ..question() };
    assert!(matches!(motion(&job, &short, &|_| None), Err(SwayStudyError::OutOfRange { .. })));
}
