//! A sequence with something changed, to be planned again.
//!
//! In: the sequence as it was written, and changes. Out: its plan with them.
//! What was written is never touched.

use super::change::Change;
use crate::graph::{self, Node, Reason, Work};
use crate::model::{DayPlan, Hold, Light, Model, PlateId, Reset, StateOf, Travel};
use crate::order::Effort;
use crate::order::blocks::Bounds;
use crate::order::plan::Plan;
use crate::order::rounds::{self, Wishes};
use crate::order::shoot::problem::collected;
use crate::quantity::{Hours, Range, Seconds};
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::Time;
use petgraph::algo::has_path_connecting;
use std::borrow::Cow;
use std::collections::BTreeSet;

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
    /// Plates that are left out.
    pub(crate) without: BTreeSet<PlateId>,
}

impl<'a> World<'a> {
    /// The sequence as it was written.
    pub(crate) fn new(model: &'a Model, breakdown: &'a Breakdown, work: &'a Work) -> Self {
        Self {
            model: Cow::Borrowed(model),
            breakdown: Cow::Borrowed(breakdown),
            work: Cow::Borrowed(work),
            within: Bounds::new(),
            without: BTreeSet::new(),
        }
    }

    /// Its plan.
    pub(crate) fn plan(&self, effort: Effort) -> Plan {
        rounds::plan_within(
            &self.model,
            &self.breakdown,
            &self.work,
            &Wishes { effort, within: &self.within, without: &self.without },
        )
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
            Change::NotOn(which) => {
                if let Some(days) = &mut self.model.to_mut().days {
                    let mut at = 0..;
                    days.each.retain(|_| at.next().is_none_or(|at| !which.contains(&at)));
                }
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
            Change::MoreDays(more) => (0..*more).for_each(|_| self.one_more_day()),
            Change::AnyCall(_) | Change::AnyWrap(_) | Change::NoMeal | Change::NoRest => {
                self.change_days(change)
            }
            Change::Without(plates) => self.without.extend(plates),
            Change::Unpin(plate) => {
                let path = self.breakdown.plates[*plate].named.path.clone();
                self.model.to_mut().kept.unpin(&path);
            }
            Change::Short(..) | Change::Split(..) | Change::Takes(..) | Change::Brief(..) => {
                self.change_plates(change);
            }
            Change::Near(..) | Change::Fresh(..) => self.change_continuity(change),
            Change::Hours(..) | Change::AnyHour(_) | Change::There(..) => self.change_person(change),
            Change::Open(..) | Change::AlwaysOpen(_) => self.change_place(change),
            Change::RigThere(..)
            | Change::Ready(..)
            | Change::Battery(..)
            | Change::Pack(..)
            | Change::Endless(..)
            | Change::EndlessPack(..)
            | Change::EndlessCard(..) => self.change_kit(change),
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
            Change::RigThere(id) => model.rigs[*id].away.clear(),
            Change::Ready(id) => model.rigs[*id].fitting = Seconds(0.0),
            Change::Battery(id, more) => {
                model.cameras[*id].packs = model.cameras[*id].packs.saturating_add(*more)
            }
            Change::Endless(id) => model.cameras[*id].battery = None,
            Change::EndlessCard(id) => model.cameras[*id].card = None,
            Change::EndlessPack(id) => model.rigs[*id].endurance = None,
            Change::Pack(id, more) => model.rigs[*id].packs = model.rigs[*id].packs.saturating_add(*more),
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

    fn change_days(&mut self, change: &Change) {
        let Some(days) = &mut self.model.to_mut().days else { return };
        for (at, day) in days.each.iter_mut().enumerate() {
            match change {
                Change::AnyCall(which) if which.contains(&at) => day.call = Time::midnight(),
                Change::AnyWrap(which) if which.contains(&at) => day.wrap = Time::constant(23, 59, 0, 0),
                Change::NoMeal => day.meal_within = Seconds::minutes(24.0 * 60.0),
                Change::NoRest => day.rest = Seconds(0.0),
                _ => {}
            }
        }
    }

    fn change_plates(&mut self, change: &Change) {
        let breakdown = self.breakdown.to_mut();
        match change {
            Change::Short(plates) => {
                for &plate in plates {
                    let plate = &mut breakdown.plates[plate];
                    (plate.lasts.value, plate.takes) = (Seconds(1.0), 1);
                }
            }
            Change::Takes(plate, takes) => breakdown.plates[*plate].takes = *takes,
            Change::Brief(plate, seconds) => {
                let plate = &mut breakdown.plates[*plate];
                (plate.lasts.value, plate.takes) = (Seconds(*seconds as f64), 1);
            }
            Change::Split(plates) => {
                for &plate in plates {
                    breakdown.plates[plate].hold.value = Hold::Free;
                }
                let kept = breakdown
                    .groups
                    .values()
                    .filter(|group| !plates.iter().any(|one| group.plates.contains(one)));
                breakdown.groups = collected(kept.cloned().collect::<Vec<_>>());
            }
            _ => {}
        }
    }

    fn change_continuity(&mut self, change: &Change) {
        let model = self.model.to_mut();
        match change {
            Change::Near(from, to) => {
                let is = |travel: &Travel| [(*from, *to), (*to, *from)].contains(&(travel.from, travel.to));
                model.travels.retain(|travel| !is(travel));
                let span = Span { file: crate::source::FileId(0), start: 0, end: 0 };
                model.travels.push(Travel { from: *from, to: *to, takes: Seconds(0.0), span });
            }
            Change::Fresh(of) => {
                let (states, named) = match of {
                    StateOf::Prop(id) => (model.props[*id].states.clone(), model.props[*id].named.span),
                    StateOf::Look(id) => (model.looks[*id].states.clone(), model.looks[*id].named.span),
                };
                let back = |from: &String| states.iter().map(|to| fresh(from, to, named)).collect::<Vec<_>>();
                let resets: Vec<Reset> = states.iter().flat_map(back).collect();
                match of {
                    StateOf::Prop(id) => model.props[*id].resets = resets,
                    StateOf::Look(id) => model.looks[*id].resets = resets,
                }
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

/// A way back that takes no time.
fn fresh(from: &str, to: &str, span: Span) -> Reset {
    Reset { from: from.to_owned(), to: to.to_owned(), takes: Seconds(0.0), span }
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
