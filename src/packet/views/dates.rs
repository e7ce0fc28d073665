//! What stands in a calendar: shoot days, calls, due dates.
//!
//! One calendar holds everything; each person, on location or at the desk, has
//! one of their own. An event keeps its `key` when the plan moves it, so that a
//! program that has read an earlier packet moves it too.

use super::shape::count;
use super::weather;
use crate::model::{Named, PersonId, PlaceId};
use crate::order::{Assignment, Minute, PersonCall, PlannedDay, WaitKind};
use crate::packet::index::{Index, long_date};
use crate::packet::names::Names;
use crate::recipe::{Owner, Pass, PassId};
use jiff::civil::Date;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// A calendar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Calendar {
    /// Name of the document without ending.
    pub file: String,
    /// Whose it is.
    pub title: String,
    /// In order of time.
    pub events: Vec<CalendarEvent>,
}

/// Something at a time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CalendarEvent {
    /// What it is, in words of the sequence that stay when its time changes.
    pub key: String,
    /// In a line.
    pub title: String,
    /// In several; empty where the line says it all.
    pub says: Vec<String>,
    /// Where to be; empty at the desk.
    pub place: String,
    /// `38.7056;-9.1657`: latitude and longitude in degrees, WGS 84; empty where not known.
    pub position: String,
    /// When.
    pub when: When,
}

/// When an event is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum When {
    /// From one moment to another.
    Span {
        /// Start for programs.
        start_at: String,
        /// End for programs.
        end_at: String,
        /// Start.
        #[serde(skip)]
        start: Minute,
        /// End; after the start.
        #[serde(skip)]
        end: Minute,
    },
    /// A moment.
    Due {
        /// For programs.
        at: String,
        /// The moment.
        #[serde(skip)]
        moment: Minute,
    },
    /// A whole day, `2027-06-18`.
    Day(String),
}

impl When {
    fn order(&self) -> (String, i64) {
        match self {
            When::Day(date) => (date.clone(), i64::MIN),
            When::Due { at, moment } => (at.chars().take(10).collect(), moment.0),
            When::Span { start_at, start, .. } => (start_at.chars().take(10).collect(), start.0),
        }
    }
}

/// The calendar of everything, then one for each person who has a date.
pub(crate) fn calendars(index: &Index<'_>) -> Vec<Calendar> {
    let mut all: Vec<CalendarEvent> =
        index.days().iter().enumerate().map(|(at, day)| shoot_day(index, at, day)).collect();
    all.extend(lock(index));
    all.extend(reviews(index));
    all.extend(finish(index));
    let sequence = index.model.sequence.named.label();
    let mut calendars = Vec::new();
    for (file, title, own) in people(index) {
        for event in &own {
            if !all.contains(event) {
                all.push(event.clone());
            }
        }
        calendars.push(calendar(file, format!("{title}: {sequence}"), own));
    }
    let title = sequence.to_owned();
    calendars.insert(0, calendar("calendar".to_owned(), title, all));
    calendars
}

fn calendar(file: String, title: String, mut events: Vec<CalendarEvent>) -> Calendar {
    events.sort_by_key(|event| event.when.order());
    Calendar { file, title, events }
}

/// Everybody with their calls and due dates. Somebody who is on location and at
/// the desk under one name has one calendar.
fn people(index: &Index<'_>) -> Vec<(String, String, Vec<CalendarEvent>)> {
    let mut names = Names::default();
    let mut own: Vec<(&Named, Vec<CalendarEvent>)> = Vec::new();
    for (id, person) in index.model.people.iter() {
        own.push((&person.named, calls(index, id)));
    }
    let mut due: BTreeMap<_, Vec<PassId>> = BTreeMap::new();
    for work in &index.input.plan.desk.work {
        due.entry(work.desk).or_default().push(work.pass);
    }
    for (id, desk) in index.model.desks.iter() {
        let dates = dues(index, &desk.named, &due.remove(&id).unwrap_or_default());
        let same = |named: &Named| named.path == desk.named.path && named.label() == desk.named.label();
        match own.iter_mut().find(|(named, _)| same(named)) {
            Some((_, events)) => events.extend(dates),
            None => own.push((&desk.named, dates)),
        }
    }
    own.into_iter()
        .map(|(named, events)| (names.give("calendar", &named.path), named.label().to_owned(), events))
        .filter(|(_, _, events)| !events.is_empty())
        .collect()
}

