//! File names of documents: from paths of the language to short ASCII names.
//!
//! In: paths (`leap.swoop`, `leap.swoop->leap.land`). Out: names of `a-z`,
//! `0-9`, `_` and `-`, at most 80 characters, never twice in one [`Names`],
//! not even on a file system that ignores case.

use std::collections::BTreeSet;

/// Longest name before its ending; far below what file systems allow.
const LONGEST: usize = 80;

/// Gives out names, each once.
#[derive(Debug, Default)]
pub(crate) struct Names {
    given: BTreeSet<String>,
}

impl Names {
    /// A name for a path inside a folder (`plates`), without its ending:
    /// `plates/leap-swoop`. A name already given gets a number behind it.
    pub(crate) fn give(&mut self, folder: &str, path: &str) -> String {
        self.first(format!("{folder}/{}", stem(path)))
    }

    /// A name for a path behind a word, in no folder: `for-mei`.
    pub(crate) fn give_flat(&mut self, word: &str, path: &str) -> String {
        self.first(format!("{word}-{}", stem(path)))
    }

    fn first(&mut self, plain: String) -> String {
        let name = std::iter::once(plain.clone())
            .chain((2..).map(|count| format!("{plain}-{count}")))
            .find(|name| !self.given.contains(name))
            .expect("the numbers do not end");
        self.given.insert(name.clone());
        name
    }
}

/// A path as an ASCII name: `leap.swoop` becomes `leap-swoop`.
fn stem(path: &str) -> String {
    let mut name = String::new();
    for letter in path.replace("->", ".to.").chars() {
        let letter = match letter {
            'a'..='z' | '0'..='9' | '_' => letter,
            'A'..='Z' => letter.to_ascii_lowercase(),
            _ => '-',
        };
        if name.len() == LONGEST {
            break;
        }
        if letter != '-' || !(name.is_empty() || name.ends_with('-')) {
            name.push(letter);
        }
    }
    let name = name.trim_end_matches('-');
    if name.is_empty() { "unnamed".to_owned() } else { name.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_short_ascii_and_never_given_twice() {
        let mut names = Names::default();
        assert_eq!(names.give("plates", "leap.swoop"), "plates/leap-swoop");
        assert_eq!(names.give("plates", "Leap.Swoop"), "plates/leap-swoop-2");
        assert_eq!(names.give("joins", "leap.swoop->leap.land"), "joins/leap-swoop-to-leap-land");
        assert_eq!(names.give("plates", "../../etc/passwd"), "plates/etc-passwd");
        assert_eq!(names.give("plates", "…"), "plates/unnamed");
        assert_eq!(names.give("plates", &"x".repeat(300)).len(), "plates/".len() + LONGEST);
    }
}
