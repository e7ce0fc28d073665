//! Why something is at its time, what would move it, and what keeps things out.
//!
//! In: the sequence and its plan. Out: chains of words and minutes. Times are
//! read off the plan; whatever is claimed about another plan is found by
//! planning again with one thing changed.

pub mod chain;
mod change;
mod conflict;
mod day;
mod desk;
mod room;
mod second;
mod ties;
mod what_if;
mod words;
mod world;

pub use chain::{Anchor, AnchorKind, Chain, Held, Link, LinkKind, Room};
pub use change::{Change, Off};
pub(crate) use conflict::name_conflicts;
pub use desk::PassHeld;
pub use second::{Second, seconds};
pub use ties::Tie;
pub use what_if::{Moved, When};

use super::desk::passes::waits;
use super::setting::Setting;
use super::waits::Before;
use super::{Effort, Plan, StepKind};
use crate::graph::Work;
use crate::model::{JoinId, Model, PlateId};
use crate::recipe::{Breakdown, PassId};
use crate::source::Span;
use day::DayView;
use desk::DeskView;
use std::collections::{BTreeMap, BTreeSet};
use what_if::Trial;
use world::World;

#[cfg(test)]
mod tests;

/// A plan, ready to be asked.
pub struct Explainer<'a> {
    world: World<'a>,
    model: &'a Model,
    setting: Setting<'a>,
    plan: &'a Plan,
    before: BTreeMap<PassId, Before>,
    effort: Effort,
}

/// Why a plate is shot when it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlateWhy {
    /// What holds it at its time.
    pub held: Held,
    /// What its place in the order is bound to.
    pub bound: Vec<Tie>,
    /// What it is joined with.
    pub joined: Vec<Tie>,
    /// Other places in the order, and other days, with what they would cost.
    pub others: Vec<Moved>,
    /// What would move it, least asked of people first.
    pub moves: Vec<Moved>,
    /// What was tried and does not move it.
    pub in_vain: Vec<(Change, Option<Span>)>,
}

/// Why a pass is worked when it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassWhy {
    /// What holds it at its time.
    pub held: PassHeld,
    /// What would move it, least asked of people first.
    pub moves: Vec<Moved>,
    /// What was tried and does not move it.
    pub in_vain: Vec<(Change, Option<Span>)>,
}

/// The plan of a sequence with some things changed.
pub(crate) fn changed(
    (model, breakdown, work): (&Model, &Breakdown, &Work),
    changes: &[Change],
    effort: Effort,
) -> Plan {
    let mut world = World::new(model, breakdown, work);
    changes.iter().for_each(|change| world.change(change));
    world.plan(effort)
}

impl<'a> Explainer<'a> {
    /// Of that plan of that sequence.
    pub fn new(
        model: &'a Model,
        breakdown: &'a Breakdown,
        work: &'a Work,
        plan: &'a Plan,
        effort: Effort,
    ) -> Self {
        Self {
            world: World::new(model, breakdown, work),
            model,
            setting: Setting::new(model, breakdown, work),
            plan,
            before: waits(breakdown, work),
            effort,
        }
    }

    /// What holds a plate at its time; `None` where it is not planned.
    pub fn plate(&self, plate: PlateId) -> Option<Held> {
        let (view, at) = self.step_of(plate)?;
        view.held(at)
    }

    /// What holds a pass at its time; `None` where it is not planned.
    pub fn pass(&self, pass: PassId) -> Option<PassHeld> {
        DeskView::new(&self.setting, self.plan, &self.before).held(pass)
    }

    /// What holds the end of a day, by its place in the plan.
    pub fn wrap(&self, day: usize) -> Option<Held> {
        let view = DayView::new(&self.setting, &self.plan.shoot, day)?;
        view.held(view.day.steps.len().checked_sub(1)?)
    }

    /// The next best order of a day, by its place in the plan, where one is known.
    pub fn second(&self, day: usize) -> Option<Second> {
        let World { model, breakdown, work, .. } = &self.world;
        // One question may be thought about longer than a packet.
        let effort = Effort(self.effort.0.max(1).saturating_mul(4));
        seconds(model, breakdown, work, self.plan, effort).into_iter().find(|second| second.day == day)
    }

    /// How far apart both sides of a join are shot, as the first side sees it.
    pub fn joined(&self, join: JoinId) -> Option<Tie> {
        ties::of_join(&self.setting, &self.plan.shoot, join)
    }

