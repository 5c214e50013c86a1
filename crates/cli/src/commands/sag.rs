//! `sag`: heights, sag and tension of each wire.

use nalgebra::Point2;
use wideberth_report::sag::{Place, Request, sag};

use crate::args::{Sag, Style};
use crate::exit::Trouble;
use crate::reply::{Asked, Reply};
use crate::text;

/// The table.
pub fn run(args: &Sag, style: Style) -> Asked {
    let job = super::job_of(&args.file)?.job;
    let request = request(args);
    let document = sag(&job, &request)
        .map_err(|error| Trouble::Refused(format!("a wire has no shape in a state asked for: {error}")))?;
    if document.spots.is_empty() {
        let message = "the place asked for lies beside no span of any line; check --at, or --span and --along";
        return Err(Trouble::Usage(message.into()));
    }
    let text = || text::sag::render(&document, &request, style.units.into());
    Reply::document(&document, style, text, || document.to_csv())
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
