//! Reading one value of the tree: each reader returns nothing and notes a problem when the value does not fit.

use std::cell::RefCell;

use super::json::Json;
use crate::error::{Fault, Problem};
use crate::nearest::nearest;
use crate::quantity::{PrintedLength, parse_length, parse_voltage_kv};

/// Collects problems while a file is read.
#[derive(Default)]
pub(super) struct Problems(RefCell<Vec<Problem>>);

impl Problems {
    pub(super) fn note(&self, path: &str, fault: impl Into<Fault>) {
        self.0.borrow_mut().push(Problem { path: path.into(), fault: fault.into() });
    }

    /// How many there are so far.
    pub(super) fn count(&self) -> usize {
        self.0.borrow().len()
    }

    pub(super) fn into_vec(self) -> Vec<Problem> {
        self.0.into_inner()
    }
}

/// A value and where it stands.
pub(super) struct Node<'a> {
    pub(super) json: &'a Json,
    pub(super) path: String,
    pub(super) problems: &'a Problems,
}

/// The fields of an object.
pub(super) struct Fields<'a> {
    fields: &'a [(String, Json)],
    pub(super) path: String,
    pub(super) problems: &'a Problems,
}

impl<'a> Node<'a> {
    fn wrong<T>(&self, wanted: &'static str) -> Option<T> {
        self.problems.note(&self.path, Fault::WrongKind { wanted, found: self.json.kind() });
        None
    }

    fn fault<T>(&self, fault: impl Into<Fault>) -> Option<T> {
        self.problems.note(&self.path, fault);
        None
    }

    pub(super) fn text(&self) -> Option<&'a str> {
        match self.json {
            Json::Text(text) if text.trim().is_empty() => self.fault(Fault::Empty),
            Json::Text(text) => Some(text),
            _ => self.wrong("a text"),
        }
    }

    pub(super) fn owned(&self) -> Option<String> {
        self.text().map(str::to_string)
    }

    pub(super) fn length(&self) -> Option<PrintedLength> {
        match self.json {
            Json::Text(text) => parse_length(text).map_or_else(|error| self.fault(error), Some),
            _ => self.wrong("a text with a unit, such as \"3.5 m\""),
        }
    }

    pub(super) fn voltage_kv(&self) -> Option<f64> {
        match self.json {
            Json::Text(text) => parse_voltage_kv(text).map_or_else(|error| self.fault(error), Some),
            _ => self.wrong("a text with a unit, such as \"50 kV\""),
        }
    }

    pub(super) fn factor(&self) -> Option<f64> {
        match self.json {
            Json::Number(value) if (0.1..=10.0).contains(value) => Some(*value),
            Json::Number(value) => self.fault(Fault::OutOfRange { value: *value, range: "0.1 to 10" }),
            _ => self.wrong("a number"),
        }
    }

    pub(super) fn flag(&self) -> Option<bool> {
        match self.json {
            Json::Bool(value) => Some(*value),
            _ => self.wrong("true or false"),
        }
    }

    /// One of a closed list of words.
    pub(super) fn word<T: Copy>(&self, all: &[T], words: fn(T) -> &'static str) -> Option<T> {
        let found = self.text()?;
        let known: Vec<&'static str> = all.iter().map(|value| words(*value)).collect();
        let hit = all.iter().copied().find(|value| words(*value) == found);
        let nearest = nearest(found, known.iter().copied());
        hit.or_else(|| self.fault(Fault::UnknownWord { found: found.into(), known, nearest }))
    }

    /// A list, each item read by `read`; items that do not fit are left out and noted.
    pub(super) fn list<T>(&self, read: impl Fn(Node<'a>) -> Option<T>) -> Option<Vec<T>> {
        let Json::List(items) = self.json else {
            return self.wrong("a list");
        };
        let node = |(i, json)| Node { json, path: format!("{}[{i}]", self.path), problems: self.problems };
        Some(items.iter().enumerate().map(node).filter_map(read).collect())
    }

    /// An object whose keys are all among `known` and stand once.
    pub(super) fn object(&self, known: &[&'static str]) -> Option<Fields<'a>> {
        let Json::Object(fields) = self.json else {
            return self.wrong("an object");
        };
        for (i, (key, _)) in fields.iter().enumerate() {
            if fields[..i].iter().any(|(earlier, _)| earlier == key) {
                self.problems.note(&self.path, Fault::TwiceKey { key: key.clone() });
            }
            if !known.contains(&key.as_str()) {
                let nearest = nearest(key, known.iter().copied());
                self.problems.note(&self.path, Fault::UnknownKey { key: key.clone(), nearest });
            }
        }
        Some(Fields { fields, path: self.path.clone(), problems: self.problems })
    }
}

impl<'a> Fields<'a> {
    /// The value of a key that may be absent.
    pub(super) fn optional(&self, key: &str) -> Option<Node<'a>> {
        let (_, json) = self.fields.iter().find(|(name, _)| name == key)?;
        Some(Node { json, path: format!("{}.{key}", self.path), problems: self.problems })
    }

    /// The value of a key that must be there.
    pub(super) fn required(&self, key: &'static str) -> Option<Node<'a>> {
        self.optional(key).or_else(|| {
            self.problems.note(&self.path, Fault::Missing { key });
            None
        })
    }

    /// A required text.
    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        self.required(key)?.owned()
    }

    /// A list that may be absent; then it is empty.
    pub(super) fn list<T>(&self, key: &str, read: impl Fn(Node<'a>) -> Option<T>) -> Option<Vec<T>> {
        self.optional(key).map_or_else(|| Some(Vec::new()), |node| node.list(read))
    }
}
