//! How wide text will be, before any font is known.
//!
//! In: text and its size. Out: its width, never less than what the usual sans-serif
//! fonts need, so that what is laid out with it keeps clear of its neighbours. The
//! widths are those of DejaVu Sans (its `hmtx` table, rounded up by class), the widest
//! font in the style sheet's list.

/// Width of a text at a font size, in the units of that size.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

/// How much wider bold letters are at most, over a few words; the same tables.
pub(crate) const BOLD: f64 = 1.12;

/// Advance of one letter, in ems.
fn advance(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.34,
        'f' | 't' | 'r' | '.' | ',' | ':' | ';' | '!' | '(' | ')' | '[' | ']' | '/' | '-' | ' ' | '·' => {
            0.42
        }
        'm' | 'w' | 'M' | 'W' | 'Q' | 'O' | '@' | '%' | '—' | '→' | '←' | '…' | '&' => 1.0,
        'A'..='Z' => 0.77,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' => 0.6,
        '\u{0}'..='\u{2ff}' => 0.66,
        '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200f}' | '\u{fe00}'..='\u{fe0f}' => 0.0,
        '\u{370}'..='\u{10ff}' => 0.8,
        _ => 1.4,
    }
}

/// The text, or as much of its beginning as fits, with an ellipsis; empty where not
/// even two letters do.
pub(crate) fn fit(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = width("…", size);
    for letter in text.chars() {
        used += advance(letter) * size;
        if used > room {
            break;
        }
        out.push(letter);
    }
    let kept = out.trim_end();
    if kept.chars().count() < 2 { String::new() } else { format!("{kept}…") }
}

/// The text in at most `most` lines that fit; the last is cut where it must be.
pub(crate) fn wrap(text: &str, size: f64, room: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        if lines.len() + 1 >= most {
            // The last line takes what is left, cut.
            let rest = std::iter::once(word).chain(words).collect::<Vec<_>>().join(" ");
            lines.push(fit(&rest, size, room));
            break;
        }
        let mut line = word.to_owned();
        while let Some(next) = words.peek() {
            let longer = format!("{line} {next}");
            if width(&longer, size) > room {
                break;
            }
            line = longer;
            words.next();
        }
        lines.push(fit(&line, size, room));
    }
    lines.retain(|line| !line.is_empty());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Advances of DejaVu Sans 2.37, in 1/2048 em, read from its `hmtx` table.
    #[test]
    fn no_letter_is_wider_than_told() {
        for (letter, units) in [
            ('a', 1255),
            ('i', 569),
            ('l', 569),
            ('m', 1995),
            ('n', 1298),
            ('r', 842),
            ('t', 803),
            ('w', 1675),
            ('A', 1401),
            ('M', 1767),
            ('W', 2025),
            ('O', 1612),
            ('0', 1303),
            (' ', 651),
            ('→', 1716),
            ('…', 2048),
        ] {
            assert!(advance(letter) * 2048.0 >= f64::from(units), "{letter}");
        }
    }

    #[test]
    fn what_does_not_fit_is_cut_and_says_so() {
        assert_eq!(fit("Landing", 10.0, 100.0), "Landing");
        let cut = fit("Landing, then the run", 10.0, 60.0);
        assert!(cut.ends_with('…') && width(&cut, 10.0) <= 60.0, "{cut}");
        assert_eq!(fit("Landing", 10.0, 12.0), "");
    }

    #[test]
    fn lines_hold_every_word_while_there_is_room() {
        let lines = wrap("Down from the gantry to the landing", 10.0, 90.0, 5);
        assert_eq!(lines.join(" "), "Down from the gantry to the landing");
        assert!(lines.iter().all(|line| width(line, 10.0) <= 90.0));
        assert_eq!(wrap("Down from the gantry to the landing", 10.0, 90.0, 2).len(), 2);
    }
}
