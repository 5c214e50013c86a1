//! Site, date and weather of a job.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::Offset;
use wideberth_physics::interval::Interval;
use wideberth_physics::weather::{Atmosphere, Place, SunPosition};

use super::conditions::from_weather;
use crate::climate::{Climate, with_sun};
use crate::code::Code;
use crate::context::Context;
use crate::defaults::{AIR_ALLOWANCE_K, Defaults, GUST_FACTOR, WIND_TURN_RAD};
use crate::here::Here;
use crate::problem::{Problem, Problems};
use crate::raw::{RawForecast, RawHour, RawScenario, RawSite, RawWeather, SkyWord};
use crate::weather::{
    Allowance, DayShape, EpwPlace, Hour, Sample, Series, day_from_high_and_low, offset, offset_words, read_csv,
    read_epw,
};

/// Farthest that a climate file's place may be from the site, degrees of latitude or longitude.
const SAME_REGION_DEG: f64 = 4.0;
/// Farthest that a clock may be from the sun, h: the widest zones with summer time reach about three.
const CLOCK_H: f64 = 3.6;
/// Sunshine that is more than twilight, W/m².
const BRIGHT_W_PER_M2: f64 = 60.0;
/// Lowest sun that may be behind it in the mean of an hour beside it, rad.
const BELOW_HORIZON_RAD: f64 = -0.14;

/// The weather of the job; none where the scenario states none.
pub(super) fn lower(
    raw: &RawScenario,
    context: &Context<'_>,
    here: &Here<'_>,
    defaults: &mut Defaults,
) -> Result<Option<Climate>, Problems> {
    let mut problems = Problems::none();
    let date = raw.date.as_ref().map(|text| problems.collect(date(text, &here.key("date"))));
    let site = raw.site.as_ref().map(|site| problems.collect(clock(site, &here.key("site"))));
    problems.into_result(())?;
    let Some(weather) = &raw.weather else { return Ok(None) };
    let (Some(site), Some(Some(offset))) = (&raw.site, site) else {
        let message = "the weather needs the site: the sun and the clock depend on it";
        return Err(here.key("weather").problem(Code::NeedsWeather, message, "give \"site\"").into());
    };
    let shared = raw.conditions.wind_from.as_ref();
    let own = raw.lines.iter().filter_map(|line| line.conditions.as_ref()?.wind_from.as_ref());
    let directed = shared.into_iter().chain(own).any(from_weather);
    let setting = Setting { site, offset, date: date.flatten(), directed };
    let weather_here = here.key("weather");
    let series = setting.series(weather, context, here, &weather_here)?;
    setting.check_sun(&series, &here.key("site").key("time_zone"))?;
    setting.climate(weather, series, &weather_here, &here.key("date"), defaults).map(Some)
}

fn date(text: &str, here: &Here<'_>) -> Result<Date, Problems> {
    text.trim().parse::<Date>().map_err(|_| {
        let message = format!("\"{text}\" is not a date");
        here.problem(Code::Date, message, "write year, month and day, such as 2026-07-14").into()
    })
}

/// The clock of the site, which its longitude can have.
fn clock(site: &RawSite, here: &Here<'_>) -> Result<Offset, Problems> {
    let here = here.key("time_zone");
    let offset = offset(&site.time_zone)
        .map_err(|why| here.problem(Code::Date, why, "write such as \"UTC-05:00\", with summer time where it holds"))?;
    let by_sun_h = site.longitude.si.to_degrees() / 15.0;
    let apart_h = (f64::from(offset.seconds()) / 3600.0 - by_sun_h).abs();
    if apart_h.min(24.0 - apart_h) <= CLOCK_H {
        return Ok(offset);
    }
    let message = format!(
        "a clock at {} is {apart_h:.1} h from the sun at a longitude of {}",
        offset_words(offset),
        site.longitude.written
    );
    Err(here.problem(Code::WeatherPlace, message, "check both; west is negative, for clocks and longitudes").into())
}

/// An instant: a time on the job's date, a date and time on the site's clock, or with an offset of its own.
pub(super) fn instant(text: &str, date: Option<Date>, offset: Offset) -> Option<Timestamp> {
    let text = text.trim();
    let on_date = || text.parse::<Time>().ok().zip(date).map(|(time, date)| date.to_datetime(time));
    let local = |text: &str| text.parse::<DateTime>().ok().or_else(on_date);
    text.parse::<Timestamp>().ok().or_else(|| local(text).and_then(|at| offset.to_timestamp(at).ok()))
}

