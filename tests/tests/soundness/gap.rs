//! The gap in one pose and one state, against the search's witness and against distances found without the search.

use std::path::Path;

use wideberth_physics::approach::{Hanging, Pieces, Standing, gap, gap_to_pieces};
use wideberth_physics::assess::assess;
use wideberth_scenario::Job;
use wideberth_tests::beside::demonstration_context;
use wideberth_tests::oracle;

fn demonstrations() -> Vec<(String, Job)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").join("scenarios");
    let context = demonstration_context();
    let mut files: Vec<_> = std::fs::read_dir(folder).expect("a folder").map(|f| f.expect("a file").path()).collect();
    files.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
    files.sort();
    let read = |path: &std::path::PathBuf| std::fs::read_to_string(path).expect("a text");
    let job = |path| Job::from_text(&read(path), &context).expect("a demonstration is accepted");
    files.iter().map(|path| (path.display().to_string(), job(path))).collect()
}

#[test]
fn at_the_witness_the_gap_is_the_distance_of_the_search() {
    for (name, job) in demonstrations() {
        let found = assess(&job.study, &job.options, &|_| ()).expect("a demonstration has an answer");
        let finding = &found.findings[found.worst];
        let (pairing, witness) = (finding.pairing, &finding.approach.witness);
        let wire = &job.study.lines[pairing.line].wires[pairing.wire];
        let standing = Standing::new(&job.study.machines[pairing.machine], &witness.pose);
        let hanging = Hanging::shaped(wire, |index, span| match &witness.section {
            Some(section) => span.placed_in(section).expect("strings hang").map(|placed| placed.shape),
            None if index == witness.span => span.shape(&witness.state),
            None => span.shape(&span.states().center()),
        });
        let here = gap(&standing, &hanging.expect("the states have shapes")).expect("bodies and spans");
        // Another body or span may be as close in the same pose, never closer than the proof.
        assert!(here.distance_m <= witness.distance_m + 1e-6, "{name}: {} {}", here.distance_m, witness.distance_m);
        assert!(here.distance_m >= finding.approach.distance.lower_m - 1e-6, "{name}: {}", here.distance_m);
        let apart_m = (here.on_body - here.on_wire).norm() - wire.spans()[here.span].margin_m();
        assert!(here.distance_m == 0.0 || (apart_m - here.distance_m).abs() < 1e-6, "{name}: {apart_m}");
    }
}

#[test]
fn in_any_pose_it_agrees_with_the_oracle() {
    for (name, job) in demonstrations() {
        for share in [0.1, 0.45, 0.8] {
            for pairing in &job.study.pairings {
                let machine = &job.study.machines[pairing.machine];
                let wire = &job.study.lines[pairing.line].wires[pairing.wire];
                let pose: Vec<f64> = machine.ranges().iter().map(|range| range.at(share)).collect();
                let hanging = Hanging::new(wire, |_, span| span.states().slackest()).expect("the state has a shape");
                let here = gap(&Standing::new(machine, &pose), &hanging).expect("bodies and spans");
                let each = oracle_m(machine, &pose, &hanging);
                let least_m = each.iter().copied().fold(f64::INFINITY, f64::min);
                assert!(here.distance_m <= least_m.max(0.0) + 1e-5, "{name}: {} {least_m}", here.distance_m);
                // The oracle is exact for boxes, frustums and rods; for other hulls it is an upper bound.
                let body = &machine.bodies()[here.body];
                if body.features.len() == 2 || !matches!(oracle::Solid::new(body), oracle::Solid::Mixed(_)) {
                    let exact_m = each[here.body].max(0.0);
                    assert!((here.distance_m - exact_m).abs() < 0.02, "{name}: {} {exact_m}", here.distance_m);
                }
            }
        }
    }
}

#[test]
fn a_wire_of_many_straight_pieces_has_the_gap_of_the_curve() {
    for (name, job) in demonstrations() {
        for share in [0.1, 0.45, 0.8] {
            for pairing in &job.study.pairings {
                let machine = &job.study.machines[pairing.machine];
                let wire = &job.study.lines[pairing.line].wires[pairing.wire];
                let pose: Vec<f64> = machine.ranges().iter().map(|range| range.at(share)).collect();
                let standing = Standing::new(machine, &pose);
                let hanging = Hanging::new(wire, |_, span| span.states().slackest()).expect("the state has a shape");
                let curve = gap(&standing, &hanging).expect("bodies and spans");
                let each = hanging.spans().map(|(span, shape)| {
                    let points: Vec<_> = (0..=200).map(|k| span.point(shape, f64::from(k) / 200.0)).collect();
                    let (radius_m, margin_m) = (shape.radius_m, span.margin_m());
                    let pieces = Pieces { span: span.index(), points: &points, radius_m, margin_m };
                    // A parabola leaves each of its n chords by sag/n² at most.
                    (gap_to_pieces(&standing, &pieces).expect("bodies and pieces"), shape.catenary.greatest_sag_m())
                });
                let (least, sag_m) =
                    each.min_by(|(a, _), (b, _)| a.distance_m.total_cmp(&b.distance_m)).expect("a span");
                let off_m = (least.distance_m - curve.distance_m).abs();
                assert!(off_m <= 1e-6 + sag_m / 40_000.0, "{name}: {} {}", least.distance_m, curve.distance_m);
                let apart_m = (least.on_body - least.on_wire).norm() - wire.spans()[curve.span].margin_m();
                assert!(least.distance_m == 0.0 || (apart_m - least.distance_m).abs() < 1e-6, "{name}: {apart_m}");
            }
        }
    }
}

/// Least distance of each body to any span, without the search, m.
fn oracle_m(machine: &wideberth_physics::machine::Machine, pose: &[f64], hanging: &Hanging<'_>) -> Vec<f64> {
    let frames = machine.place(pose);
    let least = |body: &wideberth_physics::machine::Body| {
        let solid = oracle::Solid::new(body);
        let posed = solid.pose(&frames);
        let far_m = f64::INFINITY;
        let spans = hanging
            .spans()
            .map(|(span, shape)| oracle::surface_distance_m(&solid, &posed, body.radius_m, span, shape, far_m).0);
        spans.fold(f64::INFINITY, f64::min)
    };
    machine.bodies().iter().map(least).collect()
}
