//! What people could give way on, one thing at a time.
//!
//! In: a sequence and a change. Out: the sequence with that one thing changed,
//! to be planned again. Rest, meals, a day off in the week, reserves of charge
//! and whoever watches are never given way on.

use crate::graph::{self, Node, Reason, Work};
use crate::model::{CameraId, DayPlan, DeskId, Light, Model, PersonId, PlaceId, PlateId, RigId};
use crate::order::blocks::Bounds;
use crate::order::plan::Plan;
use crate::order::{Effort, rounds};
use crate::quantity::{Hours, Range, Seconds};
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::{Time, Weekday};
use petgraph::algo::has_path_connecting;
use std::borrow::Cow;

/// A sequence that may be changed without touching the one that was written.
#[derive(Clone)]
pub(crate) struct World<'a> {
    /// What it means.
    pub(crate) model: Cow<'a, Model>,
    /// What must be captured and done.
    pub(crate) breakdown: Cow<'a, Breakdown>,
    /// What waits for what.
    pub(crate) work: Cow<'a, Work>,
    /// Days to which plates are held.
    pub(crate) within: Bounds,
}

/// One thing that could be otherwise.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// A line that orders the shoot or the desk is dropped.
    Drop(Span),
    /// The first plate is shot before the second.
    Before(PlateId, PlateId),
    /// A plate is shot on that allowed day.
    On(PlateId, usize),
    /// A person comes so many minutes earlier and stays so many longer.
    Hours(PersonId, i64, i64),
    /// A person is there at any hour.
    AnyHour(PersonId),
    /// A person is not away, by place in their list.
    There(PersonId, usize),
    /// A rig stands ready, so that fitting takes no time.
    Ready(RigId),
    /// One more battery for each body.
    Battery(CameraId),
    /// One more pack of a flying rig.
    Pack(RigId),
    /// A place opens so many minutes earlier and closes so many later.
    Open(PlaceId, i64, i64),
    /// A place is open all day.
    AlwaysOpen(PlaceId),
    /// An allowed day is called so many minutes earlier and wraps so many later.
    Day(usize, i64, i64),
    /// Plates are shot in any light: one, or a locked group.
    AnyLight(Vec<PlateId>),
    /// One more day is allowed, after the last.
    OneMoreDay,
    /// Someone at the desk works so many minutes more a day.
    DeskHours(DeskId, i64),
    /// Someone at the desk is never away.
    DeskThere(DeskId),
    /// Someone at the desk works on one of several days off.
    DeskDay(DeskId, Off),
    /// Someone at the desk could do the work of one more department.
    DeskToo(DeskId, String),
}

/// A weekday, in the order of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Off(pub Weekday);

impl Off {
    fn word(self) -> &'static str {
        match self.0 {
            Weekday::Monday => "Monday",
            Weekday::Tuesday => "Tuesday",
            Weekday::Wednesday => "Wednesday",
            Weekday::Thursday => "Thursday",
            Weekday::Friday => "Friday",
            Weekday::Saturday => "Saturday",
            Weekday::Sunday => "Sunday",
        }
    }
}

impl PartialOrd for Off {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Off {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.to_monday_zero_offset().cmp(&other.0.to_monday_zero_offset())
    }
}

impl Change {
    /// How much it asks of people, least first: a word, then hands, then a
    /// landlord, then the light itself. Common practice, no source.
    pub fn asks(&self) -> u8 {
        match self {
            Change::Drop(_) | Change::Before(..) | Change::On(..) => 0,
            Change::Hours(..) | Change::DeskHours(..) => 1,
            Change::Ready(_) | Change::Battery(_) | Change::Pack(_) => 2,
            Change::Open(..) | Change::DeskToo(..) => 3,
            Change::Day(..) => 4,
            Change::AnyHour(_) | Change::There(..) | Change::DeskThere(_) | Change::DeskDay(..) => 5,
            Change::AlwaysOpen(_) => 6,
            Change::AnyLight(_) => 7,
            Change::OneMoreDay => 8,
        }
    }

