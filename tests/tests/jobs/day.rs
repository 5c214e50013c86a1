//! The plan of a day: a real climate file, hours that hold whatever the weather does within them, windows, coupled conditions and wires
//! that nobody knows.

use std::fs;

use wideberth_physics::approach::closest_approach;
use wideberth_physics::interval::Interval;
use wideberth_physics::verdict::Verdict;
use wideberth_physics::weather::{Air, HeatStep, Transient};
use wideberth_plan::day::{Cause, Day, Spell, day, heights};
use wideberth_report::day::DayDocument;
use wideberth_scenario::weather::{offset, read_epw};
use wideberth_scenario::{Code, Context, Job, Problems};
use wideberth_tests::generate::Draw;
use wideberth_tests::generated::repository_root;

const CLIMATE: &str = "tests/data/weather/pvgis-typical-year-45n-8e.epw";

fn demonstration() -> String {
    let path = repository_root().join("scenarios/tipping-before-the-heat-of-the-day.json");
    fs::read_to_string(path).expect("the demonstration")
}

fn read(text: &str) -> Result<Job, Problems> {
    let root = repository_root();
    let read = |name: &str| {
        let beside = if name.ends_with(".epw") { root.join(name) } else { root.join("scenarios").join(name) };
        fs::read_to_string(beside).map_err(|error| error.to_string())
    };
    Job::from_text(text, &Context::embedded(read).expect("the built-in catalogue is right"))
}

fn job(text: &str) -> Job {
    read(text).unwrap_or_else(|problems| panic!("refused:\n{problems}"))
}

fn answer(text: &str) -> Day {
    day(&job(text), Spell::Job, &|_| {}).expect("an answer")
}

/// The text with `from` replaced, which must stand in it.
fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replace(from, to)
}

/// The demonstration at the place and with the weather of the climate file; wires are known by their tension.
fn in_the_climate_file() -> String {
    let site =
        r#""site": {"latitude": "44.2 deg", "longitude": "-79.1 deg", "elevation": "260 m", "time_zone": "UTC-04:00"}"#;
    let there =
        r#""site": {"latitude": "45 deg", "longitude": "8 deg", "elevation": "250 m", "time_zone": "UTC+02:00"}"#;
    let text = with(&demonstration(), site, there);
    let text = with(&text, "weather/larkenfold-14-july.csv", CLIMATE);
    let seen = r#""known_by": {"height": "9.7 m", "tolerance": "0.1 m", "between": ["L1", "L2"], "at": "55 m", "conductor_temperature": "from the weather", "seen_at": "07:10"}"#;
    with(
        &text,
        seen,
        r#""known_by": {"share_of_strength": "12 %", "tolerance": "5 %", "conductor_temperature": "15 degC"}"#,
    )
}

#[test]
fn a_real_climate_file_is_read_as_it_stands() {
    let text = fs::read_to_string(repository_root().join(CLIMATE)).expect("the file");
    let (series, place) = read_epw(&text, offset("UTC+01:00").expect("a clock")).expect("a whole file");
    assert_eq!((place.latitude_deg, place.longitude_deg), (45.0, 8.0));
    // 8760 rows, and the last one again as the first moment of the year.
    assert_eq!(series.samples.len(), 8761);
    let first = series.samples[1];
    assert_eq!((first.air_degc, first.wind_m_per_s, first.line), (2.29, 2.3, 9));
    let last = series.samples[8760];
    assert_eq!((last.air_degc, last.wind_m_per_s), (2.48, 2.1));
}

