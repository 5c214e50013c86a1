//! Letters as outlines: a sheet looks the same wherever it is shown or printed, whatever fonts are there.

use std::fmt::Write;

use ttf_parser::{Face, OutlineBuilder};

const FONT: &[u8] = include_bytes!("../../../../assets/fonts/DejaVuSans.ttf");

/// Why there are no letters.
pub use ttf_parser::FaceParsingError;

/// The letters of the font that comes with the program.
pub struct Letters(Face<'static>);

/// A line of text as the data of an SVG path that starts at its left end, and how wide it is.
pub struct Line {
    pub data: String,
    pub width: f64,
}

/// Writes outlines at a place and size, upside down as fonts count upward.
struct Pen {
    data: String,
    x: f64,
    scale: f64,
}

impl Letters {
    /// The letters.
    ///
    /// # Errors
    /// When the font is faulty, which a test rules out.
    pub fn new() -> Result<Self, FaceParsingError> {
        Face::parse(FONT, 0).map(Self)
    }

    /// A line of text in a size. Characters that the font lacks become its empty box.
    pub fn line(&self, text: &str, size: f64) -> Line {
        let mut pen = Pen { data: String::new(), x: 0.0, scale: size / f64::from(self.0.units_per_em()) };
        for character in text.chars() {
            let glyph = self.0.glyph_index(character).unwrap_or_default();
            self.0.outline_glyph(glyph, &mut pen);
            pen.x += pen.scale * f64::from(self.0.glyph_hor_advance(glyph).unwrap_or_default());
        }
        Line { data: pen.data, width: pen.x }
    }
}

impl Pen {
    fn add(&mut self, command: char, points: &[[f32; 2]]) {
        self.data.push(command);
        for [x, y] in points {
            // Writing to a string cannot fail.
            let _ = write!(self.data, "{:.2} {:.2} ", self.x + self.scale * f64::from(*x), -self.scale * f64::from(*y));
        }
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add('M', &[[x, y]]);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.add('L', &[[x, y]]);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.add('Q', &[[x1, y1], [x, y]]);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.add('C', &[[x1, y1], [x2, y2], [x, y]]);
    }

    fn close(&mut self) {
        self.data.push('Z');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_of_a_sheet_has_an_outline() {
        let letters = Letters::new().expect("the font is sound");
        let missing = letters.line("\u{10ffff}", 10.0).data;
        for character in ('!'..='~').chain("°±·²³éüßøñ–".chars()) {
            let drawn = letters.line(&character.to_string(), 10.0);
            assert!(!drawn.data.is_empty() && drawn.data != missing && drawn.width > 0.0, "{character}");
        }
    }

    #[test]
    fn twice_the_size_is_twice_as_wide() {
        let letters = Letters::new().expect("the font is sound");
        let (small, large) = (letters.line("a map", 10.0).width, letters.line("a map", 20.0).width);
        assert!((large - 2.0 * small).abs() < 1e-9 && small > 20.0);
    }
}
