//! The arguments.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Parser, ValueEnum};
use wideberth_report::Units;

use crate::views::Sight;

/// See where and when a machine comes closest to an overhead wire.
///
/// Opens a window with the scenario, or writes pictures and films without one.
#[derive(Clone, Debug, Parser)]
#[command(name = "wideberth-view", version, max_term_width = 100)]
pub struct Args {
    /// Scenario file; a built-in demonstration where left out
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Write one picture (PNG) and end
    #[arg(long, value_name = "FILE", conflicts_with = "film", value_parser = png_path)]
    pub picture: Option<PathBuf>,
    /// Write a film into a folder: numbered pictures, an animated GIF, and MP4 where an encoder is at hand
    #[arg(long, value_name = "FOLDER")]
    pub film: Option<PathBuf>,
    /// Where to look from
    #[arg(long, value_enum, default_value_t = Sight::Orbit)]
    pub camera: Sight,
    /// Which moment: worst, start, or joint values such as "luff=60 deg,slew=-20 deg"
    #[arg(long, value_name = "MOMENT", default_value = "worst", allow_hyphen_values = true)]
    pub at: At,
    /// What a film shows
    #[arg(long, value_enum, default_value_t = Motion::Work)]
    pub play: Motion,
    /// Show a step of the scenario's lesson, from 1
    #[arg(long, value_name = "NUMBER")]
    pub step: Option<usize>,
    /// With --step: show the answer too
    #[arg(long, requires = "step")]
    pub answer: bool,
    /// Size in pixels
    #[arg(long, value_name = "WIDTHxHEIGHT", default_value = "1280x720")]
    pub size: Size,
    /// Frames per second of a film
    #[arg(long, value_name = "NUMBER", default_value_t = 30, value_parser = clap::value_parser!(u32).range(1..=120))]
    pub rate: u32,
    /// Length of a film in seconds
    #[arg(long, value_name = "SECONDS", default_value_t = 6.0, value_parser = film_s, allow_negative_numbers = true)]
    pub seconds: f64,
    /// Units of numbers
    #[arg(long, value_enum, default_value_t = UnitsArg::Si)]
    pub units: UnitsArg,
    /// Size of text, 1 is normal
    #[arg(long, value_name = "FACTOR", default_value_t = 1.0, value_parser = text_size)]
    pub text_size: f32,
    /// Run for so many seconds, then print how long frames took and end; with --picture without a window
    #[arg(long, value_name = "SECONDS", value_parser = run_s, allow_negative_numbers = true)]
    pub measure: Option<f64>,
    /// End after so many seconds; for tests of the window
    #[arg(long, value_name = "SECONDS", value_parser = run_s, hide = true)]
    pub close_after: Option<f64>,
    /// Write what the panel says to a file whenever it changes; for tests of the window
    #[arg(long, value_name = "FILE", hide = true)]
    pub state: Option<PathBuf>,
}

/// Units of numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsArg {
    /// Metres, degC, m/s
    Si,
    /// Feet, degF, mph
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

/// What plays.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Motion {
    /// The joints, from the start through the closest pose and on
    #[default]
    Work,
    /// The wires in gusts, a sample: the widest swing of ten minutes in the middle
    Sway,
    /// The hours of the day; without weather the conductor temperature, from cold to hot and back
    Heat,
}

/// Which moment to show.
#[derive(Clone, Debug, PartialEq)]
pub enum At {
    /// The proven worst case.
    Worst,
    /// Where the work starts.
    Start,
    /// Joint values as written: name and quantity.
    Joints(Vec<(String, String)>),
}

impl FromStr for At {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim() {
            "worst" => Ok(Self::Worst),
            "start" => Ok(Self::Start),
            list => list.split(',').map(joint).collect::<Result<_, _>>().map(Self::Joints),
        }
    }
}

fn joint(text: &str) -> Result<(String, String), String> {
    let (name, value) = text
        .split_once('=')
        .ok_or("write \"worst\", \"start\", or joints with values, such as \"luff=60 deg,telescope=18 m\"")?;
    Ok((name.trim().into(), value.trim().into()))
}

/// A size in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" is no size: write width and height in pixels, such as 1280x720");
        let (width, height) = text.split_once('x').ok_or_else(wrong)?;
        let number = |text: &str| text.trim().parse::<u32>().map_err(|_| wrong());
        let size = Self { width: number(width)?, height: number(height)? };
        let fits = (160..=7680).contains(&size.width) && (90..=4320).contains(&size.height);
        if fits { Ok(size) } else { Err(format!("the size {text} is outside 160x90 to 7680x4320")) }
    }
}

fn film_s(text: &str) -> Result<f64, String> {
    seconds(text, 600.0)
}

fn run_s(text: &str) -> Result<f64, String> {
    seconds(text, 3600.0)
}

fn seconds(text: &str, most_s: f64) -> Result<f64, String> {
    let seconds: f64 = text.parse().map_err(|_| format!("\"{text}\" is no number"))?;
    if (0.1..=most_s).contains(&seconds) { Ok(seconds) } else { Err(format!("seconds go from 0.1 to {most_s}")) }
}

/// A picture is a PNG, and its name says so.
fn png_path(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    let is_png = path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("png"));
    if is_png { Ok(path) } else { Err(format!("pictures are PNG: let \"{text}\" end in .png")) }
}

fn text_size(text: &str) -> Result<f32, String> {
    let factor: f32 = text.parse().map_err(|_| format!("\"{text}\" is no number"))?;
    if (0.5..=2.0).contains(&factor) { Ok(factor) } else { Err("the size of text is a factor from 0.5 to 2".into()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arguments_are_sound() {
        use clap::CommandFactory;
        Args::command().debug_assert();
    }

    #[test]
    fn moments_and_sizes_are_read() {
        assert_eq!("worst".parse(), Ok(At::Worst));
        let joints = At::Joints(vec![("luff".into(), "60 deg".into()), ("swing sideways".into(), "-2 deg".into())]);
        assert_eq!("luff=60 deg, swing sideways = -2 deg".parse(), Ok(joints));
        assert!("luff".parse::<At>().is_err());
        assert_eq!("640x360".parse(), Ok(Size { width: 640, height: 360 }));
        assert!("640".parse::<Size>().is_err());
        assert!("10x10".parse::<Size>().is_err());
    }
}
