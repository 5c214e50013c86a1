//! The nearest known names to a mistyped one.

/// Up to three names within a third of the length of `text`, nearest first, ignoring case.
pub(crate) fn nearest<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let wanted = text.to_lowercase();
    let reach = (wanted.chars().count() / 3).max(2);
    let mut near: Vec<(usize, &str)> =
        names.map(|name| (strsim::levenshtein(&wanted, &name.to_lowercase()), name)).collect();
    near.retain(|(edits, _)| *edits <= reach);
    near.sort();
    near.dedup();
    near.into_iter().take(3).map(|(_, name)| name.to_string()).collect()
}

/// " (did you mean …?)" or nothing.
pub(crate) fn hint(near: &[String]) -> String {
    match near {
        [] => String::new(),
        _ => format!("; did you mean {}?", near.join(" or ")),
    }
}
