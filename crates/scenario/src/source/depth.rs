//! How deep lists and objects go, found without recursion, so that no file can exhaust the stack.

/// Byte offset of the first bracket that opens a level beyond `limit`; none when there is none.
pub(super) fn first_beyond(text: &str, limit: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    let (mut at, mut depth) = (0, 0_usize);
    while at < bytes.len() {
        match bytes[at] {
            b'"' => at = end_of_string(bytes, at),
            b'/' => at = end_of_comment(bytes, at),
            b'[' | b'{' if depth == limit => return Some(at),
            b'[' | b'{' => depth += 1,
            b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        at += 1;
    }
    None
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
