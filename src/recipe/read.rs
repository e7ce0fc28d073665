//! From the text of one YAML file to a [`Recipe`], guarded.
//!
//! In: text that anyone may have written. Out: a recipe whose shape is right, or
//! what is wrong with a byte range in the text.

use super::schema::Recipe;
use crate::yaml;
pub(super) use crate::yaml::{Problem, line_at};
use std::ops::Range;

/// Largest recipe file, in bytes.
pub const LARGEST: usize = 256 * 1024;

/// Reads one recipe.
pub(super) fn read(text: &str) -> Result<Recipe, Problem> {
    yaml::read(text, "recipe", LARGEST)
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
