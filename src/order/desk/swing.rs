//! Breeds orders between two populations: schedules as early as can be, and as late.
//!
//! In: a maker and an amount of work. Out: the best schedule that the work found.
//! Children of schedules that were made as early as can be are made as late as can
//! be, and theirs as early again: each child is at once a justification of what its
//! parents were (Debels and Vanhoucke 2005, "A bi-population based genetic algorithm
//! for the RCPSP"). Children are cut from two parents at two points (Hartmann 1998), or
//! take a stretch of the one whole into the order of the other (after Debels and
//! Vanhoucke 2007 and Zamani 2013). The best child of each parent takes its place in the
//! other population; of that, only the best outlives a better one.

use super::breed::{Made, Maker};
use super::net::Net;
use super::problem::TaskId;
use super::schedule::{Wished, by_end, in_order, time};
use super::value::Worth;
use crate::model::Arena;
use crate::order::shoot::problem::filled;

/// Orders in a population at most, and at least.
const MOST: usize = 400;
const LEAST: usize = 6;
/// Children of each order, of which the best is kept.
const CHILDREN: usize = 3;
/// A population is as large as leaves it so many rounds.
const ROUNDS: usize = 120;
/// Out of a hundred children so many take a stretch whole; the others are cut at two points.
const WHOLE: usize = 50;
/// Out of a thousand tasks of a child so many move.
const MOVED: usize = 20;
/// Rounds without anything sooner after which a population is given up.
const STALE: usize = 400;

/// An order for the next schedule, and how long that took from which it is.
#[derive(Debug, Clone)]
struct Listed {
    order: Vec<TaskId>,
    length: i64,
}

impl Maker<'_> {
    /// Two populations from their beginning to their end; the best that was made.
    pub(super) fn swing(&mut self, latest: &Arena<TaskId, i64>, limit: u64) -> Option<Made> {
        let free: Wished = filled(self.net.len(), None);
        let left = usize::try_from(limit.saturating_sub(self.work())).unwrap_or(usize::MAX);
        let size = (left / self.net.len() / CHILDREN / ROUNDS).clamp(LEAST, MOST);
        let mut best: Option<(Worth, Vec<TaskId>)> = None;
        let mut parents: Vec<Listed> = Vec::with_capacity(size);
        for at in 0..size {
            let order = if at == 0 { in_order(self.net, latest) } else { self.sample(latest) };
            parents.push(self.early(order, &free, &mut best));
        }
        let mut others: Vec<Listed> = Vec::new();
        let (mut late, mut stale) = (true, 0);
        while self.work() < limit && stale < STALE && best.as_ref()?.0.finish > self.least.finish {
            let known = best.as_ref()?.0.finish;
            let kept = (0..others.len()).min_by_key(|&at| others.get(at).map(|one| one.length));
            let mut next = Vec::with_capacity(size);
            for at in 0..size {
                let mut child: Option<Listed> = None;
                for _ in 0..CHILDREN {
                    let order = self.child(&parents, at, late)?;
                    let one = if late {
                        self.late(order, &free, known)
                    } else {
                        self.early(order, &free, &mut best)
                    };
                    if child.as_ref().is_none_or(|known| one.length < known.length) {
                        child = Some(one);
                    }
                }
                let (child, old) = (child?, others.get(at).filter(|_| kept == Some(at)));
                next.push(old.filter(|old| old.length <= child.length).cloned().unwrap_or(child));
            }
            others = std::mem::replace(&mut parents, next);
            late = !late;
            stale = if best.as_ref()?.0.finish < known { 0 } else { stale + 1 };
        }
        Some(self.make(best?.1, &free))
    }

    /// As early as can be in this order; the tasks then by their ends, the last first.
    fn early(
        &mut self,
        mut order: Vec<TaskId>,
        free: &Wished,
        best: &mut Option<(Worth, Vec<TaskId>)>,
    ) -> Listed {
        let (space, schedule) = &mut self.forth;
        time(self.net, &order, free, i64::MIN, space, schedule);
        let worth = self.terms.worth(schedule);
        if best.as_ref().is_none_or(|best| worth < best.0) {
            *best = Some((worth, order.clone()));
        }
        by_end(self.back, schedule, space, &mut order);
        Listed { order, length: worth.finish }
    }

    /// As late as can be before an end, in this order; the tasks then by their starts.
    fn late(&mut self, mut order: Vec<TaskId>, free: &Wished, end: i64) -> Listed {
        let (space, schedule) = &mut self.around;
        time(self.back, &order, free, -end, space, schedule);
        let length = end + schedule.values().map(|done| done.end).max().unwrap_or(0);
        by_end(self.net, schedule, space, &mut order);
        Listed { order, length }
    }

    /// A child of one order and of another, the shorter of two by chance.
    fn child(&mut self, parents: &[Listed], own: usize, late: bool) -> Option<Vec<TaskId>> {
        let (one, two) = (self.dice.below(parents.len()), self.dice.below(parents.len()));
        let length = |at: usize| parents.get(at).map(|one| one.length);
        let other = if length(two) < length(one) { two } else { one };
        let (mother, father) = if self.dice.below(2) == 0 { (own, other) } else { (other, own) };
        let (mother, father) = (&parents.get(mother)?.order, &parents.get(father)?.order);
        let net = if late { self.back } else { self.net };
        let mut order = if self.dice.below(100) < WHOLE {
            let long = mother.len() / 8 + self.dice.below(mother.len() / 2);
            let from = self.dice.below(mother.len() - long.min(mother.len() - 1));
            stretch(net, mother, father, (from, (from + long).min(mother.len())))
        } else {
            let (one, two) = (self.dice.below(mother.len()), self.dice.below(mother.len()));
            two_points(mother, father, (one.min(two), one.max(two)))
        };
        self.shake(net, &mut order, MOVED);
        Some(order)
    }
}

