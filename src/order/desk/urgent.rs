//! Urgent work first: it is done as soon as it can be, and other work stops for it.
//!
//! In: a problem. Out: when urgent work is done, and the problem that is left:
//! its time is taken out of the hours of those who do it.

use super::hours::Hours;
use super::net::Net;
use super::problem::{Hand, HandId, Problem, TaskId, Wait};
use super::schedule::{Done, Space, alone, in_order};
use crate::model::Arena;
use crate::order::shoot::problem::{collected, filled};
use std::collections::BTreeMap;

/// Urgent tasks that wait for urgent ones alone, in an order in which that can
/// be seen. One who has several seats stops for nothing: what he alone can do is not urgent.
fn urgent(problem: &Problem, net: &Net) -> Vec<TaskId> {
    let mut is: Arena<TaskId, bool> = filled(net.len(), false);
    for &id in &net.order {
        let task = &problem.tasks[id];
        let single = task.able.iter().all(|&hand| problem.hands[hand].seats == [1]);
        is[id] = task.urgent && single && task.before.iter().all(|wait| is[wait.on]);
    }
    net.order.iter().copied().filter(|&id| is[id]).collect()
}

/// When urgent work is done, and what is left to plan: the same tasks, those
/// that are done as moments at the time they end.
pub(super) fn split(problem: &Problem) -> (BTreeMap<TaskId, Done>, Problem) {
    let net = Net::new(problem);
    let urgent = urgent(problem, &net);
    let mut left = problem.clone();
    if urgent.is_empty() {
        return (BTreeMap::new(), left);
    }
    let mut all_hours = net.clone();
    all_hours.hours = collected(problem.hands.values().map(|hand| hand.hours.with(&hand.late_hours)));
    let soonest = alone(&all_hours, i64::MIN);
    let mut order = in_order(&net, &collected(soonest.values().map(|done| done.end)));
    order.retain(|id| urgent.contains(id));
    let done = at_once(problem, &all_hours, &order);
    for (&id, done) in &done {
        let task = &mut left.tasks[id];
        (task.work, task.release) = (0, done.end);
        task.before = Vec::<Wait>::new();
    }
    for (hand, hours) in all_hours.hours.iter() {
        let mut taken: Vec<(i64, i64)> = Vec::new();
        for done in done.values().filter(|done| done.hand == Some(hand) && done.start < done.end) {
            taken.extend(within(hours, done.start, done.end));
        }
        taken.sort_unstable();
        let own = &mut left.hands[hand];
        *own = Hand { hours: own.hours.without(&taken), ..own.clone() };
    }
    (done, left)
}

/// Each task as soon as it can be done. Nobody begins in late hours what would
/// go on over the night.
fn at_once(problem: &Problem, net: &Net, order: &[TaskId]) -> BTreeMap<TaskId, Done> {
    let mut space = Space::new(net);
    space.clear(net, i64::MIN);
    let mut done: BTreeMap<TaskId, Done> = BTreeMap::new();
    for &id in order {
        let work = net.work[id];
        let ends = net.before[id].iter().filter_map(|(one, gap)| Some(done.get(one)?.end + gap));
        let from = ends.fold(net.release[id], i64::max);
        let with = |&hand: &HandId| {
            let hours = &net.hours[hand];
            let mut at = space.fit(net, id, hand, hours.worked(from));
            for (start, end) in problem.hands[hand].late_hours.shifts() {
                if hours.begin(at) >= start && hours.begin(at) < end && hours.end(at + work) > end {
                    at = space.fit(net, id, hand, hours.worked(end));
                }
            }
            (at + work > hours.capacity(), hours.end(at + work), at, hand)
        };
        let best = net.able[id].iter().filter(|_| work > 0).map(with).min_by_key(|one| (one.0, one.1));
        let one = match best {
            Some((_, _, at, hand)) => space.take(net, id, hand, at),
            None => Done { hand: None, start: from, end: from },
        };
        done.insert(id, one);
    }
    done
}

/// The working hours between two moments.
fn within(hours: &Hours, from: i64, to: i64) -> impl Iterator<Item = (i64, i64)> {
    hours.shifts().map(move |(start, end)| (start.max(from), end.min(to))).filter(|(start, end)| start < end)
}
