//! `limit`: which limit of approach applies, and why.

use std::path::Path;

use wideberth_rules::{Crew, LimitChoice, LimitError, Query, RuleBook, Voltage, VoltageBasis, Work};

use crate::args::{Basis, CrewArg, Format, Limit, Style, WorkArg};
use crate::exit::Trouble;
use crate::input::{self, VoltageArg};
use crate::reply::{Asked, Reply, line};
use crate::text;

/// Answers the question, or lists what can be asked.
pub fn run(args: &Limit, style: Style) -> Asked {
    let book = book(args.tables.as_deref())?;
    if args.list {
        return list(&book, style);
    }
    let query = query(args).map_err(|message| Trouble::Usage(message.into()))?;
    match ask(&book, args, &query) {
        Ok(choice) => write(&choice, style),
        Err(error) => Err(Trouble::Limit(error)),
    }
}

fn book(tables: Option<&Path>) -> Result<RuleBook, Trouble> {
    let Some(path) = tables else { return Ok(RuleBook::embedded()) };
    let input = input::read(path)?;
    let read = RuleBook::embedded().with_user_tables(&input.text);
    read.map_err(|errors| Trouble::Refused(format!("{}: {errors}", input.name)))
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
        None => book.check_place(&query.name)?,
    }
    book.select(query)
}

fn write(choice: &LimitChoice, style: Style) -> Asked {
    Ok(Reply::text(match style.format {
        Format::Text => text::limit::render(choice, style.units.into()),
        Format::Json => serde_json::to_string_pretty(choice)? + "\n",
        Format::Jsonl => line(choice)?,
        Format::Csv => text::limit::csv(choice)?,
    }))
}

fn list(book: &RuleBook, style: Style) -> Asked {
    Ok(Reply::text(match style.format {
        Format::Text => text::limit::list(book),
        Format::Json => text::limit::list_json(book)?,
        Format::Jsonl => line(&serde_json::from_str::<serde_json::Value>(&text::limit::list_json(book)?)?)?,
        Format::Csv => text::limit::list_csv(book)?,
    }))
}
