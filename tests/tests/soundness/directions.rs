//! Wind that comes from where the weather says, and work that stops when wires are hot: both narrow the answer of a day and never
//! leave out what they must hold.

use std::fs;
use std::path::{Path, PathBuf};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use wideberth_physics::line::{Conditions, WindDirection};
use wideberth_plan::day::{Day, Spell, day};
use wideberth_scenario::{Context, Job};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/valid")
}

fn text() -> String {
    fs::read_to_string(folder().join("directions.json")).expect("the scenario")
}

fn job(text: &str) -> Job {
    let read = |name: &str| fs::read_to_string(folder().join("files").join(name)).map_err(|error| error.to_string());
    let context = Context::embedded(read).expect("the built-in catalogue is right");
    Job::from_text(text, &context).unwrap_or_else(|problems| panic!("refused:\n{problems}"))
}

fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

fn answer(text: &str) -> Day {
    day(&job(text), Spell::Job, &|_| {}).expect("an answer")
}

fn conditions(text: &str, hour: usize) -> Vec<Conditions> {
    let job = job(text);
    let climate = job.climate.as_ref().expect("weather");
    let (model, hours) = (&job.wires[0][0], &climate.job_hours()[hour..=hour]);
    let variant = &model.variants[0];
    let degc = variant.heating.expect("heat").job_degc(climate).expect("temperatures");
    variant.conditions(&model.states, climate, hours, &degc[hour..=hour]).expect("conditions")
}

const FROM_WEATHER: &str = "\"wind_from\": \"from the weather\"";
const ANY: &str = "\"wind_from\": \"any\"";

#[test]
fn hours_have_the_directions_of_their_weather_or_any() {
    let job = job(&text());
    let hours = job.climate.as_ref().expect("weather").job_hours();
    // The first three rows say "variable".
    assert!(hours[..3].iter().all(|hour| hour.weather.wind_from == WindDirection::Any));
    let sectors = hours.iter().filter(|hour| hour.weather.wind_from != WindDirection::Any);
    for hour in sectors.clone() {
        assert!(hour.weather.wind_from.sweep_rad() <= (80.0_f64 + 32.0).to_radians() + 1e-9, "{hour:?}");
        assert!(hour.weather.wind_from.holds(266_f64.to_radians()), "{hour:?}");
    }
    assert!(sectors.count() > 10);
}

/// The answer with directions is never farther out than with any: distances grow or stay, and where no direction is known they stay.
#[test]
fn directions_only_take_states_away() {
    let steady = with(&text(), "\"wind_turn\": \"40 deg\"", "\"wind_turn\": \"5 deg\"");
    let (known, any) = (answer(&steady), answer(&with(&steady, FROM_WEATHER, ANY)));
    let tolerance_m = 0.02;
    let mut farther = 0;
    for (index, (a, b)) in known.hours.iter().zip(&any.hours).enumerate() {
        assert!(a.distance.upper_m >= b.distance.lower_m - 1e-9, "hour {index}");
        if a.weather.wind_from == WindDirection::Any {
            assert!((a.distance.lower_m - b.distance.lower_m).abs() < tolerance_m, "hour {index}");
        }
        farther += usize::from(a.distance.lower_m > b.distance.upper_m + tolerance_m);
    }
    // The wind of the file blows from the west along the wires, which then hardly swing.
    assert!(farther > 5, "only {farther} hours gain");
}

/// In a band of wind the wire is the cooler the more the wind blows across it; in the slowest bands the lee counts instead.
#[test]
fn wind_across_cools_in_the_bands() {
    let along = conditions(&text(), 12);
    let across = with(&text(), "\"position\": [\"90 m\", \"0 m\"]", "\"position\": [\"0 m\", \"90 m\"]");
    let across = conditions(&across, 12);
    assert_eq!((along.len(), across.len()), (6, 6));
    for (along, across) in along.iter().zip(&across).skip(2) {
        assert_eq!(along.wind_m_per_s, across.wind_m_per_s);
        let gain = along.temperature_degc.high() - across.temperature_degc.high();
        assert!(gain > 0.3, "{gain} K in {:?}", along.wind_m_per_s);
        assert!((along.temperature_degc.low() - across.temperature_degc.low()).abs() < 1e-9);
    }
}

