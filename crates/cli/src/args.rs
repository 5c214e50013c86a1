//! The arguments.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use jiff::civil::Date;
use wideberth_physics::weather::wind::Terrain;
use wideberth_report::Units;

use crate::commands::new::LineClass;
use crate::input;

/// How close can a machine, its load or a structure come to an overhead wire in the worst hour, and is that too close?
///
/// Without a command it checks a built-in demonstration and says what to try next.
#[derive(Debug, Parser)]
#[command(name = "wideberth", version, max_term_width = 100, after_help = EXIT_CODES)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// How the answer is written.
    #[command(flatten)]
    pub style: Style,
}

/// What each exit code means.
const EXIT_CODES: &str = "Exit codes: 0 clear and ready (or done), 10 too close or contact, 11 not proven, 12 clear but not ready, 20 scenario or question refused, \
21 file missing, unreadable or not to be written, 2 wrong arguments, 1 a defect. With several files the worst counts: 0, 12, 11, 10, 20, 21, 2, 1, from good to bad. \
Every scenario has one record in --format json, jsonl and csv, refused ones too.";

/// How answers are written.
#[derive(Clone, Copy, Debug, clap::Args)]
pub struct Style {
    /// Form of the answer
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Units of the text answer; JSON and CSV are always SI
    #[arg(long, global = true, value_enum, default_value_t = UnitsArg::Si)]
    pub units: UnitsArg,
    /// Whether the text has colours
    #[arg(long, global = true, value_enum, default_value_t = Color::Auto)]
    pub color: Color,
}

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs, everything
    Json,
    /// The same, each answer on a line of its own
    Jsonl,
    /// For tables, one row per finding
    Csv,
}

/// Units of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    /// Metres, degC, m/s, kN
    Si,
    /// Feet, degF, mph, lbf
    Us,
}

impl From<UnitsArg> for Units {
    fn from(units: UnitsArg) -> Self {
        match units {
            UnitsArg::Si => Self::Si,
            UnitsArg::Us => Self::Us,
        }
    }
}

/// Whether text has colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check scenarios: is every machine clear of every wire?
    #[command(
        after_help = "Examples:\n  wideberth check job.json\n  wideberth check job.json --on 2031-05-04 --units us\n  wideberth check jobs/*.json --format jsonl > answers.jsonl\n  wideberth check job.json --budget \"10 s\""
    )]
    Check(Check),
    /// What makes a machine clear that is not: controls, each proven, the strongest class first
    #[command(after_help = "Examples:\n  wideberth fixes job.json\n  wideberth fixes job.json --all --format json")]
    Fixes(Fixes),
    /// Where on the ground a machine may stand, as a proven map; or how high something may be that passes along a route
    #[command(
        after_help = "Examples:\n  wideberth stand job.json --svg map.svg\n  wideberth stand job.json --machine \"the crane\" --size \"100 m,80 m\" --any-heading\n  wideberth stand job.json --route \"0 m,-20 m\" --route \"0 m,20 m\" --width \"4 m\""
    )]
    Stand(Stand),
    /// Range chart: how far a machine may luff in each sector of its slew, for the settings of a limiter
    #[command(
        after_help = "Examples:\n  wideberth chart job.json --svg chart.svg\n  wideberth chart job.json --sector \"5 deg\""
    )]
    Chart(Chart),
    /// What the worst spare depends on: each input, with the proven change for its tolerance or for one unit
    #[command(after_help = "Examples:\n  wideberth drivers job.json")]
    Drivers(Drivers),
    /// Heights, sag and tension of each wire over temperature, against how high each machine reaches
    #[command(
        after_help = "Examples:\n  wideberth sag job.json\n  wideberth sag job.json --at \"45 m,0 m\" --temperature \"-10 degC\" --temperature \"75 degC\"\n  wideberth sag job.json --span 1 --along \"45 m\" --wind \"15 m/s\""
    )]
    Sag(Sag),
    /// When is the job clear, hour by hour through a day or a file of weather?
    #[command(after_help = "Examples:\n  wideberth day job.json\n  wideberth day job.json --heights --format csv")]
    Day(Day),
    /// How each wire sways in gusts, and the allowance that its region needs
    #[command(after_help = "Examples:\n  wideberth sway job.json --gust \"20 m/s\" --terrain open")]
    Sway(Sway),
    /// Which limit of approach applies, and why
    #[command(
        after_help = "Examples:\n  wideberth limit --place Ontario --voltage \"12.47 kV\" --basis phase-to-phase\n  wideberth limit --place Ontario --voltage unknown\n  wideberth limit --list"
    )]
    Limit(Limit),
    /// Print a commented scenario to start from
    #[command(
        after_help = "Examples:\n  wideberth new --machine list\n  wideberth new --machine mobile-crane --line rural-single-phase --place Ontario > job.json"
    )]
    New(New),
    /// Explain a code, a verdict, an exit code, or a word that answers use
    #[command(
        after_help = "Examples:\n  wideberth explain too-close\n  wideberth explain exit 12\n  wideberth explain limit of approach"
    )]
    Explain(Explain),
    /// Print the JSON Schema of a format
    #[command(after_help = "Examples:\n  wideberth schema scenario > scenario.schema.json")]
    Schema(Schema),
    /// Print completions for a shell
    #[command(after_help = "Examples:\n  wideberth completions bash > wideberth.bash")]
    Completions(Completions),
}

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub struct Check {
    /// Scenario files; - for standard input
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    /// The day of the work, such as 2031-05-04; else the scenario's own days, else today
    #[arg(long, value_name = "DATE", value_parser = input::day)]
    pub on: Option<Date>,
    /// Most time for all files together, such as "10 s" or "5 min"; what is proven until then is printed, and the rest is not proven
    #[arg(long, value_name = "TIME", value_parser = input::budget)]
    pub budget: Option<Duration>,
}