    /// In words that follow "if": `Rope-walk alley were open 60 min earlier`.
    pub fn words(&self, model: &Model, breakdown: &Breakdown) -> String {
        let plate = |id: &PlateId| format!("'{}'", breakdown.plates[*id].named.label());
        let date = |at: usize| {
            let day = model.days.as_ref().and_then(|days| days.each.get(at));
            day.map_or(String::new(), |day| day.date.to_string())
        };
        match self {
            Change::Drop(_) => "that line were not written".into(),
            Change::Before(one, other) => format!("{} came before {}", plate(one), plate(other)),
            Change::On(id, at) => format!("{} were shot on {}", plate(id), date(*at)),
            Change::Ready(id) => format!("{} stood ready", model.rigs[*id].named.label()),
            Change::Battery(id) => format!("each {} had one more battery", model.cameras[*id].named.label()),
            Change::Pack(id) => format!("{} had one more pack", model.rigs[*id].named.label()),
            Change::Day(at, before, 0) => format!("{} could be called {} earlier", date(*at), span(*before)),
            Change::Day(at, 0, after) => format!("{} could wrap {} later", date(*at), span(*after)),
            Change::Day(at, ..) => format!("{} had no hours", date(*at)),
            Change::AnyLight(ids) => {
                let titles: Vec<String> = ids.iter().map(plate).collect();
                format!("{} were shot in any light", titles.join(" and "))
            }
            Change::OneMoreDay => "one more day were allowed".into(),
            Change::Hours(id, ..) | Change::AnyHour(id) | Change::There(id, _) => {
                format!("{} were {}", model.people[*id].named.label(), self.presence())
            }
            Change::Open(id, ..) | Change::AlwaysOpen(id) => {
                format!("{} were {}", model.places[*id].named.label(), self.presence())
            }
            Change::DeskThere(id) => format!("{} were not away", model.desks[*id].named.label()),
            Change::DeskHours(id, more) => {
                format!("{} worked {} more a day", model.desks[*id].named.label(), span(*more))
            }
            Change::DeskDay(id, day) => {
                format!("{} worked on {}s as well", model.desks[*id].named.label(), day.word())
            }
            Change::DeskToo(id, department) => {
                format!("{} could do {department} as well", model.desks[*id].named.label())
            }
        }
    }

    /// What a person or a place would be.
    fn presence(&self) -> String {
        match self {
            Change::Hours(_, before, after) => {
                format!("there {}", sooner("earlier", "longer", *before, *after))
            }
            Change::Open(_, before, after) => format!("open {}", sooner("earlier", "later", *before, *after)),
            Change::AnyHour(_) => "there at any hour".into(),
            Change::AlwaysOpen(_) => "open all day".into(),
            _ => "not away".into(),
        }
    }
}

fn sooner(before_word: &str, after_word: &str, before: i64, after: i64) -> String {
    match (before, after) {
        (before, 0) => format!("{} {before_word}", span(before)),
        (0, after) => format!("{} {after_word}", span(after)),
        (before, after) => format!("{} {before_word} and {} {after_word}", span(before), span(after)),
    }
}

fn span(minutes: i64) -> String {
    Seconds::minutes(minutes as f64).to_string()
}

impl<'a> World<'a> {
    /// The sequence as it was written.
    pub(crate) fn new(model: &'a Model, breakdown: &'a Breakdown, work: &'a Work) -> Self {
        Self {
            model: Cow::Borrowed(model),
            breakdown: Cow::Borrowed(breakdown),
            work: Cow::Borrowed(work),
            within: Bounds::new(),
        }
    }

    /// Its plan.
    pub(crate) fn plan(&self, effort: Effort) -> Plan {
        rounds::plan_within(&self.model, &self.breakdown, &self.work, (effort, &self.within))
    }

    /// The sequence with one thing changed.
    pub(crate) fn with(&self, change: &Change) -> Self {
        let mut world = self.clone();
        world.change(change);
        world
    }

