//! From text to values with positions: JSON with comments, limited in size and depth, without duplicate keys.

mod depth;
mod lines;
mod tree;

use std::collections::HashMap;

use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use serde_json::Value;

use self::lines::Lines;
use crate::code::Code;
use crate::path::Path;
use crate::problem::{Problem, Problems};

/// Greatest size of a file, bytes.
pub const MAX_BYTES: usize = 4 << 20;

/// Greatest number of values in a file.
pub const MAX_VALUES: usize = 400_000;

/// Greatest number of keys of one object.
pub const MAX_KEYS: usize = 2_000;

/// Greatest depth of lists and objects inside one another.
pub const MAX_DEPTH: usize = 32;

/// A place in a text, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position {
    /// Line.
    pub line: usize,
    /// Column in characters.
    pub column: usize,
}

impl Position {
    /// The beginning of the file.
    pub const START: Self = Self { line: 1, column: 1 };
}

/// A file that could be read as JSON.
#[derive(Clone, Debug)]
pub struct Source {
    value: Value,
    values: HashMap<Path, Position>,
    keys: HashMap<Path, Position>,
}

impl Source {
    /// Reads a text.
    ///
    /// # Errors
    /// When it is too large or too deep, is not JSON, or repeats a key.
    pub fn read(text: &str) -> Result<Self, Problems> {
        check_size(text.len() as u64)?;
        let lines = Lines::of(text);
        depth::check(text).map_err(|excess| too_much(&excess, &lines))?;
        let parsed = parse_to_ast(text, &CollectOptions::default(), &strict());
        let parsed = parsed.map_err(|error| syntax(&error, &lines))?;
        let root = parsed.value.ok_or_else(|| empty(&lines))?;
        tree::build(&root, &lines)
    }

    /// Reads the bytes of a file.
    ///
    /// # Errors
    /// When they are no text, and as [`Source::read`].
    pub fn read_bytes(bytes: &[u8]) -> Result<Self, Problems> {
        check_size(bytes.len() as u64)?;
        Self::read(decode(bytes)?)
    }

    /// The value of the whole file.
    #[must_use]
    pub fn value(&self) -> &Value {
        &self.value
    }

    /// The value at a path.
    #[must_use]
    pub fn get(&self, path: &Path) -> Option<&Value> {
        self.value.pointer(path.pointer())
    }

    /// Where a value stands; for a path that does not exist, where its nearest parent stands.
    #[must_use]
    pub fn position(&self, path: &Path) -> Position {
        let paths = std::iter::successors(Some(path.clone()), Path::parent);
        paths.into_iter().find_map(|p| self.values.get(&p).copied()).unwrap_or(Position::START)
    }

    /// Where the key of a value stands.
    #[must_use]
    pub fn key_position(&self, path: &Path) -> Position {
        self.keys.get(path).copied().unwrap_or_else(|| self.position(path))
    }

    /// A problem with the value at a path.
    #[must_use]
    pub fn problem(&self, code: Code, path: &Path, message: impl Into<String>, help: impl Into<String>) -> Problem {
        Problem::new(code, path, self.position(path), message, help)
    }
}

/// The bytes of a file as text.
///
/// # Errors
/// When they are too many or not UTF-8.
pub fn decode(bytes: &[u8]) -> Result<&str, Problems> {
    check_size(bytes.len() as u64)?;
    std::str::from_utf8(bytes).map_err(|error| {
        let good = String::from_utf8_lossy(&bytes[..error.valid_up_to()]);
        let at = Lines::of(&good).position(good.len());
        let message = "the file is not text in UTF-8";
        Problem::new(Code::NotText, Path::root(), at, message, "save it as plain text in UTF-8").into()
    })
}

/// Whether a file of this many bytes may be read at all; ask before reading it.
///
/// # Errors
/// When it is larger than [`MAX_BYTES`].
pub fn check_size(bytes: u64) -> Result<(), Problems> {
    if bytes <= MAX_BYTES as u64 {
        return Ok(());
    }
    let message = format!("the file has more than the {MAX_BYTES} bytes that are allowed");
    let help = "give the scenario itself, with the spans near the machine";
    Err(Problem::new(Code::TooLarge, Path::root(), Position::START, message, help).into())
}

