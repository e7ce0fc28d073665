//! When people at the desk work.
//!
//! In: the sequence and the planned shoot. Out: working hours by person.
//! Conventions: a working day starts at 10:00 local time and lasts as long as
//! the person's hours a day, less the time for which they are called to the
//! shoot: who stands under the same name as a person and at the desk is one and
//! the same. On a shoot day there are two hours more, after the wrap and after
//! the day's own hours, in which footage alone is brought in; they end early
//! enough for the rest before the next call, and are for nobody who is away, nor
//! on their day off for anybody who is not at the shoot anyway.

use crate::model::{Desk, Model, PersonId, PlateId};
use crate::order::duration::{DESK_START, EVENING, minutes};
use crate::order::plan::{Minute, PlannedDay, ShootPlan};
use crate::quantity::Seconds;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// Hours of the desk around a planned shoot.
pub(crate) struct Calendar<'a> {
    /// The sequence.
    pub(crate) model: &'a Model,
    /// Its zone.
    pub(crate) zone: &'a TimeZone,
    /// The shoot.
    pub(crate) shoot: &'a ShootPlan,
}

/// From when to when, in minutes of absolute time.
type Span = (i64, i64);

impl Calendar<'_> {
    /// Ordinary hours on a date, in order; none on days off and away.
    pub(crate) fn hours(&self, desk: &Desk, date: Date) -> Vec<Span> {
        let Some(shift) = self.shift(desk, date) else { return Vec::new() };
        let mut open = vec![shift];
        for (from, to) in self.calls(desk) {
            let cut = |one: Span| [(one.0, one.1.min(from)), (one.0.max(to), one.1)];
            open = open.into_iter().flat_map(cut).filter(|one| one.0 < one.1).collect();
        }
        open
    }

    /// Hours in which footage alone is brought in, in order.
    pub(crate) fn evenings(&self, desk: &Desk) -> Vec<Span> {
        let days = &self.shoot.days;
        let next = days.iter().skip(1).map(Some).chain([None]);
        days.iter().zip(next).filter_map(|(day, next)| self.evening(desk, day, next)).collect()
    }

    fn evening(&self, desk: &Desk, day: &PlannedDay, next: Option<&PlannedDay>) -> Option<Span> {
        let is_there = self.person(desk).is_some() || !desk.off.contains(&day.date.weekday());
        if is_away(desk, day.date) || !is_there || minutes_of(desk) == 0 {
            return None;
        }
        let over = self.shift(desk, day.date).map_or(day.wrap.0, |shift| shift.1.max(day.wrap.0));
        let rested = next.and_then(|next| {
            let rest = self.model.days.as_ref()?.each.get(next.allowed)?.rest;
            Some(next.call.0 - minutes(rest))
        });
        let until = (over + EVENING).min(rested.unwrap_or(i64::MAX));
        (over < until).then_some((over, until))
    }

    fn shift(&self, desk: &Desk, date: Date) -> Option<Span> {
        if is_away(desk, date) || desk.off.contains(&date.weekday()) {
            return None;
        }
        let from = Minute::from_civil(date.at(DESK_START, 0, 0, 0), self.zone)?;
        Some((from.0, from.0 + minutes_of(desk)))
    }

    /// When they are called to the shoot.
    fn calls(&self, desk: &Desk) -> Vec<Span> {
        let Some(person) = self.person(desk) else { return Vec::new() };
        let calls = self.shoot.days.iter().flat_map(|day| &day.people);
        calls.filter(|call| call.person == person).map(|call| (call.call.0, call.release.0)).collect()
    }

    fn person(&self, desk: &Desk) -> Option<PersonId> {
        let same = self.model.people.iter().find(|(_, person)| person.named.path == desk.named.path);
        same.map(|(id, _)| id)
    }

    /// When the footage of a plate is in hand: when the day on which it was or will
    /// be shot is packed; what nobody logged the wrap of, when its date is over.
    pub(crate) fn in_hand(&self, plate: PlateId) -> Option<i64> {
        if let Some(captured) = self.model.record.captured(plate) {
            let day = self.model.record.day(captured.date);
            let wrapped = day.and_then(|day| day.wrapped).map(|at| at.0);
            return wrapped.or_else(|| self.midnight(captured.date.tomorrow().ok()?));
        }
        let &(day, ..) = self.shoot.shot.get(&plate)?;
        Some(self.shoot.days.get(day)?.wrap.0)
    }

    /// The first minute of a date.
    pub(crate) fn midnight(&self, date: Date) -> Option<i64> {
        Minute::from_civil(date.at(0, 0, 0, 0), self.zone).map(|at| at.0)
    }
}

/// Minutes of a working day.
pub(crate) fn minutes_of(desk: &Desk) -> i64 {
    minutes(Seconds(desk.hours.0 * 3600.0)).min(24 * 60)
}

fn is_away(desk: &Desk, date: Date) -> bool {
    desk.away.iter().any(|away| away.value.from <= date && date <= away.value.to)
}
