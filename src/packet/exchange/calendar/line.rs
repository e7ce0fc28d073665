//! Content lines of a calendar: escaping, folding, line ends.

/// Longest line in octets, its line end not counted (RFC 5545, §3.1).
const LONGEST: usize = 75;

/// Writes a content line: `name` with its parameters, a colon, the value as it
/// stands. Folded between letters, never inside one; CRLF at the end.
pub(super) fn put(out: &mut String, name: &str, value: &str) {
    let mut length = 0;
    for letter in name.chars().chain([':']).chain(value.chars()) {
        if length + letter.len_utf8() > LONGEST {
            // The space that begins a continued line counts as one of its octets.
            out.push_str("\r\n ");
            length = 1;
        }
        out.push(letter);
        length += letter.len_utf8();
    }
    out.push_str("\r\n");
}

/// Writes a line whose value is words.
pub(super) fn put_text(out: &mut String, name: &str, value: &str) {
    put(out, name, &text(value));
}

/// Words as a value of type TEXT (RFC 5545, §3.3.11): backslash, semicolon and
/// comma behind a backslash, line ends as `\n`, other control characters, which
/// no value may hold (§3.1), as U+FFFD.
fn text(words: &str) -> String {
    let mut out = String::new();
    for letter in words.replace("\r\n", "\n").chars() {
        match letter {
            '\\' | ';' | ',' => out.extend(['\\', letter]),
            '\n' | '\r' => out.push_str("\\n"),
            '\t' => out.push('\t'),
            _ if letter.is_control() => out.push('\u{FFFD}'),
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(name: &str, value: &str) -> String {
        let mut out = String::new();
        put_text(&mut out, name, value);
        out
    }

    /// RFC 5545, §3.1: lines end in CRLF and are at most 75 octets long without it; a
    /// long one goes on behind CRLF and a space. Sixty letters of two octets behind
    /// `DESCRIPTION:` become lines of 74 and 59 octets (what icalendar 7.3.2 writes).
    #[test]
    fn rfc_5545_long_lines_are_folded_between_letters() {
        let folded = written("DESCRIPTION", &"é".repeat(60));
        let lengths: Vec<usize> = folded.trim_end().split("\r\n").map(str::len).collect();
        assert_eq!(lengths, [74, 59]);
        assert_eq!(folded.replace("\r\n ", ""), format!("DESCRIPTION:{}\r\n", "é".repeat(60)));
        assert_eq!(written("A", &"b".repeat(73)).matches("\r\n").count(), 1);
        assert_eq!(written("A", &"b".repeat(74)).matches("\r\n").count(), 2);
    }

    /// The example of RFC 5545, §3.3.11, and its list of escapes: the colon is none.
    #[test]
    fn rfc_5545_words_are_escaped() {
        let project = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.";
        let expected = "SUMMARY:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\r\n";
        assert_eq!(written("SUMMARY", project), expected);
        assert_eq!(written("A", "a;b,c\\d:e\r\nf\rg"), "A:a\\;b\\,c\\\\d:e\\nf\\ng\r\n");
        assert_eq!(written("A", "\u{0}\u{1b}"), "A:\u{FFFD}\u{FFFD}\r\n");
    }
}
