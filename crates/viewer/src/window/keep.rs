//! F12: a picture of the scene as it is, without the panel, beside the scenario; never over another.

use std::fs::OpenOptions;
use std::io::{self, BufWriter};
use std::path::PathBuf;

use bevy::image::Image;
use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy_egui::input::EguiWantsInput;

use super::keys::Leaving;
use crate::loaded::Origin;
use crate::scene::framing::Framing;
use crate::scene::stage::{Look, Shown, Stage, Step};
use crate::strings::ENGLISH;

/// Saves pictures.
pub struct KeepPlugin;

/// Frames without the panel before a picture is taken: the scene takes its room, and texts their places.
const FRAMES_BEFORE: u8 = 4;
/// Most frames that are waited for.
const MOST_FRAMES: u8 = 60;
/// How long it is said where a picture lies, s.
const TOLD_S: f32 = 8.0;
/// Most pictures of one scenario.
const MOST_PICTURES: u32 = 100_000;

/// A picture on its way.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
enum Keeping {
    /// None.
    #[default]
    Idle,
    /// The panel is away since so many frames; it and the help come back as they were.
    Clearing { frames: u8, panel: bool, help: bool },
    /// The picture was asked for.
    Taking { panel: bool, help: bool },
}

/// What is said of the last picture, and for how long, s.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// The words.
    pub words: String,
    left_s: f32,
}

impl Plugin for KeepPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Keeping>()
            .init_resource::<Told>()
            .add_systems(Update, (ask, take, forget).chain().in_set(Step::Input).run_if(in_state(Stage::Ready)));
    }
}

fn ask(
    keys: Res<ButtonInput<KeyCode>>,
    (egui, leaving): (Res<EguiWantsInput>, Res<Leaving>),
    mut look: ResMut<Look>,
    mut keeping: ResMut<Keeping>,
) {
    let is_free = !egui.wants_any_keyboard_input() && !leaving.0;
    if keys.just_pressed(KeyCode::F12) && is_free && *keeping == Keeping::Idle {
        *keeping = Keeping::Clearing { frames: 0, panel: look.panel, help: look.help };
        (look.panel, look.help) = (false, false);
    }
}

fn take(
    mut commands: Commands,
    shown: Res<Shown>,
    framing: Option<Res<Framing>>,
    mut look: ResMut<Look>,
    mut keeping: ResMut<Keeping>,
) {
    match *keeping {
        Keeping::Idle => {}
        Keeping::Clearing { frames, panel, help } => {
            let settled = framing.is_none_or(|framing| framing.settled);
            if (frames >= FRAMES_BEFORE && settled) || frames >= MOST_FRAMES {
                let origin = shown.origin.clone();
                commands.spawn(Screenshot::primary_window()).observe(
                    move |shot: On<ScreenshotCaptured>, mut told: ResMut<Told>| {
                        *told = Told { words: said(&origin, &shot.image), left_s: TOLD_S };
                    },
                );
                *keeping = Keeping::Taking { panel, help };
            } else {
                *keeping = Keeping::Clearing { frames: frames + 1, panel, help };
            }
        }
        Keeping::Taking { panel, help } => {
            (look.panel, look.help) = (panel, help);
            *keeping = Keeping::Idle;
        }
    }
}

fn forget(time: Res<Time>, mut told: ResMut<Told>) {
    if told.words.is_empty() {
        return;
    }
    told.left_s -= time.delta_secs();
    if told.left_s <= 0.0 {
        told.words.clear();
    }
}

/// Saves a picture; says where, or why not.
fn said(origin: &Origin, image: &Image) -> String {
    match save(origin, image) {
        Ok(path) => format!("{} {}", ENGLISH.saved, path.display()),
        Err(error) => format!("{} {error}", ENGLISH.not_saved),
    }
}

fn save(origin: &Origin, image: &Image) -> io::Result<PathBuf> {
    let picture = image.clone().try_into_dynamic().map_err(io::Error::other)?.to_rgb8();
    let (path, file) = fresh(origin)?;
    let mut encoder = png::Encoder::new(BufWriter::new(file), picture.width(), picture.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let written = encoder.write_header().and_then(|mut writer| {
        writer.write_image_data(picture.as_raw())?;
        writer.finish()
    });
    written.map_err(io::Error::other)?;
    Ok(path)
}

/// A new file beside the scenario: the first number that is free. What is there stays.
fn fresh(origin: &Origin) -> io::Result<(PathBuf, std::fs::File)> {
    for number in 1..=MOST_PICTURES {
        let path = match origin {
            Origin::File(path) => path.with_extension(format!("{number}.png")),
            Origin::BuiltIn => format!("wideberth.{number}.png").into(),
        };
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(io::Error::new(error.kind(), format!("{}: {error}", path.display()))),
            Ok(file) => return Ok((path, file)),
        }
    }
    Err(io::Error::other("there are too many pictures beside the scenario"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_never_takes_the_place_of_another() {
        let folder = std::env::temp_dir().join(format!("wideberth-keep-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a folder");
        let origin = Origin::File(folder.join("job.json"));
        std::fs::write(folder.join("job.1.png"), "mine").expect("written");
        let (path, _) = fresh(&origin).expect("a file");
        assert_eq!(path, folder.join("job.2.png"));
        assert_eq!(fresh(&origin).expect("a file").0, folder.join("job.3.png"));
        assert_eq!(std::fs::read_to_string(folder.join("job.1.png")).expect("there"), "mine");
        std::fs::remove_dir_all(&folder).expect("removed");
    }
}
