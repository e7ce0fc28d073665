//! Breeds orders of tasks.
//!
//! In: a net and an amount of work. Out: the best schedule that the work found:
//! least late, then shortest, then each task early. A population of orders is
//! sampled by latest finish, with chances by regret (Drexl 1991; Kolisch and
//! Hartmann 1999), children are cut from two parents at two points (Hartmann
//! 1998), and every child is justified until that helps no more (Valls,
//! Ballestín and Quintanilla 2005, 2008). When nothing new comes for long, a new
//! population begins. Where justification harms nothing, two populations do better (`swing`).

use super::net::Net;
use super::problem::{HandId, TaskId};
use super::schedule::{Schedule, Space, Wished, blank, by_end, by_start, time};
use super::value::{Terms, Worth};
use crate::model::Arena;
use crate::order::shoot::improve::Dice;
use crate::order::shoot::problem::{collected, filled};

/// Orders in a population at most.
const MOST: usize = 40;
/// Children without anything new for each task, after which a population is given up.
const STALE: usize = 25;
/// Populations without anything better after which the search ends.
const BARREN: u64 = 4;
/// Out of a thousand tasks so many move in a child.
const MOVED: usize = 50;
/// Out of a thousand tasks of a child so many are given to whoever is free first.
const FREED: usize = 30;

/// A schedule with the order that made it.
#[derive(Debug, Clone)]
pub(super) struct Made {
    /// Tasks by start.
    pub(super) order: Vec<TaskId>,
    /// Who does what when.
    pub(super) schedule: Schedule,
    /// What it is worth.
    pub(super) worth: Worth,
}

/// Makes schedules from orders, and counts the work.
pub(super) struct Maker<'a> {
    pub(super) net: &'a Net,
    pub(super) back: &'a Net,
    pub(super) terms: &'a Terms,
    /// No schedule is worth more than this.
    pub(super) least: Worth,
    pub(super) forth: (Space, Schedule),
    pub(super) around: (Space, Schedule),
    /// Whether any task can be done by several.
    several: bool,
    /// Whether justification can make a schedule worse in anything.
    harms: bool,
    pub(super) dice: Dice,
}

impl<'a> Maker<'a> {
    /// `back` is the mirrored net; `least` ends the search where it is reached.
    pub(super) fn new(net: &'a Net, back: &'a Net, terms: &'a Terms, least: Worth) -> Self {
        let several = net.able.values().any(|able| able.len() > 1);
        Self {
            net,
            back,
            terms,
            least,
            forth: (Space::new(net), blank(net)),
            around: (Space::new(back), blank(back)),
            several,
            harms: several || terms.has_dues() || terms.has_wanted(),
            dice: Dice::new(0xde5c),
        }
    }

    /// Tasks tried at a hand so far.
    pub(super) fn work(&self) -> u64 {
        self.forth.0.timed + self.around.0.timed
    }

    /// Whether single tasks are due.
    pub(super) fn has_dues(&self) -> bool {
        self.terms.has_dues()
    }

    fn is_least(&self, made: &Made) -> bool {
        let of = |worth: &Worth| (worth.late, worth.finish, worth.wanted);
        of(&made.worth) <= of(&self.least)
    }

    /// Times an order and justifies it until that helps no more.
    pub(super) fn make(&mut self, mut order: Vec<TaskId>, wished: &Wished) -> Made {
        let (space, schedule) = &mut self.forth;
        time(self.net, &order, wished, i64::MIN, space, schedule);
        let mut worth = self.terms.worth(schedule);
        loop {
            let held: Wished = collected(schedule.values().map(|done| done.hand));
            let (around, late) = &mut self.around;
            by_end(self.back, schedule, space, &mut order);
            time(self.back, &order, &held, -worth.finish, around, late);
            by_end(self.net, late, around, &mut order);
            let known = self.harms.then(|| schedule.clone());
            time(self.net, &order, &held, i64::MIN, space, schedule);
            let next = self.terms.worth(schedule);
            if (next.late, next.finish) < (worth.late, worth.finish) {
                worth = next;
                continue;
            }
            match known {
                Some(known) if next > worth => *schedule = known,
                _ => worth = next,
            }
            by_start(self.net, schedule, space, &mut order);
            return Made { order, schedule: schedule.clone(), worth };
        }
    }

    /// Breeds until so many tasks were timed or nothing better can be: `swung` where
    /// what is made later and what is made earlier can be judged alike, else `limit`.
    pub(super) fn breed(&mut self, latest: &Arena<TaskId, i64>, (limit, swung): (u64, u64)) -> Option<Made> {
        if self.net.len() == 0 {
            return None;
        }
        let limit = if self.harms { limit } else { swung };
        let mut best: Option<Made> = None;
        let mut barren = 0;
        while barren < BARREN && (best.is_none() || self.work() < limit) {
            let made = if self.harms { self.generation(latest, limit)? } else { self.swing(latest, limit)? };
            barren += 1;
            if best.as_ref().is_none_or(|best| made.worth < best.worth) {
                barren = 0;
                best = Some(made);
            }
            if best.as_ref().is_some_and(|best| self.is_least(best)) {
                break;
            }
        }
        best
    }

