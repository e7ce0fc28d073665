//! What a schedule is worth.

use super::problem::{HandId, Problem, TaskId};
use super::schedule::Schedule;
use crate::model::Arena;
use crate::model::arena::Id;

/// What a schedule is worth; the less the better, the first that differs decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Worth {
    /// Minutes after what is due, over all tasks that are due, and the whole.
    pub(super) late: i64,
    /// When all is done.
    pub(super) finish: i64,
    /// Ends of what is wanted soon, each as often as it counts.
    pub(super) wanted: i64,
    /// How often somebody goes from one thing to another.
    pub(super) changes: i64,
    /// Ends of all tasks, counted back from the finish.
    pub(super) ends: i64,
}

impl Worth {
    /// What the search for an order goes by.
    pub(super) fn first(&self) -> (i64, i64) {
        (self.late, self.finish)
    }
}

/// What is asked of a schedule.
#[derive(Debug, Clone, Default)]
pub(super) struct Terms {
    due: Option<i64>,
    dues: Vec<(TaskId, i64)>,
    wanted: Vec<(TaskId, i64)>,
    parts: Arena<TaskId, Option<u32>>,
    hands: usize,
}

impl Terms {
    /// Reads a problem.
    pub(super) fn new(problem: &Problem) -> Self {
        let mut parts = Arena::default();
        for task in problem.tasks.values() {
            parts.push(task.part_of);
        }
        let dues = problem.tasks.iter().filter_map(|(id, task)| Some((id, task.due?)));
        let wanted = problem.tasks.iter().filter(|(_, task)| task.wanted > 0);
        let wanted = wanted.map(|(id, task)| (id, task.wanted)).collect();
        Self { due: problem.due, dues: dues.collect(), wanted, parts, hands: problem.hands.len() }
    }

    /// What no schedule beats: each task done no sooner than alone, all done no sooner than `finish`.
    pub(super) fn least(&self, alone: &Schedule, finish: i64) -> Worth {
        let own: i64 = self.dues.iter().map(|&(id, due)| (alone[id].end - due).max(0)).sum();
        let whole = self.due.map_or(0, |due| (finish - due).max(0));
        let wanted = self.ends_of_wanted(alone);
        Worth { late: own.saturating_add(whole), finish, wanted, changes: 0, ends: i64::MIN }
    }

    fn ends_of_wanted(&self, schedule: &Schedule) -> i64 {
        let ends = self.wanted.iter().map(|&(id, counts)| counts.saturating_mul(schedule[id].end));
        ends.fold(0, i64::saturating_add)
    }

    /// What is wanted soon, and how much each counts; the most first.
    pub(super) fn wanted(&self) -> Vec<(TaskId, i64)> {
        let mut wanted = self.wanted.clone();
        wanted.sort_by_key(|&(id, counts)| (std::cmp::Reverse(counts), id));
        wanted
    }

    /// What a task is a part of.
    pub(super) fn part(&self, id: TaskId) -> Option<u32> {
        self.parts[id]
    }

    /// Whether two tasks are parts of the same thing.
    pub(super) fn alike(&self, one: TaskId, other: TaskId) -> bool {
        one != other && self.parts[one] == self.parts[other]
    }

    /// Whether anything is wanted soon.
    pub(super) fn has_wanted(&self) -> bool {
        !self.wanted.is_empty()
    }

    /// Whether single tasks are due.
    pub(super) fn has_dues(&self) -> bool {
        !self.dues.is_empty()
    }

    /// What a schedule is worth, changes of task left aside.
    pub(super) fn worth(&self, schedule: &Schedule) -> Worth {
        let (mut finish, mut sum) = (i64::MIN, 0i64);
        for done in schedule.values() {
            finish = finish.max(done.end);
            sum = sum.saturating_add(done.end);
        }
        let mut late = self.due.map_or(0, |due| (finish - due).max(0));
        for &(id, due) in &self.dues {
            late = late.saturating_add((schedule[id].end - due).max(0));
        }
        let all = finish.saturating_mul(schedule.len() as i64);
        let wanted = self.ends_of_wanted(schedule);
        Worth { late, finish, wanted, changes: 0, ends: sum.saturating_sub(all) }
    }

    /// What a schedule is worth in all; `order` is by start.
    pub(super) fn with_changes(&self, schedule: &Schedule, order: &[TaskId]) -> Worth {
        let mut at: Vec<Option<u32>> = vec![None; self.hands];
        let mut changes = 0;
        for &id in order {
            let Some(hand) = schedule[id].hand.map(HandId::index) else { continue };
            let part = self.parts[id];
            if let Some(last) = at.get_mut(hand) {
                changes += i64::from(last.is_some() && *last != part);
                *last = part;
            }
        }
        Worth { changes, ..self.worth(schedule) }
    }
}