/// Arguments of `fixes`.
#[derive(Debug, clap::Args)]
pub struct Fixes {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Show also the controls that are not enough
    #[arg(long)]
    pub all: bool,
}

/// Arguments of `stand`.
#[derive(Debug, clap::Args)]
pub struct Stand {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The machine, by its name; the first of the scenario where left out
    #[arg(long, value_name = "NAME")]
    pub machine: Option<String>,
    /// Size of the map along and across the line
    #[arg(long, value_name = "ALONG,ACROSS", value_parser = input::place, default_value = "200 m,200 m")]
    pub size: [f64; 2],
    /// Middle of the map, east and north; the machine's place where left out
    #[arg(long, value_name = "EAST,NORTH", value_parser = input::place, allow_hyphen_values = true)]
    pub center: Option<[f64; 2]>,
    /// How well the edge is found
    #[arg(long, value_name = "LENGTH", value_parser = input::along, default_value = "0.25 m")]
    pub edge: f64,
    /// The machine may be turned to any heading
    #[arg(long)]
    pub any_heading: bool,
    /// How far the reference point keeps from the foot of every support; the room that its base needs where left out
    #[arg(long, value_name = "LENGTH", value_parser = input::along)]
    pub support_room: Option<f64>,
    /// Instead of the map: a place of a route, east and north; give two or more, in order
    #[arg(long, value_name = "EAST,NORTH", value_parser = input::place, allow_hyphen_values = true)]
    pub route: Vec<[f64; 2]>,
    /// Width of the route
    #[arg(long, value_name = "LENGTH", value_parser = input::along, default_value = "3 m", requires = "route")]
    pub width: f64,
    /// Files to write the map to
    #[command(flatten)]
    pub files: Pictures,
    /// Write the map to this file as GeoJSON, in metres of the site
    #[arg(long, value_name = "FILE")]
    pub geojson: Option<PathBuf>,
}

