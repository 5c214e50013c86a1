//! Drawings: SVG text, and the same as a PNG picture.

mod map;
mod picture;
mod sheet;

pub use map::map_svg;
pub use picture::{PictureError, png};
