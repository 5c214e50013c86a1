//! From the syntax tree to plain values and a map of positions.

use std::collections::HashMap;

use jsonc_parser::ast;
use jsonc_parser::common::Ranged;
use serde_json::{Map, Number, Value};

use super::lines::Lines;
use super::{MAX_KEYS, Source};
use crate::code::Code;
use crate::invisible::{is_invisible, named, plain};
use crate::path::Path;
use crate::problem::{Problem, Problems};

struct Builder<'l, 't> {
    lines: &'l Lines<'t>,
    source: Source,
    problems: Problems,
}

/// The source of a syntax tree, unless keys repeat or numbers are beyond representation.
pub(super) fn build(root: &ast::Value<'_>, lines: &Lines<'_>) -> Result<Source, Problems> {
    let source = Source { value: Value::Null, values: HashMap::new(), keys: HashMap::new() };
    let mut builder = Builder { lines, source, problems: Problems::none() };
    builder.source.value = builder.value(root, Path::root());
    builder.problems.into_result(builder.source)
}

impl Builder<'_, '_> {
    fn value(&mut self, node: &ast::Value<'_>, path: Path) -> Value {
        self.source.values.insert(path.clone(), self.lines.position(node.start()));
        match node {
            ast::Value::StringLit(text) => {
                self.seen(&text.value, &path, node.start());
                Value::String(text.value.to_string())
            }
            ast::Value::NumberLit(number) => self.number(number, &path),
            ast::Value::BooleanLit(boolean) => Value::Bool(boolean.value),
            ast::Value::NullKeyword(_) => Value::Null,
            ast::Value::Object(object) => self.object(object, &path),
            ast::Value::Array(array) => Value::Array(
                array.elements.iter().enumerate().map(|(i, item)| self.value(item, path.index(i))).collect(),
            ),
        }
    }

    fn object(&mut self, object: &ast::Object<'_>, path: &Path) -> Value {
        let mut map = Map::new();
        let count = object.properties.len();
        if count > MAX_KEYS {
            let message = format!("this object has {count} keys, more than the {MAX_KEYS} that any may have");
            let help = "give the scenario itself, with the spans near the machine";
            let at = self.lines.position(object.start());
            self.problems.add(Problem::new(Code::TooLarge, path, at, message, help));
            return Value::Object(map);
        }
        for property in &object.properties {
            let key = property.name.as_str();
            let here = path.key(key);
            let at = self.lines.position(property.start());
            self.seen(key, &here, property.start());
            if map.contains_key(key) {
                let message = format!("the key \"{key}\" stands twice in this object");
                self.problems.add(Problem::new(Code::DuplicateKey, &here, at, message, "keep one of the two"));
                continue;
            }
            self.source.keys.insert(here.clone(), at);
            map.insert(key.to_string(), self.value(&property.value, here));
        }
        Value::Object(map)
    }

    /// Refuses a text with a character that nobody sees.
    fn seen(&mut self, text: &str, path: &Path, start: usize) {
        let Some((index, found)) = text.chars().enumerate().find(|(_, c)| is_invisible(*c)) else { return };
        let at = self.lines.position(start);
        let message = format!("character {} of this text is {}, which nobody sees", index + 1, named(found));
        let help = "write the text again without it";
        self.problems.add(Problem::new(Code::Invisible, plain(&path.to_string()), at, message, help));
    }

    fn number(&mut self, number: &ast::NumberLit<'_>, path: &Path) -> Value {
        let integer = number.value.parse::<i64>().ok().map(Number::from);
        let finite = || number.value.parse::<f64>().ok().and_then(Number::from_f64);
        integer.or_else(finite).map_or_else(
            || {
                let at = self.lines.position(number.start());
                let message = format!("{} is too large for a number", digits(number.value));
                self.problems.add(Problem::new(Code::NotFinite, path, at, message, "correct the number"));
                Value::Null
            },
            Value::Number,
        )
    }
}

/// The beginning of a number, which may have millions of digits.
fn digits(number: &str) -> String {
    const SHOWN: usize = 24;
    match number.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{}... ({} characters)", &number[..end], number.chars().count()),
        None => number.into(),
    }
}
