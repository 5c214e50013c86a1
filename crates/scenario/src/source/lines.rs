//! From bytes to lines and columns, in constant time however long the lines are.

use super::Position;

/// Bytes between two counts of characters.
const STEP: usize = 1024;

/// Where the lines of a text begin, and how many characters come before every so many bytes.
pub(super) struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
    chars_before: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// The lines of a text.
    pub fn of(text: &'a str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let steps = text.as_bytes().chunks(STEP).scan(0, |before, chunk| {
            let here = *before;
            *before += beginnings(chunk);
            Some(here)
        });
        Self { text, starts, chars_before: steps.collect() }
    }

    /// The position of a byte.
    pub fn position(&self, offset: usize) -> Position {
        let offset = self.text.floor_char_boundary(offset);
        let line = self.starts.partition_point(|&start| start <= offset).max(1);
        Position { line, column: self.chars(offset) - self.chars(self.starts[line - 1]) + 1 }
    }

    /// How many characters begin before a byte.
    fn chars(&self, offset: usize) -> usize {
        let step = offset / STEP;
        let before = self.chars_before.get(step).or(self.chars_before.last()).copied().unwrap_or(0);
        let from =
            if step < self.chars_before.len() { step * STEP } else { self.chars_before.len().saturating_sub(1) * STEP };
        before + beginnings(&self.text.as_bytes()[from..offset])
    }
}

/// How many characters begin in these bytes of UTF-8: all but continuation bytes, 10xxxxxx.
fn beginnings(bytes: &[u8]) -> usize {
    bytes.iter().filter(|&&byte| byte & 0b1100_0000 != 0b1000_0000).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_characters_also_far_into_a_line() {
        let text = format!("ab\n{}é|\n", "ö".repeat(3000));
        let lines = Lines::of(&text);
        let bar = text.find('|').expect("there");
        assert_eq!(lines.position(bar), Position { line: 2, column: 3002 });
        assert_eq!(lines.position(1), Position { line: 1, column: 2 });
        assert_eq!(lines.position(text.len()), Position { line: 3, column: 1 });
        assert_eq!(Lines::of("").position(0), Position::START);
        let full = "x".repeat(STEP);
        assert_eq!(Lines::of(&full).position(STEP), Position { line: 1, column: STEP + 1 });
    }
}