fn too_much(excess: &depth::Excess, lines: &Lines<'_>) -> Problems {
    let (code, offset, message, help) = match *excess {
        depth::Excess::Depth { offset } => {
            let message = format!("lists and objects are nested deeper than {MAX_DEPTH} levels");
            (Code::TooDeep, offset, message, "close the brackets that are still open before this place")
        }
        depth::Excess::Values { offset } => {
            let message = format!("the file has more than {MAX_VALUES} values");
            (Code::TooLarge, offset, message, "give the scenario itself, with the spans near the machine")
        }
    };
    Problem::new(code, Path::root(), lines.position(offset), message, help).into()
}

fn strict() -> ParseOptions {
    ParseOptions {
        allow_comments: true,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    }
}

fn syntax(error: &jsonc_parser::errors::ParseError, lines: &Lines<'_>) -> Problems {
    let at = lines.position(error.range().start);
    let kind = error.kind().to_string();
    let mut words = kind.chars();
    let lower: String = words.next().into_iter().flat_map(char::to_lowercase).chain(words).collect();
    let message = format!("this is not JSON: {lower}");
    let help = "look here and just before for a missing or extra comma, quote or bracket, or a file cut short";
    Problem::new(Code::Syntax, Path::root(), at, message, help).into()
}

fn empty(lines: &Lines<'_>) -> Problems {
    let help = "write an object { ... }; `wideberth new` gives a start";
    Problem::new(Code::Syntax, Path::root(), lines.position(0), "the file holds no value", help).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refusal(text: &str) -> (Code, usize, usize) {
        let problems = Source::read(text).expect_err("must be refused");
        let first = problems.iter().next().expect("at least one");
        (first.code, first.line, first.column)
    }

    #[test]
    fn knows_where_values_and_keys_stand() {
        let source = Source::read("// début\n{\n  \"é\": [1,\n   \"x\"]\n}").expect("valid");
        let item = Path::root().key("é").index(1);
        assert_eq!(source.position(&item), Position { line: 4, column: 4 });
        assert_eq!(source.key_position(&Path::root().key("é")), Position { line: 3, column: 3 });
        assert_eq!(source.position(&item.key("none")), Position { line: 4, column: 4 });
    }

    #[test]
    fn refuses_what_is_not_strict_json_with_comments() {
        assert_eq!(refusal("{\"a\": 1").0, Code::Syntax);
        assert_eq!(refusal("{\"a\": 1,}").0, Code::Syntax);
        assert_eq!(refusal("{\"a\": 1}\n{}"), (Code::Syntax, 2, 1));
        assert_eq!(refusal("{'a': 1}").0, Code::Syntax);
        assert_eq!(refusal("{\"a\": NaN}").0, Code::Syntax);
        assert_eq!(refusal("").0, Code::Syntax);
        assert_eq!(refusal("// only a comment\n").0, Code::Syntax);
        assert_eq!(refusal("{\"a\": 1,\n \"a\": 2}"), (Code::DuplicateKey, 2, 2));
        assert_eq!(refusal("{\"a\": 1e999}"), (Code::NotFinite, 1, 7));
    }

    #[test]
    fn refuses_depth_and_size_before_parsing() {
        assert_eq!(refusal(&"[".repeat(1_000_000)), (Code::TooDeep, 1, MAX_DEPTH + 1));
        assert_eq!(refusal(&"{\"a\":".repeat(100_000)).0, Code::TooDeep);
        assert_eq!(refusal(&" ".repeat(MAX_BYTES + 1)).0, Code::TooLarge);
        assert_eq!(refusal(&format!("[{}0]", "0,".repeat(MAX_VALUES))).0, Code::TooLarge);
        let keys: String = (0..=MAX_KEYS).map(|key| format!("\"{key}\": 0,")).collect();
        assert_eq!(refusal(&format!("{{\"a\": {{{keys}\"z\": 0}}}}")), (Code::TooLarge, 1, 7));
        assert!(Source::read("{\"a\": \"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[\\\"\"} // [[[[").is_ok());
    }

    #[test]
    fn refuses_bytes_that_are_no_text() {
        let problems = Source::read_bytes(b"{\n\xff}").expect_err("must be refused");
        let first = problems.iter().next().expect("at least one");
        assert_eq!((first.code, first.line, first.column), (Code::NotText, 2, 1));
    }
}
