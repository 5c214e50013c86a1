//! Hourly weather as a table: a header that names each column with its unit, then one row an hour.

use ::csv::{ReaderBuilder, Trim};
use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::Offset;

use super::table::{Row, step_problem};
use super::{Sample, Series};
use crate::bounds::{AirTemperature, WindSpeed};
use crate::code::Code;
use crate::nearest::suggestion;
use crate::problem::{Problem, Problems};
use crate::source::Position;

/// The columns that a table may have: name, what it holds, the unit that its name states.
const COLUMNS: &[(&str, Holds, &str)] = &[
    ("time", Holds::Time, ""),
    ("air_degc", Holds::Air, "degC"),
    ("air_degf", Holds::Air, "degF"),
    ("wind_m_per_s", Holds::Wind, "m/s"),
    ("wind_km_per_h", Holds::Wind, "km/h"),
    ("wind_mph", Holds::Wind, "mph"),
    ("wind_kn", Holds::Wind, "kn"),
    ("gust_m_per_s", Holds::Gust, "m/s"),
    ("gust_km_per_h", Holds::Gust, "km/h"),
    ("gust_mph", Holds::Gust, "mph"),
    ("gust_kn", Holds::Gust, "kn"),
    ("wind_from_deg", Holds::From, ""),
    ("sun_w_per_m2", Holds::Sun, ""),
];

/// Brightest sunshine on level ground that a file may state, W/m²: above the solar constant something is mistyped.
const BRIGHTEST_W_PER_M2: f64 = 1400.0;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holds {
    Time,
    Air,
    Wind,
    Gust,
    From,
    Sun,
}

/// Where each thing stands.
struct Header {
    time: usize,
    air: (usize, Named),
    wind: (usize, Named),
    gust: Option<(usize, Named)>,
    from: Option<(usize, Named)>,
    sun: Option<(usize, Named)>,
}

/// Name and unit of a column.
#[derive(Clone, Copy)]
struct Named {
    name: &'static str,
    unit: &'static str,
}

/// Reads the text of an hourly table. Times without an offset of their own are taken on the clock of `offset`, that of the
/// place.
///
/// # Errors
/// Everything that is wrong with it, each with its line.
pub fn read_csv(text: &str, offset: Offset) -> Result<Series, Problems> {
    let mut reader =
        ReaderBuilder::new().comment(Some(b'#')).flexible(true).trim(Trim::None).from_reader(text.as_bytes());
    let header = reader.headers().cloned().map_err(|error| no_table(error.to_string()))?;
    let columns = Header::of(&Row::of(&header, text))?;
    let (mut problems, mut samples) = (Problems::none(), Vec::<Sample>::new());
    for (index, record) in reader.into_records().enumerate() {
        let record = record.map_err(|error| no_table(error.to_string()))?;
        let row = Row::of(&record, text);
        let Some(sample) = problems.collect(columns.sample(&row, header.len(), offset)) else { continue };
        // Beside a row that is wrong itself the step says nothing.
        let before = samples.last().filter(|_| samples.len() == index);
        if let Some((code, message)) = before.and_then(|before| step_problem(before, &sample)) {
            problems.add(row.problem(columns.time, "time", code, message, CLOCK_HELP));
        }
        samples.push(sample);
    }
    if samples.len() < 2 && problems.is_empty() {
        problems.add(Problem::new(
            Code::WeatherFile,
            "the table",
            Position::START,
            "fewer than two rows: an hour needs the weather at its beginning and at its end",
            "give one row for each full hour, and one for the end of the last hour",
        ));
    }
    let source = format!("hourly table with {} rows", samples.len());
    problems.into_result(Series { source, offset, typical_year: None, samples })
}

/// What to do where the hours do not follow each other.
const CLOCK_HELP: &str = "give one row for each full hour without gaps; where the clock changes, write every time with its offset, such \
                          as 2026-11-01T01:00-05:00";

fn no_table(why: String) -> Problems {
    let help = "give a table with a header such as time,air_degc,wind_m_per_s";
    Problem::new(Code::WeatherFile, "the table", Position::START, format!("this is not a table: {why}"), help).into()
}

