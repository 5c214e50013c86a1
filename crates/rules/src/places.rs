//! Places by name, with or without a table of their own, and what the parts of a country take.
//!
//! The names are data (`assets/rules/places.json`).

use std::sync::LazyLock;

use serde::Deserialize;

use crate::book::same;

/// The name that stands for any place that is not known.
pub(crate) const ELSEWHERE: &str = "elsewhere";

/// What a part of a country takes that has no table of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub(crate) enum PartsTake {
    /// The country's own law.
    #[serde(rename = "law above")]
    LawAbove,
    /// The largest distance known in the country, since each part has its own law.
    #[serde(rename = "largest of the country")]
    LargestOfCountry,
}

/// A country with its parts, as far as the program must know them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Country {
    pub(crate) name: String,
    #[serde(default)]
    pub(crate) parts: Vec<String>,
    #[serde(default)]
    pub(crate) parts_take: Option<PartsTake>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: String,
    version: u32,
    #[serde(rename = "note")]
    _note: String,
    countries: Vec<Country>,
}

/// Every country.
///
/// # Panics
/// Never in a tested build: the embedded file does not depend on any input, and a test reads it.
pub(crate) fn countries() -> &'static [Country] {
    static READ: LazyLock<Vec<Country>> = LazyLock::new(|| {
        let text = include_str!("../../../assets/rules/places.json");
        let file: File = serde_json::from_str(text).unwrap_or_else(|error| panic!("assets/rules/places.json: {error}"));
        assert_eq!((file.format.as_str(), file.version), ("wideberth-places", 1), "assets/rules/places.json");
        file.countries
    });
    &READ
}

/// The country that a name is, or is a part of.
pub(crate) fn country_of(name: &str) -> Option<&'static Country> {
    countries().iter().find(|country| same(&country.name, name) || country.parts.iter().any(|part| same(part, name)))
}

/// Every name, of countries and of their parts.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    let of = |country: &'static Country| std::iter::once(&country.name).chain(&country.parts);
    countries().iter().flat_map(of).map(String::as_str).chain(std::iter::once(ELSEWHERE))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_each_once_and_parts_know_their_country() {
        let mut all: Vec<&str> = names().collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        // Georgia is listed as the state, which has a table; whoever means the country says "elsewhere".
        assert_eq!(count, all.len(), "a name stands twice");
        assert_eq!(country_of("minnesota").map(|country| country.name.as_str()), Some("United States"));
        assert_eq!(country_of("Nunavut").and_then(|country| country.parts_take), Some(PartsTake::LargestOfCountry));
        assert!(country_of("Atlantis").is_none());
    }
}
