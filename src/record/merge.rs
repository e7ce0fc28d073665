//! Several logs as one: the same take told twice is one take, and where two logs
//! cannot both be right, that is told.
//!
//! In: entries in order of plate, day and file. Out: a record of what was logged;
//! which plates that leaves to be shot is for `owed` to say.

use super::place::{Desk, Placed};
use super::read::{Entry, Taken};
use super::words;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Aside, Capture, Measured, OffMark, PlateId, Record, Take, Worth};
use crate::source::{Span, Spanned};
use jiff::civil::Date;

pub(super) fn merge(desk: &Desk<'_>, placed: Placed, diagnostics: &mut Vec<Diagnostic>) -> Record {
    let mut record =
        Record { days: placed.days.into_values().collect(), aside: placed.aside, ..Record::default() };
    for of_plate in placed.entries.chunk_by(|(one, ..), (other, ..)| one == other) {
        let Some(&(plate, ..)) = of_plate.first() else { continue };
        let days: Vec<Day> = of_plate
            .chunk_by(|(_, one, _), (_, other, _)| one == other)
            .filter_map(|of_day| Day::of(desk, plate, of_day, &mut record.aside, diagnostics))
            .collect();
        if let Some(capture) = together(days) {
            record.plates.insert(plate, capture);
        }
    }
    record.aside.sort_by_key(|aside| aside.span);
    record
}

/// What was logged of one plate on one day.
struct Day {
    date: Date,
    takes: Vec<Take>,
    measured: Measured,
    light: Option<String>,
    notes: Vec<String>,
    problems: Vec<String>,
    span: Span,
}

/// The days of a plate as one: numbers and light are of the day of the take to use.
fn together(days: Vec<Day>) -> Option<Capture> {
    let usable = |day: &&Day| day.takes.iter().any(|take| take.worth != Worth::Spoiled);
    let circled = |day: &&Day| day.takes.iter().any(|take| take.worth == Worth::Circled);
    let used = days.iter().rev().find(circled).or_else(|| days.iter().rev().find(usable)).or(days.last())?;
    let mut capture = Capture {
        date: used.date,
        takes: Vec::new(),
        measured: used.measured,
        planned: Measured::default(),
        light: used.light.clone(),
        notes: Vec::new(),
        problems: Vec::new(),
        span: used.span,
    };
    for day in days {
        capture.takes.extend(day.takes);
        capture.notes.extend(day.notes);
        capture.problems.extend(day.problems);
    }
    Some(capture)
}

impl Day {
    fn of(
        desk: &Desk<'_>,
        plate: PlateId,
        entries: &[(PlateId, Date, Entry)],
        aside: &mut Vec<Aside>,
        diagnostics: &mut Vec<Diagnostic>,
    ) -> Option<Self> {
        let (_, date, first) = entries.first()?;
        let name = &desk.breakdown.plates[plate].named.path;
        let mut day = Self {
            date: *date,
            takes: Vec::new(),
            measured: Measured::default(),
            light: None,
            notes: Vec::new(),
            problems: Vec::new(),
            span: first.plate.span,
        };
        let mut taken: Vec<Taken> = Vec::new();
        for (.., entry) in entries {
            for take in &entry.takes {
                merge_take(desk, &mut taken, take, aside, diagnostics);
            }
            measure(&mut day.measured, &entry.measured, name, diagnostics);
            let light = day.light.take().into_iter().chain(entry.light.clone());
            day.light = light.reduce(|one, other| if one == other { one } else { format!("{one}; {other}") });
            add(&mut day.notes, &entry.notes);
            add(&mut day.problems, &entry.problems);
        }
        taken.sort_by_key(|take| take.number);
        circled_twice(&taken, name, diagnostics);
        day.takes = taken.into_iter().map(|take| finish(desk, *date, take)).collect();
        Some(day)
    }
}

fn add(known: &mut Vec<String>, more: &[String]) {
    for text in more {
        if !known.contains(text) {
            known.push(text.clone());
        }
    }
}

fn finish(desk: &Desk<'_>, date: Date, take: Taken) -> Take {
    Take {
        date,
        number: take.number,
        clip: take.clip,
        timecode: take.timecode.map(|(from, to)| (from.value, to.value)),
        at: take.at.and_then(|at| desk.moment(date, at.value)),
        worth: take.worth.unwrap_or(Worth::Usable),
        remark: take.remark,
        span: take.span,
    }
}

