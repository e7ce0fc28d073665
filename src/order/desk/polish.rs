//! What is wanted sooner, and fewer changes of task, where they cost nothing.
//!
//! In: a schedule. Out: one that is no later and no longer, in which what is
//! wanted comes sooner, then people stay with one thing for longer, and then
//! tasks are done sooner.

use super::breed::Made;
use super::net::Net;
use super::problem::TaskId;
use super::schedule::{Schedule, Space, Wished, by_start, in_order, time};
use super::value::Terms;
use crate::model::Arena;
use crate::order::shoot::problem::{collected, filled};

/// Brings forward what is wanted and moves tasks next to others of the same thing
/// until the work is done or nothing helps.
pub(super) fn polish(net: &Net, terms: &Terms, mut made: Made, limit: u64) -> Made {
    made.worth = terms.with_changes(&made.schedule, &made.order);
    let mut tried = Tried { net, terms, space: Space::new(net), schedule: made.schedule.clone() };
    // Half of the work at most, so that the rest is left for changes of task.
    tried.bring_forward(&mut made, limit / 2);
    let mut better = true;
    while better {
        better = false;
        for id in net.work.ids() {
            for keys in moves(&made, terms, id) {
                if tried.space.timed >= limit {
                    return made;
                }
                if tried.is_better(&mut made, &keys, false) {
                    better = true;
                    break;
                }
            }
        }
    }
    made
}

/// Orders tried on a schedule.
struct Tried<'t> {
    net: &'t Net,
    terms: &'t Terms,
    space: Space,
    schedule: Schedule,
}

/// Parts of the way to the front that what is wanted is brought, in quarters.
const FORWARD: [i64; 4] = [4, 3, 2, 1];

impl Tried<'_> {
    /// Takes the schedule of the order by these keys where it is better; `freed`
    /// leaves it to whoever is done first who does what.
    fn is_better(&mut self, made: &mut Made, keys: &Arena<TaskId, i64>, freed: bool) -> bool {
        let wished: Wished =
            collected(made.schedule.values().map(|done| if freed { None } else { done.hand }));
        let mut order = in_order(self.net, keys);
        time(self.net, &order, &wished, i64::MIN, &mut self.space, &mut self.schedule);
        by_start(self.net, &self.schedule, &mut self.space, &mut order);
        let worth = self.terms.with_changes(&self.schedule, &order);
        let better = worth < made.worth;
        if better {
            *made = Made { order, schedule: self.schedule.clone(), worth };
        }
        better
    }

    /// What is wanted comes sooner, with all that it waits for: first everything
    /// that counts as much and more, then one after the other.
    fn bring_forward(&mut self, made: &mut Made, limit: u64) {
        let wanted = self.terms.wanted();
        let mut levels: Vec<i64> = wanted.iter().map(|one| one.1).collect();
        levels.dedup();
        let of_level = |least: i64| wanted.iter().filter(move |one| one.1 >= least).map(|one| one.0);
        let mut sets: Vec<Vec<TaskId>> = levels.into_iter().map(|least| of_level(least).collect()).collect();
        sets.extend(wanted.iter().map(|one| vec![one.0]));
        let mut better = true;
        while better {
            better = false;
            for set in &sets {
                let behind = self.behind(set);
                for quarters in FORWARD {
                    for freed in [false, true] {
                        if self.space.timed >= limit {
                            return;
                        }
                        let keys = forward(made, &behind, quarters);
                        better |= self.is_better(made, &keys, freed);
                    }
                }
            }
        }
    }

    /// These tasks and everything that they wait for.
    fn behind(&self, set: &[TaskId]) -> Arena<TaskId, bool> {
        let mut behind: Arena<TaskId, bool> = filled(self.net.len(), false);
        set.iter().for_each(|&id| behind[id] = true);
        for &id in self.net.order.iter().rev() {
            if behind[id] {
                self.net.before[id].iter().for_each(|&(one, _)| behind[one] = true);
            }
        }
        behind
    }
}

/// Keys by which some tasks come so many quarters of the way nearer to the front.
fn forward(made: &Made, behind: &Arena<TaskId, bool>, quarters: i64) -> Arena<TaskId, i64> {
    let mut keys: Arena<TaskId, i64> = filled(made.schedule.len(), 0);
    for (at, &id) in made.order.iter().enumerate() {
        let at = at as i64;
        // Before the others at the same place.
        keys[id] = if behind[id] { 2 * (at - at * quarters / 4) - 1 } else { 2 * at };
    }
    if quarters == 4 {
        for (at, &id) in made.order.iter().enumerate().filter(|(_, id)| behind[**id]) {
            keys[id] = at as i64 - made.order.len() as i64;
        }
    }
    keys
}

/// Orders in which a task that stands alone at its hand comes right behind, or
/// right before, another of the same thing.
fn moves(made: &Made, terms: &Terms, id: TaskId) -> Vec<Arena<TaskId, i64>> {
    let hand = made.schedule[id].hand;
    let at_hand: Vec<TaskId> =
        made.order.iter().copied().filter(|&one| made.schedule[one].hand == hand).collect();
    let Some(place) = at_hand.iter().position(|&one| one == id).filter(|_| hand.is_some()) else {
        return Vec::new();
    };
    let alike = |one: &&TaskId| terms.alike(**one, id);
    let before = place.checked_sub(1).and_then(|place| at_hand.get(place)).filter(alike);
    let after = at_hand.get(place + 1).filter(alike);
    if terms.part(id).is_none() || (before.is_some() && after.is_some()) {
        return Vec::new();
    }
    let mut keys: Arena<TaskId, i64> = filled(made.schedule.len(), 0);
    for (at, &one) in made.order.iter().enumerate() {
        keys[one] = 2 * at as i64;
    }
    let earlier = at_hand.iter().take(place).rev().find(alike).filter(|_| before.is_none());
    let later = at_hand.iter().skip(place + 1).find(alike).filter(|_| after.is_none());
    let with = |key: i64| {
        let mut keys = keys.clone();
        keys[id] = key;
        keys
    };
    [earlier.map(|&one| with(keys[one] + 1)), later.map(|&one| with(keys[one] - 1))]
        .into_iter()
        .flatten()
        .collect()
}
