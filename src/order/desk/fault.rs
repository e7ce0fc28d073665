//! What cannot be done at all, whatever the order.
//!
//! In: a problem. Out: each task that can never be done, with the reason; the
//! rest can, and is what the search works on.

use super::load::Seats;
use super::net::Net;
use super::problem::{Fault, Hand, HandId, MOST_SEATS, Problem, Task, TaskId};
use crate::model::Arena;
use crate::order::shoot::problem::filled;
use std::collections::BTreeMap;

/// Tasks that cannot be done, each with the first reason found.
pub(super) fn faults(problem: &Problem) -> BTreeMap<TaskId, Fault> {
    let mut faults = BTreeMap::new();
    let enough = with_hours(problem);
    for (id, task) in problem.tasks.iter().filter(|(_, task)| task.work > 0) {
        let mut seated = task.able.iter().filter(|&&hand| is_seated(&problem.hands[hand], task)).peekable();
        if seated.peek().is_none() {
            faults.insert(id, Fault::Nobody);
        } else if !seated.any(|&hand| enough[hand]) {
            faults.insert(id, Fault::Hours);
        }
    }
    circles(problem, &mut faults);
    behind(problem, &mut faults);
    faults
}

/// Who of those named can really do a task.
pub(super) fn able(problem: &Problem, enough: &Arena<HandId, bool>, task: &Task) -> Vec<HandId> {
    let can = |hand: &HandId| enough[*hand] && is_seated(&problem.hands[*hand], task);
    if task.work > 0 { task.able.iter().copied().filter(can).collect() } else { Vec::new() }
}

fn is_seated(hand: &Hand, task: &Task) -> bool {
    let kinds = hand.seats.len().max(task.seats.len()).max(1);
    (0..kinds).all(|kind| {
        let seats = hand.seats.get(kind).copied().unwrap_or(0).min(MOST_SEATS);
        Seats::new([seats]).hold(Seats::new([task.takes(kind).min(MOST_SEATS)]))
            && task.takes(kind) <= MOST_SEATS
    })
}

/// Hands whose hours are enough for all there is to do once all can be done,
/// and so in any order.
pub(super) fn with_hours(problem: &Problem) -> Arena<HandId, bool> {
    let tasks = || problem.tasks.values();
    let work = tasks().map(|task| task.work.max(0)).fold(0, i64::saturating_add);
    let gaps = tasks().flat_map(|task| &task.before).map(|wait| wait.gap.max(0)).fold(0, i64::saturating_add);
    let last = tasks().map(|task| task.release).max().unwrap_or(0).saturating_add(gaps);
    let mut enough = filled(problem.hands.len(), false);
    for (id, hand) in problem.hands.iter() {
        enough[id] = hand.hours.capacity() - hand.hours.worked(last) >= work;
    }
    enough
}

/// Tasks that wait for themselves: what is left when everything that waits for
/// nothing, and everything that nothing waits for, is taken away again and again.
fn circles(problem: &Problem, faults: &mut BTreeMap<TaskId, Fault>) {
    let net = Net::new(problem);
    if net.order.len() == net.len() {
        return;
    }
    let mut held: Arena<TaskId, bool> = filled(net.len(), true);
    for &id in &net.order {
        held[id] = false;
    }
    loop {
        let ends = held.ids().filter(|&id| held[id] && net.after[id].iter().all(|&(one, _)| !held[one]));
        let ends: Vec<TaskId> = ends.collect();
        if ends.is_empty() {
            break;
        }
        for id in ends {
            held[id] = false;
        }
    }
    for (id, _) in held.iter().filter(|(_, held)| **held) {
        faults.entry(id).or_insert(Fault::Circle);
    }
}

fn behind(problem: &Problem, faults: &mut BTreeMap<TaskId, Fault>) {
    let mut after: Arena<TaskId, Vec<TaskId>> = filled(problem.tasks.len(), Vec::new());
    for (id, task) in problem.tasks.iter() {
        for wait in &task.before {
            after[wait.on].push(id);
        }
    }
    let mut open: Vec<TaskId> = faults.keys().rev().copied().collect();
    while let Some(on) = open.pop() {
        for &id in &after[on] {
            faults.entry(id).or_insert_with(|| {
                open.push(id);
                Fault::Behind(on)
            });
        }
    }
}