fn span(index: &Index<'_>, start: Minute, end: Minute) -> When {
    if end.0 <= start.0 {
        return moment(index, start);
    }
    When::Span { start_at: index.stamp(start), end_at: index.stamp(end), start, end }
}

fn moment(index: &Index<'_>, moment: Minute) -> When {
    When::Due { at: index.stamp(moment), moment }
}

fn shoot_day(index: &Index<'_>, at: usize, day: &PlannedDay) -> CalendarEvent {
    let mut says: Vec<String> = day
        .people
        .iter()
        .map(|called| {
            let name = index.model.people[called.person].named.label();
            let (from, to) =
                (index.clock_on(called.call, day.date), index.clock_on(called.release, day.date));
            format!("{name}: {from} to {to}")
        })
        .collect();
    let shot = super::kit::shot(day);
    says.push(count(shot.len(), "plate or reference", "plates and references"));
    says.extend(weather::for_everybody(index, at, day));
    says.push(format!("Call sheet: call-sheet-{}", day.number));
    let place = day.base.or(day.steps.first().map(|step| step.place));
    CalendarEvent {
        key: format!("day {}", day.number),
        title: format!("Shoot day {}: {}", day.number, index.model.sequence.named.label()),
        says,
        place: named_place(index, place),
        position: position(index, place),
        when: span(index, day.call, day.wrap),
    }
}

fn calls(index: &Index<'_>, person: PersonId) -> Vec<CalendarEvent> {
    let mut calls = Vec::new();
    for (at, day) in index.days().iter().enumerate() {
        for called in day.people.iter().filter(|called| called.person == person) {
            calls.push(call(index, at, day, called));
        }
    }
    calls
}

fn call(index: &Index<'_>, at: usize, day: &PlannedDay, called: &PersonCall) -> CalendarEvent {
    let named = &index.model.people[called.person].named;
    let mut plates: Vec<_> = called
        .for_plates
        .iter()
        .map(|(plate, what)| (index.day_of(*plate).map(|slot| slot.2), *plate, what))
        .collect();
    plates.sort_by_key(|(start, plate, _)| (*start, *plate));
    let first = plates.first().map(|(_, plate, _)| index.plate(*plate).place);
    let place = if called.call == day.call { day.base.or(first) } else { first };
    let mut says: Vec<String> = plates
        .iter()
        .map(|(start, plate, what)| {
            let clock = start.map(|start| index.clock_on(start, day.date)).unwrap_or_default();
            format!("{clock} {what}: {}", index.plate(*plate).named.label())
        })
        .collect();
    says.extend(weather::for_one(index, at, day, called));
    says.push(format!("{}; call sheet: call-sheet-{}", long_date(day.date), day.number));
    CalendarEvent {
        key: format!("call {} {}", named.path, day.number),
        title: format!("Call, {}: {}, day {}", named.label(), index.model.sequence.named.label(), day.number),
        says,
        place: named_place(index, place),
        position: position(index, place),
        when: span(index, called.call, called.release),
    }
}

