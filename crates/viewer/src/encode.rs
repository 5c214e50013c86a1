//! Pictures as PNG, films as animated GIF and as MP4 where an encoder is at hand.

use std::collections::HashMap;
use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::JoinHandle;

use color_quant::NeuQuant;
use rayon::prelude::*;
use thiserror::Error;

use crate::args::Size;
use crate::studio::Picture;

/// Why a file could not be written.
#[derive(Debug, Error)]
pub enum EncodeError {
    /// The file.
    #[error("{0}")]
    File(#[from] io::Error),
    /// PNG.
    #[error("{0}")]
    Png(#[from] png::EncodingError),
    /// GIF.
    #[error("{0}")]
    Gif(#[from] gif::EncodingError),
    /// What encodes the pictures ended too soon.
    #[error("encoding the pictures ended too soon")]
    Ended,
    /// Too large for a GIF.
    #[error("an animated GIF is at most 65535 pixels wide and high, not {0} by {1}")]
    Large(u32, u32),
}

/// Writes a picture as PNG, without transparency.
///
/// # Errors
/// When the file cannot be written.
pub fn write_png(path: &Path, picture: &Picture) -> Result<(), EncodeError> {
    write_png_with(path, picture, png::Compression::High)
}

fn write_png_with(path: &Path, picture: &Picture, compression: png::Compression) -> Result<(), EncodeError> {
    let Size { width, height } = picture.size;
    let mut encoder = png::Encoder::new(BufWriter::new(File::create(path)?), width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(compression);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&rgb(&picture.rgba))?;
    writer.finish()?;
    Ok(())
}

fn rgb(rgba: &[u8]) -> Vec<u8> {
    let mut rgb = Vec::with_capacity(rgba.len() / 4 * 3);
    rgba.chunks_exact(4).for_each(|pixel| rgb.extend_from_slice(&pixel[..3]));
    rgb
}

/// An animated GIF that is written frame by frame; it repeats for ever.
struct Animation {
    encoder: gif::Encoder<BufWriter<File>>,
    pace: Pace,
}

/// Which pictures of a film an animated GIF shows, and for how long: as the format counts hundredths of a second and players take
/// less than two as ten, at most 25 a second, so that it lasts as long as the film.
#[derive(Clone, Copy, Debug)]
struct Pace {
    frames_per_s: u32,
    every: usize,
}

impl Pace {
    fn new(frames_per_s: u32) -> Self {
        Self { frames_per_s, every: frames_per_s.div_ceil(25).max(1) as usize }
    }

    fn shows(self, number: usize) -> bool {
        number.is_multiple_of(self.every)
    }

    /// From a picture that is shown to the next one, hundredths of a second: rounded so that the sum stays right.
    fn delay_cs(self, number: usize) -> u16 {
        let at_cs = |number: usize| (100 * number + self.frames_per_s as usize / 2) / self.frames_per_s.max(1) as usize;
        u16::try_from(at_cs(number + self.every) - at_cs(number)).unwrap_or(u16::MAX)
    }
}

impl Animation {
    /// Begins a file.
    ///
    /// # Errors
    /// When it cannot be written, or the pictures are too large for the format.
    fn begin(path: &Path, size: Size, frames_per_s: u32) -> Result<Self, EncodeError> {
        let side = |pixels: u32| u16::try_from(pixels).map_err(|_| EncodeError::Large(size.width, size.height));
        let file = BufWriter::new(File::create(path)?);
        let mut encoder = gif::Encoder::new(file, side(size.width)?, side(size.height)?, &[])?;
        encoder.set_repeat(gif::Repeat::Infinite)?;
        Ok(Self { encoder, pace: Pace::new(frames_per_s) })
    }

    /// A picture as a frame, already compressed.
    fn frame(delay_cs: u16, picture: &Picture) -> Result<gif::Frame<'static>, EncodeError> {
        let side = |pixels: u32| {
            u16::try_from(pixels).map_err(|_| EncodeError::Large(picture.size.width, picture.size.height))
        };
        let (width, height) = (side(picture.size.width)?, side(picture.size.height)?);
        let (palette, pixels) = in_palette(&picture.rgba);
        let mut frame = gif::Frame::from_palette_pixels(width, height, pixels, palette, None);
        frame.delay = delay_cs;
        frame.make_lzw_pre_encoded();
        Ok(frame)
    }

    /// Adds a compressed frame.
    fn add(&mut self, frame: &gif::Frame<'static>) -> Result<(), EncodeError> {
        Ok(self.encoder.write_lzw_pre_encoded_frame(frame)?)
    }
}

/// A palette of 256 colours and the place of each pixel's colour in it. Most pixels have the colour of the one before or one that was
/// looked up already, so each colour is looked up once.
fn in_palette(rgba: &[u8]) -> (Vec<u8>, Vec<u8>) {
    let palette = NeuQuant::new(SAMPLED, 256, rgba);
    let mut known: HashMap<[u8; 3], u8> = HashMap::new();
    let mut last = ([0; 3], palette.index_of(&[0, 0, 0, 255]) as u8);
    let place = |pixel: &[u8]| {
        let color = [pixel[0], pixel[1], pixel[2]];
        if color != last.0 {
            last = (color, *known.entry(color).or_insert_with(|| palette.index_of(pixel) as u8));
        }
        last.1
    };
    let pixels = rgba.chunks_exact(4).map(place).collect();
    (palette.color_map_rgb(), pixels)
}

/// Numbered pictures and an animated GIF, encoded on all processors while the next pictures are drawn.
pub struct Reel {
    pictures: SyncSender<Picture>,
    encoding: JoinHandle<Result<(), EncodeError>>,
}

/// One pixel in so many is looked at to choose a palette.
const SAMPLED: i32 = 15;
/// Pictures that may wait to be encoded.
const WAITING: usize = 32;

impl Reel {
    /// Begins a film in a folder.
    ///
    /// # Errors
    /// When the GIF cannot be begun.
    pub fn begin(folder: &Path, size: Size, frames_per_s: u32) -> Result<Self, EncodeError> {
        let animation = Animation::begin(&folder.join("film.gif"), size, frames_per_s)?;
        let (pictures, waiting) = sync_channel(WAITING);
        let folder = folder.to_owned();
        let encoding = std::thread::spawn(move || encode_all(&folder, animation, &waiting));
        Ok(Self { pictures, encoding })
    }

    /// Hands over the next picture. False where encoding has ended already: `end` says why.
    #[must_use]
    pub fn add(&self, picture: Picture) -> bool {
        self.pictures.send(picture).is_ok()
    }

    /// Waits until everything is written.
    ///
    /// # Errors
    /// When a file could not be written.
    pub fn end(self) -> Result<(), EncodeError> {
        drop(self.pictures);
        self.encoding.join().unwrap_or(Err(EncodeError::Ended))
    }
}

/// Name of a numbered picture.
fn numbered(folder: &Path, number: usize) -> PathBuf {
    folder.join(format!("frame-{number:05}.png"))
}

/// Takes what waits as a batch, encodes it on all processors, and writes the GIF in order.
fn encode_all(folder: &Path, mut animation: Animation, waiting: &Receiver<Picture>) -> Result<(), EncodeError> {
    let mut done = 0;
    while let Ok(first) = waiting.recv() {
        let batch: Vec<Picture> = std::iter::once(first).chain(waiting.try_iter().take(WAITING - 1)).collect();
        let pace = animation.pace;
        let encode = |(index, picture): (usize, &Picture)| {
            let number = done + index;
            write_png_with(&numbered(folder, number), picture, png::Compression::Fast)?;
            pace.shows(number).then(|| Animation::frame(pace.delay_cs(number), picture)).transpose()
        };
        let frames = batch.par_iter().enumerate().map(encode).collect::<Result<Vec<_>, EncodeError>>()?;
        frames.iter().flatten().try_for_each(|frame| animation.add(frame))?;
        done += batch.len();
    }
    Ok(())
}

/// Turns the numbered pictures of a folder into an MP4 with `ffmpeg`. False where there is none, or it fails.
#[must_use]
pub fn write_mp4(folder: &Path, frames_per_s: u32) -> bool {
    let run = Command::new("ffmpeg")
        .args(["-y", "-loglevel", "error", "-framerate", &frames_per_s.to_string(), "-i"])
        .arg(folder.join("frame-%05d.png"))
        .args(["-pix_fmt", "yuv420p", "-vf", "pad=ceil(iw/2)*2:ceil(ih/2)*2"])
        .arg(folder.join("film.mp4"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    run.is_ok_and(|status| status.success())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_animation_lasts_as_long_as_its_film() {
        for frames_per_s in [1, 2, 6, 24, 25, 30, 48, 50, 60, 120] {
            let pace = Pace::new(frames_per_s);
            let shown = (0..10 * frames_per_s as usize).filter(|number| pace.shows(*number));
            let delays: Vec<u16> = shown.map(|number| pace.delay_cs(number)).collect();
            let length_cs: u32 = delays.iter().map(|delay| u32::from(*delay)).sum();
            let last_cs = 100 * pace.every as u32 / frames_per_s;
            assert!((1000..=1000 + last_cs).contains(&length_cs), "{frames_per_s} a second: {length_cs}");
            assert!(delays.iter().all(|delay| *delay >= 3), "{frames_per_s} a second: {delays:?}");
        }
    }
}