    /// Changes one thing.
    pub(crate) fn change(&mut self, change: &Change) {
        match change {
            Change::Drop(span) => {
                self.work.to_mut().retain_edges(|work, edge| {
                    work.edge_weight(edge).is_none_or(|reason| reason.span != Some(*span))
                });
            }
            Change::Before(one, other) => self.before(*one, *other),
            Change::On(plate, day) => {
                self.within.insert(*plate, (*day, *day));
            }
            Change::AnyLight(plates) => {
                for &plate in plates {
                    self.breakdown.to_mut().plates[plate].light = Light::Lamp;
                }
            }
            Change::Day(at, before, after) => {
                if let Some(day) = self.day(*at) {
                    (day.call, day.wrap) = (earlier(day.call, *before), later(day.wrap, *after));
                }
            }
            Change::OneMoreDay => self.one_more_day(),
            Change::Hours(..) | Change::AnyHour(_) | Change::There(..) => self.change_person(change),
            Change::Open(..) | Change::AlwaysOpen(_) => self.change_place(change),
            Change::Ready(..) | Change::Battery(..) | Change::Pack(..) => self.change_kit(change),
            Change::DeskHours(..) | Change::DeskThere(_) | Change::DeskDay(..) | Change::DeskToo(..) => {
                self.change_desk(change);
            }
        }
    }

    /// Adds the order of two plates; where the other order is asked for already, nothing changes.
    fn before(&mut self, one: PlateId, other: PlateId) {
        let work = self.work.to_mut();
        let (Some(from), Some(to)) =
            (graph::index(work, Node::Plate(one)), graph::index(work, Node::Plate(other)))
        else {
            return;
        };
        if !has_path_connecting(&*work, to, from, None) {
            work.add_edge(from, to, Reason { text: "as asked".into(), span: None, shoot_only: true });
        }
    }

    fn change_person(&mut self, change: &Change) {
        let people = &mut self.model.to_mut().people;
        match change {
            Change::Hours(id, before, after) => {
                if let Some(hours) = &mut people[*id].hours {
                    hours.value = wider(hours.value, *before, *after);
                }
            }
            Change::AnyHour(id) => people[*id].hours = None,
            Change::There(id, at) if *at < people[*id].away.len() => {
                people[*id].away.remove(*at);
            }
            _ => {}
        }
    }

    fn change_place(&mut self, change: &Change) {
        let places = &mut self.model.to_mut().places;
        match change {
            Change::Open(id, before, after) => {
                for open in &mut places[*id].open {
                    open.value = wider(open.value, *before, *after);
                }
            }
            Change::AlwaysOpen(id) => places[*id].open.clear(),
            _ => {}
        }
    }

    fn change_kit(&mut self, change: &Change) {
        let model = self.model.to_mut();
        match change {
            Change::Ready(id) => model.rigs[*id].fitting = Seconds(0.0),
            Change::Battery(id) => model.cameras[*id].packs = model.cameras[*id].packs.saturating_add(1),
            Change::Pack(id) => model.rigs[*id].packs = model.rigs[*id].packs.saturating_add(1),
            _ => {}
        }
    }

    fn change_desk(&mut self, change: &Change) {
        let desks = &mut self.model.to_mut().desks;
        match change {
            Change::DeskHours(id, more) => {
                let hours = desks[*id].hours.0 + *more as f64 / 60.0;
                desks[*id].hours = Hours(hours.min(24.0));
            }
            Change::DeskThere(id) => desks[*id].away.clear(),
            Change::DeskDay(id, day) => desks[*id].off.retain(|off| *off != day.0),
            Change::DeskToo(id, department) => {
                let span = desks[*id].named.span;
                desks[*id].does.push(crate::source::Spanned::new(department.clone(), span));
            }
            _ => {}
        }
    }

    fn day(&mut self, at: usize) -> Option<&mut DayPlan> {
        self.model.to_mut().days.as_mut()?.each.get_mut(at)
    }

    fn one_more_day(&mut self) {
        let Some(days) = &mut self.model.to_mut().days else { return };
        let Some(last) = days.each.last().cloned() else { return };
        if let Ok(date) = last.date.tomorrow() {
            days.each.push(DayPlan { date, ..last });
        }
    }
}

/// A range of clocks made wider, within its date.
fn wider(range: Range<Time>, before: i64, after: i64) -> Range<Time> {
    let wide = Range { from: earlier(range.from, before), to: later(range.to, after) };
    // What ends before it starts goes on past midnight, and may not be turned round.
    if (range.from < range.to) == (wide.from < wide.to) { wide } else { range }
}

fn earlier(clock: Time, minutes: i64) -> Time {
    clock.saturating_sub(jiff::Span::new().minutes(minutes))
}

fn later(clock: Time, minutes: i64) -> Time {
    let latest = Time::constant(23, 59, 0, 0);
    clock.saturating_add(jiff::Span::new().minutes(minutes)).min(latest)
}