/// The mother's order with the father's between two points.
fn two_points(mother: &[TaskId], father: &[TaskId], (from, to): (usize, usize)) -> Vec<TaskId> {
    let size = mother.len();
    let mut taken: Arena<TaskId, bool> = filled(size, false);
    let mut order = Vec::with_capacity(size);
    for (parent, upto) in [(mother, from), (father, to), (mother, size)] {
        for &id in parent {
            if order.len() >= upto {
                break;
            }
            if !taken[id] {
                taken[id] = true;
                order.push(id);
            }
        }
    }
    order
}

/// Where a task of a child stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    /// Not said yet.
    Open,
    /// In the stretch.
    Within,
    /// Before it: something in it waits for it.
    Before,
    /// Behind it.
    Behind,
}

/// The mother's order, in which a stretch of the father's stands whole, about where it stood.
fn stretch(net: &Net, mother: &[TaskId], father: &[TaskId], (from, to): (usize, usize)) -> Vec<TaskId> {
    let mut part: Arena<TaskId, Part> = filled(mother.len(), Part::Open);
    let within = father.get(from..to).unwrap_or_default();
    within.iter().for_each(|&id| part[id] = Part::Within);
    for &id in father.iter().take(to).rev() {
        if matches!(part[id], Part::Within | Part::Before) {
            for &(one, _) in &net.before[id] {
                if part[one] == Part::Open {
                    part[one] = Part::Before;
                }
            }
        }
    }
    let mut order = Vec::with_capacity(mother.len());
    let mut behind = Vec::with_capacity(mother.len());
    let middle = usize::midpoint(from, to);
    for (at, &id) in mother.iter().enumerate() {
        let is_free = |&(one, _): &(TaskId, i64)| matches!(part[one], Part::Open | Part::Before);
        match part[id] {
            Part::Within => {}
            Part::Before => order.push(id),
            // What waits for nothing in the stretch or behind it may come before it.
            _ if order.len() < from && at < middle && net.before[id].iter().all(is_free) => order.push(id),
            _ => {
                part[id] = Part::Behind;
                behind.push(id);
            }
        }
    }
    order.extend(within);
    order.extend(behind);
    order
}
