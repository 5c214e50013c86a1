//! Files, standard input and quantities on the command line.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;
use jiff::civil::Date;
use wideberth_scenario::bounds::{
    Along, Bounded, ConductorTemperature, Coordinate, Ice, JointAngle, LineVoltage, StructureHeight, WindSpeed,
};
use wideberth_scenario::days;
use wideberth_scenario::quantity::parse;
use wideberth_scenario::source::{MAX_BYTES, check_size, decode};
use wideberth_scenario::{Context, Problems};

/// A text that was read.
#[derive(Debug)]
pub struct Input {
    /// How people call it.
    pub name: String,
    /// What stands in it.
    pub text: String,
    /// Folder that the files it names are relative to.
    folder: PathBuf,
}

/// Why there is no text.
#[derive(Debug, thiserror::Error)]
pub enum InputError {
    /// Missing or unreadable.
    #[error("{name}: {}", reason(.source))]
    File {
        /// How people call it.
        name: String,
        /// What the system says.
        source: io::Error,
    },
    /// Too large, or no text.
    #[error("{name}: {problems}")]
    Refused {
        /// How people call it.
        name: String,
        /// Why.
        problems: Problems,
    },
}

fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file; check its name and folder".into(),
        io::ErrorKind::PermissionDenied => "the file may not be read; check its permissions".into(),
        io::ErrorKind::IsADirectory => "this is a folder; name a file in it".into(),
        _ => format!("the file cannot be read: {error}"),
    }
}

/// The text of a file, or of standard input for `-`.
pub fn read(path: &Path) -> Result<Input, InputError> {
    let standard = path == Path::new("-");
    let name = if standard { "standard input".to_string() } else { path.display().to_string() };
    let bytes = if standard { bounded(io::stdin().lock()) } else { File::open(path).and_then(bounded) };
    let bytes = bytes.map_err(|source| InputError::File { name: name.clone(), source })?;
    let folder = if standard { PathBuf::new() } else { path.parent().map(Path::to_path_buf).unwrap_or_default() };
    match decode(&bytes) {
        Ok(text) => Ok(Input { text: text.to_string(), name, folder }),
        Err(problems) => Err(InputError::Refused { name, problems }),
    }
}

/// At most one byte more than a file may have, so that what is too large is seen to be so.
fn bounded(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

impl Input {
    /// A text that comes with the program.
    pub fn embedded(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into(), folder: PathBuf::new() }
    }

    /// What it may refer to: what comes with the program, and files beside it.
    pub fn context(&self) -> Result<Context<'_>, String> {
        let context = Context::embedded(|name| read_beside(&self.folder, name)).map_err(|error| error.to_string())?;
        Ok(context.on(None, Some(ZonedDateTime::now().date())))
    }
}

fn read_beside(folder: &Path, name: &str) -> Result<String, String> {
    let path = folder.join(name);
    let bytes = File::open(&path).and_then(bounded).map_err(|error| reason(&error))?;
    check_size(bytes.len() as u64).and_then(|()| decode(&bytes)).map(str::to_string).map_err(|p| p.to_string())
}

fn quantity<B: Bounded>(text: &str) -> Result<f64, String> {
    let bound = B::BOUND;
    parse(text, &[bound]).map(|(parsed, _)| parsed.si).map_err(|error| format!("{error}; {}", error.help(&bound)))
}

/// A day of the calendar.
pub fn day(text: &str) -> Result<Date, String> {
    days::parse(text).ok_or_else(|| "this is no day; write year, month and day, such as 2031-05-04".into())
}

/// A place on the map: two lengths with a comma between them, m.
pub fn place(text: &str) -> Result<[f64; 2], String> {
    let (east, north) = text.split_once(',').ok_or("write east and north with a comma, such as \"45 m,0 m\"")?;
    Ok([quantity::<Coordinate>(east)?, quantity::<Coordinate>(north)?])
}

/// Width of a sector, rad.
pub fn sector(text: &str) -> Result<f64, String> {
    quantity::<JointAngle>(text)
}

/// A distance along a span, m.
pub fn along(text: &str) -> Result<f64, String> {
    quantity::<Along>(text)
}

/// A conductor temperature, degC.
pub fn temperature(text: &str) -> Result<f64, String> {
    quantity::<ConductorTemperature>(text)
}

/// A wind speed, m/s.
pub fn wind(text: &str) -> Result<f64, String> {
    quantity::<WindSpeed>(text)
}

/// Radial ice, m.
pub fn ice(text: &str) -> Result<f64, String> {
    quantity::<Ice>(text)
}

/// Height of a structure, m.
pub fn structure_height(text: &str) -> Result<f64, String> {
    quantity::<StructureHeight>(text)
}

/// A voltage on the command line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VoltageArg {
    /// Known, kV.
    Known(f64),
    /// Not known.
    Unknown,
}

/// A voltage, or the word "unknown".
pub fn voltage(text: &str) -> Result<VoltageArg, String> {
    if text.trim() == "unknown" {
        return Ok(VoltageArg::Unknown);
    }
    quantity::<LineVoltage>(text).map(|volts| VoltageArg::Known(volts / 1000.0))
}
