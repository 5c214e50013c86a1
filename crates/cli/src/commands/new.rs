//! `new`: a commented scenario to start from.

use clap::ValueEnum;
use wideberth_scenario::machine::{Joint, JointKind, Library};
use wideberth_scenario::nearest::suggestion;

use crate::args::New;
use crate::exit::Trouble;
use crate::reply::{Asked, Reply};

/// Typical lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LineClass {
    /// One phase and a neutral on poles about 90 m apart
    RuralSinglePhase,
    /// Three phases on a crossarm, poles about 60 m apart
    ThreePhaseDistribution,
    /// Three phases above one another on poles about 120 m apart
    SubTransmission,
}

/// A scenario with places for what depends on machine and line.
const TEMPLATE: &str = include_str!("new/template.txt");

/// A wire with places for what depends on the line.
const WIRE: &str = include_str!("new/wire.txt");

/// What is typical of a class of lines. Common practice, except where the scenario's comments say otherwise.
struct Typical {
    name: &'static str,
    voltage: &'static str,
    basis: &'static str,
    span_m: u32,
    conductor: &'static str,
    share: &'static str,
    /// Name, height and offset of each wire.
    wires: &'static [(&'static str, &'static str, &'static str)],
}

impl LineClass {
    fn typical(self) -> Typical {
        match self {
            Self::RuralSinglePhase => Typical {
                name: "rural line",
                voltage: "7.2 kV",
                basis: "phase to ground",
                span_m: 90,
                conductor: "acsr-swan-4-6-1",
                share: "20 %",
                wires: &[("phase", "9.5 m", "0 m"), ("neutral", "8.3 m", "0 m")],
            },
            Self::ThreePhaseDistribution => Typical {
                name: "distribution line",
                voltage: "12.47 kV",
                basis: "phase to phase",
                span_m: 60,
                conductor: "acsr-raven-1-0-6-1",
                share: "20 %",
                wires: &[("left", "10.5 m", "-1.1 m"), ("middle", "10.5 m", "0 m"), ("right", "10.5 m", "1.1 m")],
            },
            Self::SubTransmission => Typical {
                name: "sub-transmission line",
                voltage: "69 kV",
                basis: "phase to phase",
                span_m: 120,
                conductor: "acsr-linnet-336-4-26-7",
                share: "20 %",
                wires: &[("top", "17 m", "-1.2 m"), ("middle", "15.2 m", "1.2 m"), ("bottom", "13.4 m", "-1.2 m")],
            },
        }
    }
}

/// The scenario.
pub fn run(args: &New) -> Asked {
    let library = Library::embedded();
    if args.machine == "list" {
        return Ok(list(&library));
    }
    let Some(entry) = library.find(&args.machine) else {
        let help = suggestion(&args.machine, library.ids().collect::<Vec<_>>());
        return Err(Trouble::Usage(format!("the library has no machine \"{}\": {help}", args.machine)));
    };
    let model = entry.model().map_err(Trouble::unexpected)?;
    let joints: Vec<Joint> = model.joints();
    Ok(Reply::text(scenario(args, &model.title, &joints)))
}

fn list(library: &Library) -> Reply {
    let rows =
        library.entries().iter().filter_map(|entry| Some(format!("{:<18}{}\n", entry.id, entry.model().ok()?.title)));
    Reply::text(rows.collect::<String>())
}

fn scenario(args: &New, title: &str, joints: &[Joint]) -> String {
    let line = args.line.typical();
    let wires: Vec<String> = line.wires.iter().map(|wire| wire_text(&line, *wire)).collect();
    let place = serde_json::Value::from(args.place.as_str()).to_string();
    let values = [
        ("{machine}", args.machine.clone()),
        ("{machine title}", title.to_string()),
        ("{place}", place),
        ("{line}", line.name.to_string()),
        ("{voltage}", line.voltage.to_string()),
        ("{basis}", line.basis.to_string()),
        ("{span}", line.span_m.to_string()),
        ("{middle}", (line.span_m / 2).to_string()),
        ("{wires}", wires.join(",\n")),
        ("{working}", working(joints)),
    ];
    values.iter().fold(TEMPLATE.to_string(), |text, (name, value)| text.replace(name, value))
}

fn wire_text(line: &Typical, (name, height, offset): (&str, &str, &str)) -> String {
    let values = [
        ("{wire}", name),
        ("{conductor}", line.conductor),
        ("{height}", height),
        ("{offset}", offset),
        ("{share}", line.share),
    ];
    values.iter().fold(WIRE.trim_end().to_string(), |text, (name, value)| text.replace(name, value))
}

/// The machine's own ranges, one joint a line.
fn working(joints: &[Joint]) -> String {
    let lines = joints.iter().map(|joint| {
        let (low, high) = (joint.range.low(), joint.range.high());
        let text = match joint.kind {
            JointKind::Hinge => format!("[\"{} deg\", \"{} deg\"]", plain(low.to_degrees()), plain(high.to_degrees())),
            JointKind::Slide => format!("[\"{} m\", \"{} m\"]", plain(low), plain(high)),
        };
        format!("        \"{}\": {text}", joint.name)
    });
    lines.collect::<Vec<_>>().join(",\n")
}

/// A number without the dust of conversion.
fn plain(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}