/// One date for each pass of somebody at the desk; clips that are brought in on
/// one day, a quarter of an hour each, are one.
fn dues(index: &Index<'_>, desk: &Named, passes: &[PassId]) -> Vec<CalendarEvent> {
    let mut clips: BTreeMap<Date, Vec<&Assignment>> = BTreeMap::new();
    let mut dates = Vec::new();
    for work in passes.iter().filter_map(|id| index.assigned(*id)) {
        let pass = &index.input.breakdown.passes[work.pass];
        if matches!(pass.owner, Owner::Plate(_)) {
            clips.entry(work.end.civil(&index.zone).date()).or_default().push(work);
        } else {
            dates.push(due(index, pass, work));
        }
    }
    for (at, (day, works)) in clips.iter().enumerate() {
        let lines = works.iter().map(|work| {
            let title = index.owner_title(index.input.breakdown.passes[work.pass].owner);
            format!("{} {title}", index.clock_on(work.end, *day))
        });
        let last = works.iter().map(|work| work.end).max();
        dates.extend(last.map(|last| CalendarEvent {
            key: format!("due clips {} {}", desk.path, at + 1),
            title: format!("Due: {} brought in", count(works.len(), "clip", "clips")),
            says: std::iter::once(format!("{}:", desk.label())).chain(lines).collect(),
            place: String::new(),
            position: String::new(),
            when: moment(index, last),
        }));
    }
    dates
}

fn due(index: &Index<'_>, pass: &Pass, work: &Assignment) -> CalendarEvent {
    let after = index.input.plan.desk.after.get(&work.pass).map_or(&[][..], Vec::as_slice);
    let then = (!after.is_empty()).then(|| format!("Then {}", super::passes::then(index, after)));
    CalendarEvent {
        key: format!("due {}", pass.path),
        title: format!("Due: {}, {}", pass.title, index.owner_title(pass.owner)),
        says: [
            format!("{}: {}", index.model.desks[work.desk].named.label(), pass.path),
            format!("Start {}; {} of work", index.moment(work.start), pass.effort),
        ]
        .into_iter()
        .chain(then)
        .collect(),
        place: String::new(),
        position: String::new(),
        when: moment(index, work.end),
    }
}

/// One date for each review, by which all have looked and agreed.
fn reviews(index: &Index<'_>) -> Vec<CalendarEvent> {
    let after = index.input.plan.desk.after.iter().flat_map(|(id, all)| all.iter().map(move |one| (id, one)));
    let reviews = after.filter(|(_, one)| one.kind == WaitKind::Review);
    reviews
        .map(|(id, one)| {
            let pass = &index.input.breakdown.passes[*id];
            CalendarEvent {
                key: format!("review {}", pass.path),
                title: format!("Review over: {}, {}", pass.title, index.owner_title(pass.owner)),
                says: vec![format!("{}, to be looked at from {}", pass.path, index.moment(one.from))],
                place: String::new(),
                position: String::new(),
                when: moment(index, one.to),
            }
        })
        .collect()
}

fn lock(index: &Index<'_>) -> Option<CalendarEvent> {
    let (id, pass) = index.input.breakdown.passes.iter().find(|(_, pass)| pass.lock)?;
    let done = index.input.plan.desk.done.get(&id)?;
    Some(CalendarEvent {
        key: format!("due {}", pass.path),
        title: format!("{}: {}", pass.title, index.model.sequence.named.label()),
        says: vec!["From here on the picture no longer changes; sound and grade begin.".to_owned()],
        place: String::new(),
        position: String::new(),
        when: moment(index, *done),
    })
}

fn finish(index: &Index<'_>) -> Option<CalendarEvent> {
    let finish = index.model.finish.as_ref()?;
    let planned = index
        .input
        .plan
        .desk
        .finish
        .map(|at| format!("The desk is planned to be done {}.", index.moment(at)));
    Some(CalendarEvent {
        key: "finish".to_owned(),
        title: format!("Finish: {}", index.model.sequence.named.label()),
        says: planned.into_iter().collect(),
        place: String::new(),
        position: String::new(),
        when: When::Day(finish.by.to_string()),
    })
}

fn named_place(index: &Index<'_>, id: Option<PlaceId>) -> String {
    id.map(|id| index.model.places[id].named.label().to_owned()).unwrap_or_default()
}

fn position(index: &Index<'_>, id: Option<PlaceId>) -> String {
    let at = id.and_then(|id| index.model.places[id].at.as_ref());
    let degrees = |value| crate::quantity::show::number(value, 6);
    at.map(|at| format!("{};{}", degrees(at.value.latitude), degrees(at.value.longitude))).unwrap_or_default()
}
