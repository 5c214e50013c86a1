//! Pictures as PNG, films as animated GIF and as MP4 where an encoder is at hand.

use std::fs::File;
use std::io::{self, BufWriter};
use std::path::Path;
use std::process::{Command, Stdio};

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
    /// Too large for a GIF.
    #[error("an animated GIF is at most 65535 pixels wide and high, not {0} by {1}")]
    Large(u32, u32),
}

/// Writes a picture as PNG, without transparency.
///
/// # Errors
/// When the file cannot be written.
pub fn write_png(path: &Path, picture: &Picture) -> Result<(), EncodeError> {
    let Size { width, height } = picture.size;
    let mut encoder = png::Encoder::new(BufWriter::new(File::create(path)?), width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&rgb(&picture.rgba))?;
    writer.finish()?;
    Ok(())
}

fn rgb(rgba: &[u8]) -> Vec<u8> {
    rgba.chunks_exact(4).flat_map(|pixel| pixel[..3].iter().copied()).collect()
}

/// An animated GIF that is written frame by frame; it repeats for ever.
pub struct Animation {
    encoder: gif::Encoder<BufWriter<File>>,
    size: Size,
    delay_cs: u16,
}

impl Animation {
    /// Begins a file.
    ///
    /// # Errors
    /// When it cannot be written, or the pictures are too large for the format.
    pub fn begin(path: &Path, size: Size, frames_per_s: u32) -> Result<Self, EncodeError> {
        let side = |pixels: u32| u16::try_from(pixels).map_err(|_| EncodeError::Large(size.width, size.height));
        let file = BufWriter::new(File::create(path)?);
        let mut encoder = gif::Encoder::new(file, side(size.width)?, side(size.height)?, &[])?;
        encoder.set_repeat(gif::Repeat::Infinite)?;
        // The format counts hundredths of a second, and players take less than two as ten.
        let delay_cs = u16::try_from((100 / frames_per_s).max(2)).unwrap_or(2);
        Ok(Self { encoder, size, delay_cs })
    }

    /// Adds a frame.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn add(&mut self, picture: &Picture) -> Result<(), EncodeError> {
        let side =
            |pixels: u32| u16::try_from(pixels).map_err(|_| EncodeError::Large(self.size.width, self.size.height));
        let pixels = rgb(&picture.rgba);
        let (width, height) = (side(picture.size.width)?, side(picture.size.height)?);
        let mut frame = gif::Frame::from_rgb_speed(width, height, &pixels, 15);
        frame.delay = self.delay_cs;
        self.encoder.write_frame(&frame)?;
        Ok(())
    }
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