    /// Everything there is to say about a plate; plans again several times.
    pub fn why_plate(&self, plate: PlateId) -> Option<PlateWhy> {
        let (view, at) = self.step_of(plate)?;
        let held = view.held(at)?;
        let trial = Trial { world: &self.world, base: self.plan, effort: self.effort };
        let changes = what_if::candidates(self.model, &self.world.breakdown, &held, self.lines_of(plate));
        let changes: Vec<_> = changes.into_iter().take(trial.tries()).collect();
        let cost = self.plan.shoot.cost;
        let moves = trial.moves(changes.clone(), &|plan| what_if::shot(&plan.shoot, plate), &|plan| {
            plan.shoot.cost < cost
        });
        Some(PlateWhy {
            bound: ties::bound(&self.setting, plate),
            joined: ties::joined(&self.setting, &self.plan.shoot, plate),
            others: self.others(&trial, plate, view.neighbours(at)),
            in_vain: in_vain(changes, &moves),
            moves,
            held,
        })
    }

    /// Everything there is to say about a pass; plans again several times.
    pub fn why_pass(&self, pass: PassId) -> Option<PassWhy> {
        let held = self.pass(pass)?;
        let trial = Trial { world: &self.world, base: self.plan, effort: self.effort };
        let view = DeskView::new(&self.setting, self.plan, &self.before);
        let changes = view.candidates(&held, pass);
        let changes: Vec<_> = changes.into_iter().take(trial.tries()).collect();
        let done = |plan: &Plan| plan.desk.done.get(&pass).copied();
        let better = |plan: &Plan| done(plan) < done(self.plan) && plan.desk.finish <= self.plan.desk.finish;
        let when = |plan: &Plan| done(plan).map_or(When::Never, When::Done);
        let moves = trial.moves(changes.clone(), &when, &better);
        Some(PassWhy { in_vain: in_vain(changes, &moves), moves, held })
    }

    fn step_of(&self, plate: PlateId) -> Option<(DayView<'_, 'a>, usize)> {
        let &(day, _, _) = self.plan.shoot.shot.get(&plate)?;
        let view = DayView::new(&self.setting, &self.plan.shoot, day)?;
        let at = view.day.steps.iter().position(|step| step.kind == StepKind::Shoot(plate))?;
        Some((view, at))
    }

    /// Lines of the writer that put a plate before or after others.
    fn lines_of(&self, plate: PlateId) -> Vec<Span> {
        let written = written(self.model);
        let waits = |id: &PlateId| self.setting.waits.get(id).into_iter().flat_map(|waits| &waits.plates);
        let own = waits(&plate).map(|(_, reason)| reason);
        let later = self.setting.waits.values().flat_map(|waits| &waits.plates);
        let later = later.filter(|(before, _)| *before == plate).map(|(_, reason)| reason);
        own.chain(later).filter_map(|reason| reason.span).filter(|span| written.contains(span)).collect()
    }

    /// The other way round with either neighbour, and every other allowed day.
    fn others(
        &self,
        trial: &Trial<'_, '_>,
        plate: PlateId,
        (before, after): (Option<PlateId>, Option<PlateId>),
    ) -> Vec<Moved> {
        let own = self.plan.shoot.shot.get(&plate).and_then(|(day, ..)| self.plan.shoot.days.get(*day));
        let days = (0..self.setting.days.len()).filter(|at| own.is_some_and(|own| own.allowed != *at));
        let bound = |one: PlateId, other: PlateId| {
            let waits = self.setting.waits.get(&other);
            waits.is_some_and(|waits| waits.plates.iter().any(|(before, _)| *before == one))
        };
        let sooner = before.filter(|one| !bound(*one, plate)).map(|one| Change::Before(plate, one));
        let later = after.filter(|one| !bound(plate, *one)).map(|one| Change::Before(one, plate));
        let changes = sooner.into_iter().chain(later).chain(days.map(|at| Change::On(plate, at)));
        changes.take(trial.tries()).filter_map(|change| trial.other(change, plate)).collect()
    }
}

/// Every line by which a writer orders the shoot.
fn written(model: &Model) -> BTreeSet<Span> {
    let plates = model.plates.values();
    let after = plates.clone().flat_map(|plate| plate.after.iter().map(|(_, span)| *span));
    let needs =
        plates.flat_map(|plate| &plate.needs).chain(model.beats.values().flat_map(|beat| &beat.needs));
    after.chain(needs.map(|need| need.span)).collect()
}

/// What was tried and moved nothing.
fn in_vain(tried: Vec<(Change, Option<Span>)>, moves: &[Moved]) -> Vec<(Change, Option<Span>)> {
    let moved = |change: &Change| moves.iter().any(|one| one.change == *change);
    tried.into_iter().filter(|(change, _)| !moved(change)).collect()
}
