//! Offsets from universal time.

use jiff::tz::Offset;

/// The offset that a text such as `UTC-05:00`, `-05:00` or `UTC` means.
///
/// A name of a zone is refused: it would need a table of clock changes, and a day's plan needs one offset.
///
/// # Errors
/// What is wrong with the text, in words.
pub fn offset(text: &str) -> Result<Offset, String> {
    let wrong = || format!("\"{text}\" is not an offset from universal time such as \"UTC-05:00\"");
    let digits = text.trim().trim_start_matches("UTC").trim();
    if digits.is_empty() && text.trim() == "UTC" {
        return Ok(Offset::UTC);
    }
    let (sign, digits) = match digits.split_at_checked(1) {
        Some(("+", rest)) => (1, rest),
        Some(("-", rest)) => (-1, rest),
        _ => return Err(wrong()),
    };
    let (hours, minutes) = digits.split_once(':').unwrap_or((digits, "0"));
    let number = |part: &str| part.parse::<i32>().ok().filter(|_| part.bytes().all(|b| b.is_ascii_digit()));
    match (number(hours), number(minutes)) {
        (Some(hours @ 0..=14), Some(minutes @ 0..=59)) => {
            Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).map_err(|_| wrong())
        }
        _ => Err(wrong()),
    }
}

/// An offset as files write it.
#[must_use]
pub fn offset_words(offset: Offset) -> String {
    let minutes = offset.seconds() / 60;
    let sign = if minutes < 0 { '-' } else { '+' };
    format!("UTC{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offsets_are_read_and_written() {
        for (text, hours) in [("UTC-05:00", -5.0), ("+5:30", 5.5), ("UTC", 0.0), ("UTC+1", 1.0)] {
            let read = offset(text).expect(text);
            assert!((f64::from(read.seconds()) / 3600.0 - hours).abs() < 1e-12, "{text}");
            assert_eq!(offset(&offset_words(read)), Ok(read));
        }
        for text in ["", "5", "EST", "America/Toronto", "UTC-25:00", "UTC-05:75", "-+5", "UTC--5"] {
            assert!(offset(text).is_err(), "{text}");
        }
    }
}
