//! Reads the values of a checked fact. The schema has made sure of their kinds,
//! so each of these finds what it looks for in every fact that got here.

use crate::quantity::unit::Dimension;
use crate::quantity::{Angle, FrameRate, Length, Range, Seconds, Share, TimeSpan};
use crate::schema::{Arg, Fact, Measure};
use crate::source::Spanned;
use jiff::civil::{Date, Time};

pub(super) fn name(fact: &Fact, at: usize) -> Option<&Spanned<String>> {
    fact.args.get(at).and_then(Arg::name)
}

pub(super) fn text(fact: &Fact, at: usize) -> Option<Spanned<String>> {
    match fact.args.get(at) {
        Some(Arg::Text(text)) => Some(text.clone()),
        _ => None,
    }
}

pub(super) fn number(fact: &Fact, at: usize) -> Option<Spanned<f64>> {
    measure(fact, at).map(|number| Spanned::new(number.value.value, number.span))
}

pub(super) fn measure(fact: &Fact, at: usize) -> Option<Spanned<Measure>> {
    fact.args.get(at).and_then(Arg::number)
}

/// The quantity of the statement with that word in a block.
pub(super) fn of(fact: &Fact, word: &str) -> Option<Spanned<f64>> {
    number(fact.get(word)?, 0)
}

pub(super) fn length(fact: &Fact, word: &str) -> Option<Spanned<Length>> {
    of(fact, word).map(|number| Spanned::new(Length(number.value), number.span))
}

pub(super) fn angle(fact: &Fact, word: &str) -> Option<Spanned<Angle>> {
    of(fact, word).map(|number| Spanned::new(Angle(number.value), number.span))
}

pub(super) fn share(fact: &Fact, word: &str) -> Option<Share> {
    of(fact, word).map(|number| Share(number.value))
}

pub(super) fn count(fact: &Fact, word: &str) -> Option<u32> {
    of(fact, word).map(|number| number.value as u32)
}

pub(super) fn yes(fact: &Fact, word: &str) -> Option<bool> {
    fact.get(word).and_then(|line| name(line, 0)).map(|word| word.value == "yes")
}

/// A time span in seconds; frames are counted at `rate`.
pub(super) fn seconds(fact: &Fact, word: &str, rate: FrameRate) -> Option<Spanned<Seconds>> {
    let number = measure(fact.get(word)?, 0)?;
    Some(Spanned::new(span_of(number.value).seconds(rate), number.span))
}

pub(super) fn span_of(measure: Measure) -> TimeSpan {
    debug_assert_eq!(measure.dimension, Dimension::Time);
    if measure.frames { TimeSpan::Frames(measure.value) } else { TimeSpan::Time(Seconds(measure.value)) }
}

pub(super) fn texts(fact: &Fact, word: &str) -> Vec<String> {
    fact.body
        .iter()
        .filter(|line| line.word.value == word)
        .filter_map(|line| text(line, 0))
        .map(|text| text.value)
        .collect()
}

pub(super) fn first_text(fact: &Fact, word: &str) -> Option<String> {
    fact.get(word).and_then(|line| text(line, 0)).map(|text| text.value)
}

/// The entries of a list.
pub(super) fn list(fact: &Fact, at: usize) -> &[Vec<Arg>] {
    match fact.args.get(at) {
        Some(Arg::List(entries)) => entries,
        _ => &[],
    }
}

/// Names of a list statement in a block, over all lines with that word.
pub(super) fn names(fact: &Fact, word: &str) -> Vec<Spanned<String>> {
    fact.body.iter().filter(|line| line.word.value == word).flat_map(|line| list_names(line, 0)).collect()
}

pub(super) fn list_names(fact: &Fact, at: usize) -> Vec<Spanned<String>> {
    list(fact, at).iter().filter_map(|entry| entry.first()?.name().cloned()).collect()
}

/// The parts of a `Maybe`, if written.
pub(super) fn group(fact: &Fact, at: usize) -> Option<&[Arg]> {
    match fact.args.get(at) {
        Some(Arg::Group(parts)) => Some(parts),
        _ => None,
    }
}

/// The quantity in a `Maybe`, if written.
pub(super) fn group_number(fact: &Fact, at: usize) -> Option<Spanned<f64>> {
    let number = group(fact, at)?.first()?.number()?;
    Some(Spanned::new(number.value.value, number.span))
}

pub(super) fn clocks(arg: &Arg) -> Option<Spanned<Range<Time>>> {
    match arg {
        Arg::Range(from, to) => match (from.as_ref(), to.as_ref()) {
            (Arg::Clock(from), Arg::Clock(to)) => {
                Some(Spanned::new(Range { from: from.value, to: to.value }, from.span.to(to.span)))
            }
            _ => None,
        },
        _ => None,
    }
}

pub(super) fn dates(arg: &Arg) -> Option<Spanned<Range<Date>>> {
    match arg {
        Arg::Range(from, to) => match (from.as_ref(), to.as_ref()) {
            (Arg::Date(from), Arg::Date(to)) => {
                Some(Spanned::new(Range { from: from.value, to: to.value }, from.span.to(to.span)))
            }
            _ => None,
        },
        _ => None,
    }
}

/// Two quantities with `x` between.
pub(super) fn pair(fact: &Fact, word: &str) -> Option<Spanned<(f64, f64)>> {
    let line = fact.get(word)?;
    let (first, second) = (number(line, 0)?, number(line, 1)?);
    Some(Spanned::new((first.value, second.value), first.span.to(second.span)))
}
