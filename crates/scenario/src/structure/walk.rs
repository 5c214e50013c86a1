//! One walk over a value and the schema that it should follow.

use schemars::Schema;
use serde_json::{Map, Value};

use super::quantities;
use crate::bounds;
use crate::code::Code;
use crate::nearest::{list, suggestion};
use crate::path::Path;
use crate::problem::{Problem, Problems};
use crate::source::Source;

/// Most keys for each of which the nearest known one is looked for.
const MOST_SUGGESTIONS: usize = 50;

struct Walk<'a> {
    source: &'a Source,
    root: &'a Value,
    problems: Problems,
}

/// Everything in which a value departs from a schema.
pub(super) fn compare(source: &Source, at: &Path, value: &Value, schema: &Schema) -> Problems {
    let mut walk = Walk { source, root: schema.as_value(), problems: Problems::none() };
    walk.value(at, value, schema.as_value());
    walk.problems
}

/// What a value is, in words.
pub(super) fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

fn type_words(name: &str) -> &'static str {
    match name {
        "string" => "a text",
        "array" => "a list",
        "object" => "an object",
        "integer" => "a whole number",
        "number" => "a number",
        "boolean" => "true or false",
        _ => "another value",
    }
}

impl<'a> Walk<'a> {
    fn add(&mut self, code: Code, at: &Path, message: String, help: impl Into<String>) {
        self.problems.add(self.source.problem(code, at, message, help));
    }

