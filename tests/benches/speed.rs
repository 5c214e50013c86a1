//! Times of the parts that the targets of `docs/performance.md` name.

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use wideberth_physics::approach::{Options, closest_approach};
use wideberth_physics::line::Wire;
use wideberth_physics::machine::Machine;
use wideberth_tests::many_joints::{crane_with_shell, folding_boom};
use wideberth_tests::reference::{long_wires, r1_machine, r1_wires};
use wideberth_tests::sections::{crane_beside, five_spans};
use wideberth_tests::swaying::{span, sway_60_s};

fn search(machine: &Machine, wires: &[Wire], tolerance_m: f64) -> f64 {
    let options = Options { tolerance_m, ..Options::default() };
    let one = |wire| closest_approach(machine, wire, &options).expect("a shape in every state").distance.lower_m;
    wires.iter().map(one).fold(f64::INFINITY, f64::min)
}

fn change_of_state(bench: &mut Criterion) {
    let wires = r1_wires();
    let span = &wires[0].spans()[0];
    let state = span.nominal_state(60.0, 10.0, 0.0);
    bench.bench_function("change of state", |b| b.iter(|| span.shape(black_box(&state))));
}

fn reference_problem(bench: &mut Criterion) {
    bench.bench_function("R1 to 1 mm, numbers to answer", |b| b.iter(|| search(&r1_machine(), &r1_wires(), 1e-3)));
}

fn many_joints(bench: &mut Criterion) {
    let wires = r1_wires();
    let mut group = bench.benchmark_group("many joints, three wires, 1 cm");
    group.sample_size(10).measurement_time(Duration::from_secs(3));
    for (name, machine) in [("folding boom", folding_boom(-32.0)), ("crane with shell", crane_with_shell(-45.0))] {
        group.bench_function(name, |b| b.iter(|| search(&machine, &wires, 1e-2)));
    }
}

fn long_line(bench: &mut Criterion) {
    let machine = r1_machine();
    for (name, wires) in [("3 spans, 1 cm", long_wires(1, 1)), ("200 spans, 1 cm", long_wires(100, 99))] {
        bench.bench_function(name, |b| b.iter(|| search(&machine, &wires, 1e-2)));
    }
}

/// Wires on suspension strings: the proof over all states, and the search beside them, each from the start.
fn hung_section(bench: &mut Criterion) {
    let (hung, crane) = (five_spans(), crane_beside());
    let mut group = bench.benchmark_group("5 spans on strings");
    group.sample_size(10).measurement_time(Duration::from_secs(3));
    group.bench_function("proof of the balance", |b| b.iter(|| hung.wire().expect("a possible wire")));
    group.bench_function("crane, 1 cm, numbers to answer", |b| {
        b.iter(|| search(&crane, &[hung.wire().expect("a possible wire")], 1e-2));
    });
    group.finish();
}

fn sway(bench: &mut Criterion) {
    let span = span(300.0, 0.0, 28_000.0);
    let mut group = bench.benchmark_group("sway");
    group.sample_size(10).measurement_time(Duration::from_secs(3));
    group.bench_function("300 m, 60 s at 50 Hz, gusts included", |b| b.iter(|| sway_60_s(black_box(&span))));
}

criterion_group! {
    name = speed;
    config = Criterion::default().warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(2));
    targets = change_of_state, reference_problem, many_joints, long_line, hung_section, sway
}
criterion_main!(speed);
