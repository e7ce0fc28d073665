//! A problem in, an answer out.

use super::problem::{Fault, HandId, Problem, TaskId};
use super::{fault, search};
use crate::model::Arena;
use crate::order::effort::Effort;
use crate::order::shoot::problem::filled;

/// A schedule of all tasks that can be done.
#[derive(Debug, Clone)]
pub struct Answer {
    /// When each task is done; nothing for one that cannot be done.
    pub tasks: Arena<TaskId, Option<Done>>,
    /// Tasks that cannot be done, with the reason.
    pub left: Vec<(TaskId, Fault)>,
    /// When the last task is done; nothing where there is none.
    pub finish: Option<i64>,
    /// No schedule of these tasks ends before this.
    pub bound: i64,
    /// Whether none is less late, and of those that are as late none ends sooner.
    pub proven: bool,
}

/// Who does a task, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Done {
    /// Who; nobody for a moment.
    pub hand: Option<HandId>,
    /// Start.
    pub start: i64,
    /// End.
    pub end: i64,
    /// How far it can slip without moving the end of all, in elapsed minutes,
    /// the same people doing the same in the same order.
    pub float: i64,
    /// Whether it cannot slip at all.
    pub critical: bool,
}

/// Schedules the tasks of any problem, whether it came from a sequence or not:
/// least late, then done soonest, then with fewest changes of task.
pub fn solve(problem: &Problem, effort: Effort) -> Answer {
    let faults = fault::faults(problem);
    let (part, ids) = without(problem, |id| faults.contains_key(&id));
    let found = search::search(&part, effort);
    let mut tasks = filled(problem.tasks.len(), None);
    for ((id, done), own) in found.schedule.iter().zip(ids) {
        let (float, critical) = found.slack[id];
        tasks[own] = Some(Done { hand: done.hand, start: done.start, end: done.end, float, critical });
    }
    Answer {
        tasks,
        left: faults.into_iter().collect(),
        finish: found.schedule.values().map(|done| done.end).max(),
        bound: found.least.finish,
        proven: found.worth.first() <= found.least.first(),
    }
}

/// The problem without some tasks, and which tasks those of it are.
fn without(problem: &Problem, gone: impl Fn(TaskId) -> bool) -> (Problem, Vec<TaskId>) {
    let mut part = Problem { hands: problem.hands.clone(), due: problem.due, ..Problem::default() };
    let mut place: Arena<TaskId, Option<TaskId>> = filled(problem.tasks.len(), None);
    let mut ids = Vec::new();
    for (id, task) in problem.tasks.iter().filter(|(id, _)| !gone(*id)) {
        place[id] = Some(part.tasks.push(task.clone()));
        ids.push(id);
    }
    for id in part.tasks.ids() {
        let waits = &mut part.tasks[id].before;
        waits.retain_mut(|wait| place[wait.on].map(|on| wait.on = on).is_some());
    }
    (part, ids)
}
