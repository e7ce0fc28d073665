//! From the text of a plan file to what it says, guarded.
//!
//! In: text that anyone may have written. Out: its lines as plain values, names
//! not yet looked up, or the one thing for which the whole file cannot be used.

use super::VERSION;
use crate::diagnostic::{Code, codes};
use crate::source::{FileId, Span, is_merge_mark};
use crate::yaml::{self, Problem, line_at, problem};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::ops::Range;

/// Largest plan file, in bytes.
const LARGEST: usize = 1024 * 1024;

/// A plan file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Written {
    /// Version of the schema; looked at before all else.
    #[serde(rename = "plan")]
    pub(super) _version: u32,
    pub(super) sequence: String,
    #[serde(default)]
    pub(super) pins: Option<Vec<Pin>>,
    pub(super) shoot: Vec<Day>,
    #[serde(rename = "done")]
    pub(super) _done: Option<String>,
    pub(super) desk: Vec<Person>,
}

/// Something that is pinned.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Pin {
    pub(super) plate: Option<String>,
    pub(super) on: Option<String>,
    pub(super) at: Option<String>,
    pub(super) pass: Option<String>,
    pub(super) by: Option<String>,
    pub(super) from: Option<String>,
    /// For people.
    #[serde(rename = "why")]
    pub(super) _why: Option<String>,
}

/// A day of shooting.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Day {
    pub(super) day: String,
    /// For people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) call: Option<String>,
    /// For people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) wrap: Option<String>,
    pub(super) plates: Vec<String>,
}

/// Somebody at the desk.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Person {
    pub(super) person: String,
    pub(super) passes: Vec<String>,
}

/// The one thing that must be right before anything else is read.
#[derive(Debug, Deserialize)]
struct Version {
    plan: Option<u32>,
}

/// Reads the plan file of that sequence.
pub(super) fn read(text: &str, sequence: &str) -> Result<Written, (Code, Problem)> {
    let shape = |problem| (codes::PLAN_FILE, problem);
    if let Some(mark) = merge_mark(text) {
        let mut wrong = problem("a merge left its mark here, and two versions below each other", mark);
        wrong.help = Some("keep one line for each plate and pass, in either order, and remove the marks; then build with `--keep`".into());
        return Err((codes::MERGE_MARK, wrong));
    }
    let version: Version = yaml::read(text, "plan", LARGEST).map_err(|wrong| shape(cut_off(text, wrong)))?;
    match version.plan {
        Some(VERSION) => {}
        Some(other) => {
            let mut wrong = problem(
                format!("the plan file is of version {other}; this program reads version {VERSION}"),
                key(text, "plan"),
            );
            wrong.help = Some(
                "use the program that wrote it, or move the file elsewhere and build with `--keep`; \
                 your pins can be copied over"
                    .into(),
            );
            return Err((codes::PLAN_VERSION, wrong));
        }
        None => {
            let mut wrong = problem("the plan file does not say of which version it is", line_at(text, 0));
            wrong.help = Some(format!("write 'plan: {VERSION}' as its first line, if it is a plan file"));
            return Err((codes::PLAN_VERSION, wrong));
        }
    }
    let written: Written = yaml::read(text, "plan", LARGEST).map_err(|wrong| shape(cut_off(text, wrong)))?;
    if written.sequence != sequence && !sequence.is_empty() {
        let mut wrong = problem(
            format!("the plan file is that of '{}', and this sequence is '{sequence}'", written.sequence),
            key(text, "sequence"),
        );
        wrong.help = Some(format!(
            "move the file elsewhere; if the sequence was renamed, write 'sequence: {sequence}'"
        ));
        return Err((codes::PLAN_SEQUENCE, wrong));
    }
    if !is_whole(text) {
        return Err(shape(not_whole(text)));
    }
    Ok(written)
}

/// The first line that a merge left.
fn merge_mark(text: &str) -> Option<Range<usize>> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if is_merge_mark(line) {
            return Some(line_at(text, start));
        }
        start += line.len();
    }
    None
}

/// Whether the last line is the mark with which YAML ends a document.
fn is_whole(text: &str) -> bool {
    text.trim_end().lines().next_back() == Some("...")
}

fn not_whole(text: &str) -> Problem {
    let mut wrong = problem(
        "the plan file ends before its last line, '...', so something may be missing",
        line_at(text, text.trim_end().len().saturating_sub(1)),
    );
    wrong.help =
        Some("take a whole version from version control; if nothing is missing, add a line '...'".into());
    wrong
}

/// Where a file cannot be read and its end is missing, that is what is wrong.
fn cut_off(text: &str, wrong: Problem) -> Problem {
    let mut wrong = wrong;
    if !is_whole(text) {
        wrong.message.push_str("; its last line, '...', is missing, so it may be half written");
        wrong.help =
            Some("take a whole version of the file from version control, or move it elsewhere".into());
    } else if wrong.help.is_none() {
        wrong.help = Some("`seamster explain --plan-file` says how plan files are written".into());
    }
    wrong
}

