//! How deep lists and objects go and how many values there are, found without recursion and before anything is parsed, so
//! that no file can exhaust the stack or the memory.

use super::{MAX_DEPTH, MAX_VALUES};

/// What a text has too much of, and the byte where it goes beyond.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Excess {
    /// Levels of lists and objects.
    Depth { offset: usize },
    /// Values.
    Values { offset: usize },
}

/// Refuses a text that goes beyond [`MAX_DEPTH`] or [`MAX_VALUES`].
pub(super) fn check(text: &str) -> Result<(), Excess> {
    let bytes = text.as_bytes();
    let (mut at, mut depth, mut values) = (0, 0_usize, 0_usize);
    while at < bytes.len() {
        match bytes[at] {
            b'"' => at = end_of_string(bytes, at),
            b'/' => at = end_of_comment(bytes, at),
            b'[' | b'{' if depth == MAX_DEPTH => return Err(Excess::Depth { offset: at }),
            b'[' | b'{' => (depth, values) = (depth + 1, values + 1),
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' => values += 1,
            _ => {}
        }
        if values > MAX_VALUES {
            return Err(Excess::Values { offset: at });
        }
        at += 1;
    }
    Ok(())
}

/// The closing quote of the string that opens at `at`.
fn end_of_string(bytes: &[u8], mut at: usize) -> usize {
    at += 1;
    while at < bytes.len() && bytes[at] != b'"' {
        at += if bytes[at] == b'\\' { 2 } else { 1 };
    }
    at
}

/// The last byte of the comment that opens at `at`, or `at` itself where none does.
fn end_of_comment(bytes: &[u8], at: usize) -> usize {
    let rest = &bytes[at + 1..];
    let length = match rest.first() {
        Some(b'/') => rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len()),
        Some(b'*') => rest.windows(2).skip(1).position(|w| w == b"*/").map_or(rest.len(), |p| p + 3),
        _ => 0,
    };
    at + length
}
