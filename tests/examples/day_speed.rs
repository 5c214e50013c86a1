//! Times the plan of a day: 24 certified hours of a crane beside three wires, and temperatures, sag and heights of 8,760 hours.
#![expect(clippy::print_stdout, reason = "an example prints")]

use std::fs;
use std::time::Instant;

use wideberth_plan::day::{Spell, day, heights};
use wideberth_scenario::{Context, Job};
use wideberth_tests::generated::repository_root;

const TIPPER: &str = "\"machine\": \"rigid-tipper\",\n      \"position\": [\"52 m\", \"-10 m\"], \"ground\": \"0 m\", \"heading\": \"20 deg\"";
const CRANE: &str = "\"machine\": \"mobile-crane\",\n      \"position\": [\"52 m\", \"-19 m\"], \"ground\": \"0 m\", \"heading\": \"20 deg\"";
const RAISE: &str = "\"working\": {\"raise\": [\"0 deg\", \"50 deg\"]}";
const LIFT: &str = "\"working\": {\"slew\": [\"-90 deg\", \"90 deg\"], \"luff\": [\"40 deg\", \"75 deg\"], \"telescope\": [\"16 m\", \"24 m\"], \"rope\": [\"4 m\", \"14 m\"]}";
const SEEN: &str = "\"known_by\": {\"height\": \"9.7 m\", \"tolerance\": \"0.1 m\", \"between\": [\"L1\", \"L2\"], \"at\": \"55 m\", \"conductor_temperature\": \"from the weather\", \"seen_at\": \"07:10\"}";
const TENSION: &str =
    "\"known_by\": {\"share_of_strength\": \"12 %\", \"tolerance\": \"5 %\", \"conductor_temperature\": \"15 degC\"}";

fn job(text: &str) -> Job {
    let root = repository_root();
    let read = |name: &str| {
        let beside = if name.ends_with(".epw") { root.join(name) } else { root.join("scenarios").join(name) };
        fs::read_to_string(beside).map_err(|error| error.to_string())
    };
    let context = Context::embedded(read).expect("the built-in catalogue is right");
    Job::from_text(text, &context).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Least time of some repeats, s.
fn least_s(repeats: u32, mut work: impl FnMut()) -> f64 {
    let time = |_| {
        let started = Instant::now();
        work();
        started.elapsed().as_secs_f64()
    };
    (0..repeats).map(time).fold(f64::INFINITY, f64::min)
}

fn main() {
    let path = repository_root().join("scenarios/tipping-before-the-heat-of-the-day.json");
    let tipper = fs::read_to_string(path).expect("the demonstration");
    let crane = tipper.replace(TIPPER, CRANE).replace(RAISE, LIFT);
    for (name, text) in [("tipper", &tipper), ("crane", &crane)] {
        let job = job(text);
        let seconds = least_s(3, || drop(day(&job, Spell::Job, &|_| {}).expect("an answer")));
        println!("24 certified hours, three wires, {name}: {seconds:.3} s, {} machine", job.machines[0].id);
    }
    let year = tipper
        .replace("44.2 deg", "45 deg")
        .replace("-79.1 deg", "8 deg")
        .replace("UTC-04:00", "UTC+02:00")
        .replace("weather/larkenfold-14-july.csv", "tests/data/weather/pvgis-typical-year-45n-8e.epw")
        .replace(SEEN, TENSION);
    println!("read and lower the year: {:.3} s", least_s(3, || drop(job(&year))));
    let job = job(&year);
    let seconds = least_s(5, || drop(heights(&job, Spell::All).expect("heights")));
    println!("8,760 hours, three wires, temperature, sag and height: {seconds:.3} s");
    let seconds = least_s(1, || {
        let found = day(&job, Spell::All, &|_| {}).expect("an answer");
        println!("8,760 certified hours: {} searches, {} windows", found.searches, found.windows.len());
    });
    println!("8,760 certified hours, three wires: {seconds:.3} s");
}
