//! Which sequence, which day, which plate a log speaks of, and whether its clocks
//! can be.
//!
//! In: logs as read. Out: entries that are known to be of a plate and a day; the
//! rest is reported and kept aside.

use super::read::{Entry, Log, Taken};
use super::words;
use crate::craft::timecode::{Counting, Timebase};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{Aside, DayPlan, LoggedDay, Model, PlateId};
use crate::quantity::Minute;
use crate::recipe::Breakdown;
use crate::source::{Sources, Span, Spanned};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

/// What logs are held against.
pub(super) struct Desk<'a> {
    pub(super) sources: &'a Sources,
    pub(super) model: &'a Model,
    pub(super) breakdown: &'a Breakdown,
    pub(super) zone: &'a TimeZone,
}

/// Entries in order of day, then file.
#[derive(Default)]
pub(super) struct Placed {
    pub(super) days: BTreeMap<Date, LoggedDay>,
    pub(super) entries: Vec<(PlateId, Date, Entry)>,
    pub(super) aside: Vec<Aside>,
}

impl Desk<'_> {
    /// Puts every log in its place.
    pub(super) fn place(&self, logs: Vec<Log>, diagnostics: &mut Vec<Diagnostic>) -> Placed {
        let mut placed = Placed::default();
        for log in logs {
            if log.sequence.value != self.model.sequence.named.path {
                diagnostics.push(self.other_sequence(&log.sequence));
                self.keep(&log.entries, "the log is of another sequence", &mut placed.aside);
                continue;
            }
            let Some(day) = log.day else {
                // That it is missing has been told by whoever read it.
                self.keep(&log.entries, "the log has no day", &mut placed.aside);
                continue;
            };
            diagnostics.extend(self.unplanned_day(day));
            self.day(&log, day, &mut placed, diagnostics);
            for entry in log.entries {
                self.entry(entry, day.value, &mut placed, diagnostics);
            }
        }
        placed.entries.sort_by_key(|(plate, date, _)| (*plate, *date));
        placed
    }

    fn other_sequence(&self, name: &Spanned<String>) -> Diagnostic {
        let own = &self.model.sequence.named.path;
        Diagnostic::new(
            codes::LOG_SEQUENCE,
            name.span,
            format!("this is a log of '{}', and the sequence is '{own}'", name.value),
        )
        .label("nothing of this log is used")
        .help(format!("move the file beside its own sequence, or write 'log {own}' if the name is a slip"))
    }

    fn unplanned_day(&self, day: Spanned<Date>) -> Option<Diagnostic> {
        let days = self.model.days.as_ref().filter(|_| self.plan(day.value).is_none())?;
        let dates: Vec<String> = days.each.iter().map(|day| day.date.to_string()).collect();
        Some(
            Diagnostic::new(
                codes::LOG_DAY,
                day.span,
                format!("{} is no shoot day of the sequence", day.value),
            )
            .label("used as written")
            .other(days.named.span, "shoot days stand here")
            .help(format!("the shoot days are {}; if the date is right, add it there", dates.join(", "))),
        )
    }

    fn plan(&self, date: Date) -> Option<&DayPlan> {
        self.model.days.as_ref()?.each.iter().find(|day| day.date == date)
    }

    /// A clock of a day: one before the call of a day that goes on past midnight is of the night.
    pub(super) fn moment(&self, date: Date, clock: Time) -> Option<Minute> {
        let night = self.plan(date).is_some_and(|day| day.wrap <= day.call && clock < day.call);
        let date = if night { date.tomorrow().ok()? } else { date };
        Minute::from_civil(date.to_datetime(clock), self.zone)
    }

    fn day(&self, log: &Log, day: Spanned<Date>, placed: &mut Placed, diagnostics: &mut Vec<Diagnostic>) {
        let wrapped = log.wrapped.and_then(|clock| self.moment(day.value, clock.value));
        let takes = log.entries.iter().flat_map(|entry| &entry.takes);
        for at in takes.filter_map(|take| take.at) {
            let (Some(began), Some(end)) = (self.moment(day.value, at.value), wrapped) else { continue };
            if began > end {
                let wrap = log.wrapped.map_or(at.span, |clock| clock.span);
                diagnostics.push(
                    Diagnostic::new(codes::LOG_CLOCK, at.span, "a take began after the day had wrapped")
                        .label(format!("later than {}", end.clock(self.zone)))
                        .other(wrap, "wrapped here")
                        .help("correct the clock that is wrong; the take counts either way"),
                );
            }
        }
        let known = placed.days.entry(day.value).or_insert_with(|| LoggedDay {
            date: day.value,
            wrapped,
            last: None,
            by: Vec::new(),
            papers: Vec::new(),
            notes: Vec::new(),
            span: day.span,
        });
        let differs = known.wrapped.zip(wrapped).is_some_and(|(one, other)| one != other);
        if let (true, Some(clock)) = (differs, log.wrapped) {
            diagnostics.push(
                Diagnostic::new(
                    codes::LOGS_DIFFER,
                    clock.span,
                    "two logs of one day wrap at different times",
                )
                .label("the later one is used")
                .other(known.span, "the other log of this day")
                .help("ask both, and write one time in both, or in one only"),
            );
        }
        known.wrapped = known.wrapped.max(wrapped);
        add(&mut known.by, &log.by);
        add(&mut known.papers, &log.papers);
        add(&mut known.notes, &log.notes);
    }

    fn entry(&self, entry: Entry, date: Date, placed: &mut Placed, diagnostics: &mut Vec<Diagnostic>) {
        let path = &entry.plate.value;
        let found = self.breakdown.plates.iter().find(|(_, plate)| plate.named.path == *path);
        let Some((id, _)) = found else {
            diagnostics.push(self.unknown(&entry.plate));
            self.keep(std::slice::from_ref(&entry), "the sequence holds no such plate", &mut placed.aside);
            return;
        };
        self.clocks(&entry.takes, date, diagnostics);
        for take in &entry.takes {
            diagnostics.extend(self.timecode(id, take));
            let began = take.at.and_then(|at| self.moment(date, at.value));
            if let Some(day) = placed.days.get_mut(&date) {
                day.last = day.last.max(began);
            }
        }
        placed.entries.push((id, date, entry));
    }

    fn unknown(&self, path: &Spanned<String>) -> Diagnostic {
        let found = Diagnostic::new(
            codes::LOG_PLATE,
            path.span,
            format!("the sequence holds no plate '{}'", path.value),
        );
        let paths = self.breakdown.plates.values().map(|plate| plate.named.path.as_str());
        match nearest(&path.value, paths) {
            Some(near) => found
                .label(format!("did you mean '{near}'?"))
                .help(format!("write 'plate {near}' if it was renamed or misspelt; its takes are kept aside"))
                .patch(path.span, near),
            None => found.label("kept aside").help(
                "write the path that stands on the card; if the plate was cut, leave the log as it is: its \
                 takes stay on the ingest list",
            ),
        }
    }

    /// Takes in order of number began in order of time.
    fn clocks(&self, takes: &[Taken], date: Date, diagnostics: &mut Vec<Diagnostic>) {
        let mut clocked: Vec<&Taken> = takes.iter().filter(|take| take.at.is_some()).collect();
        clocked.sort_by_key(|take| take.number);
        for pair in clocked.windows(2) {
            let [before, after] = pair else { continue };
            let (Some(one), Some(other)) = (before.at, after.at) else { continue };
            if before.number != after.number && self.moment(date, one.value) > self.moment(date, other.value)
            {
                diagnostics.push(
                    Diagnostic::new(
                        codes::LOG_CLOCK,
                        other.span,
                        format!("take {} began before take {}", after.number, before.number),
                    )
                    .label("earlier than the take before it")
                    .other(one.span, format!("take {} began here", before.number))
                    .help("correct the clock or the number that is wrong; both takes count either way"),
                );
            }
        }
    }

    /// Timecode that the plate's camera cannot have written, or that ends before it begins.
    fn timecode(&self, plate: PlateId, take: &Taken) -> Option<Diagnostic> {
        let (from, to) = take.timecode.as_ref()?;
        let mode = &self.model.modes[self.breakdown.plates[plate].mode];
        let base = Timebase::new(mode.rate, Counting::of(&from.value)).ok()?;
        let wrong = |span: Span, message: String| {
            Diagnostic::new(codes::LOG_CLOCK, span, message)
                .help("read it from the clip and write HH:MM:SS:FF; the take counts either way")
        };
        for label in [from, to] {
            if let Err(why) = base.frame(&label.value) {
                let rate = crate::quantity::show::number(mode.rate.per_second(), 3);
                let message = format!("'{}' is no timecode at {rate} frames a second: {why}", label.value);
                return Some(wrong(label.span, message));
            }
        }
        let (start, end) = (base.frame(&from.value).ok()?, base.frame(&to.value).ok()?);
        (end <= start).then(|| {
            wrong(to.span, format!("take {} ends before it begins", take.number))
                .other(from.span, "it begins here")
        })
    }

    fn keep(&self, entries: &[Entry], why: &str, aside: &mut Vec<Aside>) {
        for entry in entries {
            for &span in &entry.lines {
                let text = format!("{}: {}", entry.plate.value, words(self.sources, span));
                aside.push(Aside { text, why: why.to_owned(), span });
            }
        }
    }
}

/// Adds what another log of the day says and was not known.
fn add<'a>(known: &mut Vec<String>, said: impl IntoIterator<Item = &'a String>) {
    let fresh: Vec<String> = said.into_iter().filter(|one| !known.contains(one)).cloned().collect();
    known.extend(fresh);
}
