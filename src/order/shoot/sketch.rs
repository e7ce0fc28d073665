//! An order of all blocks as the search sees it, and what a change of it would cost.
//!
//! In: a problem laid out flat. Out: sketches, each with its price. Guaranteed:
//! a sketch breaks no hard constraint, and costs what
//! [`Scored`](super::score::Scored) says of the same order.

use super::lean::{Lean, Marks};
use super::pace::Morning;
use super::problem::{BlockId, DayId, filled};
use super::run::Carry;
use super::score::{Effort, best_day};
use super::slate::{Done, Slate};
use crate::model::Arena;
use crate::model::arena::Id;

/// What a step of a day with charge weighs beside one without.
const POWERED: i64 = 30;

/// The earliest call after the rest, and the states of the morning.
type Dawn = (i64, Marks);

/// An order with its price.
#[derive(Debug, Clone)]
pub(crate) struct Sketch {
    /// Blocks of each day, in order.
    pub(crate) days: Arena<DayId, Vec<BlockId>>,
    /// Blocks on no day.
    pub(crate) left: Vec<BlockId>,
    /// The day and the place in it of each block.
    pub(crate) at: Arena<BlockId, Option<(DayId, usize)>>,
    /// What it costs in all, in hundredths.
    pub(crate) cost: i64,
    done: Arena<DayId, Option<Done>>,
    dawns: Arena<DayId, Dawn>,
    apart: i64,
}

/// Another order on some days.
#[derive(Debug, Default)]
pub(crate) struct Change {
    /// Those days with their orders.
    pub(crate) days: Vec<(DayId, Vec<BlockId>)>,
    /// Blocks that change places with others.
    pub(crate) moved: Vec<BlockId>,
}

/// A change with what follows from it.
#[derive(Debug)]
pub(crate) struct Next {
    change: Change,
    done: Vec<(DayId, Option<Done>, Dawn)>,
    apart: i64,
    /// What the order then costs.
    pub(crate) cost: i64,
}

/// Prices sketches; counts the work.
#[derive(Debug)]
pub(crate) struct Pencil<'l, 'p> {
    pub(crate) lean: &'l Lean<'p>,
    slate: Slate,
    /// Steps that may still be done.
    budget: i64,
    places: Arena<BlockId, Option<(DayId, usize)>>,
}

impl<'l, 'p> Pencil<'l, 'p> {
    /// With so many steps to spend.
    pub(crate) fn new(lean: &'l Lean<'p>, budget: i64) -> Self {
        let places = filled(lean.problem.blocks.len(), None);
        Self { lean, slate: Slate::new(lean), budget, places }
    }

    /// Allows so many more steps from here on.
    pub(crate) fn allow(&mut self, steps: i64) {
        self.budget = self.slate.steps + steps;
    }

    /// Counts some work.
    pub(crate) fn spend(&mut self, steps: i64) {
        self.slate.steps += steps;
    }

    /// Whether there is work left.
    pub(crate) fn is_left(&self) -> bool {
        self.slate.steps < self.budget
    }

    /// Nothing planned.
    pub(crate) fn empty(&self) -> Sketch {
        let problem = self.lean.problem;
        let mut empty = Sketch {
            days: filled(problem.days.len(), Vec::new()),
            left: problem.blocks.ids().collect(),
            at: filled(problem.blocks.len(), None),
            cost: 0,
            done: filled(problem.days.len(), None),
            dawns: filled(problem.days.len(), (i64::MIN, self.lean.first_marks())),
            apart: 0,
        };
        for day in problem.days.ids() {
            empty.dawns[day] = self.dawn(day, &empty.dawns, &empty.done);
        }
        empty.cost = empty.left.iter().map(|&block| self.unplanned(block)).sum();
        empty
    }

    /// A sketch of that order; nothing where it breaks a hard constraint.
    pub(crate) fn sketch(&mut self, days: &Arena<DayId, Vec<BlockId>>) -> Option<Sketch> {
        let empty = self.empty();
        let all = days.iter().filter(|(_, order)| !order.is_empty());
        let days: Vec<(DayId, Vec<BlockId>)> = all.map(|(day, order)| (day, order.clone())).collect();
        let moved = days.iter().flat_map(|(_, order)| order.iter().copied()).collect();
        let next = self.weigh(&empty, Change { days, moved })?;
        Some(empty.then(next))
    }

    fn unplanned(&self, block: BlockId) -> i64 {
        let problem = self.lean.problem;
        problem.blocks[block].parts.len() as i64 * problem.weights.unplanned
    }

    fn dawn(&self, day: DayId, dawns: &Arena<DayId, Dawn>, done: &Arena<DayId, Option<Done>>) -> Dawn {
        let Some(before) = day.index().checked_sub(1).map(DayId::from_index) else {
            return (i64::MIN, self.lean.first_marks());
        };
        self.after(day, done[before], dawns[before])
    }

    /// What a day begins with after the day before.
    fn after(&self, day: DayId, done: Option<Done>, dawn: Dawn) -> Dawn {
        let it = &self.lean.problem.days[day];
        let (wrap, marks) = match done {
            Some(done) => (done.wrap + it.rest, self.lean.rested(done.marks, it.rest)),
            None => dawn,
        };
        // A rest that ends before the day's own call holds nobody back.
        (if wrap > it.call { wrap } else { i64::MIN }, marks)
    }

