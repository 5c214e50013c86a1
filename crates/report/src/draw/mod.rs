//! Drawings: SVG text, and the same as a PNG picture.

mod chart;
mod letters;
mod map;
mod picture;
mod sheet;

pub use chart::chart_svg;
pub use map::map_svg;
pub use picture::{PictureError, judge_width, png};