    /// One population from its beginning to its end; the best of it.
    fn generation(&mut self, latest: &Arena<TaskId, i64>, limit: u64) -> Option<Made> {
        let free: Wished = filled(self.net.len(), None);
        let first = super::schedule::in_order(self.net, latest);
        let mut all = vec![self.make(first, &free)];
        let each = (self.work() / all.len() as u64).max(1);
        let size = usize::try_from(limit / each / 8).unwrap_or(MOST).clamp(2, MOST);
        while all.len() < size && !self.is_least(all.first()?) && self.work() < limit {
            let order = self.sample(latest);
            let made = self.make(order, &free);
            let at = all.partition_point(|one| one.worth <= made.worth);
            all.insert(at, made);
        }
        let mut stale = 0;
        while stale < STALE * self.net.len()
            && self.work() < limit
            && all.len() > 1
            && !self.is_least(all.first()?)
        {
            let (mother, father) = self.parents(all.len());
            let (mut order, wished) = self.cross(all.get(mother)?, all.get(father)?);
            self.shake(self.net, &mut order, MOVED);
            let made = self.make(order, &wished);
            stale += 1;
            let at = all.partition_point(|one| one.worth < made.worth);
            if at < all.len() && all.get(at).is_some_and(|one| one.worth != made.worth) {
                if at == 0 && (made.worth.late, made.worth.finish) < all.first()?.worth.first() {
                    stale = 0;
                }
                all.pop();
                all.insert(at, made);
            }
        }
        Some(all.swap_remove(0))
    }

    /// Two different ones, each the better of two by chance.
    fn parents(&mut self, size: usize) -> (usize, usize) {
        let mother = self.dice.below(size).min(self.dice.below(size));
        let father = self.dice.below(size).min(self.dice.below(size));
        if mother == father { (mother, (father + 1) % size) } else { (mother, father) }
    }

    /// The mother's order with the father's between two points.
    fn cross(&mut self, mother: &Made, father: &Made) -> (Vec<TaskId>, Wished) {
        let size = mother.order.len();
        let (one, other) = (self.dice.below(size), self.dice.below(size));
        let (from, to) = (one.min(other), one.max(other));
        let mut wished: Wished = filled(size, None);
        let mut order = Vec::with_capacity(size);
        for (id, fathers) in two_points(&mother.order, &father.order, (from, to)) {
            wished[id] = if fathers { father } else { mother }.schedule[id].hand;
            order.push(id);
        }
        if self.several {
            let freed = if self.dice.below(8) == 0 { 1000 } else { FREED };
            for &id in &order {
                if self.dice.below(1000) < freed {
                    let able = &self.net.able[id];
                    let other: Option<HandId> = able.get(self.dice.below(able.len())).copied();
                    wished[id] = other.filter(|_| freed == FREED && self.dice.below(2) == 0);
                }
            }
        }
        (order, wished)
    }

    /// Moves so many tasks out of a thousand to another place between those they wait for and those that wait for them.
    pub(super) fn shake(&mut self, net: &Net, order: &mut [TaskId], moved: usize) {
        for at in 0..order.len() {
            if self.dice.below(1000) >= moved {
                continue;
            }
            let Some(&id) = order.get(at) else { continue };
            let (before, after) = (&net.before[id], &net.after[id]);
            let is_in = |list: &[(TaskId, i64)], one: &TaskId| list.iter().any(|(other, _)| other == one);
            let first =
                order.iter().take(at).rposition(|one| is_in(before, one)).map_or(0, |place| place + 1);
            let last = order
                .iter()
                .skip(at + 1)
                .position(|one| is_in(after, one))
                .map_or(order.len() - 1, |far| at + far);
            let to = first + self.dice.below(last + 1 - first);
            if let Some(part) = order.get_mut(at.min(to)..=at.max(to)) {
                if at < to { part.rotate_left(1) } else { part.rotate_right(1) }
            }
        }
    }

    /// An order by chance; the more a task would regret to wait, the likelier it is next.
    pub(super) fn sample(&mut self, latest: &Arena<TaskId, i64>) -> Vec<TaskId> {
        let mut open: Arena<TaskId, usize> = collected(self.net.before.values().map(Vec::len));
        let mut ready: Vec<TaskId> = self.net.order.iter().copied().filter(|&id| open[id] == 0).collect();
        let mut order = Vec::with_capacity(self.net.len());
        while !ready.is_empty() {
            let worst = ready.iter().map(|&id| latest[id]).max().unwrap_or(0);
            let regret = |id: TaskId| usize::try_from(worst - latest[id] + 1).unwrap_or(1);
            let mut chance = self.dice.below(ready.iter().map(|&id| regret(id)).sum());
            let picked = ready.iter().position(|&id| {
                let here = chance < regret(id);
                chance = chance.saturating_sub(regret(id));
                here
            });
            let id = ready.swap_remove(picked.unwrap_or(0));
            order.push(id);
            for &(after, _) in &self.net.after[id] {
                open[after] -= 1;
                if open[after] == 0 {
                    ready.push(after);
                }
            }
        }
        order
    }
}

/// The mother's order with the father's between two points; whether each task stands
/// where the father has it.
pub(super) fn two_points(
    mother: &[TaskId],
    father: &[TaskId],
    (from, to): (usize, usize),
) -> Vec<(TaskId, bool)> {
    let size = mother.len();
    let mut taken: Arena<TaskId, bool> = filled(size, false);
    let mut order = Vec::with_capacity(size);
    for (parent, fathers, upto) in [(mother, false, from), (father, true, to), (mother, false, size)] {
        for &id in parent {
            if order.len() >= upto {
                break;
            }
            if !taken[id] {
                taken[id] = true;
                order.push((id, fathers));
            }
        }
    }
    order
}
