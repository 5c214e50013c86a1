//! `schema`: the JSON Schema of a format.

use wideberth_report::Document;
use wideberth_report::chart::ChartDocument;
use wideberth_report::drivers::DriversDocument;
use wideberth_report::fixes::FixesDocument;
use wideberth_report::record::{Record, Refusal};
use wideberth_report::sag::SagDocument;
use wideberth_report::stand::StandDocument;
use wideberth_report::sway::SwayDocument;
use wideberth_scenario::schema;

use crate::args::{Schema, SchemaOf};
use crate::reply::Reply;

/// The schema.
pub fn run(args: &Schema) -> Reply {
    Reply::text(match args.of {
        SchemaOf::Scenario => schema::scenario(),
        SchemaOf::Machine => schema::machine(),
        SchemaOf::Result => Record::schema(),
        SchemaOf::Refusal => Refusal::schema(),
        SchemaOf::Sag => SagDocument::schema(),
        SchemaOf::Day => wideberth_report::day::DayDocument::schema(),
        SchemaOf::Sway => SwayDocument::schema(),
        SchemaOf::Fixes => FixesDocument::schema(),
        SchemaOf::Stand => StandDocument::schema(),
        SchemaOf::Chart => ChartDocument::schema(),
        SchemaOf::Drivers => DriversDocument::schema(),
    })
}
