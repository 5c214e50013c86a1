//! Characters that nobody sees: they move the cursor, turn the direction of writing, or make two names look alike.

use unicode_general_category::{GeneralCategory, get_general_category};
use unicode_normalization::UnicodeNormalization;

/// Whether a character has no look of its own: control and format characters, line and paragraph separators, fillers and selectors.
#[must_use]
pub fn is_invisible(c: char) -> bool {
    // Letters and marks of Unicode's Default_Ignorable_Code_Point.
    let ignorable = matches!(c,
        '\u{34f}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}'
            | '\u{ffa0}' | '\u{e0100}'..='\u{e01ef}');
    !c.is_ascii_graphic()
        && c != ' '
        && (ignorable
            || matches!(
                get_general_category(c),
                GeneralCategory::Control
                    | GeneralCategory::Format
                    | GeneralCategory::LineSeparator
                    | GeneralCategory::ParagraphSeparator
            ))
}

/// A character by its number, as JSON writes it.
#[must_use]
pub fn escaped(c: char) -> String {
    c.encode_utf16(&mut [0; 2]).iter().map(|unit| format!("\\u{unit:04x}")).collect()
}

/// A character by its number, as people look it up.
#[must_use]
pub fn named(c: char) -> String {
    format!("U+{:04X}", u32::from(c))
}

/// A text in which what nobody sees stands by its number.
#[must_use]
pub fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        if is_invisible(c) { plain.push_str(&escaped(c)) } else { plain.push(c) }
    }
    plain
}

/// What a name looks like: without differences of form, case and room, so that two names that people take for one are one.
#[must_use]
pub fn looks(name: &str) -> String {
    let seen: String = name.nfkc().filter(|c| !is_invisible(*c)).flat_map(char::to_lowercase).nfkc().collect();
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_nobody_sees_is_known() {
        for c in [
            '\0',
            '\u{1b}',
            '\r',
            '\n',
            '\u{7f}',
            '\u{9b}',
            '\u{ad}',
            '\u{200b}',
            '\u{202e}',
            '\u{2066}',
            '\u{feff}',
            '\u{3164}',
            '\u{e0041}',
        ] {
            assert!(is_invisible(c), "{c:?}");
        }
        for c in ['a', ' ', 'é', '中', '"', '\u{301}', '°', '²'] {
            assert!(!is_invisible(c), "{c:?}");
        }
    }

    #[test]
    fn names_that_look_alike_are_one() {
        for (a, b) in [
            ("phase", "Phase"),
            ("ﬁeld", "field"),
            ("line  1", "line 1 "),
            ("é", "e\u{301}"),
            ("ａ", "a"),
            ("a\u{200b}", "a"),
        ] {
            assert_eq!(looks(a), looks(b));
        }
        assert_ne!(looks("left"), looks("right"));
    }
}
