//! One log's facts as plain values.

use super::{Measured, OffMark, Worth};
use crate::quantity::{Angle, Length, Speed};
use crate::schema::{Arg, Fact};
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time};

/// One file, read.
pub(super) struct Log {
    /// Whose log it says that it is.
    pub(super) sequence: Option<Spanned<String>>,
    pub(super) day: Option<Spanned<Date>>,
    pub(super) by: Option<String>,
    pub(super) papers: Option<String>,
    pub(super) wrapped: Option<Spanned<Time>>,
    pub(super) notes: Vec<String>,
    pub(super) entries: Vec<Entry>,
}

/// What one file says of one plate.
pub(super) struct Entry {
    pub(super) plate: Spanned<String>,
    pub(super) takes: Vec<Taken>,
    pub(super) measured: Measured,
    pub(super) light: Option<String>,
    pub(super) notes: Vec<String>,
    pub(super) problems: Vec<String>,
}

/// One `take` line.
pub(super) struct Taken {
    pub(super) number: u32,
    pub(super) clip: String,
    pub(super) timecode: Option<(Spanned<String>, Spanned<String>)>,
    pub(super) at: Option<Spanned<Time>>,
    pub(super) worth: Worth,
    pub(super) remark: Option<String>,
    pub(super) span: Span,
}

pub(super) fn read(facts: &[Fact]) -> Log {
    let find = |word: &str| facts.iter().find(|fact| fact.word.value == word);
    let first = |word: &str| find(word).and_then(|fact| fact.args.first());
    let all = |word: &'static str| facts.iter().filter(move |fact| fact.word.value == word);
    Log {
        sequence: first("log").and_then(Arg::name).cloned(),
        day: match first("day") {
            Some(Arg::Date(date)) => Some(*date),
            _ => None,
        },
        by: first("by").and_then(text),
        papers: first("papers").and_then(text),
        wrapped: first("wrapped").and_then(clock),
        notes: all("note").filter_map(|fact| fact.args.first().and_then(text)).collect(),
        entries: all("plate").filter_map(entry).collect(),
    }
}

fn entry(fact: &Fact) -> Option<Entry> {
    let texts =
        |word: &'static str| fact.all(word).filter_map(|line| line.args.first().and_then(text)).collect();
    let number = |word: &str| fact.get(word)?.args.first()?.number().map(|number| number.value.value);
    let length = |word: &str| number(word).map(Length);
    Some(Entry {
        plate: fact.args.first()?.name()?.clone(),
        takes: fact.all("take").filter_map(taken).collect(),
        measured: Measured {
            height: length("height"),
            heading: number("heading").map(Angle),
            tilt: number("tilt").map(Angle),
            near: length("near"),
            far: length("far"),
            gap: length("gap"),
            entered: fact.get("entered").and_then(off_mark),
            left: fact.get("left").and_then(off_mark),
        },
        light: fact.get("light").and_then(|line| line.args.first()).and_then(text),
        notes: texts("note"),
        problems: texts("problem"),
    })
}

fn off_mark(fact: &Fact) -> Option<OffMark> {
    let off = Length(fact.args.first()?.number()?.value.value);
    let in_group = |at: usize| match fact.args.get(at) {
        Some(Arg::Group(parts)) => parts.iter().find_map(Arg::number).map(|number| number.value.value),
        _ => None,
    };
    Some(OffMark { off, turned: in_group(1).map(Angle), speed: in_group(2).map(Speed) })
}

fn taken(fact: &Fact) -> Option<Taken> {
    let group = |at: usize| match fact.args.get(at) {
        Some(Arg::Group(parts)) => parts.as_slice(),
        _ => &[],
    };
    let worth = match group(4).first().and_then(Arg::name).map(|word| word.value.as_str()) {
        Some("circled") => Worth::Circled,
        Some("spoiled") => Worth::Spoiled,
        _ => Worth::Usable,
    };
    let timecode = match group(2) {
        [Arg::Text(from), Arg::Text(to)] => Some((from.clone(), to.clone())),
        _ => None,
    };
    Some(Taken {
        number: fact.args.first()?.number()?.value.value as u32,
        clip: fact.args.get(1).and_then(text)?,
        timecode,
        at: group(3).first().and_then(clock),
        worth,
        remark: group(5).first().and_then(text),
        span: fact.span,
    })
}

fn text(arg: &Arg) -> Option<String> {
    match arg {
        Arg::Text(text) => Some(text.value.clone()),
        _ => None,
    }
}

fn clock(arg: &Arg) -> Option<Spanned<Time>> {
    match arg {
        Arg::Clock(clock) => Some(*clock),
        _ => None,
    }
}
