//! `sag`: heights, sag and tension of each wire.

use nalgebra::Point2;
use wideberth_report::Document;
use wideberth_report::sag::{Place, Request, SagDocument, sag};

use crate::args::{Format, Sag, Style};
use crate::exit::Outcome;
use crate::{output, text};

/// Prints the table.
pub fn run(args: &Sag, style: Style) -> Outcome {
    let job = match super::job_of(&args.file, style) {
        Ok(opened) => opened.job,
        Err(outcome) => return outcome,
    };
    let request = request(args);
    let document = match sag(&job, &request) {
        Ok(document) => document,
        Err(error) => {
            output::remark(&format!("error: a wire has no shape in a state asked for: {error}\n"), style.color);
            return Outcome::Refused;
        }
    };
    if document.spots.is_empty() {
        return super::wrong_usage(
            "the place asked for lies beside no span of any line; check --at, or --span and --along",
            style.color,
        );
    }
    match render(&document, &request, style) {
        Ok(text) => output::answer(&text, style.color),
        Err(error) => super::unexpected(&error, style.color),
    }
}

fn request(args: &Sag) -> Request {
    let map = |at: &[f64; 2]| Place::Map { name: "place asked for".into(), at_m: Point2::from(*at) };
    let along = args.span.zip(args.along).map(|(span, along_m)| Place::Along { span, along_m });
    Request {
        places: args.at.iter().map(map).chain(along).collect(),
        temperatures_degc: args.temperature.clone(),
        wind_m_per_s: args.wind,
        ice_m: args.ice,
    }
}

fn render(document: &SagDocument, request: &Request, style: Style) -> Result<String, Box<dyn std::error::Error>> {
    Ok(match style.format {
        Format::Text => text::sag::render(document, request, style.units.into()),
        Format::Json => document.to_json()?,
        Format::Csv => document.to_csv()?,
    })
}