/// Where and when the job is.
struct Setting<'a> {
    site: &'a RawSite,
    offset: Offset,
    date: Option<Date>,
    /// Whether a line takes the wind's direction from the weather.
    directed: bool,
}

impl Setting<'_> {
    fn place(&self) -> Place {
        let RawSite { latitude, longitude, elevation, .. } = self.site;
        Place { latitude_rad: latitude.si, longitude_rad: longitude.si, elevation_m: elevation.si }
    }

    fn series(
        &self,
        raw: &RawWeather,
        context: &Context<'_>,
        root: &Here<'_>,
        here: &Here<'_>,
    ) -> Result<Series, Problems> {
        match (&raw.file, &raw.forecast, &raw.hourly) {
            (Some(name), ..) => self.file(name, context, root, &here.key("file")),
            (_, Some(forecast), _) => self.forecast(forecast, &here.key("forecast")),
            (.., Some(hourly)) => self.hourly(hourly, &here.key("hourly")),
            _ => Err(here.problem(Code::Structure, "no weather is given", "give one kind").into()),
        }
    }

    fn file(&self, name: &str, context: &Context<'_>, root: &Here<'_>, here: &Here<'_>) -> Result<Series, Problems> {
        let text = context.read(name).map_err(|why| {
            let message = format!("the file of weather \"{name}\" cannot be read: {why}");
            here.problem(Code::File, message, "check the name, relative to the scenario's folder")
        })?;
        let ending = name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase();
        let named = |series: Series| Series { source: format!("{name}: {}", series.source), ..series };
        match ending.as_str() {
            "csv" => read_csv(&text, self.offset).map(named).map_err(|problems| problems.in_file(name)),
            "epw" => {
                let (series, place) = read_epw(&text, self.offset).map_err(|problems| problems.in_file(name))?;
                self.check_region(&place, &root.key("site"))?;
                Ok(named(series))
            }
            _ => {
                let message = format!("\"{name}\" ends neither in .csv nor in .epw, so its format is not known");
                Err(here.problem(Code::WeatherFile, message, "give an hourly table or a climate file").into())
            }
        }
    }

    /// The climate file is of the part of the world that the site is in.
    fn check_region(&self, place: &EpwPlace, here: &Here<'_>) -> Result<(), Problems> {
        let (latitude_deg, longitude_deg) = (self.site.latitude.si.to_degrees(), self.site.longitude.si.to_degrees());
        let east_deg = (place.longitude_deg - longitude_deg).rem_euclid(360.0);
        let apart_deg = (place.latitude_deg - latitude_deg).abs().max(east_deg.min(360.0 - east_deg));
        if apart_deg <= SAME_REGION_DEG {
            return Ok(());
        }
        let message = format!(
            "the climate file is of a place at {:.2} deg, {:.2} deg, the site at {latitude_deg:.2} deg, {longitude_deg:.2} deg",
            place.latitude_deg, place.longitude_deg
        );
        let help = "check latitude, longitude and their signs, or use a file of the region";
        Err(here.problem(Code::WeatherPlace, message, help).into())
    }

    fn forecast(&self, raw: &RawForecast, here: &Here<'_>) -> Result<Series, Problems> {
        let Some(date) = self.date else {
            let message = "a forecast of a day's high and low needs the date";
            return Err(here.problem(Code::NeedsWeather, message, "give \"date\"").into());
        };
        if raw.low.si > raw.high.si {
            let message = format!("the low {} lies above the high {}", raw.low.written, raw.high.written);
            return Err(here.key("low").problem(Code::InvertedRange, message, "swap them or correct one").into());
        }
        let calendar = |_: jiff::Error| -> Problems {
            here.problem(Code::Date, "the date lies at the end of the calendar", "check the date").into()
        };
        let midday = self.offset.to_timestamp(date.at(12, 0, 0, 0)).map_err(calendar)?;
        let [day_h, noon_h] = self.daylight(midday);
        let shape = DayShape { high_degc: raw.high.si, low_degc: raw.low.si, day_h, noon_h };
        let wind_m_per_s = [raw.wind_speed.si.low(), raw.wind_speed.si.high()];
        let gust_m_per_s = raw.gust.as_ref().map(|gust| gust.si);
        day_from_high_and_low(&shape, wind_m_per_s, gust_m_per_s, date, self.offset).map_err(calendar)
    }

    /// Length of the day around an instant and solar noon on the clock, h, from where the sun stands every six minutes.
    fn daylight(&self, midday: Timestamp) -> [f64; 2] {
        let place = self.place();
        let altitude = |minute: i64| SunPosition::at(&place, (midday.as_second() + 60 * minute) as f64);
        let known = (-120..120).map(|step| 6 * step).filter_map(|m| altitude(m).ok().map(|sun| (m, sun.altitude_rad)));
        let known: Vec<(i64, f64)> = known.collect();
        let up = known.iter().filter(|(_, altitude_rad)| *altitude_rad > 0.0).count();
        let noon = known.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(minute, _)| *minute);
        [up as f64 / 10.0, 12.0 + noon as f64 / 60.0]
    }

    fn hourly(&self, raw: &[RawHour], here: &Here<'_>) -> Result<Series, Problems> {
        let mut problems = Problems::none();
        let mut samples = Vec::<Sample>::new();
        for (index, hour) in raw.iter().enumerate() {
            let here = here.index(index).key("time");
            let Some(at) = instant(&hour.time, self.date, self.offset) else {
                let message = format!("\"{}\" is not a time", hour.time);
                let help = "write such as \"05:00\" with \"date\" given, or \"2026-07-14T05:00\"";
                problems.add(here.problem(Code::Date, message, help));
                continue;
            };
            let apart_s = samples.last().map(|before| at.as_second() - before.at.as_second());
            if apart_s.is_some_and(|apart_s| apart_s != 3600) {
                let message = format!("\"{}\" is not one hour after the time before it", hour.time);
                problems.add(here.problem(Code::WeatherGap, message, "give each full hour, without gaps"));
            }
            samples.push(Sample {
                at,
                air_degc: hour.air.si,
                wind_m_per_s: hour.wind_speed.si,
                gust_m_per_s: hour.gust.as_ref().map(|gust| gust.si),
                wind_from_rad: hour.wind_from.as_ref().map(|from| from.si),
                sun_w_per_m2: None,
                line: 0,
            });
        }
        let source = format!("{} hours in the scenario", samples.len());
        problems.into_result(Series { source, offset: self.offset, typical_year: None, samples })
    }

    /// Where the file states sunshine, the sun is up there: otherwise a clock or a longitude is wrong.
    fn check_sun(&self, series: &Series, here: &Here<'_>) -> Result<(), Problems> {
        let place = self.place();
        let bright = series.samples.iter().filter(|s| s.sun_w_per_m2.is_some_and(|sun| sun > BRIGHT_W_PER_M2));
        let dark = |sample: &&Sample| {
            // Samples may be means of the hour before or after; the sun moves by at most 15 degrees in an hour.
            let beside = [-3600, 0, 3600].map(|s| SunPosition::at(&place, (sample.at.as_second() + s) as f64));
            beside.into_iter().flatten().all(|sun| sun.altitude_rad < BELOW_HORIZON_RAD)
        };
        let Some(sample) = bright.step_by(SUN_CHECK_STEP).find(dark) else { return Ok(()) };
        let message = format!(
            "line {} of the weather has {:.0} W/m2 of sunshine while the sun is well below the horizon of the site",
            sample.line,
            sample.sun_w_per_m2.unwrap_or_default()
        );
        let help = "check \"time_zone\", \"longitude\" and the clock of the file";
        Err(here.problem(Code::WeatherPlace, message, help).into())
    }

    fn climate(
        &self,
        raw: &RawWeather,
        series: Series,
        here: &Here<'_>,
        date_here: &Here<'_>,
        defaults: &mut Defaults,
    ) -> Result<Climate, Problems> {
        let gust_factor = raw.gust_factor.map_or_else(
            || {
                defaults.note(
                    &here.key("gust_factor"),
                    "2.0",
                    "gusts reach twice the mean wind where the weather states none",
                );
                GUST_FACTOR
            },
            |factor| factor.value,
        );
        let sky = raw.sky.map_or_else(
            || {
                defaults.note(
                    &here.key("sky"),
                    "clear",
                    "the sun shines from a clear sky at any time of day, or not at all",
                );
                Atmosphere::Clear
            },
            sky,
        );
        let words = "how far the air may be warmer or colder than the weather says";
        defaults.note(&here.key("air"), "2 degC", words);
        let turn_rad = self.turn_rad(raw, here, defaults);
        let allowance = Allowance { air_k: AIR_ALLOWANCE_K, gust_factor, turn_rad };
        let wrong = |why: String| here.problem(Code::WeatherValue, why, "check the weather");
        let hours = series.hours(&allowance).map_err(|error| wrong(error.to_string()))?;
        let job = self.job(&series, &hours, date_here)?;
        let place = self.place();
        let hours = with_sun(hours, &place, sky).map_err(|error| wrong(error.to_string()))?;
        Ok(Climate {
            place,
            offset: self.offset,
            date: self.date,
            typical: series.typical_year.is_some(),
            source: series.source,
            gust_factor,
            hours,
            job,
        })
    }

    /// How far the wind may turn; said where it counts.
    fn turn_rad(&self, raw: &RawWeather, here: &Here<'_>, defaults: &mut Defaults) -> f64 {
        if let Some(turn) = &raw.wind_turn {
            return turn.si;
        }
        if self.directed {
            let words = "how far the wind may turn from what the weather says; in a mean wind below 2 m/s, a calm and where it varies it may come from anywhere";
            defaults.note(&here.key("wind_turn"), "30 deg", words);
        }
        WIND_TURN_RAD
    }

    /// Which hours lie on the date; all where no date is given.
    fn job(&self, series: &Series, hours: &[Hour], here: &Here<'_>) -> Result<std::ops::Range<usize>, Problems> {
        let Some(date) = self.date else { return Ok(0..hours.len()) };
        let missing = |message: String| {
            here.problem(Code::NeedsWeather, message, "use weather that covers the date, or another date")
        };
        let placed = series.placed(date);
        let placed =
            placed.ok_or_else(|| missing(format!("the weather has no {date}: its year has no 29 February")))?;
        let [begin, end] = series.bounds_of(placed).map_err(|error| missing(error.to_string()))?;
        let first = hours.partition_point(|hour| hour.from < begin);
        let last = hours.partition_point(|hour| hour.to() <= end);
        if first < last {
            return Ok(first..last);
        }
        let edge = |hour: Option<&Hour>, which: fn(&Hour) -> Timestamp| {
            hour.map_or_else(String::new, |hour| {
                self.offset.to_datetime(which(hour)).strftime("%Y-%m-%d %H:%M").to_string()
            })
        };
        let (from, to) = (edge(hours.first(), |hour| hour.from), edge(hours.last(), Hour::to));
        Err(missing(format!("the weather runs from {from} to {to} and has no hour of {date}")).into())
    }
}

