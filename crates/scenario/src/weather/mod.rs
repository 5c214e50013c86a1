//! Weather over time: hourly tables (CSV), climate files (EPW), and a day from its high and low. Each becomes a [`Series`] of
//! samples an hour apart, and each hour between two samples an [`Hour`] of ranges.
//!
//! Nothing is filled in: a gap, a value out of range or a file cut short is refused with its line.

mod csv;
mod epw;
mod profile;
mod series;
mod table;
mod zone;

pub use self::csv::read_csv;
pub use epw::{EpwPlace, read_epw};
pub use profile::{DayShape, day_from_high_and_low};
pub use series::{Allowance, Hour, Sample, Series};
pub use zone::{offset, offset_words};
