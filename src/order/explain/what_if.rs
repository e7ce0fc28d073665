//! What would move something: found by planning again with one thing changed.
//!
//! In: what holds something, and the plan as it is. Out: the changes that move
//! it, those that ask least of people first, each with what it gives. Only a
//! plan that is cheaper counts: a change that takes a limit away and gains
//! nothing does not move anything.

use super::chain::{Anchor, AnchorKind, Held, Link, LinkKind};
use super::change::Change;
use super::world::World;
use crate::model::{Model, PlateId};
use crate::order::plan::{Minute, Plan, ShootPlan};
use crate::order::window::LimitKind;
use crate::order::{Effort, Paid};
use crate::recipe::Breakdown;
use crate::source::Span;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// By how much hours are widened in trial, in minutes.
const HOUR: i64 = 60;
/// So many changes are tried for one question.
const TRIES: u64 = 8;
/// From so many plates on fewer are tried, so that an answer does not take long.
const MANY: u64 = 40;

/// What one change gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// What is changed.
    pub change: Change,
    /// The line that it changes.
    pub span: Option<Span>,
    /// When it then is.
    pub to: When,
    /// What the plan then costs less, in hundredths of a minute on the way.
    pub saves: i64,
    /// What it pays more or less for, in hundredths of a minute: (for what, more).
    pub trades: Vec<(&'static str, i64)>,
}

/// The time of something in a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Shot on that date.
    Shot(Date, Minute),
    /// Done at the desk.
    Done(Minute),
    /// Not planned.
    Never,
}

/// When a plate is shot.
pub(super) fn shot(shoot: &ShootPlan, plate: PlateId) -> When {
    let found = shoot.shot.get(&plate);
    let date = |day: usize| shoot.days.get(day).map(|day| day.date);
    found.and_then(|&(day, start, _)| Some(When::Shot(date(day)?, start))).unwrap_or(When::Never)
}

