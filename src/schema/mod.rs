//! What may stand where: one description of every block and statement.
//!
//! In: a tree. Out: [`Fact`]s whose values are known to be of the kinds that the
//! description asks for, and diagnostics for the rest. The same description
//! gives suggestions for misspelt words and the reference page, so neither can
//! be out of date.

mod blocks;
mod check;
mod date;
mod log;
mod pass;
mod plate;
mod reference;
mod take;
mod value;
mod weights;

pub(crate) use blocks::COMMON;
pub use blocks::ROOT;
pub use check::{check, check_logs};
pub use log::LOG;
pub use reference::{every_word, page, words};
pub use value::value;

use crate::model::Light;
use crate::quantity::FrameSize;
use crate::quantity::unit::Dimension;
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time};

/// One statement, with or without a block.
#[derive(Debug)]
pub struct Spec {
    /// Its first word.
    pub word: &'static str,
    /// What follows the word.
    pub parts: &'static [Part],
    /// Whether a quoted title may follow.
    pub title: bool,
    /// What may stand in its block; `None` when it has none.
    pub body: Option<&'static [Spec]>,
    /// Whether words that the body does not know are kept as bindings (roles and
    /// quantities of a recipe, which only the recipe knows).
    pub open: bool,
    /// How often it may stand in one block.
    pub times: Times,
    /// What it means, one or two sentences.
    pub doc: &'static str,
    /// An example that is checked by a test.
    pub example: &'static str,
}

/// How often a statement may stand in one block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Times {
    /// At most once.
    Optional,
    /// Exactly once.
    Required,
    /// Any number.
    Many,
}

/// One part of what follows a word.
#[derive(Debug, Clone, Copy)]
pub enum Part {
    /// This very word; gives nothing.
    Word(&'static str),
    /// A new name, or the name of something.
    Name(&'static str),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A quantity between two limits in base units.
    Quantity(Dimension, f64, f64),
    /// A whole number between two limits.
    Count(u32, u32),
    /// `"…"`.
    Text,
    /// A date.
    Date,
    /// A clock.
    Clock,
    /// `1920x1080`.
    Size,
    /// `38.7056, -9.1657`.
    Position,
    /// `->`.
    Arrow,
    /// `,`; gives nothing.
    Comma,
    /// When the light is right.
    Light,
    /// Exposure: `1/50 s` or `180 deg`.
    Shutter,
    /// These parts, or nothing.
    Maybe(&'static [Part]),
    /// One or more, with commas between.
    List(&'static [Part]),
    /// Two of the same, with `..` between; `true` when one alone will do.
    Range(&'static Part, bool),
}

/// A value of a known kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Arg {
    /// A name, a word of a choice.
    Name(Spanned<String>),
    /// A quantity in base units.
    Number(Spanned<Measure>),
    /// A text.
    Text(Spanned<String>),
    /// A date.
    Date(Spanned<Date>),
    /// A clock.
    Clock(Spanned<Time>),
    /// A picture size.
    Size(Spanned<FrameSize>),
    /// A light.
    Light(Spanned<Light>),
    /// The parts of a `Maybe` that was written.
    Group(Vec<Arg>),
    /// A `Maybe` that was not.
    Absent,
    /// The entries of a list.
    List(Vec<Vec<Arg>>),
    /// A range; both ends.
    Range(Box<Arg>, Box<Arg>),
}

impl Arg {
    /// The name in it, if it is one.
    pub fn name(&self) -> Option<&Spanned<String>> {
        match self {
            Arg::Name(name) => Some(name),
            _ => None,
        }
    }

    /// The quantity in it, if it is one.
    pub fn number(&self) -> Option<Spanned<Measure>> {
        match self {
            Arg::Number(number) => Some(*number),
            _ => None,
        }
    }
}

/// A quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// In base units; frames where `frames` is set.
    pub value: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// A time span written in frames of the picture.
    pub frames: bool,
}

/// A checked statement.
#[derive(Debug, Clone)]
pub struct Fact {
    /// Its first word.
    pub word: Spanned<String>,
    /// Values, one for each part that gives one.
    pub args: Vec<Arg>,
    /// Its title.
    pub title: Option<Spanned<String>>,
    /// Its block.
    pub body: Vec<Fact>,
    /// Bindings of an open block.
    pub bindings: Vec<RawBinding>,
    /// Word to last value.
    pub span: Span,
}

/// A statement that only a recipe can understand.
#[derive(Debug, Clone)]
pub struct RawBinding {
    /// Its first word.
    pub word: Spanned<String>,
    /// Names, where its values are names.
    pub names: Vec<Spanned<String>>,
    /// The quantity, where its value is one.
    pub amount: Option<Spanned<Measure>>,
    /// The statement.
    pub span: Span,
}

impl Fact {
    /// The statements of its block with that word.
    pub fn all<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Fact> {
        self.body.iter().filter(move |fact| fact.word.value == word)
    }

    /// The first statement of its block with that word.
    pub fn get(&self, word: &str) -> Option<&Fact> {
        self.body.iter().find(|fact| fact.word.value == word)
    }
}
