//! Tables as CSV (RFC 4180): commas, double quotes where needed, CRLF at the
//! end of every record, UTF-8, a header as first record.
//!
//! A cell that a spreadsheet would run as a formula gets an apostrophe in
//! front; a true number such as `-3.5` stays a number.

/// A table: a header and rows of as many cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Names of the columns.
    pub header: Vec<&'static str>,
    /// Rows.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// The table as CSV text.
    pub fn write(&self) -> Vec<u8> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .flexible(true)
            .from_writer(Vec::new());
        let written = writer.write_record(&self.header).and_then(|()| {
            self.rows.iter().try_for_each(|row| writer.write_record(row.iter().map(|cell| harmless(cell))))
        });
        written.expect("writing to memory does not fail");
        writer.into_inner().expect("writing to memory does not fail")
    }
}

/// What makes a spreadsheet take a cell for a formula (OWASP, "CSV Injection"); the
/// last four are the full-width forms.
const SIGNS: [char; 11] =
    ['=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// A cell that no spreadsheet runs: those that start with a sign of a formula
/// get an apostrophe in front.
fn harmless(cell: &str) -> String {
    let runs = cell.starts_with(SIGNS) && !is_number(cell);
    let cell = cell.replace('\0', "\u{FFFD}");
    if runs { format!("'{cell}") } else { cell }
}

/// `-3.5`: a sign, digits, perhaps a point and digits.
fn is_number(cell: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let amount = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    match amount.split_once('.') {
        Some((whole, rest)) => digits(whole) && digits(rest),
        None => digits(amount),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(rows: &[&[&str]]) -> String {
        let rows = rows.iter().map(|row| row.iter().map(|cell| (*cell).to_owned()).collect()).collect();
        String::from_utf8(Table { header: vec!["a", "b"], rows }.write()).unwrap()
    }

    /// RFC 4180, §2.1: each record on its own line, delimited by CRLF; §2.3: a header line.
    #[test]
    fn rfc_4180_records_end_in_crlf() {
        assert_eq!(written(&[&["1", "2"]]), "a,b\r\n1,2\r\n");
    }

    /// RFC 4180, §2.6: fields with line breaks, quotes and commas are enclosed in quotes.
    #[test]
    fn rfc_4180_special_cells_are_quoted() {
        assert_eq!(written(&[&["x, y", "b\r\nbb"]]), "a,b\r\n\"x, y\",\"b\r\nbb\"\r\n");
    }

    /// RFC 4180, §2.7: a quote inside a field is doubled.
    #[test]
    fn rfc_4180_quotes_are_doubled() {
        assert_eq!(written(&[&["b\"bb", "c"]]), "a,b\r\n\"b\"\"bb\",c\r\n");
    }

    /// RFC 4180, §2.4: spaces are part of a field; every line has the same number of fields.
    #[test]
    fn rfc_4180_spaces_and_empty_cells_stay() {
        assert_eq!(written(&[&[" x ", ""]]), "a,b\r\n x ,\r\n");
    }

    #[test]
    fn a_formula_is_carried_as_text_and_a_number_as_a_number() {
        assert_eq!(
            written(&[&["=1+1", "@x"], &["-3.5", "+7"], &["-35 deg", "\tx"], &["-inf", "\u{ff1d}1"]]),
            "a,b\r\n'=1+1,'@x\r\n-3.5,+7\r\n'-35 deg,'\tx\r\n'-inf,'\u{ff1d}1\r\n"
        );
    }
}