    /// The schema itself, or the one that it refers to.
    fn resolve(&self, schema: &'a Value) -> &'a Value {
        let target = schema.get("$ref").and_then(Value::as_str).and_then(|r| r.strip_prefix('#'));
        target.and_then(|pointer| self.root.pointer(pointer)).unwrap_or(schema)
    }

    fn value(&mut self, at: &Path, value: &Value, schema: &'a Value) {
        let schema = self.resolve(schema);
        if let Some(kinds) = quantities::kinds(schema) {
            let range = schema.get("x-range").is_some();
            return quantities::check(self.source, at, value, &kinds, range, &mut self.problems);
        }
        if let Some(bound) = schema.get("x-number").and_then(Value::as_str).and_then(bounds::find) {
            return quantities::check_number(self.source, at, value, bound, &mut self.problems);
        }
        if let Some(words) = self.words(schema) {
            return self.word(at, value, &words);
        }
        if let Some(branches) = branches(schema) {
            return self.branch(at, value, branches);
        }
        let Some(wanted) = schema.get("type").and_then(Value::as_str) else { return };
        match (wanted, value) {
            ("object", Value::Object(object)) => self.object(at, object, schema),
            ("array", Value::Array(items)) => self.list(at, items, schema),
            ("string", Value::String(text)) => self.text(at, text, schema),
            ("integer", Value::Number(_)) => self.integer(at, value, schema),
            ("number", Value::Number(_)) | ("boolean", Value::Bool(_)) => {}
            _ => self.wrong_type(at, value, &[type_words(wanted)]),
        }
    }

    fn wrong_type(&mut self, at: &Path, value: &Value, wanted: &[&str]) {
        let wanted = wanted.join(" or ");
        let message = format!("{} stands where {wanted} belongs", kind(value));
        let help = if value.is_null() {
            "leave the key out where there is no value".into()
        } else {
            format!("write {wanted}")
        };
        self.add(Code::WrongType, at, message, help);
    }

    /// The words that alone may stand here; none when other values may too.
    fn words(&self, schema: &'a Value) -> Option<Vec<&'a str>> {
        if let Some(word) = schema.get("const").and_then(Value::as_str) {
            return Some(vec![word]);
        }
        if let Some(words) = schema.get("enum").and_then(Value::as_array) {
            return words.iter().map(Value::as_str).collect();
        }
        let parts: Option<Vec<_>> = branches(schema)?.iter().map(|branch| self.words(self.resolve(branch))).collect();
        parts.map(|parts| parts.concat())
    }

    fn word(&mut self, at: &Path, value: &Value, words: &[&str]) {
        let Some(text) = value.as_str() else {
            let message =
                format!("{} stands where one of these words belongs: {}", kind(value), list(words.iter().copied()));
            return self.add(Code::WrongType, at, message, "write one of them in quotes");
        };
        if !words.contains(&text) {
            let message = format!("\"{text}\" is not one of {}", list(words.iter().copied()));
            self.add(Code::UnknownWord, at, message, suggestion(text, words.iter().copied()));
        }
    }

    /// Chooses the alternative that the value is most likely meant to be, and compares with that.
    fn branch(&mut self, at: &Path, value: &Value, branches: &'a [Value]) {
        let branches: Vec<_> = branches.iter().map(|branch| self.resolve(branch)).collect();
        let chosen = match value {
            Value::String(text) => return self.text_branch(at, value, text, &branches),
            Value::Object(object) => {
                let objects = branches.iter().filter(|b| has_type(b, "object"));
                objects.max_by_key(|b| known_keys(object, b))
            }
            Value::Array(_) => branches.iter().find(|b| has_type(b, "array") || b.get("x-range").is_some()),
            Value::Number(_) => branches.iter().find(|b| has_type(b, "number") || b.get("x-quantity").is_some()),
            Value::Bool(_) => branches.iter().find(|b| has_type(b, "boolean")),
            Value::Null => None,
        };
        match chosen {
            Some(branch) => self.value(at, value, branch),
            None => {
                let wanted: Vec<String> = branches.iter().map(|b| self.describe(b)).collect();
                self.wrong_type(at, value, &wanted.iter().map(String::as_str).collect::<Vec<_>>());
            }
        }
    }

    fn text_branch(&mut self, at: &Path, value: &Value, text: &str, branches: &[&'a Value]) {
        let words: Vec<&str> = branches.iter().filter_map(|b| self.words(b)).flatten().collect();
        if words.contains(&text) {
            return;
        }
        let plain = branches.iter().find(|b| b.get("x-number").is_some());
        if let Some(branch) = plain.filter(|_| text.trim().parse::<f64>().is_ok()) {
            return self.value(at, value, branch);
        }
        let free = branches
            .iter()
            .find(|b| b.get("x-quantity").is_some() || (has_type(b, "string") && self.words(b).is_none()));
        match free {
            Some(branch) => self.value(at, value, branch),
            None if words.is_empty() => {
                let wanted: Vec<String> = branches.iter().map(|b| self.describe(b)).collect();
                self.wrong_type(at, value, &wanted.iter().map(String::as_str).collect::<Vec<_>>());
            }
            None => self.word(at, value, &words),
        }
    }

    fn describe(&self, schema: &'a Value) -> String {
        match (self.words(schema), schema.get("type").and_then(Value::as_str)) {
            (Some(words), _) => list(words),
            (None, Some(name)) => type_words(name).into(),
            (None, None) if schema.get("x-quantity").is_some() => "a quantity".into(),
            (None, None) => "another value".into(),
        }
    }

    fn object(&mut self, at: &Path, object: &Map<String, Value>, schema: &'a Value) {
        let properties = schema.get("properties").and_then(Value::as_object);
        let others = schema.get("additionalProperties").or_else(|| schema.get("unevaluatedProperties"));
        for (key, value) in object {
            let here = at.key(key);
            match (properties.and_then(|p| p.get(key)), others) {
                (Some(wanted), _) => self.value(&here, value, wanted),
                (None, Some(wanted @ Value::Object(_))) => self.value(&here, value, wanted),
                (None, Some(Value::Bool(false))) => self.unknown_key(&here, key, properties),
                (None, _) => {}
            }
        }
        self.missing_keys(at, object, schema);
        self.one_of(at, object, schema);
    }

    fn unknown_key(&mut self, at: &Path, key: &str, known: Option<&Map<String, Value>>) {
        let known: Vec<&str> = known.into_iter().flat_map(Map::keys).map(String::as_str).collect();
        let message = format!("there is no key \"{key}\" here");
        let position = self.source.key_position(at);
        // Of so many, nobody reads what each may have meant.
        let help = if self.problems.len() < MOST_SUGGESTIONS { suggestion(key, known) } else { String::new() };
        self.problems.add(Problem::new(Code::UnknownKey, at, position, message, help));
    }

    fn missing_keys(&mut self, at: &Path, object: &Map<String, Value>, schema: &'a Value) {
        let required = schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str);
        for key in required.filter(|key| !object.contains_key(*key)) {
            let words = schema.get("properties").and_then(|p| p.get(key)).and_then(|p| p.get("description"));
            let words = words.and_then(Value::as_str).and_then(|w| w.split(". ").next()).unwrap_or("it must be given");
            let message = format!("the key \"{key}\" is missing");
            self.add(Code::MissingKey, at, message, format!("add \"{key}\": {}", words.trim_end_matches('.')));
        }
    }

    /// Exactly one of the keys that the schema lists under "x-one-of".
    fn one_of(&mut self, at: &Path, object: &Map<String, Value>, schema: &'a Value) {
        let Some(choices) = schema.get("x-one-of").and_then(Value::as_array) else { return };
        let choices: Vec<&str> = choices.iter().filter_map(Value::as_str).collect();
        let given: Vec<&str> = choices.iter().copied().filter(|key| object.contains_key(*key)).collect();
        let message = match given.len() {
            1 => return,
            0 => format!("none of {} is given", list(choices)),
            _ => format!("{} are given together", list(given)),
        };
        self.add(Code::OneOf, at, message, "give exactly one of them");
    }

    fn list(&mut self, at: &Path, items: &[Value], schema: &'a Value) {
        let limit = |key| schema.get(key).and_then(Value::as_u64).and_then(|n| usize::try_from(n).ok());
        let (min, max) = (limit("minItems").unwrap_or(0), limit("maxItems").unwrap_or(usize::MAX));
        if items.is_empty() && min > 0 && max > min {
            self.add(Code::EmptyList, at, "the list is empty".into(), "give at least one entry");
        } else if items.len() < min || items.len() > max {
            let wanted = match (min, max) {
                (min, max) if min == max => format!("{min}"),
                (min, usize::MAX) => format!("at least {min}"),
                (min, max) => format!("{min} to {max}"),
            };
            let message = format!("{wanted} entries belong in this list, which has {}", items.len());
            self.add(Code::WrongLength, at, message, format!("give {wanted} entries"));
        }
        if let Some(wanted) = schema.get("items").filter(|_| items.len() <= max) {
            items.iter().enumerate().for_each(|(index, item)| self.value(&at.index(index), item, wanted));
        }
    }

    fn text(&mut self, at: &Path, text: &str, schema: &'a Value) {
        let limit = |key| schema.get(key).and_then(Value::as_u64);
        let length = text.trim().chars().count() as u64;
        if limit("minLength").is_some_and(|min| length < min) {
            self.add(Code::WrongText, at, "the text is empty".into(), "write what it is called or what it says");
        } else if let Some(max) = limit("maxLength").filter(|max| length > *max) {
            let message = format!("the text has {length} characters, more than {max}");
            self.add(Code::WrongText, at, message, "shorten it");
        }
    }

    fn integer(&mut self, at: &Path, value: &Value, schema: &'a Value) {
        let limit = |key| schema.get(key).and_then(Value::as_f64);
        let (min, max) = (limit("minimum").unwrap_or(f64::MIN), limit("maximum").unwrap_or(f64::MAX));
        match value.as_i64().map(|n| n as f64) {
            None => self.wrong_type(at, value, &["a whole number"]),
            Some(number) if (min..=max).contains(&number) => {}
            Some(number) => {
                let message = format!("{number} is outside the range of {min} to {max}");
                self.add(Code::OutOfRange, at, message, "check the number");
            }
        }
    }
}

fn branches(schema: &Value) -> Option<&Vec<Value>> {
    schema.get("anyOf").or_else(|| schema.get("oneOf")).and_then(Value::as_array)
}

fn has_type(schema: &Value, name: &str) -> bool {
    schema.get("type").and_then(Value::as_str) == Some(name)
}

/// How well the keys of an object fit an alternative: more known keys first, then fewer missing ones.
fn known_keys(object: &Map<String, Value>, schema: &Value) -> (usize, std::cmp::Reverse<usize>) {
    let known = |key: &str| schema.get("properties").is_some_and(|p| p.get(key).is_some());
    let required = schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str);
    let missing = required.filter(|key| !object.contains_key(*key)).count();
    (object.keys().filter(|key| known(key)).count(), std::cmp::Reverse(missing))
}
