//! The rule book: the embedded tables and the user's own.

use std::collections::HashSet;
use std::sync::LazyLock;

use crate::error::{Fault, LimitError, Problem, TableErrors};
use crate::model::RuleSet;
use crate::nearest::nearest;
use crate::places;
use crate::read;
use crate::words::Origin;

/// A file of tables, as it stands in `assets/rules`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TableFile {
    /// File name.
    pub name: &'static str,
    /// Its JSON text.
    pub json: &'static str,
}

macro_rules! table_file {
    ($name:literal) => {
        TableFile { name: $name, json: include_str!(concat!("../../../assets/rules/", $name)) }
    };
}

const EMBEDDED: &[TableFile] = &[
    table_file!("united-states.json"),
    table_file!("canada.json"),
    table_file!("great-britain.json"),
    table_file!("european-union.json"),
    table_file!("australia.json"),
    table_file!("new-zealand.json"),
    table_file!("south-africa.json"),
];

/// All rule sets that can be asked.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleBook {
    rule_sets: Vec<RuleSet>,
}

impl RuleBook {
    /// The tables delivered with the program.
    ///
    /// # Panics
    /// Never in a tested build: the embedded files do not depend on any input, and a test reads them all.
    pub fn embedded() -> Self {
        static READ: LazyLock<RuleBook> = LazyLock::new(|| {
            let empty = RuleBook { rule_sets: Vec::new() };
            EMBEDDED.iter().fold(empty, |book, file| {
                book.with_tables(file.json, Origin::Embedded)
                    .unwrap_or_else(|errors| panic!("assets/rules/{}: {errors}", file.name))
            })
        });
        READ.clone()
    }

    /// The files that [`RuleBook::embedded`] reads.
    pub fn embedded_files() -> &'static [TableFile] {
        EMBEDDED
    }

    /// This book with the user's own tables added, in the same format.
    ///
    /// # Errors
    /// When the text is not JSON, or with every problem of the tables and its JSON path. The book is then unchanged.
    pub fn with_user_tables(self, json: &str) -> Result<Self, TableErrors> {
        self.with_tables(json, Origin::User)
    }

    fn with_tables(mut self, json: &str, origin: Origin) -> Result<Self, TableErrors> {
        let (added, mut problems) = read::rule_sets(json, origin)?;
        problems.extend(self.clashes(&added));
        if !problems.is_empty() {
            return Err(TableErrors::Problems(problems));
        }
        self.rule_sets.extend(added.into_iter().map(|(_, rule)| rule));
        Ok(self)
    }

    fn clashes(&self, added: &[(String, RuleSet)]) -> Vec<Problem> {
        let known: Vec<&str> = self.ids().chain(added.iter().map(|(_, rule)| rule.id.as_str())).collect();
        let mut used: HashSet<String> = self.ids().map(str::to_lowercase).collect();
        let mut problems = Vec::new();
        for (path, rule) in added {
            if !used.insert(rule.id.to_lowercase()) || self.is_place(&rule.id) {
                problems.push(Problem { path: format!("{path}.id"), fault: Fault::UsedId { id: rule.id.clone() } });
            }
            let missing = rule.instead.as_ref().filter(|id| !known.contains(&id.as_str()));
            problems.extend(missing.map(|id| {
                let fault = Fault::NoSuchRule { id: id.clone(), nearest: nearest(id, known.iter().copied()) };
                Problem { path: format!("{path}.instead"), fault }
            }));
        }
        problems
    }

    /// Every rule set, embedded ones first.
    pub fn rule_sets(&self) -> &[RuleSet] {
        &self.rule_sets
    }

    /// Every id.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.rule_sets.iter().map(|rule| rule.id.as_str())
    }

    /// Every name of a place, larger places and other names included, each once and sorted.
    pub fn places(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.rule_sets.iter().flat_map(place_names).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The rule set with this id, ignoring case.
    ///
    /// # Errors
    /// [`LimitError::UnknownName`] with the nearest ids and places.
    pub fn rule_set(&self, id: &str) -> Result<&RuleSet, LimitError> {
        self.by_id(id).ok_or_else(|| self.unknown_name(id))
    }

    pub(crate) fn by_id(&self, id: &str) -> Option<&RuleSet> {
        self.rule_sets.iter().find(|rule| same(&rule.id, id))
    }

    pub(crate) fn is_place(&self, name: &str) -> bool {
        self.rule_sets.iter().flat_map(place_names).any(|place| same(place, name))
    }

    pub(crate) fn unknown_name(&self, name: &str) -> LimitError {
        LimitError::UnknownName { name: name.into(), nearest: self.nearest_names(name) }
    }

    /// Known ids and places with a name like this one.
    pub(crate) fn nearest_names(&self, name: &str) -> Vec<String> {
        nearest(
            name,
            self.ids()
                .chain(self.rule_sets.iter().flat_map(place_names))
                .chain(places::names().map(|name| -> &str { name })),
        )
    }
}

fn place_names(rule: &RuleSet) -> impl Iterator<Item = &str> {
    std::iter::once(&rule.place).chain(&rule.place_also).chain(&rule.within).map(String::as_str)
}

/// Whether two names are the same, ignoring case.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.to_lowercase() == b.trim().to_lowercase()
}
