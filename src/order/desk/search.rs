//! Finds a good order of tasks.
//!
//! In: a problem. Out: the best schedule that the allowed work finds: least
//! late, then shortest, then each task early. Priority rules begin (the longest
//! way still to go; latest start, Davis and Patterson 1975), every schedule is
//! improved by moving all late and then all early again (Li and Willis 1992;
//! Valls, Ballestín and Quintanilla 2005), then tasks change places.

use super::problem::{Problem, TaskId};
use super::schedule::{Schedule, forward, in_order, justified};
use crate::model::Arena;
use crate::order::shoot::improve::Dice;
use crate::order::shoot::problem::filled;

/// Tasks that may be timed in trial.
const WORK: usize = 300_000;
/// Trials at most.
const TRIALS: usize = 250;

/// What a schedule is worth: lateness, length, sum of ends.
type Worth = (i64, i64, i64);

fn worth(problem: &Problem, schedule: &Schedule) -> Worth {
    let finish = schedule.values().map(|done| done.end).max().unwrap_or(0);
    let late = problem.due.map_or(0, |due| (finish - due).max(0));
    let ends = schedule.values().map(|done| done.end - finish).fold(0, i64::saturating_add);
    (late, finish, ends)
}

/// The best schedule found, and whether no shorter one can be.
pub(crate) fn solve(problem: &Problem) -> (Schedule, bool) {
    let mut best: Option<(Worth, Vec<TaskId>, Schedule)> = None;
    for wished in wishes(problem) {
        let order = in_order(problem, &wished);
        keep_better(problem, order, &mut best);
    }
    let Some((mut known, mut order, mut schedule)) = best else {
        return (forward(problem, &[]), true);
    };
    let bound = least_finish(problem);
    let mut dice = Dice::new(0xde5c);
    let trials = (WORK / problem.tasks.len().max(1)).min(TRIALS);
    for _ in 0..trials {
        if known.1 <= bound {
            break;
        }
        let wished = nudged(&order, &mut dice);
        let mut tried = Some((known, order.clone(), schedule.clone()));
        keep_better(problem, in_order(problem, &wished), &mut tried);
        if let Some(better) = tried {
            (known, order, schedule) = better;
        }
    }
    (schedule, known.1 <= bound)
}

/// Times an order, improves it while that helps, and keeps it if it is no worse.
fn keep_better(problem: &Problem, order: Vec<TaskId>, best: &mut Option<(Worth, Vec<TaskId>, Schedule)>) {
    let mut order = order;
    let mut schedule = forward(problem, &order);
    let mut value = worth(problem, &schedule);
    loop {
        let next_order = justified(problem, &schedule);
        let next = forward(problem, &next_order);
        let next_value = worth(problem, &next);
        if next_value >= value {
            break;
        }
        (order, schedule, value) = (next_order, next, next_value);
    }
    if best.as_ref().is_none_or(|(known, _, _)| value <= *known) {
        *best = Some((value, order, schedule));
    }
}

/// Orders to begin with.
fn wishes(problem: &Problem) -> Vec<Vec<TaskId>> {
    let tail = tails(problem);
    let ids: Vec<TaskId> = problem.tasks.ids().collect();
    let by = |key: &dyn Fn(TaskId) -> i64| {
        let mut order = ids.clone();
        order.sort_by_key(|&id| (key(id), id));
        order
    };
    vec![
        by(&|id| -tail[id]),
        by(&|id| problem.tasks[id].release.saturating_sub(tail[id])),
        by(&|id| -(problem.tasks[id].after.len() as i64)),
        ids.clone(),
    ]
}

/// Working minutes on the longest way from the start of each task to the end.
fn tails(problem: &Problem) -> Arena<TaskId, i64> {
    let ids: Vec<TaskId> = problem.tasks.ids().collect();
    let mut tail = filled(problem.tasks.len(), 0);
    for id in in_order(problem, &ids).into_iter().rev() {
        let task = &problem.tasks[id];
        tail[id] = task.work + task.after.iter().map(|&one| tail[one]).max().unwrap_or(0);
    }
    tail
}

/// No schedule ends before this: every task as early as what it waits for
/// allows, each with the hand who ends it first, hands never busy.
fn least_finish(problem: &Problem) -> i64 {
    let ids: Vec<TaskId> = problem.tasks.ids().collect();
    let mut ends: Arena<TaskId, i64> = filled(problem.tasks.len(), 0);
    for id in in_order(problem, &ids) {
        let task = &problem.tasks[id];
        let from = task.before.iter().map(|&one| ends[one]).max().unwrap_or(i64::MIN).max(task.release);
        let with = |hand: &super::problem::HandId| {
            let hours = &problem.hands[*hand];
            hours.end(hours.worked(from) + task.work)
        };
        ends[id] =
            if task.work <= 0 { from } else { task.able.iter().map(with).min().unwrap_or(from).max(from) };
    }
    ends.values().copied().max().unwrap_or(0)
}

/// One task somewhere else in the order.
fn nudged(order: &[TaskId], dice: &mut Dice) -> Vec<TaskId> {
    let mut next = order.to_vec();
    let (from, to) = (dice.below(next.len()), dice.below(next.len()));
    if from < next.len() && to < next.len() {
        let task = next.remove(from);
        next.insert(to, task);
    }
    next
}
