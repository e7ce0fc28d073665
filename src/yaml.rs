//! YAML that anyone may have written, read with care.
//!
//! In: a text. Out: a value whose shape is right, or what is wrong with a byte
//! range in the text. Size and nesting are limited before the YAML reader sees
//! the text, since its own cost grows with both; repeated expansion of aliases
//! is refused by the reader itself.

use serde::de::DeserializeOwned;
use std::ops::Range;

/// Deepest nesting of blocks and brackets.
const DEEPEST: usize = 24;

/// Something wrong in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Problem {
    /// One sentence, lower case.
    pub(crate) message: String,
    /// How to mend it.
    pub(crate) help: Option<String>,
    /// Where in the text, in bytes, on character boundaries.
    pub(crate) range: Range<usize>,
}

/// Reads a text of at most so many bytes; `kind` is what it is in sentences, such as `recipe`.
pub(crate) fn read<T: DeserializeOwned>(text: &str, kind: &str, largest: usize) -> Result<T, Problem> {
    if text.len() > largest {
        return Err(problem(format!("a {kind} file may hold {} kB at most", largest / 1024), 0..0));
    }
    if let Some(line) = too_deep(text) {
        return Err(problem(format!("the file is nested more than {DEEPEST} deep"), line));
    }
    serde_yaml::from_str(text).map_err(|error| {
        let at = error.location().map_or(0, |location| location.index());
        problem(plain(&error.to_string(), kind), line_at(text, at))
    })
}

pub(crate) fn problem(message: impl Into<String>, range: Range<usize>) -> Problem {
    Problem { message: message.into(), help: None, range }
}

/// The reader's words without its own position, which the span already tells,
/// and in one line.
fn plain(message: &str, kind: &str) -> String {
    let mut words = message.lines().collect::<Vec<_>>().join(" ");
    if let Some(at) = words.rfind(" at line ") {
        words.truncate(at);
    }
    if words.starts_with("repetition limit") {
        return "the file repeats itself too often through aliases".into();
    }
    format!("the {kind} cannot be read: {words}")
}

/// The trimmed line around a byte; the whole text's first line where there is none.
pub(crate) fn line_at(text: &str, at: usize) -> Range<usize> {
    let mut start = 0;
    let mut found = 0..0;
    for line in text.split_inclusive('\n') {
        let words = line.trim();
        if start <= at && !words.is_empty() {
            let from = start + (line.len() - line.trim_start().len());
            found = from..from + words.len();
        }
        start += line.len();
        if start > at {
            break;
        }
    }
    found
}

/// The first line that nests deeper than [`DEEPEST`], by brackets, by
/// indentation or by `- - -` on one line. Counts brackets in texts as well:
/// that many unclosed ones are no such file either.
fn too_deep(text: &str) -> Option<Range<usize>> {
    let mut brackets = 0usize;
    let mut indents: Vec<usize> = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let words = line.trim_start();
        let mut indent = line.len() - words.len();
        if !words.trim().is_empty() {
            let mut rest = words;
            loop {
                while indents.last().is_some_and(|&outer| outer >= indent) {
                    indents.pop();
                }
                indents.push(indent);
                let Some(inner) = ["- ", "? ", ": "].iter().find_map(|mark| rest.strip_prefix(mark)) else {
                    break;
                };
                indent += rest.len() - inner.trim_start().len();
                rest = inner.trim_start();
                if indents.len() > DEEPEST {
                    break;
                }
            }
        }
        for letter in words.chars() {
            match letter {
                '[' | '{' => brackets += 1,
                ']' | '}' => brackets = brackets.saturating_sub(1),
                _ => {}
            }
            if brackets > DEEPEST {
                break;
            }
        }
        if brackets > DEEPEST || indents.len() > DEEPEST {
            return Some(line_at(text, start));
        }
        start += line.len();
    }
    None
}
