//! Files as they were read, byte spans into them, and line numbers.
//!
//! In: the text of each file. Out: [`Sources`], which every later stage only
//! reads. A [`Span`] is always inside its file and on character boundaries.

use serde::Serialize;

/// Which file of [`Sources`] a span speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct FileId(pub u16);

/// A range of bytes in one file; `end` is exclusive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The smallest span that holds both; the file is that of `self`.
    pub fn to(self, other: Span) -> Span {
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// A value and where it was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spanned<T> {
    /// What was written.
    pub value: T,
    /// Where.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// Joins a value with its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// One file: its name as shown to people, its text, and its line starts.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Path relative to the project's root, with `/` on every system.
    pub name: String,
    /// The whole text, UTF-8.
    pub text: String,
    line_starts: Vec<u32>,
    /// How many characters stand before the byte `CHUNK * index`, or before the
    /// next character boundary: a column in a line of any length is found fast.
    characters: Vec<u32>,
}

/// Bytes from one count of characters to the next.
const CHUNK: usize = 4096;

impl SourceFile {
    fn new(name: String, text: String) -> Self {
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at as u32 + 1)).collect();
        let mut characters = Vec::with_capacity(text.len() / CHUNK + 1);
        let mut counted: u32 = 0;
        for chunk in text.as_bytes().chunks(CHUNK) {
            characters.push(counted);
            counted += first_bytes(chunk);
        }
        Self { name, text, line_starts, characters }
    }

    /// Characters that begin before a byte.
    fn characters_before(&self, byte: usize) -> u32 {
        let byte = byte.min(self.text.len());
        let at = (byte / CHUNK).min(self.characters.len().saturating_sub(1));
        let rest = self.text.as_bytes().get(at * CHUNK..byte).map_or(0, first_bytes);
        self.characters.get(at).copied().unwrap_or(0) + rest
    }
}

/// How many bytes begin a character.
fn first_bytes(bytes: &[u8]) -> u32 {
    bytes.iter().filter(|byte| **byte & 0b1100_0000 != 0b1000_0000).count() as u32
}

/// Every file of one sequence, in the order they were first used.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

/// A place in a file for people: both count from 1; `column` counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Sources {
    /// Adds a file and gives it an identity.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> FileId {
        let id = FileId(u16::try_from(self.files.len()).unwrap_or(u16::MAX));
        self.files.push(SourceFile::new(name.into(), text.into()));
        id
    }

    /// All files, in order.
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// The file of that identity. Identities come from [`Sources::add`] alone.
    pub fn file(&self, id: FileId) -> &SourceFile {
        self.files
            .get(usize::from(id.0))
            .or(self.files.first())
            .expect("a file identity exists only after a file was added")
    }

    /// The words at a span; empty where the span is not inside its file.
    pub fn text(&self, span: Span) -> &str {
        self.file(span.file).text.get(span.start as usize..span.end as usize).unwrap_or("")
    }

    /// Line and column of the start of a span.
    pub fn position(&self, span: Span) -> Position {
        let file = self.file(span.file);
        let line = file.line_starts.partition_point(|&start| start <= span.start);
        let start = line.checked_sub(1).and_then(|at| file.line_starts.get(at)).copied().unwrap_or(0);
        let column = file
            .characters_before(span.start as usize)
            .saturating_sub(file.characters_before(start as usize));
        Position { line: line.max(1), column: column as usize + 1 }
    }

    /// `file:line` of a span, as packets and chains of lines show it.
    pub fn at(&self, span: Span) -> String {
        format!("{}:{}", self.file(span.file).name, self.position(span).line)
    }
}

/// Whether a line begins with what git leaves where a merge was not settled.
pub(crate) fn is_merge_mark(line: &str) -> bool {
    ["<<<<<<<", "|||||||", "=======", ">>>>>>>"].iter().any(|mark| line.starts_with(mark))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_far_along_a_long_line_counts_characters() {
        let mut sources = Sources::default();
        let file = sources.add("long.seam", format!("first\n{}x", "aé…𝄞 ".repeat(3000)));
        let text = &sources.file(file).text;
        for (at, _) in text.char_indices().step_by(777) {
            let start = text.get(..at).unwrap().rfind('\n').map_or(0, |newline| newline + 1);
            let column = text.get(start..at).unwrap().chars().count() + 1;
            let span = Span { file, start: at as u32, end: at as u32 };
            assert_eq!(sources.position(span).column, column, "byte {at}");
        }
    }

    #[test]
    fn a_position_counts_characters_not_bytes() {
        let mut sources = Sources::default();
        let file = sources.add("a.seam", "één\nprop é x\n");
        let at = sources.text(Span { file, start: 6, end: 10 });
        assert_eq!(at, "prop");
        let x = Span { file, start: 14, end: 15 };
        assert_eq!(sources.text(x), "x");
        assert_eq!(sources.position(x), Position { line: 2, column: 8 });
        assert_eq!(sources.at(x), "a.seam:2");
    }
}
