//! Calendar days, as files write them.

use jiff::civil::{Date, Weekday};

use crate::code::Code;
use crate::here::Here;
use crate::problem::{Problem, Problems};

/// The days of the work, first and last included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Days {
    /// First day.
    pub first: Date,
    /// Last day.
    pub last: Date,
}

impl Days {
    /// A single day.
    #[must_use]
    pub fn single(day: Date) -> Self {
        Self { first: day, last: day }
    }
}

/// The day that a text such as `2031-05-04` names.
#[must_use]
pub fn parse(text: &str) -> Option<Date> {
    // The library reads times as well, which are no days.
    let text = text.trim();
    if text.len() == "2031-05-04".len() { text.parse().ok() } else { None }
}

/// The last of a number of days that follow each other, the first one counted; of working days only those from Monday to
/// Friday count. The last day of the calendar where it ends before.
#[must_use]
pub fn last_of(first: Date, count: u32, working: bool) -> Date {
    let counts = |day: &Date| !working || !matches!(day.weekday(), Weekday::Saturday | Weekday::Sunday);
    let all = std::iter::successors(Some(first), |day| day.tomorrow().ok());
    all.filter(counts).take(count.max(1) as usize).last().unwrap_or(first)
}

/// The day of a file's text.
pub(crate) fn day(text: &str, here: &Here<'_>) -> Result<Date, Problem> {
    parse(text).ok_or_else(|| {
        here.problem(
            Code::Date,
            format!("\"{text}\" is no day of the calendar"),
            "write year, month and day, such as \"2031-05-04\"",
        )
    })
}

/// Two days, the first not after the last. `keys` are where they stand.
pub(crate) fn from_to(texts: [&str; 2], here: [&Here<'_>; 2]) -> Result<Days, Problems> {
    let mut problems = Problems::none();
    let first = problems.collect(day(texts[0], here[0]).map_err(Problems::from));
    let last = problems.collect(day(texts[1], here[1]).map_err(Problems::from));
    if let (Some(first), Some(last)) = (first, last) {
        if first <= last {
            return Ok(Days { first, last });
        }
        let message = format!("the last day {last} comes before the first day {first}");
        problems.add(here[1].problem(Code::InvertedDates, message, "swap them, or correct one"));
    }
    Err(problems)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lives_end_on_the_day_that_a_calendar_shows() {
        let last = |first: &str, count, working| parse(first).map(|first| last_of(first, count, working).to_string());
        assert_eq!(last("2031-05-01", 17, false).as_deref(), Some("2031-05-17"));
        assert_eq!(last("2028-02-20", 10, false).as_deref(), Some("2028-02-29"));
        // Thursday 1 May 2031: fifteen working days are two of that week, ten of the next two, and three more.
        assert_eq!(last("2031-05-01", 15, true).as_deref(), Some("2031-05-21"));
        assert_eq!(last("2031-05-03", 1, true).as_deref(), Some("2031-05-05"));
    }

    #[test]
    fn only_whole_days_are_read() {
        assert_eq!(parse("2031-05-04").map(|day| day.to_string()).as_deref(), Some("2031-05-04"));
        for text in ["2031-02-29", "04.05.2031", "2031-5-4", "2031-05-04T10:00", "", "tomorrow"] {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