impl Header {
    fn of(row: &Row<'_>) -> Result<Self, Problems> {
        let header = row.cells;
        let (mut problems, mut found) = (Problems::none(), Vec::<(Holds, usize, Named)>::new());
        for column in 0..header.len() {
            let name = row.text(column).trim_start_matches('\u{feff}');
            let Some((name, holds, unit)) = COLUMNS.iter().copied().find(|(known, ..)| *known == name) else {
                let help = suggestion(name, COLUMNS.iter().map(|(known, ..)| *known));
                let message = format!("no column is called \"{name}\"; names state their unit");
                problems.add(row.problem(column, "the header", Code::WeatherFile, message, &help));
                continue;
            };
            if found.iter().any(|(other, ..)| *other == holds) {
                let message = format!("\"{name}\" is given twice, or in two units");
                problems.add(row.problem(column, "the header", Code::WeatherFile, message, "keep one of them"));
            }
            found.push((holds, column, Named { name, unit }));
        }
        let find = |holds: Holds| found.iter().find(|(other, ..)| *other == holds).map(|f| (f.1, f.2));
        let mut need = |holds: Holds, words: &str| {
            find(holds).ok_or_else(|| {
                let message = format!("there is no column for the {words}");
                problems.add(row.problem(
                    0,
                    "the header",
                    Code::WeatherFile,
                    message,
                    "add it; docs/formats.md lists the names",
                ));
            })
        };
        let needed = (need(Holds::Time, "time"), need(Holds::Air, "air"), need(Holds::Wind, "wind"));
        let (Ok(time), Ok(air), Ok(wind)) = needed else { return Err(problems) };
        let (gust, from, sun) = (find(Holds::Gust), find(Holds::From), find(Holds::Sun));
        problems.into_result(Self { time: time.0, air, wind, gust, from, sun })
    }

    fn sample(&self, row: &Row<'_>, columns: usize, offset: Offset) -> Result<Sample, Problems> {
        if row.cells.len() != columns {
            let message = format!("the row has {} cells, the header {columns}", row.cells.len());
            let help = "give every row one cell for each column; the file may be cut short here";
            return Err(row.problem(0, "the row", Code::WeatherFile, message, help).into());
        }
        let mut problems = Problems::none();
        let mut keep = |result: Result<f64, Problem>| result.map_err(|problem| problems.add(problem)).ok();
        let air = keep(row.quantity::<AirTemperature>(self.air.0, self.air.1.name, self.air.1.unit));
        let wind = keep(row.quantity::<WindSpeed>(self.wind.0, self.wind.1.name, self.wind.1.unit));
        let gust = self.gust.map(|(column, named)| keep(row.quantity::<WindSpeed>(column, named.name, named.unit)));
        let sun = self.sun.map(|(column, named)| keep(sunshine(row, column, named.name)));
        let from = self.from.map(|(column, named)| direction(row, column, named.name)).transpose();
        let from = from.map_err(|problem| problems.add(problem)).ok();
        let at = self.time(row, offset).map_err(|problem| problems.add(problem)).ok();
        let (Some(air_degc), Some(wind_m_per_s), Some(at)) = (air, wind, at) else { return Err(problems) };
        let (gust_m_per_s, sun_w_per_m2) = (gust.flatten(), sun.flatten());
        let wind_from_rad = from.flatten().flatten().filter(|_| wind_m_per_s > 0.0);
        let line = row.line;
        problems.into_result(Sample { at, air_degc, wind_m_per_s, gust_m_per_s, wind_from_rad, sun_w_per_m2, line })
    }

    fn time(&self, row: &Row<'_>, offset: Offset) -> Result<Timestamp, Problem> {
        let text = row.text(self.time);
        let stamped = text.parse::<Timestamp>();
        let read = stamped.or_else(|_| text.parse::<DateTime>().and_then(|local| offset.to_timestamp(local)));
        read.map_err(|_| {
            let message = format!("\"{text}\" is not a time");
            let help = "write such as 2026-07-14T05:00-05:00, or 2026-07-14T05:00 on the clock of the site";
            row.problem(self.time, "time", Code::WeatherValue, message, help)
        })
    }
}

/// What a table writes where the wind has no direction.
const NO_DIRECTION: [&str; 4] = ["", "calm", "variable", "vrb"];

/// Bearing from which the wind blows, rad; none in a calm, where it varies or is not known.
fn direction(row: &Row<'_>, column: usize, name: &str) -> Result<Option<f64>, Problem> {
    let text = row.text(column).to_ascii_lowercase();
    if NO_DIRECTION.contains(&text.as_str()) {
        return Ok(None);
    }
    let degrees = text.parse::<f64>().ok().filter(|degrees| (0.0..=360.0).contains(degrees));
    degrees.map(|degrees| Some(degrees.to_radians())).ok_or_else(|| {
        let message = format!("\"{}\" is not a bearing between 0 and 360 degrees", row.text(column));
        let help = "write degrees clockwise from north from which the wind blows, or calm, variable or nothing";
        row.problem(column, name, Code::WeatherValue, message, help)
    })
}

