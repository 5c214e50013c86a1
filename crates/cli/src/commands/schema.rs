//! `schema`: the JSON Schema of a format.

use wideberth_report::chart::ChartDocument;
use wideberth_report::drivers::DriversDocument;
use wideberth_report::fixes::FixesDocument;
use wideberth_report::sag::SagDocument;
use wideberth_report::stand::StandDocument;
use wideberth_report::sway::SwayDocument;
use wideberth_report::{Document, ResultDocument};
use wideberth_scenario::schema;

use crate::args::{Schema, SchemaOf, Style};
use crate::exit::Outcome;
use crate::output;

/// Prints the schema.
pub fn run(args: &Schema, style: Style) -> Outcome {
    let text = match args.of {
        SchemaOf::Scenario => schema::scenario(),
        SchemaOf::Machine => schema::machine(),
        SchemaOf::Result => ResultDocument::schema(),
        SchemaOf::Sag => SagDocument::schema(),
        SchemaOf::Day => wideberth_report::day::DayDocument::schema(),
        SchemaOf::Sway => SwayDocument::schema(),
        SchemaOf::Fixes => FixesDocument::schema(),
        SchemaOf::Stand => StandDocument::schema(),
        SchemaOf::Chart => ChartDocument::schema(),
        SchemaOf::Drivers => DriversDocument::schema(),
    };
    output::answer(&text, style.color)
}
