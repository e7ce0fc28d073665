//! From the text of one YAML file to a [`Recipe`], guarded.
//!
//! In: text that anyone may have written. Out: a recipe whose shape is right, or
//! what is wrong with a byte range in the text. Size and nesting are limited
//! before the YAML reader sees the text, since its own cost grows with both;
//! repeated expansion of aliases is refused by the reader itself.

use super::schema::Recipe;
use std::ops::Range;

/// Largest recipe file, in bytes.
pub const LARGEST: usize = 256 * 1024;
/// Deepest nesting of blocks and brackets.
const DEEPEST: usize = 24;

/// Something wrong in a recipe file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Problem {
    /// One sentence, lower case.
    pub message: String,
    /// How to mend it.
    pub help: Option<String>,
    /// Where in the text, in bytes, on character boundaries.
    pub range: Range<usize>,
}

/// Reads one recipe.
pub(super) fn read(text: &str) -> Result<Recipe, Problem> {
    if text.len() > LARGEST {
        return Err(problem("a recipe file may hold 256 kB at most", 0..0));
    }
    if let Some(line) = too_deep(text) {
        return Err(problem(format!("the file is nested more than {DEEPEST} deep"), line));
    }
    serde_yaml::from_str(text).map_err(|error| {
        let at = error.location().map_or(0, |location| location.index());
        problem(plain(&error.to_string()), line_at(text, at))
    })
}

fn problem(message: impl Into<String>, range: Range<usize>) -> Problem {
    Problem { message: message.into(), help: None, range }
}

/// The reader's words without its own position, which the span already tells,
/// and in one line.
fn plain(message: &str) -> String {
    let mut words = message.lines().collect::<Vec<_>>().join(" ");
    if let Some(at) = words.rfind(" at line ") {
        words.truncate(at);
    }
    if words.starts_with("repetition limit") {
        return "the file repeats itself too often through aliases".into();
    }
    format!("the recipe cannot be read: {words}")
}

/// The trimmed line around a byte; the whole text's first line where there is none.
pub(super) fn line_at(text: &str, at: usize) -> Range<usize> {
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
/// that many unclosed ones are no recipe either.
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

/// Where a part of a recipe is written: the block that begins `key: name`, and
/// inside it (from there on) one word after another, of which the last one is
/// meant. Falls back to the block, then to the first line; a recipe that was
/// read has them in some form.
pub(super) fn locate(text: &str, key: &str, name: &str, words: &[&str]) -> Range<usize> {
    let block = text.match_indices(key).map(|(at, _)| at).find(|&at| {
        let starts = text.get(..at).is_some_and(|before| !before.ends_with(is_word));
        let after = text.get(at + key.len()..).and_then(|rest| rest.trim_start().strip_prefix(':'));
        let value = after.map(|rest| rest.trim_start().trim_start_matches(['"', '\'']));
        starts
            && value.and_then(|value| value.strip_prefix(name)).is_some_and(|rest| !rest.starts_with(is_word))
    });
    let Some(block) = block else { return line_at(text, 0) };
    let mut found: Option<Range<usize>> = None;
    // Past the block's own name, which may be what is looked for again.
    let mut after = whole(text, block + key.len(), name).map_or(block, |own| own.end);
    for word in words {
        found = whole(text, after, word);
        match &found {
            Some(range) => after = range.end,
            None => break,
        }
    }
    found.unwrap_or_else(|| line_at(text, block))
}

/// The next whole word from a byte on.
fn whole(text: &str, from: usize, word: &str) -> Option<Range<usize>> {
    let rest = text.get(from..)?;
    let found = rest.match_indices(word).map(|(at, _)| from + at).find(|&at| {
        let starts = text.get(..at).is_some_and(|before| !before.ends_with(is_word));
        let ends = text.get(at + word.len()..).is_some_and(|rest| !rest.starts_with(is_word));
        starts && ends
    })?;
    Some(found..found + word.len())
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: &str = "recipe: small\ntitle: Small\nsummary: Nothing much.\nkind: effect\nroles:\n  - role: on\n    title: the plate\npasses:\n  - pass: comp\n    title: Comp\n    department: comp\n    effort: 1\n    inputs: [on]\n";

    #[test]
    fn a_small_recipe_is_read() {
        assert_eq!(read(SMALL).map(|recipe| recipe.passes.len()), Ok(1));
    }

    #[test]
    fn unknown_and_repeated_keys_are_errors_at_their_line() {
        for (line, words) in [("colour: red", "unknown field `colour`"), ("title: Again", "duplicate field")]
        {
            let text = format!("{SMALL}{line}\n");
            let problem = read(&text).unwrap_err();
            assert!(problem.message.contains(words), "{}", problem.message);
            assert!(!text[problem.range.clone()].is_empty(), "{problem:?}");
        }
    }

    #[test]
    fn an_alias_bomb_is_refused() {
        let mut text = String::from("a: &a [x, x, x, x, x, x, x, x, x]\n");
        let mut last = 'a';
        for next in 'b'..='i' {
            let list = vec![format!("*{last}"); 9].join(", ");
            text.push_str(&format!("{next}: &{next} [{list}]\n"));
            last = next;
        }
        let bomb = format!("{SMALL}notes: [*i]\n{text}");
        assert!(read(&bomb).is_err());
        let notes = format!("notes: &a [x, x, x]\ncautions: *a\n{SMALL}");
        assert!(read(&notes).is_ok(), "a plain alias is no bomb");
    }

    #[test]
    fn deep_nesting_is_refused_before_it_is_read() {
        for deep in [
            "[".repeat(100_000),
            "{a: ".repeat(30_000),
            "- ".repeat(100_000),
            "? ".repeat(100_000),
            (0..600).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect(),
        ] {
            assert!(read(&deep).unwrap_err().message.contains("nested"), "{}", &deep[..20]);
        }
        assert!(read(&"x".repeat(LARGEST + 1)).unwrap_err().message.contains("256 kB"));
    }

    #[test]
    fn a_part_is_found_by_its_block_and_word() {
        let text = "passes:\n  - pass: mask\n    waits: []\n  - pass: comp\n    waits:\n      - pass: comp\n";
        assert_eq!(&text[locate(text, "pass", "comp", &[])], "- pass: comp");
        let inner = locate(text, "pass", "comp", &["waits", "comp"]);
        assert_eq!(&text[inner.clone()], "comp");
        assert_eq!(text[..inner.start].lines().count(), 6);
    }

    proptest::proptest! {
        #[test]
        fn no_text_panics(text in "[-a-z:\\[\\]{}*&?| \n\"'é]{0,120}") {
            if let Err(problem) = read(&text) {
                proptest::prop_assert!(text.get(problem.range).is_some());
            }
        }
    }
}
