//! Climate files in the open EPW format: eight lines of header, then one row an hour through a whole year.
//!
//! Format: EnergyPlus documentation, "Auxiliary Programs", section "EnergyPlus Weather File (EPW) Data Dictionary" (from
//! memory): fields count from 1; month 2, day 3, hour 4 (1 to 24, the sample stands at its end), dry bulb 7 (°C, missing 99.9),
//! global horizontal radiation 14 (Wh/m², missing 9999), wind direction 21 (degrees from north, missing 999, of no meaning in a
//! calm), wind speed 22 (m/s, missing 999).

use ::csv::ReaderBuilder;
use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{Timestamp, ToSpan};

use super::table::{Row, step_problem};
use super::{Sample, Series};
use crate::bounds::{AirTemperature, Bounded, WindSpeed};
use crate::code::Code;
use crate::problem::{Problem, Problems};
use crate::source::Position;

/// Lines before the hours.
const HEADER_LINES: usize = 8;
/// Fewest fields of a row that holds what is read here.
const LEAST_FIELDS: usize = 22;
/// Columns, from 0.
const MONTH: usize = 1;
const DAY: usize = 2;
const HOUR: usize = 3;
const AIR: usize = 6;
const SUN: usize = 13;
const FROM: usize = 20;
const WIND: usize = 21;
/// The years that a typical year is placed in: without and with a 29 February.
const YEARS: [i16; 2] = [2001, 2000];

/// The place that a climate file is for.
#[derive(Clone, Debug, PartialEq)]
pub struct EpwPlace {
    /// Its name.
    pub name: String,
    /// Latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
}

/// Reads the text of a climate file.
///
/// The months of such a file may come from different years; it is placed in one year that has the same days. `offset` is the
/// clock of the site, which the hours of the day are shown on; the file's own clock is standard time.
///
/// # Errors
/// Everything that is wrong with it, each with its line.
pub fn read_epw(text: &str, offset: Offset) -> Result<(Series, EpwPlace), Problems> {
    let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let rows = reader.records().collect::<Result<Vec<_>, _>>();
    let rows = rows.map_err(|error| wrong_file(1, format!("this is not a climate file: {error}")))?;
    let row = |cells| Row::of(cells, text);
    let location = rows.first().map(row).filter(|row| row.text(0) == "LOCATION");
    let location = location.ok_or_else(|| wrong_file(1, "the first line does not begin with LOCATION".into()))?;
    let (place, own) = place(&location)?;
    one_an_hour(rows.get(HEADER_LINES - 1).map(row))?;
    let hours: Vec<Row<'_>> = rows.iter().skip(HEADER_LINES).map(row).collect();
    let leap = hours.iter().any(|row| row.text(MONTH) == "2" && row.text(DAY) == "29");
    let year = YEARS[usize::from(leap)];
    let mut problems = Problems::none();
    let mut samples = Vec::with_capacity(hours.len() + 1);
    for (index, row) in hours.iter().enumerate() {
        let Some(sample) = problems.collect(sample(row, year, own)) else { continue };
        // Beside a row that is wrong itself the step says nothing.
        if samples.len() == index {
            check_step(row, samples.last(), &sample, year, own, &mut problems);
        }
        samples.push(sample);
    }
    let end = end_of_year(year, own).map_err(|error| wrong_file(1, error.to_string()))?;
    check_end(hours.last(), samples.last(), end, &mut problems);
    problems.clone().into_result(())?;
    let first = samples.last().map(|last| Sample { at: end - 1.hours() * (hours.len() as i64), ..*last });
    let source = format!("climate file of {} with {} rows", place.name, hours.len());
    let samples = first.into_iter().chain(samples).collect();
    Ok((Series { source, offset, typical_year: Some(year), samples }, place))
}

fn wrong_file(line: usize, message: String) -> Problems {
    let help = "give a whole climate file in the EPW format, or an hourly table that ends in .csv";
    Problem::new(Code::WeatherFile, "the climate file", Position { line, column: 1 }, message, help).into()
}

/// The place and the offset of the file's clock: fields 7 to 9 of the first line.
fn place(row: &Row<'_>) -> Result<(EpwPlace, Offset), Problems> {
    let number = |column: usize, name: &str, least: f64, most: f64| {
        let value = row.text(column).parse::<f64>().ok().filter(|value| (least..=most).contains(value));
        value.ok_or_else(|| {
            let message = format!("the {name} \"{}\" is not between {least} and {most}", row.text(column));
            row.problem(column, "LOCATION", Code::WeatherValue, message, "check the first line of the file")
        })
    };
    let latitude_deg = number(6, "latitude", -90.0, 90.0)?;
    let longitude_deg = number(7, "longitude", -180.0, 180.0)?;
    let hours = number(8, "time zone", -12.0, 14.0)?;
    let offset = Offset::from_seconds((hours * 3600.0).round() as i32).map_err(|e| wrong_file(1, e.to_string()))?;
    Ok((EpwPlace { name: row.text(1).into(), latitude_deg, longitude_deg }, offset))
}