/// Arguments of `chart`.
#[derive(Debug, clap::Args)]
pub struct Chart {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The machine, by its name; the first of the scenario where left out
    #[arg(long, value_name = "NAME")]
    pub machine: Option<String>,
    /// Width of a sector
    #[arg(long, value_name = "ANGLE", value_parser = input::sector, default_value = "10 deg")]
    pub sector: f64,
    /// Files to write the chart to
    #[command(flatten)]
    pub files: Pictures,
}

/// Arguments of `drivers`.
#[derive(Debug, clap::Args)]
pub struct Drivers {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// Files for drawings.
#[derive(Debug, clap::Args)]
pub struct Pictures {
    /// Write the drawing to this file as SVG
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Write the drawing to this file as PNG
    #[arg(long, value_name = "FILE")]
    pub png: Option<PathBuf>,
    /// Width of the PNG picture in pixels
    #[arg(long, value_name = "PIXELS", default_value_t = 2240, requires = "png")]
    pub pixels: u32,
}

/// Arguments of `sag`.
#[derive(Debug, clap::Args)]
pub struct Sag {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// A place on the map, east and north, such as "45 m,0 m"; may be repeated
    #[arg(long, value_name = "EAST,NORTH", value_parser = input::place, conflicts_with = "span", allow_hyphen_values = true)]
    pub at: Vec<[f64; 2]>,
    /// Number of a span of each line, from 1
    #[arg(long, value_name = "NUMBER", requires = "along")]
    pub span: Option<usize>,
    /// Distance along that span from its first support
    #[arg(long, value_name = "LENGTH", requires = "span", value_parser = input::along)]
    pub along: Option<f64>,
    /// A conductor temperature, such as "75 degC"; may be repeated
    #[arg(long, value_name = "TEMPERATURE", value_parser = input::temperature, allow_hyphen_values = true)]
    pub temperature: Vec<f64>,
    /// Wind across the line, such as "15 m/s"
    #[arg(long, value_name = "SPEED", value_parser = input::wind, default_value = "0 m/s")]
    pub wind: f64,
    /// Radial ice, such as "5 mm"
    #[arg(long, value_name = "THICKNESS", value_parser = input::ice, default_value = "0 mm")]
    pub ice: f64,
}

/// Arguments of `day`.
#[derive(Debug, clap::Args)]
pub struct Day {
    /// Scenario file with "site", "date" and "weather"; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Every hour of the weather, not only those of the scenario's date
    #[arg(long)]
    pub all: bool,
    /// Only temperatures and heights of the wires, without any search
    #[arg(long)]
    pub heights: bool,
}

/// Arguments of `sway`.
#[derive(Debug, clap::Args)]
pub struct Sway {
    /// Scenario file; - for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Speed of the gusts at the wires, across every span, such as "20 m/s"; the scenario's greatest wind where left out
    #[arg(long, value_name = "SPEED", value_parser = input::wind)]
    pub gust: Option<f64>,
    /// What covers the ground upwind
    #[arg(long, value_name = "TERRAIN", value_enum, default_value = "open")]
    pub terrain: TerrainArg,
    /// How many seconds each wire is followed, 10 to 3600
    #[arg(long, value_name = "SECONDS", default_value_t = 600.0)]
    pub duration: f64,
    /// How many series of gusts, 1 to 1000
    #[arg(long, value_name = "NUMBER", default_value_t = 8)]
    pub seeds: u32,
    /// Seed of the first series; the same seed gives the same gusts
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub first_seed: u64,
}

/// What covers the ground upwind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum TerrainArg {
    /// Open sea or a coast facing it
    Sea,
    /// Lakes, flat country without obstacles
    Flat,
    /// Low plants, single trees and buildings
    Open,
    /// Villages, suburbs, forest
    Suburb,
    /// Largely built over
    Town,
}

impl From<TerrainArg> for Terrain {
    fn from(terrain: TerrainArg) -> Self {
        match terrain {
            TerrainArg::Sea => Self::Sea,
            TerrainArg::Flat => Self::Flat,
            TerrainArg::Open => Self::Open,
            TerrainArg::Suburb => Self::Suburb,
            TerrainArg::Town => Self::Town,
        }
    }
}

