//! What can slip at the desk, and what cannot.
//!
//! In: a schedule. Out: for each task how far it can slip without moving the
//! finish, with the same people in the same order: by logic and by hands alike
//! (the critical sequence; Wiest 1964).

use super::problem::{Problem, TaskId};
use super::schedule::{Schedule, by_time};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::problem::filled;

/// Slack of each task in minutes of elapsed time, and whether it cannot slip at all.
pub(crate) fn slack(problem: &Problem, schedule: &Schedule) -> Arena<TaskId, (i64, bool)> {
    let finish = schedule.values().map(|done| done.end).max().unwrap_or(0);
    let mut latest: Arena<TaskId, i64> = filled(problem.tasks.len(), finish);
    let mut slack: Arena<TaskId, (i64, bool)> = filled(problem.tasks.len(), (0, false));
    let mut next: Vec<Option<TaskId>> = vec![None; problem.hands.len()];
    let order = backwards(problem, schedule);
    for &id in &order {
        let task = &problem.tasks[id];
        let done = schedule[id];
        let mut until = task.after.iter().map(|&one| latest[one]).min().unwrap_or(finish);
        let Some(hand) = done.hand else {
            latest[id] = until;
            slack[id] = ((until - done.end).max(0), false);
            continue;
        };
        let follower = next.get_mut(hand.index());
        if let Some(follower) = follower {
            until = until.min(follower.map_or(finish, |one| latest[one]));
            *follower = Some(id);
        }
        let hours = &problem.hands[hand];
        let from = (hours.worked(until) - task.work).max(done.from);
        latest[id] = hours.begin(from);
        slack[id] = ((latest[id] - done.start).max(0), from <= done.from);
    }
    // A moment cannot slip when what brings it about cannot, and the finish hangs on it.
    for &id in order.iter().rev() {
        if schedule[id].hand.is_none() {
            let task = &problem.tasks[id];
            let held = task.before.iter().any(|&one| slack[one].1 && schedule[one].end == schedule[id].end);
            let holds = task.after.is_empty() || task.after.iter().any(|&one| slack[one].1);
            slack[id].1 = (held && holds) || slack[id].0 == 0;
        }
    }
    slack
}

/// The last to start first; what waits always before what it waits for.
fn backwards(problem: &Problem, schedule: &Schedule) -> Vec<TaskId> {
    let order = by_time(schedule);
    let mut order = super::schedule::in_order(problem, &order);
    order.reverse();
    order
}
