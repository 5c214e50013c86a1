//! A sheet of paper: shapes and texts, written as SVG, letters as outlines. Lengths on the sheet are in its own units, about 1/100 inch.

use std::fmt::Write;

use super::letters::{FaceParsingError, Letters};

/// Width of every sheet.
pub const WIDTH: f64 = 1120.0;
/// Height of every sheet.
pub const HEIGHT: f64 = 800.0;

/// Colours that stay apart in grey and for most eyes; words stand beside them.
pub const CLEAR: &str = "#bfe3c3";
pub const NOT_PROVEN: &str = "#f5d36b";
pub const TOO_CLOSE: &str = "#d9564a";
pub const INK: &str = "#1d2329";

/// Where a text is fixed to its place.
#[derive(Clone, Copy)]
pub enum Anchor {
    Start,
    Middle,
}

/// A drawing that grows.
pub struct Sheet {
    svg: String,
    letters: Letters,
}

impl Sheet {
    /// An empty sheet with a title.
    ///
    /// # Errors
    /// When the font that comes with the program is faulty.
    pub fn new(title: &str) -> Result<Self, FaceParsingError> {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" height=\"{HEIGHT}\">\n<title>{}</title>\n\
             <defs><pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
             <rect width=\"7\" height=\"7\" fill=\"{TOO_CLOSE}\"/><rect width=\"1.6\" height=\"7\" fill=\"#8d1f17\"/></pattern></defs>\n\
             <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"white\"/>\n",
            escaped(title)
        );
        Ok(Self { svg: text, letters: Letters::new()? })
    }

    /// A text.
    pub fn text(&mut self, at: [f64; 2], size: f64, anchor: Anchor, text: &str) {
        let line = self.letters.line(text, size);
        let left = match anchor {
            Anchor::Start => at[0],
            Anchor::Middle => at[0] - 0.5 * line.width,
        };
        let _ = writeln!(
            self.svg,
            "<path role=\"img\" aria-label=\"{}\" transform=\"translate({left:.1} {:.1})\" d=\"{}\" fill=\"{INK}\" stroke=\"white\" stroke-width=\"2.5\" paint-order=\"stroke\"/>",
            escaped(text),
            at[1],
            line.data
        );
    }

    /// A closed shape.
    pub fn polygon(&mut self, points: &[[f64; 2]], fill: &str, outline: &str) {
        self.path(&[points.to_vec()], fill, outline);
    }

    /// Closed shapes of one kind.
    pub fn path(&mut self, shapes: &[Vec<[f64; 2]>], fill: &str, outline: &str) {
        let mut d = String::new();
        for shape in shapes {
            for (index, [x, y]) in shape.iter().enumerate() {
                let _ = write!(d, "{}{x:.2} {y:.2}", if index == 0 { 'M' } else { 'L' });
            }
            d.push('Z');
        }
        if !d.is_empty() {
            let _ = writeln!(self.svg, "<path d=\"{d}\" fill=\"{fill}\" stroke=\"{outline}\" stroke-width=\"0.4\"/>");
        }
    }

    /// A line through points.
    pub fn line(&mut self, points: &[[f64; 2]], color: &str, width: f64) {
        let points: Vec<String> = points.iter().map(|[x, y]| format!("{x:.2},{y:.2}")).collect();
        let _ = writeln!(
            self.svg,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{color}\" stroke-width=\"{width}\"/>",
            points.join(" ")
        );
    }

    /// A disc.
    pub fn disc(&mut self, at: [f64; 2], radius: f64, fill: &str) {
        let _ = writeln!(
            self.svg,
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{radius}\" fill=\"{fill}\" stroke=\"{INK}\" stroke-width=\"1\"/>",
            at[0], at[1]
        );
    }

    /// Shapes that show only inside a frame.
    pub fn framed(&mut self, id: &str, from: [f64; 2], size: [f64; 2], draw: impl FnOnce(&mut Self)) {
        let rect = format!("x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"", from[0], from[1], size[0], size[1]);
        let _ = writeln!(self.svg, "<clipPath id=\"{id}\"><rect {rect}/></clipPath>\n<g clip-path=\"url(#{id})\">");
        draw(self);
        let _ = writeln!(self.svg, "</g>\n<rect {rect} fill=\"none\" stroke=\"{INK}\" stroke-width=\"1\"/>");
    }

    /// An arrow to north with its letter, for a sheet with north up.
    pub fn north(&mut self, at: [f64; 2]) {
        let [x, y] = at;
        self.polygon(&[[x, y - 26.0], [x + 9.0, y + 8.0], [x, y + 1.0], [x - 9.0, y + 8.0]], INK, INK);
        self.text([x, y - 31.0], 15.0, Anchor::Middle, "N");
    }

    /// A box of a legend with its words.
    pub fn key(&mut self, at: [f64; 2], fill: &str, words: &str) {
        let [x, y] = at;
        self.polygon(&[[x, y], [x + 26.0, y], [x + 26.0, y + 18.0], [x, y + 18.0]], fill, INK);
        self.paragraph([x + 36.0, y + 14.0], 13.5, 36, words);
    }

    /// A text in lines of at most some characters; gives the height that it took.
    pub fn paragraph(&mut self, at: [f64; 2], size: f64, columns: usize, text: &str) -> f64 {
        let mut lines: Vec<String> = Vec::new();
        for word in text.split_whitespace() {
            match lines.last_mut() {
                Some(line) if line.chars().count() + word.chars().count() < columns => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(word.into()),
            }
        }
        for (index, line) in lines.iter().enumerate() {
            self.text([at[0], at[1] + index as f64 * 1.3 * size], size, Anchor::Start, line);
        }
        lines.len() as f64 * 1.3 * size
    }

    /// The whole drawing.
    pub fn finish(mut self) -> String {
        self.svg.push_str("</svg>\n");
        self.svg
    }
}

fn escaped(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).collect();
    plain.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
