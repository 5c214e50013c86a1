//! Pictures as PNG, films as animated GIF and as MP4 where an encoder is at hand.

use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::JoinHandle;

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
    rgba.chunks_exact(4).flat_map(|pixel| pixel[..3].iter().copied()).collect()
}

/// An animated GIF that is written frame by frame; it repeats for ever.
struct Animation {
    encoder: gif::Encoder<BufWriter<File>>,
    size: Size,
    delay_cs: u16,
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
        // The format counts hundredths of a second, and players take less than two as ten.
        let delay_cs = u16::try_from((100 / frames_per_s).max(2)).unwrap_or(2);
        Ok(Self { encoder, size, delay_cs })
    }

    /// A picture as a frame, already compressed.
    fn frame(size: Size, delay_cs: u16, picture: &Picture) -> Result<gif::Frame<'static>, EncodeError> {
        let side = |pixels: u32| u16::try_from(pixels).map_err(|_| EncodeError::Large(size.width, size.height));
        let (width, height) = (side(picture.size.width)?, side(picture.size.height)?);
        let mut frame = gif::Frame::from_rgb_speed(width, height, &rgb(&picture.rgba), 15);
        frame.delay = delay_cs;
        frame.make_lzw_pre_encoded();
        Ok(frame)
    }

    /// Adds a compressed frame.
    fn add(&mut self, frame: &gif::Frame<'static>) -> Result<(), EncodeError> {
        Ok(self.encoder.write_lzw_pre_encoded_frame(frame)?)
    }
}

/// Numbered pictures and an animated GIF, encoded on all processors while the next pictures are drawn.
pub struct Reel {
    pictures: SyncSender<Picture>,
    encoding: JoinHandle<Result<(), EncodeError>>,
}

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
        let (size, delay_cs) = (animation.size, animation.delay_cs);
        let encode = |(number, picture): (usize, &Picture)| {
            write_png_with(&numbered(folder, done + number), picture, png::Compression::Fast)?;
            Animation::frame(size, delay_cs, picture)
        };
        let frames = batch.par_iter().enumerate().map(encode).collect::<Result<Vec<_>, EncodeError>>()?;
        frames.iter().try_for_each(|frame| animation.add(frame))?;
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