/// The least angle to a line, sampled.
#[test]
fn the_least_angle_to_a_line_is_that_of_its_bearings() {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_128);
    for _ in 0..2000 {
        let (from_rad, sweep_rad) = (random.random_range(-7.0..7.0), random.random_range(0.0..6.2));
        let (sector, line) = (WindDirection::Sector { from_rad, sweep_rad }, random.random_range(-7.0..7.0_f64));
        let acute = |bearing: f64| (bearing - line).sin().abs().asin();
        let sampled = (0..=4000).map(|k| acute(from_rad + sweep_rad * f64::from(k) / 4000.0)).fold(9.0, f64::min);
        let found = sector.least_angle_rad(line);
        assert!(found <= sampled + 1e-9 && sampled - found < 2e-3, "{sector:?} {line}: {found} {sampled}");
    }
}

/// Hull and common part of sectors hold what both, or each, hold.
#[test]
fn sectors_join_and_meet() {
    let mut random = ChaCha8Rng::seed_from_u64(20_261_129);
    let mut met = 0;
    for _ in 0..2000 {
        let mut sector = || WindDirection::Sector {
            from_rad: random.random_range(-7.0..7.0),
            sweep_rad: random.random_range(0.0..4.0),
        };
        let (a, b) = (sector(), sector());
        let (hull, common) = (a.hull(b), a.common(b));
        met += usize::from(common.is_some());
        for k in 0..360 {
            let bearing = f64::from(k).to_radians();
            let edge = |s: WindDirection| s.holds(bearing - 1e-6) != s.holds(bearing + 1e-6);
            if edge(a) || edge(b) || edge(hull) || common.is_some_and(edge) {
                continue;
            }
            assert!(!(a.holds(bearing) || b.holds(bearing)) || hull.holds(bearing), "{a:?} {b:?} {hull:?}");
            let both = a.holds(bearing) && b.holds(bearing);
            assert!(common.is_none_or(|c| !c.holds(bearing) || both), "{a:?} {b:?} {common:?}");
            assert!(common.is_some() || !both, "{a:?} {b:?} meet at {k}");
        }
    }
    assert!(met > 500);
}

/// A temperature cut-off leaves out hotter wires of each hour, and only those.
#[test]
fn a_temperature_cut_off_narrows_the_hours_that_are_hotter() {
    let stays = with(&text(), "\"wire_temperature\": \"45 degC\"", "\"wire_temperature\": \"90 degC\"");
    let independent = |text: &str| with(text, "\"coupling\": \"heat balance\"", "\"coupling\": \"independent\"");
    let (cut, whole) = (independent(&text()), independent(&stays));
    let mut narrowed = 0;
    for hour in 0..24 {
        let (a, b) = (conditions(&cut, hour)[0].temperature_degc, conditions(&whole, hour)[0].temperature_degc);
        assert_eq!(a.low(), b.low());
        assert_eq!(a.high(), b.high().min(45.0));
        narrowed += usize::from(a.high() < b.high());
    }
    assert!((1..24).contains(&narrowed), "{narrowed} hours are hotter than the cut-off");
    let (cut, whole) = (answer(&cut), answer(&whole));
    assert!(cut.hours.iter().zip(&whole.hours).all(|(a, b)| a.distance.upper_m >= b.distance.lower_m - 1e-9));
    let gains = cut.hours.iter().zip(&whole.hours).filter(|(a, b)| a.distance.lower_m > b.distance.lower_m + 0.01);
    assert!(gains.count() > 0, "the cut-off never helps");
    // What the wires are in the hour is shown as it is.
    assert_eq!(cut.hours[14].wires_degc, whole.hours[14].wires_degc);
}
