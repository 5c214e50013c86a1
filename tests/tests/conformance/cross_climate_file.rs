//! The climate file of the tests, every row of it, and the sun of its days against pvlib: `tests/cross/climate_file.py` worked them
//! out (versions in `tests/cross/requirements.txt`); its output is `tests/data/cross/climate_file.csv`.

use std::fs;

use serde::Deserialize;
use wideberth_physics::weather::{Place, SunPosition};
use wideberth_scenario::weather::{Sample, offset, read_epw};
use wideberth_tests::generated::repository_root;

const FOUND: &str = include_str!("../../data/cross/climate_file.csv");

#[derive(Debug, Deserialize)]
struct Day {
    day: usize,
    mean_air_degc: f64,
    mean_wind_m_per_s: f64,
    mean_from_sine: f64,
    mean_from_cosine: f64,
    hour: usize,
    unix_s: i64,
    air_degc: f64,
    wind_m_per_s: f64,
    from_deg: f64,
    altitude_deg: f64,
    azimuth_deg: f64,
}

fn days() -> Vec<Day> {
    let mut reader = csv::Reader::from_reader(FOUND.as_bytes());
    reader.deserialize().collect::<Result<_, _>>().expect("the table is whole")
}

/// The rows of the file, without the one that stands for the first moment of the year.
fn samples() -> Vec<Sample> {
    let text = fs::read_to_string(repository_root().join("tests/data/weather/pvgis-typical-year-45n-8e.epw"));
    let (series, _) = read_epw(&text.expect("the file"), offset("UTC+01:00").expect("a clock")).expect("a whole file");
    series.samples[1..].to_vec()
}

fn mean(rows: &[Sample], value: impl Fn(&Sample) -> f64) -> f64 {
    rows.iter().map(value).sum::<f64>() / rows.len() as f64
}

#[test]
fn every_row_is_read_as_pvlib_reads_it() {
    let (days, samples) = (days(), samples());
    assert_eq!((days.len(), samples.len()), (365, 8760));
    // In a calm the file has a direction that means nothing; it is not taken over.
    let from = |sample: &Sample| sample.wind_from_rad.unwrap_or_default();
    let calm: Vec<usize> = (0..8760).filter(|&row| samples[row].wind_from_rad.is_none()).collect();
    assert!(calm.len() == 1 && samples[calm[0]].wind_m_per_s == 0.0);
    for day in &days {
        if calm[0] / 24 == day.day {
            continue;
        }
        let rows = &samples[24 * day.day..24 * day.day + 24];
        let pairs = [
            (mean(rows, |s| s.air_degc), day.mean_air_degc),
            (mean(rows, |s| s.wind_m_per_s), day.mean_wind_m_per_s),
            (mean(rows, |s| from(s).sin()), day.mean_from_sine),
            (mean(rows, |s| from(s).cos()), day.mean_from_cosine),
        ];
        let row = &rows[day.hour];
        let exact = [
            (row.at.as_second() as f64, day.unix_s as f64),
            (row.air_degc, day.air_degc),
            (row.wind_m_per_s, day.wind_m_per_s),
            (from(row).to_degrees(), day.from_deg),
        ];
        for (ours, theirs) in pairs.into_iter().chain(exact) {
            assert!((ours - theirs).abs() < 1e-9, "day {}: {ours} for {theirs}", day.day);
        }
    }
}

/// A hundredth of a degree, as for drawn places and times.
#[test]
fn the_sun_stands_where_pvlib_puts_it_on_the_clock_of_the_file() {
    let place = Place { latitude_rad: 45_f64.to_radians(), longitude_rad: 8_f64.to_radians(), elevation_m: 250.0 };
    let mut apart_deg: Vec<f64> = days()
        .iter()
        .map(|day| {
            let sun = SunPosition::at(&place, day.unix_s as f64).expect("a sun");
            let (altitude, azimuth) = (day.altitude_deg.to_radians(), day.azimuth_deg.to_radians());
            let turn = (sun.azimuth_rad - azimuth).sin() * altitude.cos();
            (sun.altitude_rad - altitude).hypot(turn).to_degrees()
        })
        .collect();
    apart_deg.sort_by(f64::total_cmp);
    let (middle, most) = (apart_deg[apart_deg.len() / 2], apart_deg[apart_deg.len() - 1]);
    assert!(most < 0.02, "at most {most} degrees, in the middle {middle}");
    let up = days().iter().filter(|day| day.altitude_deg > 0.0).count();
    assert!((150..220).contains(&up), "{up} of the hours are by day");
}
