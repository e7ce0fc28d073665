//! Times tasks one after the other in a given order.
//!
//! In: a problem and an order in which no task comes before what it waits for.
//! Out: for each task who does it and when, each as early as can be after
//! those before it in the order (serial schedule generation; Kelley 1963).

use super::problem::{HandId, Problem, Task, TaskId};
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::problem::filled;

/// Who does a task, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Done {
    /// Who; nobody for a moment.
    pub(crate) hand: Option<HandId>,
    /// Start.
    pub(crate) start: i64,
    /// End.
    pub(crate) end: i64,
    /// Start in the hand's working minutes.
    pub(crate) from: i64,
}

/// All tasks timed.
pub(crate) type Schedule = Arena<TaskId, Done>;

/// Busy working minutes of each hand, in order.
type Busy = Vec<Vec<(i64, i64)>>;

/// When a task could start by what it waits for.
pub(crate) fn earliest(task: &Task, schedule: &Schedule) -> i64 {
    task.before.iter().map(|&one| schedule[one].end).max().unwrap_or(i64::MIN).max(task.release)
}

/// Times the tasks forward. Where a hand's hours run out another is taken; the
/// problem names only hands whose hours are enough for everything.
pub(crate) fn forward(problem: &Problem, order: &[TaskId]) -> Schedule {
    let mut schedule = filled(problem.tasks.len(), Done::default());
    let mut busy: Busy = vec![Vec::new(); problem.hands.len()];
    for &id in order {
        let task = &problem.tasks[id];
        let from = earliest(task, &schedule);
        if task.work <= 0 {
            schedule[id] = Done { hand: None, start: from, end: from, from: 0 };
            continue;
        }
        let mut best: Option<Done> = None;
        for &hand in &task.able {
            let hours = &problem.hands[hand];
            let taken = busy.get(hand.index()).map_or(&[][..], Vec::as_slice);
            let at = first_gap(taken, hours.worked(from), task.work);
            if at + task.work > hours.capacity() {
                continue;
            }
            let done =
                Done { hand: Some(hand), start: hours.begin(at), end: hours.end(at + task.work), from: at };
            if best.is_none_or(|known| done.end < known.end) {
                best = Some(done);
            }
        }
        let Some(done) = best else { continue };
        schedule[id] = done;
        if let Some(taken) = done.hand.and_then(|hand| busy.get_mut(hand.index())) {
            let at = taken.partition_point(|&(from, _)| from < done.from);
            taken.insert(at, (done.from, done.from + task.work));
        }
    }
    schedule
}

/// The first working minute from `from` on with so much free.
fn first_gap(taken: &[(i64, i64)], from: i64, work: i64) -> i64 {
    let mut at = from;
    let skip = taken.partition_point(|&(_, end)| end <= from);
    for &(start, end) in taken.iter().skip(skip) {
        if start - at >= work {
            break;
        }
        at = at.max(end);
    }
    at
}

/// The last working minute from which so much is free until `until`.
fn last_gap(taken: &[(i64, i64)], until: i64, work: i64) -> i64 {
    let mut end = until;
    let keep = taken.partition_point(|&(start, _)| start < until);
    for &(start, stop) in taken.iter().take(keep).rev() {
        if end - stop >= work {
            break;
        }
        end = end.min(start);
    }
    end - work
}

/// Moves every task as late as it can be within the same length, each with the
/// same hand, the last first; the order in which they then start.
pub(crate) fn justified(problem: &Problem, schedule: &Schedule) -> Vec<TaskId> {
    let finish = schedule.values().map(|done| done.end).max().unwrap_or(0);
    let mut latest: Arena<TaskId, i64> = filled(problem.tasks.len(), finish);
    let mut busy: Busy = vec![Vec::new(); problem.hands.len()];
    for id in by_time(schedule).into_iter().rev() {
        let task = &problem.tasks[id];
        let until = task.after.iter().map(|&one| latest[one]).min().unwrap_or(finish);
        let Some(hand) = schedule[id].hand else {
            latest[id] = until;
            continue;
        };
        let hours = &problem.hands[hand];
        let Some(taken) = busy.get_mut(hand.index()) else { continue };
        let from = last_gap(taken, hours.worked(until), task.work).max(0);
        latest[id] = hours.begin(from);
        let at = taken.partition_point(|&(start, _)| start < from);
        taken.insert(at, (from, from + task.work));
    }
    let mut order: Vec<TaskId> = problem.tasks.ids().collect();
    let place = places(&by_time(schedule));
    order.sort_by_key(|&id| (latest[id], place[id]));
    in_order(problem, &order)
}

/// Tasks by start, then end, then as listed.
pub(crate) fn by_time(schedule: &Schedule) -> Vec<TaskId> {
    let mut order: Vec<TaskId> = schedule.ids().collect();
    order.sort_by_key(|&id| (schedule[id].start, schedule[id].end, id));
    order
}

/// The place of each task in an order.
pub(crate) fn places(order: &[TaskId]) -> Arena<TaskId, usize> {
    let mut place = filled(order.len(), 0);
    for (at, &id) in order.iter().enumerate() {
        place[id] = at;
    }
    place
}

/// The nearest order in which nothing comes before what it waits for: always
/// the first task in the wished order that waits for nothing open.
pub(crate) fn in_order(problem: &Problem, wished: &[TaskId]) -> Vec<TaskId> {
    let place = places(wished);
    let mut open: Arena<TaskId, usize> = filled(problem.tasks.len(), 0);
    let mut ready = std::collections::BTreeSet::new();
    for (id, task) in problem.tasks.iter() {
        open[id] = task.before.len();
        if task.before.is_empty() {
            ready.insert((place[id], id));
        }
    }
    let mut order = Vec::with_capacity(wished.len());
    while let Some((_, id)) = ready.pop_first() {
        order.push(id);
        for &after in &problem.tasks[id].after {
            open[after] = open[after].saturating_sub(1);
            if open[after] == 0 {
                ready.insert((place[after], after));
            }
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_found_from_both_ends() {
        let taken = [(10, 20), (25, 40)];
        assert_eq!(first_gap(&taken, 0, 10), 0);
        assert_eq!(first_gap(&taken, 5, 5), 5);
        assert_eq!(first_gap(&taken, 5, 6), 40);
        assert_eq!(first_gap(&taken, 12, 5), 20);
        assert_eq!(last_gap(&taken, 50, 10), 40);
        assert_eq!(last_gap(&taken, 45, 6), 4);
        assert_eq!(last_gap(&taken, 45, 5), 40);
        assert_eq!(last_gap(&taken, 30, 5), 20);
    }
}