/// What one plan pays more than another, kind by kind, in hundredths; what is paid alike is left out.
pub(crate) fn trades(one: &[Paid], other: &[Paid]) -> Vec<(&'static str, i64)> {
    let cost = |paid: &[Paid], what: &str| -> i64 {
        paid.iter().filter(|one| one.what == what).map(|one| one.cost).sum()
    };
    let names = one.iter().chain(other).map(|paid| paid.what);
    let mut traded: Vec<(&'static str, i64)> = Vec::new();
    for what in names {
        let more = cost(one, what) - cost(other, what);
        if more != 0 && !traded.iter().any(|(known, _)| *known == what) {
            traded.push((what, more));
        }
    }
    traded
}

/// What people could give way on to move a plate, least asked first.
pub(super) fn candidates(
    model: &Model,
    breakdown: &Breakdown,
    held: &Held,
    lines: impl IntoIterator<Item = Span>,
) -> Vec<(Change, Option<Span>)> {
    let mut found: Vec<(Change, Option<Span>)> =
        lines.into_iter().map(|line| (Change::Drop(line), Some(line))).collect();
    let room = held.room.as_ref().map(|room| &room.chain);
    for chain in [Some(&held.before), held.called.as_ref(), room].into_iter().flatten() {
        found.extend(chain.links.iter().filter_map(of_link));
        found.extend(of_anchor(model, &chain.anchor));
        found.extend(alike(breakdown, &chain.anchor));
    }
    found.sort_by(|a, b| (a.0.asks(), &a.0).cmp(&(b.0.asks(), &b.0)));
    let mut seen = BTreeSet::new();
    found.retain(|(change, _)| seen.insert(change.clone()));
    found
}

fn of_link(link: &Link) -> Option<(Change, Option<Span>)> {
    let change = match link.kind {
        LinkKind::Fit(rig) => Change::Ready(rig),
        LinkKind::Charge(Some(camera), _) => Change::Battery(camera, 1),
        LinkKind::Charge(None, Some(rig)) => Change::Pack(rig, 1),
        _ => return None,
    };
    Some((change, link.span))
}

/// All plates that want the same light at the same place, where one is not alone.
fn alike(breakdown: &Breakdown, anchor: &Anchor) -> Option<(Change, Option<Span>)> {
    let (AnchorKind::Opens(LimitKind::Light(place)) | AnchorKind::Closes(LimitKind::Light(place))) =
        anchor.kind
    else {
        return None;
    };
    let light = breakdown.plates[*anchor.plates.first()?].light;
    let same = breakdown.plates.iter().filter(|(_, plate)| plate.place == place && plate.light == light);
    let plates: Vec<PlateId> = same.map(|(id, _)| id).collect();
    (plates.len() > anchor.plates.len()).then_some((Change::AnyLight(plates), anchor.span))
}

/// A limit given way on by an hour; a light cannot be, so it is left out whole.
fn of_anchor(model: &Model, anchor: &Anchor) -> Option<(Change, Option<Span>)> {
    let (limit, before, after) = match anchor.kind {
        AnchorKind::Opens(limit) => (limit, HOUR, 0),
        AnchorKind::Closes(limit) => (limit, 0, HOUR),
        AnchorKind::EarliestCall(at) => return Some((Change::Day(at, HOUR, 0), anchor.span)),
        AnchorKind::LatestWrap(at) => return Some((Change::Day(at, 0, HOUR), anchor.span)),
        _ => return None,
    };
    let change = match limit {
        LimitKind::Access(place) if !model.places[place].open.is_empty() => {
            Change::Open(place, before, after)
        }
        LimitKind::Light(_) => Change::AnyLight(anchor.plates.clone()),
        LimitKind::Pin(plate) => Change::Unpin(plate),
        LimitKind::Person(person) if model.people[person].hours.is_some() => {
            Change::Hours(person, before, after)
        }
        _ => return None,
    };
    Some((change, anchor.span))
}

/// A sequence with its plan, ready to be planned again otherwise.
pub(super) struct Trial<'t, 'a> {
    /// The sequence as it was written.
    pub(super) world: &'t World<'a>,
    /// Its plan.
    pub(super) base: &'t Plan,
    /// How hard to try.
    pub(super) effort: Effort,
}

impl Trial<'_, '_> {
    /// So many changes are tried for one question.
    pub(super) fn tries(&self) -> usize {
        let (plates, passes) = (self.world.breakdown.plates.len(), self.world.breakdown.passes.len());
        let size = (plates + passes / 4) as u64;
        self.effort.of(TRIES * MANY / size.max(MANY)).max(2) as usize
    }

    /// Plans again with one change.
    fn plan(&self, change: &Change) -> Plan {
        self.world.with(change).plan(self.effort)
    }

    /// Plans again for each change; tells those that move something and are no
    /// worse for the rest, in the order in which they were given.
    pub(super) fn moves(
        &self,
        changes: Vec<(Change, Option<Span>)>,
        when: &dyn Fn(&Plan) -> When,
        better: &dyn Fn(&Plan) -> bool,
    ) -> Vec<Moved> {
        let before = when(self.base);
        let mut moved = Vec::new();
        for (change, span) in changes.into_iter().take(self.tries()) {
            let plan = self.plan(&change);
            let to = when(&plan);
            if to != before && to != When::Never && better(&plan) {
                let saves = self.base.shoot.cost - plan.shoot.cost;
                let trades = trades(&plan.shoot.price, &self.base.shoot.price);
                moved.push(Moved { change, span, to, saves, trades });
            }
        }
        moved
    }

    /// What another order or another day would cost; nothing where it leaves more out.
    pub(super) fn other(&self, change: Change, plate: PlateId) -> Option<Moved> {
        let plan = self.plan(&change);
        if plan.shoot.unplanned.len() > self.base.shoot.unplanned.len() {
            return None;
        }
        let saves = self.base.shoot.cost - plan.shoot.cost;
        let trades = trades(&plan.shoot.price, &self.base.shoot.price);
        Some(Moved { change, span: None, to: shot(&plan.shoot, plate), saves, trades })
    }
}
