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

use super::breed::{Made, Maker, two_points};
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
            let cut = two_points(mother, father, (one.min(two), one.max(two)));
            cut.into_iter().map(|(id, _)| id).collect()
        };
        self.shake(net, &mut order, MOVED);
        Some(order)
    }
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

#[cfg(test)]
mod tests {
    use super::super::problem::{Hand, Problem, Task, Wait};
    use super::*;
    use crate::order::desk::hours::Hours;
    use crate::order::shoot::improve::Dice;

    /// Tasks of which each waits for up to three before it, in an order by chance.
    fn net(dice: &mut Dice) -> Net {
        let mut problem = Problem::default();
        let hand = problem.hands.push(Hand::person(Hours::new([(0, 10_000)])));
        let mut ids: Vec<TaskId> = Vec::new();
        for _ in 0..1 + dice.below(30) {
            let count = dice.below(4).min(ids.len());
            let on = (0..count).filter_map(|_| ids.get(dice.below(ids.len())).copied());
            let before = on.map(|on| Wait { on, gap: 0 }).collect();
            let work = 1 + dice.below(9) as i64;
            ids.push(problem.tasks.push(Task { work, able: vec![hand], before, ..Task::default() }));
        }
        Net::new(&problem)
    }

    /// Everything once, and nothing before what it waits for.
    fn holds(net: &Net, order: &[TaskId]) -> bool {
        let mut done: Arena<TaskId, bool> = filled(net.len(), false);
        let each = order.iter().all(|&id| {
            let fits = !done[id] && net.before[id].iter().all(|&(on, _)| done[on]);
            done[id] = true;
            fits
        });
        each && order.len() == net.len()
    }

    #[test]
    fn children_hold_everything_once_and_nothing_before_what_it_waits_for() {
        let mut dice = Dice::new(7);
        let mut whole = 0;
        for _ in 0..2000 {
            let net = net(&mut dice);
            let mut order = || {
                let keys = (0..net.len()).map(|_| dice.below(50) as i64);
                in_order(&net, &crate::order::shoot::problem::collected(keys))
            };
            let (mother, father) = (order(), order());
            let (one, two) = (dice.below(net.len()), dice.below(net.len() + 1));
            let points = (one.min(two), one.max(two));
            let cut: Vec<TaskId> =
                two_points(&mother, &father, points).into_iter().map(|(id, _)| id).collect();
            assert!(holds(&net, &cut), "{cut:?} of {mother:?} and {father:?} at {points:?}");
            let child = stretch(&net, &mother, &father, points);
            assert!(holds(&net, &child), "{child:?} of {mother:?} and {father:?} at {points:?}");
            let within = father.get(points.0..points.1).unwrap_or_default();
            whole += usize::from(within.is_empty() || child.windows(within.len()).any(|part| part == within));
        }
        assert_eq!(whole, 2000, "the father's stretch stands in one piece");
    }
}
