//! Text from the sequence, made harmless for where it is put.
//!
//! In: any text. Out: the same words, which can neither open a tag, nor start
//! a heading or a table cell, nor leave a style sheet's string. Control
//! characters, which no document needs, become U+FFFD; line ends and tabs
//! become spaces where one line is expected.

use std::fmt::{Result, Write};

/// Writes text into an HTML document, inside an element or a quoted attribute.
pub(crate) fn html(text: &str, out: &mut impl Write) -> Result {
    for letter in text.chars() {
        match letter {
            '&' => out.write_str("&amp;")?,
            '<' => out.write_str("&lt;")?,
            '>' => out.write_str("&gt;")?,
            '"' => out.write_str("&quot;")?,
            '\'' => out.write_str("&#39;")?,
            _ => out.write_char(printable(letter))?,
        }
    }
    Ok(())
}

/// Writes text into a Markdown document (CommonMark with tables), on one line.
///
/// Characters that mean something to Markdown are put behind a backslash; an
/// underscore inside a word means nothing and stays, so paths stay readable.
pub(crate) fn markdown(text: &str, out: &mut impl Write) -> Result {
    let text = text.trim();
    let digits = text.chars().take_while(char::is_ascii_digit).count();
    let mut before = None;
    let mut letters = text.chars().enumerate().peekable();
    while let Some((at, letter)) = letters.next() {
        let after = letters.peek().map(|(_, letter)| *letter);
        let word = |side: Option<char>| side.is_some_and(char::is_alphanumeric);
        let special = match letter {
            '\\' | '`' | '*' | '[' | ']' | '<' | '>' | '|' | '~' | '$' | '{' | '}' => true,
            '_' => !(word(before) && word(after)),
            '&' => after.is_some_and(|after| after == '#' || after.is_ascii_alphabetic()),
            // These open a heading, a list or an underline only at the start of a line.
            '#' | '+' | '-' | '=' => at == 0,
            '.' | ')' => at > 0 && at == digits && after.is_none_or(char::is_whitespace),
            _ => false,
        };
        if special {
            out.write_char('\\')?;
        }
        out.write_char(if letter.is_whitespace() { ' ' } else { printable(letter) })?;
        before = Some(letter);
    }
    Ok(())
}

/// Text as the inside of a quoted string of a style sheet: everything but
/// letters, digits and spaces as a code point, so nothing can end the string
/// or the style sheet.
pub(crate) fn style_string(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        if letter.is_ascii_alphanumeric() || letter == ' ' {
            out.push(letter);
        } else {
            // The space ends the escape and is not shown (CSS Syntax 3, §4.3.7).
            let _ = write!(out, "\\{:x} ", u32::from(printable(letter)));
        }
    }
    out
}

/// Line ends and tabs stay; other control characters become U+FFFD.
fn printable(letter: char) -> char {
    match letter {
        '\n' | '\t' => letter,
        _ if letter.is_control() => '\u{FFFD}',
        _ => letter,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn to_html(text: &str) -> String {
        let mut out = String::new();
        html(text, &mut out).unwrap();
        out
    }

    fn to_markdown(text: &str) -> String {
        let mut out = String::new();
        markdown(text, &mut out).unwrap();
        out
    }

    #[test]
    fn html_cannot_open_a_tag_or_leave_an_attribute() {
        assert_eq!(to_html("<script>'\"&"), "&lt;script&gt;&#39;&quot;&amp;");
        assert_eq!(to_html("a\u{0}b\u{1b}c"), "a\u{FFFD}b\u{FFFD}c");
    }

    /// The expected text is what CommonMark 0.31.2, §2.4 "Backslash escapes",
    /// says is shown as written: checked by reading it back with a parser.
    #[test]
    fn markdown_is_read_back_as_it_was_written() {
        for text in [
            "<script>alert(1)</script>",
            "a | b",
            "*not* _emphasis_ __nor__ `code`",
            "{{ 7*7 }}",
            "# no heading",
            "- no list",
            "+ no list",
            "1. no list",
            "12) no list",
            "=== no underline",
            "[no](link) ![no](picture)",
            "&amp; &#65; R&D",
            "back\\slash \\* ",
            "leap.swoop snake_case_name",
            "~~not struck~~",
            "-35° and 1.68 m",
        ] {
            let mut read = String::new();
            let escaped = to_markdown(text);
            for event in pulldown_cmark::Parser::new_ext(&escaped, pulldown_cmark::Options::all()) {
                match event {
                    pulldown_cmark::Event::Text(part) => read.push_str(&part),
                    pulldown_cmark::Event::Start(pulldown_cmark::Tag::Paragraph)
                    | pulldown_cmark::Event::End(pulldown_cmark::TagEnd::Paragraph) => {}
                    other => panic!("{text:?} became {other:?} through {escaped:?}"),
                }
            }
            assert_eq!(read, text.trim(), "through {escaped:?}");
        }
    }

    #[test]
    fn markdown_stays_readable_and_on_one_line() {
        assert_eq!(to_markdown("leap.swoop of night_parcel"), "leap.swoop of night_parcel");
        assert_eq!(to_markdown("one\n\n# two\tthree"), "one  # two three");
    }

    #[test]
    fn a_style_string_holds_no_sign_that_could_end_it() {
        assert_eq!(style_string("A \"b\"</style>"), "A \\22 b\\22 \\3c \\2f style\\3e ");
    }
}
