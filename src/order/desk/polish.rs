//! Fewer changes of task, where they cost nothing.
//!
//! In: a schedule. Out: one that is no later and no longer, in which people
//! stay with one thing for longer, and then one in which tasks are done sooner.

use super::breed::Made;
use super::net::Net;
use super::problem::TaskId;
use super::schedule::{Space, Wished, by_start, in_order, time};
use super::value::Terms;
use crate::model::Arena;
use crate::order::shoot::problem::{collected, filled};

/// Moves tasks next to others of the same thing until the work is done or nothing helps.
pub(super) fn polish(net: &Net, terms: &Terms, mut made: Made, limit: u64) -> Made {
    made.worth = terms.with_changes(&made.schedule, &made.order);
    let mut space = Space::new(net);
    let mut schedule = made.schedule.clone();
    let mut better = true;
    while better {
        better = false;
        for id in net.work.ids() {
            for keys in moves(&made, terms, id) {
                if space.timed >= limit {
                    return made;
                }
                let wished: Wished = collected(made.schedule.values().map(|done| done.hand));
                let mut order = in_order(net, &keys);
                time(net, &order, &wished, i64::MIN, &mut space, &mut schedule);
                by_start(net, &schedule, &mut space, &mut order);
                let worth = terms.with_changes(&schedule, &order);
                if worth < made.worth {
                    made = Made { order, schedule: schedule.clone(), worth };
                    better = true;
                    break;
                }
            }
        }
    }
    made
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