#[test]
fn a_real_climate_file_goes_through_a_day_and_a_year() {
    let text = in_the_climate_file();
    let july = answer(&text);
    assert_eq!(july.hours.len(), 24);
    assert!(july.hours.iter().all(|hour| hour.worst.is_some()));
    let year = heights(&job(&text), Spell::All).expect("temperatures and heights");
    assert_eq!(year.hours.len(), 8760);
    let hottest = |hour: &wideberth_plan::day::HourResult| hour.wires_degc[0].high();
    let at = (0..8760).max_by(|&a, &b| hottest(&year.hours[a]).total_cmp(&hottest(&year.hours[b]))).expect("hours");
    assert!((24 * 151..24 * 243).contains(&at), "hour {at} of the year is the hottest");
    for hour in &year.hours {
        let (wire, air) = (hour.wires_degc[0], hour.weather.air_degc);
        assert!(wire.low() < air.low() && wire.high() >= air.high(), "{hour:?}");
        assert!(hour.heights_m.iter().all(|height| height.low() > 6.0 && height.high() < 11.5), "{hour:?}");
    }
    let document = DayDocument::of(&job(&text), &july, true);
    assert!(document.typical_year && !document.warnings.is_empty());
}

#[test]
fn a_typical_year_is_refused_where_it_says_nothing() {
    let code = |text: &str| read(text).expect_err("refused").iter().map(|p| p.code).collect::<Vec<_>>();
    let leap = with(&in_the_climate_file(), "2026-07-14", "2028-02-29");
    assert_eq!(code(&leap), [Code::NeedsWeather]);
    let seen = with(&demonstration(), "weather/larkenfold-14-july.csv", CLIMATE);
    let seen = seen
        .replace("\"44.2 deg\"", "\"45 deg\"")
        .replace("\"-79.1 deg\"", "\"8 deg\"")
        .replace("UTC-04:00", "UTC+02:00");
    assert!(code(&seen).iter().all(|code| *code == Code::NeedsWeather));
}

#[test]
fn the_supervisor_reads_when_it_is_clear_when_it_ends_and_why() {
    let found = answer(&demonstration());
    let spells: Vec<(usize, usize, bool)> =
        found.windows.iter().map(|window| (window.hours.start, window.hours.end, window.clear())).collect();
    assert_eq!(spells, [(0, 8, true), (8, 20, false), (20, 24, true)]);
    assert_eq!(found.windows[1].cause, Some(Cause::Together));
    assert_eq!(found.worst, 15);
    for window in found.windows.iter().filter(|window| window.clear()) {
        let wind = window.wind.expect("clear in still air");
        let gust = found.hours[window.hours.clone()].iter().map(|h| h.weather.gust_m_per_s).fold(0.0, f64::max);
        assert!(wind.clear_to_m_per_s + 0.25 >= gust, "it is clear in its own gusts");
        assert!(wind.not_clear_at_m_per_s.is_some_and(|not| not - wind.clear_to_m_per_s <= 0.25));
    }
}

/// Whatever current, air, wind and sun do within an hour, a wire stays within its range: followed by the standard's transient in steps of
/// two minutes, with everything drawn anew in each.
#[test]
fn no_weather_within_an_hour_takes_a_wire_out_of_its_range() {
    let job = job(&demonstration());
    let found = heights(&job, Spell::Job).expect("temperatures");
    let climate = job.climate.as_ref().expect("weather");
    let heating = job.wires[0][0].variants[0].heating.expect("heated");
    let transient = Transient::new(heating.balance, heating.capacity);
    let surface = heating.balance.surface();
    for seed in 0..12 {
        let mut draw = Draw::new(seed);
        let mut degc = found.hours[0].wires_degc[0].at(draw.within(0.1, 1.0));
        for (hour, result) in climate.job_hours().iter().zip(&found.hours) {
            for _ in 0..30 {
                let weather = &hour.weather;
                let pick = |range: Interval, share: f64| range.at(if seed < 4 { share.round() } else { share });
                let air = Air {
                    ambient_degc: pick(weather.air_degc, draw.within(0.0, 1.0)),
                    wind_m_per_s: pick(weather.wind_m_per_s, draw.within(0.0, 1.0)),
                    wind_angle_rad: draw.within(0.0, 1.6),
                    elevation_m: heating.elevation_m,
                };
                let sun = draw.within(0.0, 1.0) * hour.sun_w_per_m2;
                let step = HeatStep {
                    duration_s: 120.0,
                    current_a: pick(heating.current_a, draw.within(0.0, 1.0)),
                    air,
                    solar_w_per_m: surface.absorptivity * surface.diameter_m * sun,
                };
                degc = transient.after_degc(degc, &step).expect("a temperature");
                let range = result.wires_degc[0];
                assert!(range.low() <= degc && degc <= range.high(), "{degc} is outside {range:?}");
            }
        }
    }
}

