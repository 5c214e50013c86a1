//! Tables as CSV text. A cell that a spreadsheet would run as a formula is preceded by an apostrophe, which spreadsheets take for "text".

/// The text of a table that was written.
///
/// # Errors
/// When it cannot be read again, which no table causes.
pub fn finish(writer: csv::Writer<Vec<u8>>) -> Result<String, csv::Error> {
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(&bytes[..]);
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for row in reader.records() {
        let row = row?;
        writer.write_record(row.iter().map(harmless))?;
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A cell that no spreadsheet runs. Numbers stay numbers.
#[must_use]
pub fn harmless(cell: &str) -> String {
    let runs = cell.trim_start().starts_with(['=', '+', '-', '@', '|', '%']) && cell.parse::<f64>().is_err();
    if runs { format!("'{cell}") } else { cell.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_become_texts_and_numbers_stay() {
        for (cell, wanted) in [
            ("=1+1", "'=1+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            (" =x", "' =x"),
            ("-2+3", "'-2+3"),
            ("-0.51", "-0.51"),
            ("+5", "+5"),
            ("tipper", "tipper"),
            ("", ""),
        ] {
            assert_eq!(harmless(cell), wanted);
        }
    }

    #[test]
    fn the_table_stays_a_table() {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(["name", "m"]).expect("written");
        writer.write_record(["=\"a\",b", "-1.5"]).expect("written");
        assert_eq!(finish(writer).expect("a table"), "name,m\n\"'=\"\"a\"\",b\",-1.5\n");
    }
}