/// The eighth line states one period with one row an hour.
fn one_an_hour(row: Option<Row<'_>>) -> Result<(), Problems> {
    let row = row.filter(|row| row.text(0) == "DATA PERIODS");
    let row = row.ok_or_else(|| wrong_file(HEADER_LINES, "line 8 does not begin with DATA PERIODS".into()))?;
    if row.text(1) == "1" && row.text(2) == "1" {
        return Ok(());
    }
    let message = format!("the file has {} periods with {} rows an hour", row.text(1), row.text(2));
    Err(wrong_file(row.line, format!("{message}, where one whole year with one row an hour is read")))
}

/// One hour. The sample stands at the end of its hour.
fn sample(row: &Row<'_>, year: i16, own: Offset) -> Result<Sample, Problems> {
    if row.cells.len() < LEAST_FIELDS {
        let message =
            format!("the row has {} fields, fewer than {LEAST_FIELDS}: the file is cut short", row.cells.len());
        return Err(wrong_file(row.line, message));
    }
    let mut problems = Problems::none();
    let at = instant(row, year, own).map_err(|problem| problems.add(problem)).ok();
    let air = reading::<AirTemperature>(row, AIR, "degC", 99.9).map_err(|problem| problems.add(problem)).ok();
    let wind = reading::<WindSpeed>(row, WIND, "m/s", 999.0).map_err(|problem| problems.add(problem)).ok();
    let sun = row.text(SUN).parse::<f64>().ok().filter(|value| (0.0..1400.0).contains(value));
    let from = direction(row).map_err(|problem| problems.add(problem)).ok();
    let (Some(at), Some(air_degc), Some(wind_m_per_s), Some(from)) = (at, air, wind, from) else {
        return Err(problems);
    };
    let wind_from_rad = from.filter(|_| wind_m_per_s > 0.0);
    Ok(Sample { at, air_degc, wind_m_per_s, gust_m_per_s: None, wind_from_rad, sun_w_per_m2: sun, line: row.line })
}

/// The direction of the wind, rad; none where it is marked as missing.
fn direction(row: &Row<'_>) -> Result<Option<f64>, Problem> {
    match row.text(FROM).parse::<f64>() {
        Ok(999.0) => Ok(None),
        Ok(degrees) if (0.0..=360.0).contains(&degrees) => Ok(Some(degrees.to_radians())),
        _ => {
            let message =
                format!("the wind direction \"{}\" is not between 0 and 360 degrees, nor 999 for none", row.text(FROM));
            Err(row.problem(FROM, "wind direction", Code::WeatherValue, message, "mend the row, or write 999"))
        }
    }
}

fn instant(row: &Row<'_>, year: i16, own: Offset) -> Result<Timestamp, Problem> {
    let whole = |column: usize| row.text(column).parse::<i8>().ok();
    let date = whole(MONTH).zip(whole(DAY)).and_then(|(month, day)| Date::new(year, month, day).ok());
    let hour = whole(HOUR).filter(|hour| (1..=24).contains(hour));
    let at = date.zip(hour).and_then(|(date, hour)| {
        let midnight = own.to_timestamp(date.at(0, 0, 0, 0)).ok()?;
        midnight.checked_add(i64::from(hour).hours()).ok()
    });
    at.ok_or_else(|| {
        let message = format!("month {}, day {}, hour {} is no time", row.text(MONTH), row.text(DAY), row.text(HOUR));
        row.problem(MONTH, "month, day, hour", Code::WeatherValue, message, "hours run from 1 to 24; mend the row")
    })
}

/// A quantity with the number that the format writes where it is missing.
fn reading<B: Bounded>(row: &Row<'_>, column: usize, unit: &str, missing: f64) -> Result<f64, Problem> {
    let name = B::BOUND.name;
    if row.text(column).parse::<f64>().is_ok_and(|value| value >= missing) {
        let message = format!("the {name} is marked as missing ({})", row.text(column));
        let help = "use a file without gaps: nothing is filled in here";
        return Err(row.problem(column, name, Code::WeatherGap, message, help));
    }
    row.quantity::<B>(column, name, unit)
}

/// The first row is the first hour of the year, every other an hour after the one before.
fn check_step(row: &Row<'_>, before: Option<&Sample>, next: &Sample, year: i16, own: Offset, problems: &mut Problems) {
    let wrong = match before {
        Some(before) => step_problem(before, next),
        None => {
            let first = own.to_timestamp(Date::constant(year, 1, 1).at(1, 0, 0, 0)).ok();
            let message = || (Code::WeatherGap, "the first row is not the first hour of 1 January".to_string());
            (first != Some(next.at)).then(message)
        }
    };
    if let Some((code, message)) = wrong {
        let help = "give one row for each hour of the year, 8760 or with 29 February 8784";
        problems.add(row.problem(MONTH, "month, day, hour", code, message, help));
    }
}

