//! The nearest known names to a mistyped one.

/// Up to three names within a third of the length of `text`, nearest first, ignoring case.
pub(crate) fn nearest<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let wanted = text.to_lowercase();
    let reach = (wanted.chars().count() / 3).max(2);
    let mut near: Vec<(usize, &str)> = names.map(|name| (edits(&wanted, &name.to_lowercase()), name)).collect();
    near.retain(|(edits, _)| *edits <= reach);
    near.sort();
    near.dedup();
    near.into_iter().take(3).map(|(_, name)| name.to_string()).collect()
}

/// Insertions, deletions and replacements that turn one text into the other (Levenshtein, 1966).
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

/// " (did you mean …?)" or nothing.
pub(crate) fn hint(near: &[String]) -> String {
    match near {
        [] => String::new(),
        _ => format!("; did you mean {}?", near.join(" or ")),
    }
}