/// Arguments of `limit`.
#[derive(Debug, clap::Args)]
pub struct Limit {
    /// List every rule and place
    #[arg(long)]
    pub list: bool,
    /// The place of the work: every general rule of it is asked and the largest distance holds
    #[arg(long, value_name = "NAME", conflicts_with = "rule", required_unless_present_any = ["rule", "list"])]
    pub place: Option<String>,
    /// One rule, by its id
    #[arg(long, value_name = "ID")]
    pub rule: Option<String>,
    /// The voltage, such as "12.47 kV", or "unknown"
    #[arg(long, value_name = "VOLTAGE", value_parser = input::voltage, required_unless_present = "list")]
    pub voltage: Option<input::VoltageArg>,
    /// Between what the voltage is measured; needed when it is known
    #[arg(long, value_enum)]
    pub basis: Option<Basis>,
    /// Kind of work
    #[arg(long, value_enum, default_value_t = WorkArg::Operate)]
    pub work: WorkArg,
    /// Who works
    #[arg(long, value_enum, default_value_t = CrewArg::Ordinary)]
    pub crew: CrewArg,
    /// A condition of the rule's rows that somebody has confirmed; may be repeated
    #[arg(long, value_name = "CONDITION")]
    pub confirmed: Vec<String>,
    /// Height of the structure, for rules that depend on it
    #[arg(long, value_name = "LENGTH", value_parser = input::structure_height)]
    pub structure_height: Option<f64>,
    /// A file with tables of your own
    #[arg(long, value_name = "FILE")]
    pub tables: Option<PathBuf>,
}

/// Between what a voltage is measured; it says ac or dc too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Basis {
    /// Alternating, between two phases
    #[value(alias = "phase to phase")]
    PhaseToPhase,
    /// Alternating, between a phase and ground
    #[value(alias = "phase to ground")]
    PhaseToGround,
    /// Direct, between the poles
    #[value(alias = "pole to pole")]
    PoleToPole,
    /// Direct, between a pole and ground
    #[value(alias = "pole to ground")]
    PoleToGround,
}

/// Kind of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum WorkArg {
    /// Work with a machine, load or structure
    Operate,
    /// Pass under the line, lowered and without load
    #[value(alias = "travel under")]
    TravelUnder,
    /// Put together, take apart or rig
    Assemble,
    /// Site a building, bin or other lasting structure
    #[value(alias = "site a structure")]
    SiteAStructure,
}

/// Who works.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CrewArg {
    /// People without electrical qualification
    Ordinary,
    /// Electrical workers qualified in the sense of the rule
    Qualified,
}

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
pub struct New {
    /// Id of a machine of the library; "list" lists them
    #[arg(long, value_name = "ID")]
    pub machine: String,
    /// Class of the line
    #[arg(long, value_enum, default_value_t = LineClass::RuralSinglePhase)]
    pub line: LineClass,
    /// Place whose rules apply
    #[arg(long, value_name = "NAME", default_value = "United States")]
    pub place: String,
}

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub struct Explain {
    /// The code or word, such as bare-number, too-close, "exit 12" or luff; "list" lists them
    #[arg(value_name = "CODE", required = true)]
    pub code: Vec<String>,
}

/// Arguments of `schema`.
#[derive(Debug, clap::Args)]
pub struct Schema {
    /// Which format
    #[arg(value_enum)]
    pub of: SchemaOf,
}

/// A format.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// Scenario files
    Scenario,
    /// Machine files
    Machine,
    /// The answer of `check --format json`
    Result,
    /// The record of a file that is refused, with --format json
    Refusal,
    /// The answer of `sag --format json`
    Sag,
    /// The answer of `day --format json`
    Day,
    /// The answer of `sway --format json`
    Sway,
    /// The answer of `fixes --format json`
    Fixes,
    /// The answer of `stand --format json`
    Stand,
    /// The answer of `chart --format json`
    Chart,
    /// The answer of `drivers --format json`
    Drivers,
}

/// Arguments of `completions`.
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: Shell,
}
