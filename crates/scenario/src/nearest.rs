//! The known name that a mistyped one most likely means; for messages only, never used instead of it.

/// Below this similarity (Jaro-Winkler, 0..1) a name is no plausible misspelling of another.
const LEAST_SIMILARITY: f64 = 0.75;

/// The known name that comes nearest to `wanted`, ignoring case; none when nothing comes near.
#[must_use]
pub fn nearest<'a>(wanted: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted = wanted.to_lowercase();
    known
        .into_iter()
        .map(|name| (strsim::jaro_winkler(&name.to_lowercase(), &wanted), name))
        .filter(|(similarity, _)| *similarity >= LEAST_SIMILARITY)
        .reduce(|best, next| if next.0 > best.0 { next } else { best })
        .map(|(_, name)| name)
}

/// "did you mean "…"?" where something comes near, or else the list of what is known.
#[must_use]
pub fn suggestion<'a>(wanted: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(wanted, known.clone()) {
        Some(name) => format!("did you mean \"{name}\"?"),
        None => format!("known here: {}", list(known)),
    }
}

/// Names in quotes, separated by commas; a long list is cut short with a count.
#[must_use]
pub fn list<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    const SHOWN: usize = 24;
    let names: Vec<_> = names.into_iter().map(|name| format!("\"{name}\"")).collect();
    match names.len() {
        0 => "none".into(),
        n if n <= SHOWN => names.join(", "),
        n => format!("{} and {} more", names[..SHOWN].join(", "), n - SHOWN),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_misspelling_and_nothing_far_off() {
        assert_eq!(nearest("wies", ["wires", "supports"]), Some("wires"));
        assert_eq!(nearest("Ontaro", ["Ohio", "Ontario"]), Some("Ontario"));
        assert_eq!(nearest("zzz", ["wires", "supports"]), None);
    }
}
