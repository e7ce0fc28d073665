//! The tree of a file: statements, blocks, comments, blank lines.

use crate::source::{FileId, Span, Spanned};

/// One file.
#[derive(Debug, Clone)]
pub struct Tree {
    /// Which file.
    pub file: FileId,
    /// What stands at the top level.
    pub items: Vec<Item>,
}

/// One thing in a file or block.
#[derive(Debug, Clone)]
pub enum Item {
    /// A statement.
    Statement(Statement),
    /// A comment, `#` included; `own_line` when nothing stands before it on its line.
    Comment {
        /// With its `#`, without trailing blanks.
        text: String,
        /// Whether it has its line to itself.
        own_line: bool,
    },
    /// One or more blank lines.
    Blank,
}

/// Word, values, optional block.
#[derive(Debug, Clone)]
pub struct Statement {
    /// The first word.
    pub word: Spanned<String>,
    /// What follows it.
    pub values: Vec<Spanned<Value>>,
    /// Its block.
    pub block: Option<Block>,
    /// Word to last value.
    pub span: Span,
    /// The line was malformed and has been reported; nothing in it counts.
    pub broken: bool,
}

/// What stands between braces.
#[derive(Debug, Clone)]
pub struct Block {
    /// Its contents.
    pub items: Vec<Item>,
    /// Whether it was written on one line.
    pub one_line: bool,
}

impl Block {
    /// The statements in it.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        statements(&self.items)
    }
}

/// The statements among items.
pub(super) fn statements(items: &[Item]) -> impl Iterator<Item = &Statement> {
    items.iter().filter_map(|item| match item {
        Item::Statement(statement) => Some(statement),
        _ => None,
    })
}

impl Tree {
    /// The statements at the top level.
    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        statements(&self.items)
    }
}

/// One value, or a sign between values.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// `"…"`, escapes resolved.
    Text(String),
    /// A word or a path of words.
    Name(String),
    /// A number and the unit written after it.
    Number {
        /// The number; a fraction is divided out. May be infinite if too large.
        value: f64,
        /// The unit, as written.
        unit: Option<Spanned<String>>,
    },
    /// `1920x1080`.
    Size(String, String),
    /// `2027-05-14`.
    Date(String),
    /// `05:30`.
    Clock(String),
    /// `,`, with the comments that stood where the list went on to a new line:
    /// `None` where it did not.
    Comma(Option<Vec<String>>),
    /// `->`.
    Arrow,
    /// `..`.
    Dots,
    /// `+`.
    Plus,
    /// `-` with a blank behind it.
    Minus,
}