/// The line that begins with a key.
fn key(text: &str, key: &str) -> Range<usize> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if line.strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with(':')) {
            return line_at(text, start);
        }
        start += line.len();
    }
    line_at(text, 0)
}

/// Where words of the file stand. Asked for them in their order, it gives each
/// its own place.
pub(super) struct Words<'t> {
    text: &'t str,
    file: FileId,
    /// Where the last one of a part and word ended.
    after: BTreeMap<(String, String), usize>,
}

impl<'t> Words<'t> {
    pub(super) fn new(text: &'t str, file: FileId) -> Self {
        Self { text, file, after: BTreeMap::new() }
    }

    /// A range as a place.
    pub(super) fn span(&self, range: Range<usize>) -> Span {
        let place = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Span { file: self.file, start: place(range.start), end: place(range.end) }
    }

    /// The next place of a word in a part of the file (`pins`, `shoot`, `desk`);
    /// the beginning of the part where it is written in a way that hides it.
    pub(super) fn next(&mut self, part: &str, word: &str) -> Span {
        let begin = key(self.text, part);
        let known = (part.to_owned(), word.to_owned());
        let from = self.after.get(&known).copied().unwrap_or(begin.start);
        let found = whole(self.text, from, word);
        if let Some(found) = &found {
            self.after.insert(known, found.end);
        }
        self.span(found.unwrap_or(begin))
    }
}

/// The next whole word from a byte on, comments left out.
fn whole(text: &str, from: usize, word: &str) -> Option<Range<usize>> {
    let part = |letter: char| letter.is_alphanumeric() || matches!(letter, '_' | '.' | '-' | ':');
    let rest = text.get(from..).filter(|_| !word.is_empty())?;
    rest.match_indices(word).map(|(at, _)| from + at..from + at + word.len()).find(|found| {
        let before = text.get(..found.start).unwrap_or_default();
        let after = text.get(found.end..).unwrap_or_default();
        let line = before.rsplit('\n').next().unwrap_or_default();
        let comment = line.trim_start().starts_with('#') || line.contains(" #");
        !comment && !before.ends_with(part) && !after.starts_with(part)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: &str = "plan: 1\nsequence: small\npins:\n- plate: one.cup\n  on: 2027-05-14\nshoot:\n- day: 2027-05-14\n  plates:\n  - one.cup\ndesk: []\n...\n";

    #[test]
    fn a_small_file_is_read() {
        let written = read(SMALL, "small").unwrap();
        assert_eq!(written.pins.map(|pins| pins.len()), Some(1));
        assert_eq!(written.shoot[0].plates, ["one.cup"]);
    }

    #[test]
    fn what_is_wrong_with_the_whole_is_told_at_its_line() {
        for (was, is, code, words) in [
            ("plan: 1", "plan: 2", codes::PLAN_VERSION, "plan: 2"),
            ("plan: 1\n", "", codes::PLAN_VERSION, "sequence: small"),
            ("sequence: small", "sequence: other", codes::PLAN_SEQUENCE, "sequence: other"),
            ("desk: []\n", "desk: []\ncolour: red\n", codes::PLAN_FILE, "colour: red"),
            ("...\n", "", codes::PLAN_FILE, "desk: []"),
            ("  - one.cup\n", "<<<<<<< ours\n  - one.cup\n", codes::MERGE_MARK, "<<<<<<< ours"),
        ] {
            let text = SMALL.replacen(was, is, 1);
            let (found, problem) = read(&text, "small").unwrap_err();
            assert_eq!((found.name, &text[problem.range]), (code.name, words), "{}", problem.message);
            assert!(problem.help.is_some(), "{}", problem.message);
        }
    }

    #[test]
    fn wherever_it_breaks_off_it_is_no_plan() {
        for end in 0..SMALL.len() - 4 {
            assert!(read(&SMALL[..end], "small").is_err(), "{:?}", &SMALL[..end]);
        }
    }

    #[test]
    fn each_word_is_found_where_it_stands() {
        let mut words = Words::new(SMALL, FileId(0));
        let at = |span: Span| SMALL[..span.start as usize].lines().count();
        assert_eq!(at(words.next("pins", "one.cup")), 4);
        assert_eq!(at(words.next("shoot", "one.cup")), 9);
    }

    proptest::proptest! {
        #[test]
        fn no_text_panics(text in "[-a-z:\\[\\]{}*&?| \n\"'é]{0,120}") {
            if let Err((_, problem)) = read(&text, "small") {
                proptest::prop_assert!(text.get(problem.range).is_some());
            }
        }
    }
}