    /// What a day costs; nothing where it cannot be.
    pub(crate) fn day(&mut self, day: DayId, dawn: Dawn, order: &[BlockId]) -> Option<Done> {
        let lean = self.lean;
        if !lean.holds(order) {
            return None;
        }
        if !lean.powered {
            return self.slate.price(&Morning::new(lean, day, dawn), order);
        }
        let carry = Carry { rested: dawn.0, states: lean.states(dawn.1) };
        let effort = Effort::new(i64::MAX);
        let worked = best_day(lean.problem, day, order, &carry, &effort);
        self.slate.steps += POWERED * effort.spent();
        let worked = worked.ok()?;
        let marks = lean.marks(worked.states);
        Some(Done { cost: worked.cost, wrap: worked.wrap, marks, meal: worked.meal })
    }

    /// What a day of a sketch begins with.
    pub(crate) fn dawn_of(&self, sketch: &Sketch, day: DayId) -> Dawn {
        sketch.dawns[day]
    }

    /// What an order would cost with a change; nothing where that breaks something.
    pub(crate) fn weigh(&mut self, sketch: &Sketch, change: Change) -> Option<Next> {
        self.slate.steps += 1;
        if !self.in_order(sketch, &change) {
            return None;
        }
        let problem = self.lean.problem;
        let (first, last) = change
            .days
            .iter()
            .fold((usize::MAX, 0), |(first, last), (day, _)| (first.min(day.index()), last.max(day.index())));
        let mut cost = sketch.cost;
        let mut done: Vec<(DayId, Option<Done>, Dawn)> = Vec::new();
        for day in problem.days.ids().skip(first) {
            let dawn = match done.last() {
                Some(&(before, worked, dawn)) if before.index() + 1 == day.index() => {
                    self.after(day, worked, dawn)
                }
                _ => sketch.dawns[day],
            };
            let same = dawn == sketch.dawns[day];
            if same && day.index() > last {
                break;
            }
            let changed = change.days.iter().find(|(one, _)| *one == day);
            let order = match changed {
                Some((_, order)) => order,
                None if same => continue,
                None => &sketch.days[day],
            };
            let worked = if order.is_empty() { None } else { Some(self.day(day, dawn, order)?) };
            let priced = |done: Option<Done>| done.map_or(0, |done| done.cost + problem.weights.extra_day);
            cost += priced(worked) - priced(sketch.done[day]);
            done.push((day, worked, dawn));
        }
        let apart = self.apart(sketch, &change);
        cost += apart - sketch.apart;
        for &block in &change.moved {
            if sketch.at[block].is_none() {
                cost -= self.unplanned(block);
            }
            if self.places[block].is_none() {
                cost += self.unplanned(block);
            }
        }
        Some(Next { change, done, apart, cost })
    }

    /// Whether what changes places comes after what it waits for, and before what
    /// waits for it. Notes the new places of all blocks on changed days.
    fn in_order(&mut self, sketch: &Sketch, change: &Change) -> bool {
        for &block in &change.moved {
            self.places[block] = None;
        }
        for (day, order) in &change.days {
            for (place, &block) in order.iter().enumerate() {
                self.places[block] = Some((*day, place));
            }
        }
        let changed = |day: DayId| change.days.iter().any(|(one, _)| *one == day);
        let is_moved = |block: BlockId| change.moved.contains(&block);
        let now = |block: BlockId| match sketch.at[block] {
            Some((day, _)) if changed(day) => self.places[block],
            None if is_moved(block) => self.places[block],
            at => at,
        };
        change.moved.iter().all(|&block| {
            let it = &self.lean.problem.blocks[block];
            match now(block) {
                Some(here) => {
                    it.before.iter().all(|&one| now(one).is_some_and(|there| there < here))
                        && it.after.iter().all(|&one| now(one).is_none_or(|there| there > here))
                }
                None => it.after.iter().all(|&one| now(one).is_none()),
            }
        })
    }

    /// What links over different days cost after a change.
    fn apart(&self, sketch: &Sketch, change: &Change) -> i64 {
        let problem = self.lean.problem;
        let linked = |block: &BlockId| self.lean.blocks[*block].linked;
        let one_day = |block: &BlockId| {
            sketch.at[*block].map(|(day, _)| day) == self.places[*block].map(|(day, _)| day)
        };
        if change.moved.iter().all(|block| !linked(block) || one_day(block)) {
            return sketch.apart;
        }
        let is_moved = |block: BlockId| change.moved.contains(&block);
        let now = |block: BlockId| if is_moved(block) { self.places[block] } else { sketch.at[block] };
        let mut apart = sketch.apart;
        for &block in &change.moved {
            for link in &problem.blocks[block].links {
                if is_moved(link.to) && link.to < block {
                    continue;
                }
                let cost = |one: Option<(DayId, usize)>, other: Option<(DayId, usize)>| match (one, other) {
                    (Some((one, _)), Some((other, _))) if one != other => {
                        link.cost(problem.weights.join_apart)
                    }
                    _ => 0,
                };
                apart += cost(now(block), now(link.to)) - cost(sketch.at[block], sketch.at[link.to]);
            }
        }
        apart
    }
}

impl Sketch {
    /// The order after a change.
    pub(crate) fn then(&self, next: Next) -> Self {
        let mut then = self.clone();
        then.take(next);
        then
    }

    /// Makes a change.
    pub(crate) fn take(&mut self, next: Next) {
        let placed: Vec<BlockId> = next.change.moved;
        for &block in &placed {
            self.at[block] = None;
        }
        for (day, order) in next.change.days {
            for (place, &block) in order.iter().enumerate() {
                self.at[block] = Some((day, place));
            }
            self.days[day] = order;
        }
        self.left.retain(|block| !placed.contains(block));
        self.left.extend(placed.iter().copied().filter(|&block| self.at[block].is_none()));
        self.left.sort_unstable();
        for (day, done, dawn) in next.done {
            self.done[day] = done;
            self.dawns[day] = dawn;
        }
        self.apart = next.apart;
        self.cost = next.cost;
    }
}
