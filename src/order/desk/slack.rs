//! What can slip at the desk, and what cannot.
//!
//! In: a schedule. Out: for each task how far it can slip without moving the
//! finish, with the same people in the same order: by logic and by hands alike
//! (the critical sequence; Wiest 1964). Everything is moved as late as it can
//! be; who has seats for several tasks at once may then do them in another order.

use super::net::Net;
use super::problem::{Problem, TaskId};
use super::schedule::{Done, Schedule, Space, Wished, blank, by_end, by_start, finish, time};
use crate::model::Arena;
use crate::order::shoot::problem::{collected, filled};
use std::collections::BTreeMap;

/// Slack of each task in minutes of elapsed time, and whether it cannot slip at
/// all. `net` is what is left once what is urgent is done.
pub(super) fn slack(
    problem: &Problem,
    schedule: &Schedule,
    (net, back): (&Net, &Net),
    urgent: &BTreeMap<TaskId, Done>,
) -> Arena<TaskId, (i64, bool)> {
    let latest = latest(schedule, back, urgent);
    let mut slack: Arena<TaskId, (i64, bool)> = filled(schedule.len(), (0, false));
    let mut order: Vec<TaskId> = net.order.clone();
    by_start(net, schedule, &mut Space::new(net), &mut order);
    for &id in order.iter().filter(|id| !urgent.contains_key(id)) {
        let done = schedule[id];
        let held =
            done.hand.map(|hand| net.hours[hand].worked(latest[id]) <= net.hours[hand].worked(done.start));
        slack[id] = ((latest[id] - done.start).max(0), held.unwrap_or(false));
    }
    let mut until: Vec<Option<i64>> = vec![None; problem.hands.len()];
    for &id in order.iter().rev() {
        let done = schedule[id];
        let Some(hand) = done.hand else { continue };
        let Some(next) = until.get_mut(crate::model::arena::Id::index(hand)) else { continue };
        let mut last = latest[id];
        if urgent.contains_key(&id) {
            let hours = problem.hands[hand].hours.with(&problem.hands[hand].late_hours);
            let by = next.map_or(latest[id], |next| next.min(latest[id]));
            let (from, begun) = (hours.worked(by) - problem.tasks[id].work, hours.worked(done.start));
            last = hours.begin(from.max(begun));
            slack[id] = ((last - done.start).max(0), from <= begun);
        }
        *next = Some(next.map_or(last, |next| next.min(last)));
    }
    moments(net, schedule, &order, &mut slack);
    slack
}

/// When each task starts at the latest; for what is urgent, when it must be done.
fn latest(schedule: &Schedule, back: &Net, urgent: &BTreeMap<TaskId, Done>) -> Arena<TaskId, i64> {
    let mut space = Space::in_order(back);
    let mut order: Vec<TaskId> = back.order.clone();
    by_end(back, schedule, &mut space, &mut order);
    let of = |(id, done): (TaskId, &Done)| if urgent.contains_key(&id) { None } else { done.hand };
    let held: Wished = collected(schedule.iter().map(of));
    let mut late = blank(back);
    time(back, &order, &held, -finish(schedule), &mut space, &mut late);
    collected(late.values().map(|done| -done.end))
}

/// A moment cannot slip when what brings it about cannot, and the finish hangs on it.
fn moments(net: &Net, schedule: &Schedule, order: &[TaskId], slack: &mut Arena<TaskId, (i64, bool)>) {
    for &id in order {
        if schedule[id].hand.is_none() {
            let held = net.before[id]
                .iter()
                .any(|&(one, gap)| slack[one].1 && schedule[one].end + gap == schedule[id].end);
            let holds = net.after[id].is_empty() || net.after[id].iter().any(|&(one, _)| slack[one].1);
            slack[id].1 = (held && holds) || slack[id].0 == 0;
        }
    }
}