#[test]
fn many_hours_together_get_the_verdict_of_each_alone() {
    let mut table = String::from("time,air_degc,wind_m_per_s,gust_m_per_s\n");
    for hour in 0..=72_u32 {
        let warmth = (0.26 * (f64::from(hour % 24) - 9.0)).sin();
        let (air, gust) =
            (14.0 + 3.0 * f64::from(hour / 24) + 9.0 * warmth, 4.0 + 3.0 * f64::from(hour / 24) * warmth.abs());
        let (day, clock) = (14 + hour / 24, hour % 24);
        table += &format!("2026-07-{day}T{clock:02}:00,{air:.1},{:.1},{gust:.1}\n", 0.5 * gust);
    }
    let known = r#""known_by": {"share_of_strength": "9 %", "tolerance": "5 %", "conductor_temperature": "15 degC"}"#;
    let seen = r#""known_by": {"height": "9.7 m", "tolerance": "0.1 m", "between": ["L1", "L2"], "at": "55 m", "conductor_temperature": "from the weather", "seen_at": "07:10"}"#;
    let text = with(&demonstration(), seen, known);
    let context = || Context::embedded(|_| Ok(table.clone())).expect("the built-in catalogue is right");
    let whole = Job::from_text(&text, &context()).expect("right");
    let together = day(&whole, Spell::All, &|_| {}).expect("an answer");
    assert_eq!(together.hours.len(), 72);
    let mut verdicts = Vec::new();
    for date in ["2026-07-14", "2026-07-15", "2026-07-16"] {
        let one = Job::from_text(&with(&text, "2026-07-14", date), &context()).expect("right");
        let alone = day(&one, Spell::Job, &|_| {}).expect("an answer");
        verdicts.extend(alone.hours.iter().map(|hour| hour.verdict));
    }
    let found: Vec<Verdict> = together.hours.iter().map(|hour| hour.verdict).collect();
    assert_eq!(found, verdicts);
    let clear = verdicts.iter().filter(|verdict| **verdict == Verdict::Clear).count();
    assert!((10..65).contains(&clear), "{clear} clear hours do not tell the two apart");
    assert!(together.searches < 72, "{} searches for 72 hours", together.searches);
}

/// Least proven distance of all machines and wires, m.
fn lower_m(job: &Job) -> f64 {
    let study = &job.study;
    let lower = |p: &wideberth_physics::study::Pairing| {
        let wire = &study.lines[p.line].wires[p.wire];
        closest_approach(&study.machines[p.machine], wire, &job.options).expect("a shape").distance.lower_m
    };
    study.pairings.iter().map(lower).fold(f64::INFINITY, f64::min)
}

