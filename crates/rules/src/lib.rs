//! Limits of approach to overhead lines: which distance the law or the line's owner sets for a place, a voltage and a
//! kind of work, and where that number comes from.
//!
//! The tables are data (`assets/rules/*.json`, described in `docs/rules.md`), embedded here. Each row carries its source,
//! edition and whether it was seen in a copy of the source or written from memory; [`LimitChoice`] carries that on.
//! Where a table prints an edge twice, leaves a gap or prints two figures, the larger is taken and the choice says so.
//!
//! This crate does not measure anything, does not decide whether a plan is clear, and does not know scenario files. A
//! distance that the line's owner gave in writing for one job is not a table and does not belong here.
//!
//! ```
//! use wideberth_rules::{Query, RuleBook, Voltage, VoltageBasis, Work};
//!
//! let book = RuleBook::embedded();
//! let voltage = Voltage::ac(12.47, VoltageBasis::PhaseToPhase).confirmed_by("the line's owner");
//! let choice = book.select(&Query::named("us-osha-1408-tableA", voltage, Work::Operate)).unwrap();
//! assert!((choice.distance_m - 3.048).abs() < 1e-12);
//! ```

mod book;
mod choice;
mod control;
mod error;
mod ground;
mod guide;
mod lookup;
mod model;
mod nearest;
mod place;
mod places;
mod quantity;
mod query;
mod read;
mod select;
mod stand_in;
mod unknown;
mod wind;
mod words;

pub use book::{RuleBook, TableFile};
pub use choice::{Conversion, LimitChoice, OtherRule, Resolution, RowRef, StandIn, StandInBy, UnknownVoltageBasis};
pub use control::{ControlClass, ControlKind};
pub use error::{Fault, LimitError, Problem, TableErrors};
pub use ground::{GroundRule, GroundRules};
pub use guide::markdown_guide;
pub use model::{
    Condition, Distance, Duty, Edge, OtherPrint, PerHeight, PerKv, Row, RuleSet, Trigger, UnknownDefault,
    UnknownVoltage,
};
pub use place::{Candidate, Fit};
pub use quantity::{LengthUnit, PrintedLength, QuantityError, parse_length, parse_voltage_kv};
pub use query::{Query, Voltage};
pub use unknown::{COMMON_PRACTICE_UNKNOWN_M, HIGHEST_LINE_KV};
pub use wind::{DragRow, Shape, WindLoads};
pub use words::{
    Basis, BelowFirstRow, BetweenRows, Crew, Current, Force, Measured, Origin, PartSteps, Provenance, Purpose, Scope,
    Status, TableCurrent, VoltageBasis, Work,
};