/// Adds a take; one that is known already only adds what was not said of it.
fn merge_take(
    desk: &Desk<'_>,
    known: &mut Vec<Taken>,
    take: &Taken,
    aside: &mut Vec<Aside>,
    diagnostics: &mut Vec<Diagnostic>,
) {
    let Some(same) = known.iter_mut().find(|one| one.number == take.number) else {
        known.push(take.clone());
        return;
    };
    let code = |take: &Taken| take.timecode.as_ref().map(|(from, to)| (from.value.clone(), to.value.clone()));
    let other_code = code(same).zip(code(take)).is_some_and(|(one, other)| one != other);
    if same.clip != take.clip || other_code {
        let what = if same.clip == take.clip { "timecodes" } else { "clips" };
        diagnostics.push(
            Diagnostic::new(
                codes::TAKE_TWICE,
                take.span,
                format!("take {} is there twice, with different {what}", take.number),
            )
            .label("kept aside")
            .other(same.span, "this one is used")
            .help("give one of them its own number, or remove the one that is wrong"),
        );
        aside.push(Aside {
            text: words(desk.sources, take.span),
            why: format!("take {} is there twice", take.number),
            span: take.span,
        });
        return;
    }
    if let (Some(one), Some(other)) = (same.worth, take.worth)
        && one != other
    {
        let worse =
            if one == Worth::Spoiled || other == Worth::Spoiled { Worth::Spoiled } else { Worth::Circled };
        diagnostics.push(
            Diagnostic::new(
                codes::LOGS_DIFFER,
                take.span,
                format!("take {} is {} here and {} there", take.number, other.word(), one.word()),
            )
            .label(format!("it counts as {}", worse.word()))
            .other(same.span, "the other line")
            .help("look at the clip, and write the same in both"),
        );
        same.worth = Some(worse);
    }
    same.worth = same.worth.or(take.worth);
    same.at = same.at.or(take.at);
    same.timecode = same.timecode.take().or_else(|| take.timecode.clone());
    same.remark = match (same.remark.take(), &take.remark) {
        (Some(one), Some(other)) if one != *other => Some(format!("{one}; {other}")),
        (one, other) => one.or_else(|| other.clone()),
    };
}

fn circled_twice(takes: &[Taken], plate: &str, diagnostics: &mut Vec<Diagnostic>) {
    let circled: Vec<&Taken> = takes.iter().filter(|take| take.worth == Some(Worth::Circled)).collect();
    let [others @ .., last] = circled.as_slice() else { return };
    if others.is_empty() {
        return;
    }
    let mut found = Diagnostic::new(
        codes::CIRCLED_TWICE,
        last.span,
        format!("{} takes of '{plate}' are circled on one day", circled.len()),
    )
    .label(format!("take {} is used, the last of them", last.number))
    .help("leave 'circled' on the one to use, and write 'usable' on the others");
    for other in others {
        found = found.other(other.span, format!("take {} is circled too", other.number));
    }
    diagnostics.push(found);
}

/// Numbers that differ by less than this are the same.
const SAME: f64 = 1e-9;

/// Adds what another entry measured. Where both measured, the first counts; of
/// two distances from a mark the larger, which is the safe side.
fn measure(known: &mut Measured, more: &Measured, plate: &str, diagnostics: &mut Vec<Diagnostic>) {
    let mut both = Both { plate, diagnostics };
    both.first("height", &mut known.height, more.height, |value| value.0);
    both.first("heading", &mut known.heading, more.heading, |value| value.0);
    both.first("tilt", &mut known.tilt, more.tilt, |value| value.0);
    both.first("near", &mut known.near, more.near, |value| value.0);
    both.first("far", &mut known.far, more.far, |value| value.0);
    both.first("gap", &mut known.gap, more.gap, |value| value.0);
    both.larger("entered", &mut known.entered, more.entered);
    both.larger("left", &mut known.left, more.left);
}

struct Both<'a> {
    plate: &'a str,
    diagnostics: &'a mut Vec<Diagnostic>,
}

impl Both<'_> {
    fn first<T: Copy>(
        &mut self,
        word: &str,
        known: &mut Option<Spanned<T>>,
        more: Option<Spanned<T>>,
        number: impl Fn(T) -> f64,
    ) {
        match (*known, more) {
            (None, _) => *known = more,
            (Some(one), Some(other)) if (number(one.value) - number(other.value)).abs() > SAME => {
                self.tell(word, (one.span, other.span), "the first is used");
            }
            _ => {}
        }
    }

    fn larger(&mut self, word: &str, known: &mut Option<Spanned<OffMark>>, more: Option<Spanned<OffMark>>) {
        match (*known, more) {
            (None, _) => *known = more,
            (Some(one), Some(other)) if one.value != other.value => {
                self.tell(word, (one.span, other.span), "the larger one is used");
                if other.value.off > one.value.off {
                    *known = more;
                }
            }
            _ => {}
        }
    }

    fn tell(&mut self, word: &str, (one, other): (Span, Span), used: &str) {
        self.diagnostics.push(
            Diagnostic::new(
                codes::LOGS_DIFFER,
                other,
                format!("'{word}' of '{}' was measured twice, with different numbers", self.plate),
            )
            .label(used)
            .other(one, "the other number")
            .help("ask who measured, and write the same number in both, or in one only"),
        );
    }
}