#[test]
fn coupling_leaves_out_only_hot_wires_in_strong_wind() {
    let independent = job(&demonstration());
    let coupled_text =
        with(&demonstration(), r#""wind_from": "any"}"#, r#""wind_from": "any", "coupling": "heat balance"}"#);
    let coupled = job(&coupled_text);
    assert!(lower_m(&coupled) > lower_m(&independent) + 0.05);
    // Whatever wind blows, steadily and hard enough for its gusts, the wire that it cools is covered.
    let climate = coupled.climate.as_ref().expect("weather");
    let (model, wire) = (&coupled.wires[0][0], &coupled.study.lines[0].wires[0]);
    let heating = model.variants[0].heating.expect("heated");
    let mut draw = Draw::new(7);
    for _ in 0..400 {
        let hour = climate.job_hours()[draw.index(24)];
        let gust = draw.within(0.0, hour.weather.gust_m_per_s);
        let mean = draw.within(
            (gust / climate.gust_factor).max(hour.weather.wind_m_per_s.low().min(0.61)),
            hour.weather.gust_m_per_s,
        );
        let air = Air {
            ambient_degc: hour.weather.air_degc.at(draw.within(0.0, 1.0)),
            wind_m_per_s: mean,
            wind_angle_rad: draw.within(0.0, 1.6),
            elevation_m: heating.elevation_m,
        };
        let current_a = heating.current_a.at(draw.within(0.0, 1.0));
        let degc = heating.balance.steady_temperature_degc(current_a, &air, 0.0).expect("a temperature");
        let covered = wire.spans().iter().any(|span| {
            let range = span.temperature_range_degc();
            span.states().wind_m_per_s.high() >= gust && range.low() <= degc && degc <= range.high()
        });
        assert!(covered, "{degc} degC in gusts of {gust} m/s");
    }
}

#[test]
fn an_unknown_wire_covers_every_wire_of_its_class() {
    let base = with(
        &in_the_climate_file(),
        "from the weather\", \"wind_speed\": \"from the weather\"",
        "20 degC\", \"wind_speed\": \"5 m/s\"",
    );
    let raven = r#""acsr-raven-1-0-6-1-b232-sheet""#;
    let share = r#"{"share_of_strength": "12 %", "tolerance": "5 %", "conductor_temperature": "15 degC"}"#;
    let unknown = with(&with(&base, raven, r#"{"class": "rural single-phase"}"#), share, r#"{"tension": "unknown"}"#);
    let unknown = job(&unknown);
    assert!(unknown.study.lines[0].wires[0].variants() >= 8);
    let least_m = lower_m(&unknown);
    for id in ["acsr-swan-4-6-1", "acsr-sparrow-2-6-1", "acsr-raven-1-0-6-1-b232-sheet"] {
        for percent in ["9 %", "17 %", "24 %"] {
            let known = with(
                &with(&base, raven, &format!("\"{id}\"")),
                "\"12 %\", \"tolerance\": \"5 %\"",
                &format!("\"{percent}\", \"tolerance\": \"3 %\""),
            );
            assert!(lower_m(&job(&known)) >= least_m - 0.011, "{id} at {percent}");
        }
    }
    // A measured height narrows it.
    let seen = r#"{"height": "10.2 m", "tolerance": "0.1 m", "between": ["L1", "L2"], "at": "55 m", "conductor_temperature": "20 degC"}"#;
    let measured = with(&with(&base, raven, r#"{"class": "rural single-phase"}"#), share, seen);
    assert!(lower_m(&job(&measured)) > least_m + 0.1);
}

#[test]
fn the_height_to_measure_makes_every_hour_clear() {
    let seen = r#"{"height": "9.7 m", "tolerance": "0.1 m", "between": ["L1", "L2"], "at": "55 m", "conductor_temperature": "from the weather", "seen_at": "07:10"}"#;
    let class = r#"{"class": "rural single-phase"}"#;
    let unknown = with(&demonstration(), r#""acsr-raven-1-0-6-1-b232-sheet""#, class);
    let unknown = with(&unknown, "\"-10 m\"", "\"-10.7 m\"");
    let found = answer(&with(&unknown, seen, r#"{"tension": "unknown"}"#));
    assert!(found.hours.iter().any(|hour| hour.verdict != Verdict::Clear), "there is something to find out");
    assert_eq!(found.measures.len(), 3);
    let clear_from_m = found.measures.iter().map(|measure| measure.clear_from_m.expect("a height helps"));
    let least_m = clear_from_m.fold(0.0, f64::max);
    for height_m in [least_m, least_m + 0.3] {
        let known = seen.replace("9.7 m", &format!("{height_m} m")).replace("07:10", "00:30");
        let narrowed = answer(&with(&unknown, seen, &known));
        assert!(narrowed.hours.iter().all(|hour| hour.verdict == Verdict::Clear), "at {height_m} m");
    }
}
