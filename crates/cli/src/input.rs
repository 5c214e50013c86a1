//! Files, standard input and quantities on the command line.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use jiff::ZonedDateTime;
use jiff::civil::Date;
use wideberth_scenario::bounds::{
    Along, Bounded, ConductorTemperature, Coordinate, Ice, JointAngle, LineVoltage, StructureHeight, WindSpeed,
};
use wideberth_scenario::days;
use wideberth_scenario::quantity::parse;
use wideberth_scenario::source::{MAX_BYTES, decode};
use wideberth_scenario::{Context, Problems};

use crate::exit::Trouble;

/// A text that was read.
#[derive(Debug)]
pub struct Input {
    /// How people call it.
    pub name: String,
    /// What stands in it.
    pub text: String,
    /// Folder that the files it names are relative to.
    folder: PathBuf,
    /// Every file that was read for it.
    files: Mutex<Vec<PathBuf>>,
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
    let name = name(path);
    let bytes = if standard { bounded(io::stdin().lock()) } else { opened(path).and_then(bounded) };
    let bytes = bytes.map_err(|source| InputError::File { name: name.clone(), source })?;
    let folder = if standard { PathBuf::new() } else { path.parent().map(Path::to_path_buf).unwrap_or_default() };
    let files = Mutex::new(if standard { Vec::new() } else { vec![path.to_path_buf()] });
    match decode(&bytes) {
        Ok(text) => Ok(Input { text: text.to_string(), name, folder, files }),
        Err(problems) => Err(InputError::Refused { name, problems }),
    }
}

/// Opens a file. One that another program is to fill, and that none opens, would be waited for without end.
fn opened(path: &Path) -> io::Result<File> {
    let fed = path.metadata().is_ok_and(|found| !found.is_file() && !found.is_dir());
    if !fed {
        return File::open(path);
    }
    let (done, wait) = std::sync::mpsc::channel();
    let path = path.to_path_buf();
    std::thread::spawn(move || done.send(File::open(path)));
    wait.recv_timeout(PATIENCE)
        .unwrap_or_else(|_| Err(io::Error::other("no program writes to it; it was waited for in vain")))
}

/// How long a pipe with a name may stay without a writer.
const PATIENCE: Duration = Duration::from_secs(20);

/// At most one byte more than a file may have, so that what is too large is seen to be so.
fn bounded(from: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

impl Input {
    /// A text that comes with the program.
    pub fn embedded(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into(), folder: PathBuf::new(), files: Mutex::default() }
    }

    /// Every file that was read for it so far: itself, and those that it names.
    pub fn files(&self) -> Vec<PathBuf> {
        self.files.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// What it may refer to: what comes with the program, and files beside it.
    pub fn context(&self) -> Result<Context<'_>, Trouble> {
        let context = Context::embedded(|name| self.read_beside(name)).map_err(Trouble::unexpected)?;
        Ok(context.on(None, Some(ZonedDateTime::now().date())))
    }

    /// The same, with searches that end when somebody sets a flag.
    pub fn context_until(&self, stop: &Arc<AtomicBool>) -> Result<Context<'_>, Trouble> {
        Ok(self.context()?.stopped_by(Arc::clone(stop)))
    }

    fn read_beside(&self, name: &str) -> Result<String, String> {
        let path = self.folder.join(name);
        if path.metadata().is_ok_and(|found| !found.is_file() && !found.is_dir()) {
            return Err("this is no plain file; name one".into());
        }
        let bytes = File::open(&path).and_then(bounded).map_err(|error| reason(&error))?;
        self.files.lock().unwrap_or_else(PoisonError::into_inner).push(path);
        decode(&bytes).map(str::to_string).map_err(|problems| problems.to_string())
    }
}

fn quantity<B: Bounded>(text: &str) -> Result<f64, String> {
    let bound = B::BOUND;
    parse(text, &[bound]).map(|(parsed, _)| parsed.si).map_err(|error| format!("{error}; {}", error.help(&bound)))
}

/// How people call a file.
pub fn name(path: &Path) -> String {
    if path == Path::new("-") { "standard input".into() } else { path.display().to_string() }
}

/// A length of time.
pub fn budget(text: &str) -> Result<Duration, String> {
    let words = "write a time between 1 ms and 24 h, such as \"10 s\" or \"5 min\"";
    let time = text.trim().parse::<jiff::SignedDuration>().map_err(|_| words.to_string())?;
    let time = Duration::try_from(time).map_err(|_| words.to_string())?;
    let allowed = Duration::from_millis(1)..=Duration::from_secs(24 * 3600);
    if allowed.contains(&time) { Ok(time) } else { Err(words.into()) }
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
