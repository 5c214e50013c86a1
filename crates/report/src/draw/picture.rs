//! An SVG drawing as a PNG picture.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use thiserror::Error;

use super::letters::FaceParsingError;

/// Why there is no picture.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PictureError {
    /// The font is faulty, which a test rules out.
    #[error("the font that comes with the program cannot be read: {0}")]
    Font(#[from] FaceParsingError),
    /// The drawing is faulty, which a test rules out for ours.
    #[error("the drawing cannot be read: {0}")]
    Drawing(String),
    /// Too small or too large.
    #[error("a picture must be between 100 and 8000 pixels wide, not {0}")]
    Width(u32),
    /// The picture cannot be written.
    #[error("the picture cannot be written: {0}")]
    Writing(String),
}

/// Whether a picture may be so wide, in pixels.
///
/// # Errors
/// When it is too small to read or too large to make.
pub fn judge_width(width_px: u32) -> Result<(), PictureError> {
    if (100..=8000).contains(&width_px) { Ok(()) } else { Err(PictureError::Width(width_px)) }
}

/// The drawing as a PNG picture of a width in pixels.
///
/// # Errors
/// When the width is out of range or the drawing is faulty.
pub fn png(svg: &str, width_px: u32) -> Result<Vec<u8>, PictureError> {
    judge_width(width_px)?;
    let tree = Tree::from_str(svg, &Options::default()).map_err(|error| PictureError::Drawing(error.to_string()))?;
    let scale = width_px as f32 / tree.size().width();
    let height_px = (tree.size().height() * scale).ceil() as u32;
    let mut pixels = Pixmap::new(width_px, height_px).ok_or(PictureError::Width(width_px))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| PictureError::Writing(error.to_string()))
}