fn end_of_year(year: i16, own: Offset) -> Result<Timestamp, jiff::Error> {
    own.to_timestamp(Date::new(year + 1, 1, 1)?.at(0, 0, 0, 0))
}

fn check_end(row: Option<&Row<'_>>, last: Option<&Sample>, end: Timestamp, problems: &mut Problems) {
    if problems.is_empty() && last.map(|sample| sample.at) != Some(end) {
        let line = row.map_or(HEADER_LINES, |row| row.line);
        let message = "the file ends before the last hour of 31 December: it is cut short".to_string();
        problems.extend(wrong_file(line, message));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(leap: bool, clock: &str) -> String {
        let mut text = format!("LOCATION,Invented Moor,-,XXX,made up,0,45.0,8.0,{clock},250.0\n");
        for line in ["DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0"] {
            text += &format!("{line}\n");
        }
        text += "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\"a, b\"\nCOMMENTS 2\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n";
        let mut date = Date::constant(if leap { 2000 } else { 2001 }, 1, 1);
        let year = date.year();
        while date.year() == year {
            for hour in 1..=24 {
                let (month, day) = (date.month(), date.day());
                text +=
                    &format!("1999,{month},{day},{hour},0,flags,12.5,1,50,101325,0,0,300,0,0,0,0,0,0,0,200,3.5,5,5\n");
            }
            date = date.tomorrow().expect("a date");
        }
        text
    }

    fn problems(text: &str) -> Vec<(Code, usize)> {
        let problems = read_epw(text, Offset::constant(1)).expect_err("refused");
        problems.iter().map(|p| (p.code, p.line)).collect()
    }

    #[test]
    fn whole_years_are_read() {
        for (leap, hours) in [(false, 8760), (true, 8784)] {
            let (series, place) = read_epw(&text(leap, "1.0"), Offset::constant(2)).expect("right");
            assert_eq!(series.samples.len(), hours + 1);
            assert_eq!(place.name, "Invented Moor");
            // 00:00 on a clock an hour east of Greenwich.
            let first = if leap { "1999-12-31T23:00Z" } else { "2000-12-31T23:00Z" };
            assert_eq!(series.samples[0].at, first.parse().expect("a time"));
            assert!(series.samples.windows(2).all(|pair| step_problem(&pair[0], &pair[1]).is_none()));
        }
    }

    #[test]
    fn directions_are_read_but_not_in_a_calm_or_where_they_are_missing() {
        let whole = text(false, "1.0");
        let changed = whole.replacen(",200,3.5,", ",999,3.5,", 1).replacen(",200,3.5,", ",0,0.0,", 1);
        let (series, _) = read_epw(&changed, Offset::constant(1)).expect("right");
        let from = |index: usize| series.samples[index].wind_from_rad;
        assert_eq!((from(1), from(2)), (None, None));
        assert!((from(3).expect("a direction").to_degrees() - 200.0).abs() < 1e-9);
    }

    #[test]
    fn cut_and_damaged_files_are_refused_at_their_line() {
        let whole = text(false, "1.0");
        let lines: Vec<&str> = whole.lines().collect();
        let without = |from: usize, to: usize| [&lines[..from], &lines[to..]].concat().join("\n");
        assert_eq!(problems(&lines[..4000].join("\n")), [(Code::WeatherFile, 4000)]);
        assert_eq!(problems(&without(100, 103).replace('\n', "\r\n")), [(Code::WeatherGap, 101)]);
        assert_eq!(problems(&whole[..whole.len() - 60]), [(Code::WeatherFile, 8768)]);
        assert_eq!(problems(&without(100, 103)), [(Code::WeatherGap, 101)]);
        assert_eq!(problems(&without(8, 9)), [(Code::WeatherGap, 9)]);
        assert_eq!(problems(&without(7, 8)), [(Code::WeatherFile, 8)]);
        assert_eq!(problems(&without(0, 1)), [(Code::WeatherFile, 1)]);
        assert_eq!(problems(&text(false, "17")), [(Code::WeatherValue, 1)]);
        let swapped = |from: &str, to: &str| whole.replacen(from, to, 2);
        assert_eq!(problems(&swapped(",12.5,", ",99.9,")), [(Code::WeatherGap, 9), (Code::WeatherGap, 10)]);
        assert_eq!(problems(&swapped(",12.5,", ",293.1,")).len(), 2);
        assert_eq!(problems(&whole.replacen("1999,1,1,3,", "1999,1,1,25,", 1))[0], (Code::WeatherValue, 11));
        assert_eq!(problems(&whole.replacen("PERIODS,1,1,", "PERIODS,1,4,", 1)), [(Code::WeatherFile, 8)]);
        assert_eq!(problems(&whole.replacen(",200,3.5,", ",361,3.5,", 1)), [(Code::WeatherValue, 9)]);
        assert_eq!(problems(&whole.replacen(",200,3.5,", ",,3.5,", 1)), [(Code::WeatherValue, 9)]);
        assert_eq!(problems("hello"), [(Code::WeatherFile, 1)]);
    }
}
