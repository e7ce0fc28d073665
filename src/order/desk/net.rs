//! The problem as the search reads it: tables by task, once as written and
//! once mirrored.
//!
//! Mirrored means time running back: what waits becomes what is waited for,
//! and nights stay nights. So one way to time tasks serves both to do all as
//! early and to do all as late as can be.

use super::hours::Hours;
use super::load::{KINDS, Seats};
use super::problem::{Hand, HandId, Problem, Task, TaskId};
use crate::model::Arena;
use crate::order::shoot::problem::{collected, filled};

/// Tasks, what they wait for and who can do them, in one direction of time.
#[derive(Debug, Clone)]
pub(super) struct Net {
    /// Minutes of work.
    pub(super) work: Arena<TaskId, i64>,
    /// Not before this.
    pub(super) release: Arena<TaskId, i64>,
    /// Who can do it.
    pub(super) able: Arena<TaskId, Vec<HandId>>,
    /// Seats taken, four kinds a word.
    pub(super) need: Arena<TaskId, Vec<Seats>>,
    /// What it waits for, and for how long after.
    pub(super) before: Arena<TaskId, Vec<(TaskId, i64)>>,
    /// What waits for it, and for how long after.
    pub(super) after: Arena<TaskId, Vec<(TaskId, i64)>>,
    /// Hours of each hand.
    pub(super) hours: Arena<HandId, Hours>,
    /// Seats of each hand, four kinds a word.
    pub(super) seats: Arena<HandId, Vec<Seats>>,
    /// Every task after what it waits for.
    pub(super) order: Vec<TaskId>,
    /// The place of each task in `order`.
    pub(super) rank: Arena<TaskId, usize>,
    /// A schedule without idle time spans no more working minutes of a hand.
    pub(super) reach: i64,
}

/// The longest that all can take, one after the other.
fn reach(problem: &Problem) -> i64 {
    let tasks = || problem.tasks.values();
    let first = tasks().map(|task| task.release).min().unwrap_or(0);
    let last = tasks().map(|task| task.release).max().unwrap_or(0);
    let long = |task: &Task| {
        let gaps = task.before.iter().map(|wait| wait.gap.max(0)).max().unwrap_or(0);
        task.work.max(0).saturating_add(gaps)
    };
    tasks().map(long).fold(last.saturating_sub(first), i64::saturating_add)
}

fn words(kinds: usize) -> usize {
    kinds.div_ceil(KINDS).max(1)
}

fn packed(kinds: usize, seats: impl Fn(usize) -> u16) -> Vec<Seats> {
    let word = |at: usize| Seats::new((at * KINDS..(at + 1) * KINDS).map(&seats));
    (0..words(kinds)).map(word).collect()
}

impl Net {
    /// Reads a problem without circles. Waits for tasks in a circle are left out.
    pub(super) fn new(problem: &Problem) -> Self {
        let kinds = problem.hands.values().map(|hand| hand.seats.len()).max().unwrap_or(1);
        let tasks = problem.tasks.values();
        let seats_of = |hand: &Hand| packed(kinds, |kind| hand.seats.get(kind).copied().unwrap_or(0));
        let need_of = |task: &Task| packed(kinds, |kind| if task.work > 0 { task.takes(kind) } else { 0 });
        let before: Vec<Vec<(TaskId, i64)>> = tasks
            .clone()
            .map(|task| task.before.iter().map(|wait| (wait.on, wait.gap.max(0))).collect())
            .collect();
        let mut after: Arena<TaskId, Vec<(TaskId, i64)>> = filled(problem.tasks.len(), Vec::new());
        for (id, task) in problem.tasks.iter() {
            for wait in &task.before {
                after[wait.on].push((id, wait.gap.max(0)));
            }
        }
        let mut net = Self {
            work: collected(tasks.clone().map(|task| task.work.max(0))),
            release: collected(tasks.clone().map(|task| task.release)),
            able: collected(tasks.clone().map(|task| task.able.clone())),
            need: collected(tasks.map(need_of)),
            before: collected(before),
            after,
            hours: collected(problem.hands.values().map(|hand| hand.hours.clone())),
            seats: collected(problem.hands.values().map(seats_of)),
            order: Vec::new(),
            rank: filled(problem.tasks.len(), 0),
            reach: reach(problem),
        };
        net.sort();
        net
    }

    /// Puts the tasks in an order in which each comes after what it waits for,
    /// otherwise as listed; tasks in a circle are missing in it.
    fn sort(&mut self) {
        let mut open: Arena<TaskId, usize> = collected(self.before.values().map(Vec::len));
        let mut ready: std::collections::BTreeSet<TaskId> =
            open.iter().filter(|(_, open)| **open == 0).map(|(id, _)| id).collect();
        self.order.clear();
        while let Some(id) = ready.pop_first() {
            self.rank[id] = self.order.len();
            self.order.push(id);
            for &(after, _) in &self.after[id] {
                open[after] -= 1;
                if open[after] == 0 {
                    ready.insert(after);
                }
            }
        }
    }

    /// The same with time running back. Nothing is held by a release there: tasks
    /// are moved late from where they already are in time.
    pub(super) fn mirrored(&self) -> Self {
        let order: Vec<TaskId> = self.order.iter().rev().copied().collect();
        let mut rank = filled(self.rank.len(), 0);
        for (at, &id) in order.iter().enumerate() {
            rank[id] = at;
        }
        Self {
            release: filled(self.release.len(), i64::MIN / 4),
            before: self.after.clone(),
            after: self.before.clone(),
            hours: collected(self.hours.values().map(Hours::mirrored)),
            order,
            rank,
            ..self.clone()
        }
    }

    /// How many tasks there are.
    pub(super) fn len(&self) -> usize {
        self.work.len()
    }
}