/// Sunshine on level ground, W/m².
fn sunshine(row: &Row<'_>, column: usize, name: &str) -> Result<f64, Problem> {
    let text = row.text(column);
    match text.parse::<f64>() {
        Ok(value) if (-20.0..=BRIGHTEST_W_PER_M2).contains(&value) => Ok(value.max(0.0)),
        _ => {
            let message = format!("\"{text}\" is not sunshine between 0 and {BRIGHTEST_W_PER_M2} W/m2");
            Err(row.problem(column, name, Code::WeatherValue, message, "check the number and its unit"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &str) -> Vec<(Code, usize)> {
        let problems = read_csv(text, Offset::constant(-5)).expect_err("refused");
        problems.iter().map(|p| (p.code, p.line)).collect()
    }

    #[test]
    fn reads_units_and_offsets() {
        let text =
            "# forecast\ntime,air_degf,wind_mph,gust_mph\n2026-07-14T05:00,50,10,20\n2026-07-14T12:00+01:00,59,10,20\n";
        let series = read_csv(text, Offset::constant(-5)).expect("right");
        assert_eq!(series.samples[0].at, "2026-07-14T10:00Z".parse().expect("a time"));
        assert!((series.samples[0].air_degc - 10.0).abs() < 1e-9);
        assert!((series.samples[1].wind_m_per_s - 4.4704).abs() < 1e-9);
    }

    #[test]
    fn directions_and_what_stands_for_none() {
        let head = "time,air_degc,wind_m_per_s,wind_from_deg\n";
        let rows = ["270", "360", "VRB", "calm", ""].iter().enumerate();
        let text: String = rows.map(|(hour, from)| format!("2026-07-14T{hour:02}:00,15,4,{from}\n")).collect();
        let series = read_csv(&format!("{head}{text}"), Offset::UTC).expect("right");
        let found: Vec<Option<i64>> =
            series.samples.iter().map(|s| s.wind_from_rad.map(|rad| rad.to_degrees().round() as i64)).collect();
        assert_eq!(found, [Some(270), Some(360), None, None, None]);
        assert_eq!(problems(&format!("{head}2026-07-14T00:00,15,4,361\n")), [(Code::WeatherValue, 2)]);
        assert_eq!(problems(&format!("{head}2026-07-14T00:00,15,4,west\n")), [(Code::WeatherValue, 2)]);
        let still = read_csv(&format!("{head}2026-07-14T00:00,15,0,270\n2026-07-14T01:00,15,4,270\n"), Offset::UTC);
        assert_eq!(still.expect("right").samples[0].wind_from_rad, None, "a calm has no direction");
    }

    #[test]
    fn gaps_repeats_and_clock_changes_are_refused_at_their_line() {
        let head = "time,air_degc,wind_m_per_s\n2026-11-01T00:00,5,1\n2026-11-01T01:00,5,1\n";
        assert_eq!(problems(&format!("{head}2026-11-01T01:00,5,1\n")), [(Code::WeatherGap, 4)]);
        assert_eq!(problems(&format!("{head}2026-11-01T04:00,5,1\n")), [(Code::WeatherGap, 4)]);
        assert_eq!(problems(&format!("{head}2026-11-01T01:30,5,1\n")), [(Code::WeatherGap, 4)]);
        assert_eq!(problems(&format!("{head}2026-11-01T02:00,,1\n")), [(Code::WeatherGap, 4)]);
        let stamped = "time,air_degc,wind_m_per_s\n2026-11-01T01:00-04:00,5,1\n2026-11-01T01:00-05:00,5,1\n";
        assert!(read_csv(stamped, Offset::constant(-5)).is_ok(), "the hour that comes twice, each with its offset");
    }

    #[test]
    fn nonsense_is_refused_at_its_line() {
        let head = "time,air_degc,wind_m_per_s\n2026-11-01T00:00,5,1\n";
        for row in [
            "2026-11-01T01:00,293,1",
            "2026-11-01T01:00,5,-1",
            "2026-11-01T01:00,5,nan",
            "noon,5,1",
            "2026-02-30T01:00,5,1",
        ] {
            assert_eq!(problems(&format!("{head}{row}\n")), [(Code::WeatherValue, 3)], "{row}");
        }
        assert_eq!(problems(&format!("{head}2026-11-01T01:00,5\n")), [(Code::WeatherFile, 3)]);
        assert_eq!(problems("time,air,wind_m_per_s\n"), [(Code::WeatherFile, 1), (Code::WeatherFile, 1)]);
        assert_eq!(problems("time,air_degc,air_degf,wind_m_per_s\n"), [(Code::WeatherFile, 1)]);
        assert_eq!(problems(head), [(Code::WeatherFile, 1)]);
        assert_eq!(problems(""), [(Code::WeatherFile, 1); 3]);
    }
}
