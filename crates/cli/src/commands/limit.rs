//! `limit`: which limit of approach applies, and why.

use std::path::Path;

use wideberth_rules::{Crew, LimitChoice, LimitError, Query, RuleBook, Voltage, VoltageBasis, Work};

use crate::args::{Basis, CrewArg, Format, Limit, Style, WorkArg};
use crate::exit::Outcome;
use crate::input::{self, VoltageArg};
use crate::{output, text};

/// Answers the question, or lists what can be asked.
pub fn run(args: &Limit, style: Style) -> Outcome {
    let book = match book(args.tables.as_deref(), style) {
        Ok(book) => book,
        Err(trouble) => return trouble,
    };
    if args.list {
        return list(&book, style);
    }
    let query = match query(args) {
        Ok(query) => query,
        Err(message) => return super::wrong_usage(message, style.color),
    };
    match ask(&book, args, &query) {
        Ok(choice) => write(&choice, style),
        Err(error) => {
            output::remark(&text::limit::refusal(&error), style.color);
            Outcome::Refused
        }
    }
}

fn book(tables: Option<&Path>, style: Style) -> Result<RuleBook, Outcome> {
    let Some(path) = tables else { return Ok(RuleBook::embedded()) };
    let input = input::read(path).map_err(|error| super::check::refused_input(&error, style))?;
    RuleBook::embedded().with_user_tables(&input.text).map_err(|errors| {
        output::remark(&format!("error: {}: {errors}\n", input.name), style.color);
        Outcome::Refused
    })
}

/// The question, or what is missing in it.
fn query(args: &Limit) -> Result<Query, &'static str> {
    let name = args.rule.as_ref().or(args.place.as_ref()).ok_or("give --place or --rule")?;
    let voltage = match (args.voltage, args.basis) {
        (None, _) => return Err("give --voltage, such as --voltage \"12.47 kV\" or --voltage unknown"),
        (Some(VoltageArg::Unknown), None) => Voltage::unknown(),
        (Some(VoltageArg::Unknown), Some(_)) => return Err("an unknown voltage has no --basis"),
        (Some(VoltageArg::Known(_)), None) => {
            return Err("say between what the voltage is measured: --basis phase-to-phase or phase-to-ground \
                 (a single-phase line is often named by its voltage to ground)");
        }
        (Some(VoltageArg::Known(kv)), Some(basis)) => voltage(kv, basis),
    };
    let query = Query::named(name, voltage, work(args.work)).by(crew(args.crew));
    let query = args.confirmed.iter().fold(query, |query, condition| query.confirming(condition));
    Ok(match args.structure_height {
        Some(height_m) => query.for_structure_height_m(height_m),
        None => query,
    })
}

fn voltage(voltage_kv: f64, basis: Basis) -> Voltage {
    match basis {
        Basis::PhaseToPhase => Voltage::ac(voltage_kv, VoltageBasis::PhaseToPhase),
        Basis::PhaseToGround => Voltage::ac(voltage_kv, VoltageBasis::PhaseToGround),
        Basis::PoleToPole => Voltage::dc(voltage_kv, VoltageBasis::PoleToPole),
        Basis::PoleToGround => Voltage::dc(voltage_kv, VoltageBasis::PoleToGround),
    }
}

fn work(work: WorkArg) -> Work {
    match work {
        WorkArg::Operate => Work::Operate,
        WorkArg::TravelUnder => Work::TravelUnder,
        WorkArg::Assemble => Work::Assemble,
        WorkArg::SiteAStructure => Work::SiteStructure,
    }
}

fn crew(crew: CrewArg) -> Crew {
    match crew {
        CrewArg::Ordinary => Crew::Ordinary,
        CrewArg::Qualified => Crew::Qualified,
    }
}

/// A name given as a rule must be one, and a name given as a place must not be one.
fn ask(book: &RuleBook, args: &Limit, query: &Query) -> Result<LimitChoice, LimitError> {
    match &args.rule {
        Some(id) => drop(book.rule_set(id)?),
        None => drop(book.for_place(&query.name, query.work)?),
    }
    book.select(query)
}

fn write(choice: &LimitChoice, style: Style) -> Outcome {
    let text = match style.format {
        Format::Text => Ok(text::limit::render(choice, style.units.into())),
        Format::Json => serde_json::to_string_pretty(choice).map(|text| text + "\n").map_err(|error| error.to_string()),
        Format::Csv => text::limit::csv(choice).map_err(|error| error.to_string()),
    };
    finish(text, style)
}

fn list(book: &RuleBook, style: Style) -> Outcome {
    let text = match style.format {
        Format::Text => Ok(text::limit::list(book)),
        Format::Json => text::limit::list_json(book).map_err(|error| error.to_string()),
        Format::Csv => text::limit::list_csv(book).map_err(|error| error.to_string()),
    };
    finish(text, style)
}

fn finish(text: Result<String, String>, style: Style) -> Outcome {
    match text {
        Ok(text) => output::answer(&text, style.color),
        Err(error) => super::unexpected(&error, style.color),
    }
}
