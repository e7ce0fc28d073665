//! One log's facts as plain values.

use crate::model::{Measured, OffMark, Worth};
use crate::quantity::{Angle, Length, Speed};
use crate::schema::{Arg, Fact};
use crate::source::{Span, Spanned};
use jiff::civil::{Date, Time};

/// One log, read.
pub(super) struct Log {
    /// Whose log it says that it is.
    pub(super) sequence: Spanned<String>,
    /// `None` where it is missing or wrong, which has been reported.
    pub(super) day: Option<Spanned<Date>>,
    pub(super) by: Option<String>,
    pub(super) papers: Option<String>,
    pub(super) wrapped: Option<Spanned<Time>>,
    pub(super) notes: Vec<String>,
    pub(super) entries: Vec<Entry>,
}

/// What one log says of one plate.
pub(super) struct Entry {
    pub(super) plate: Spanned<String>,
    pub(super) takes: Vec<Taken>,
    pub(super) measured: Measured,
    pub(super) light: Option<String>,
    pub(super) notes: Vec<String>,
    pub(super) problems: Vec<String>,
    /// Its lines, for what cannot be used.
    pub(super) lines: Vec<Span>,
}

/// One `take` line.
#[derive(Clone)]
pub(super) struct Taken {
    pub(super) number: u32,
    pub(super) clip: String,
    pub(super) timecode: Option<(Spanned<String>, Spanned<String>)>,
    pub(super) at: Option<Spanned<Time>>,
    /// `None` where nothing was said.
    pub(super) worth: Option<Worth>,
    pub(super) remark: Option<String>,
    pub(super) span: Span,
}

pub(super) fn read(log: &Fact) -> Log {
    let first = |word: &str| log.get(word).and_then(|fact| fact.args.first());
    let name = log.args.first().and_then(Arg::name).cloned();
    Log {
        sequence: name.unwrap_or_else(|| Spanned::new(String::new(), log.span)),
        day: match first("day") {
            Some(Arg::Date(date)) => Some(*date),
            _ => None,
        },
        by: first("by").and_then(text),
        papers: first("papers").and_then(text),
        wrapped: first("wrapped").and_then(clock),
        notes: texts(log, "note"),
        entries: log.all("plate").filter_map(entry).collect(),
    }
}

fn texts(fact: &Fact, word: &'static str) -> Vec<String> {
    fact.all(word).filter_map(|line| line.args.first().and_then(text)).collect()
}

fn entry(fact: &Fact) -> Option<Entry> {
    let number =
        |word: &str| Some((fact.get(word)?.args.first()?.number()?.value.value, fact.get(word)?.span));
    let length = |word: &str| number(word).map(|(value, span)| Spanned::new(Length(value), span));
    let angle = |word: &str| number(word).map(|(value, span)| Spanned::new(Angle(value), span));
    Some(Entry {
        plate: fact.args.first()?.name()?.clone(),
        takes: fact.all("take").filter_map(taken).collect(),
        measured: Measured {
            height: length("height"),
            heading: angle("heading"),
            tilt: angle("tilt"),
            near: length("near"),
            far: length("far"),
            gap: length("gap"),
            entered: fact.get("entered").and_then(off_mark),
            left: fact.get("left").and_then(off_mark),
        },
        light: fact.get("light").and_then(|line| line.args.first()).and_then(text),
        notes: texts(fact, "note"),
        problems: texts(fact, "problem"),
        lines: fact.body.iter().map(|line| line.span).collect(),
    })
}

fn off_mark(fact: &Fact) -> Option<Spanned<OffMark>> {
    let off = Length(fact.args.first()?.number()?.value.value);
    let in_group = |at: usize| match fact.args.get(at) {
        Some(Arg::Group(parts)) => parts.iter().find_map(Arg::number).map(|number| number.value.value),
        _ => None,
    };
    let out = OffMark { off, turned: in_group(1).map(Angle), speed: in_group(2).map(Speed) };
    Some(Spanned::new(out, fact.span))
}

fn taken(fact: &Fact) -> Option<Taken> {
    let group = |at: usize| match fact.args.get(at) {
        Some(Arg::Group(parts)) => parts.as_slice(),
        _ => &[],
    };
    let worth = match group(4).first().and_then(Arg::name).map(|word| word.value.as_str()) {
        Some("circled") => Some(Worth::Circled),
        Some("spoiled") => Some(Worth::Spoiled),
        Some(_) => Some(Worth::Usable),
        None => None,
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