/// The weather with the work held to the hours of its controls; a job without a date is in all hours, and stays so.
///
/// # Errors
/// When no full hour of the weather is left.
pub(super) fn within_hours(
    climate: Climate,
    held: &[([Time; 2], usize)],
    here: &Here<'_>,
) -> Result<Climate, Problems> {
    let Some(date) = climate.date.filter(|_| !held.is_empty()) else { return Ok(climate) };
    let mut job = climate.job.clone();
    for ([from, to], control) in held {
        let clock = |at: Timestamp| climate.offset.to_datetime(at).time();
        let inside = |hour: &Hour| clock(hour.from) >= *from && (clock(hour.to()) <= *to && clock(hour.to()) > *from);
        let kept: Vec<usize> = job.clone().filter(|index| inside(&climate.hours[*index].weather)).collect();
        let (Some(first), Some(last)) = (kept.first(), kept.last()) else {
            let message = format!("no full hour of the weather of {date} lies between {from} and {to}");
            let here = here.key("controls").index(*control).key("hours");
            return Err(here
                .problem(Code::NoWorkLeft, message, "give hours that hold a full hour of the weather")
                .into());
        };
        job = *first..last + 1;
    }
    Ok(Climate { job, ..climate })
}

/// Every so many bright hours the sun is looked up; neighbouring hours and days tell the same.
const SUN_CHECK_STEP: usize = 7;

fn sky(word: SkyWord) -> Atmosphere {
    match word {
        SkyWord::Clear => Atmosphere::Clear,
        SkyWord::Industrial => Atmosphere::Industrial,
    }
}

/// A range of numbers that are in order by how they were made.
pub(super) fn ordered(low: f64, high: f64, here: &Here<'_>) -> Result<Interval, Problems> {
    let problem = |error: wideberth_physics::interval::IntervalError| -> Problem {
        here.problem(Code::Structure, error.to_string(), "correct it")
    };
    Interval::new(low, high).map_err(|error| problem(error).into())
}
