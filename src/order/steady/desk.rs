//! The desk, started from a kept plan.
//!
//! In: the problem, the passes of its tasks, and who does what in which order
//! by the kept plan. Out: an answer. Guaranteed: without a kept plan it is that
//! of the core alone; being late is never preferred to moving. Urgent tasks
//! keep their hands alone: they come as soon as they can, in any plan.

use super::stay;
use crate::model::arena::Id;
use crate::model::{Arena, Desk, DeskId, Kept, KeptPass, Weights};
use crate::order::Effort;
use crate::order::desk::problem::{HandId, Problem, TaskId, Wait};
use crate::order::desk::{Answer, solve as alone};
use crate::order::shoot::problem::filled;
use crate::recipe::{Pass, PassId};
use std::collections::{BTreeMap, BTreeSet};

/// So many passes that moved are tried at their former place again.
const TRIES: u64 = 8;

/// How much a minute of the first priority counts.
const FIRST: i64 = 16;

/// Who, and the place in their order.
type Homes = BTreeMap<TaskId, (HandId, usize)>;

/// What is known of the passes of a problem.
pub(crate) struct Known<'k> {
    /// The kept plan.
    pub(crate) kept: &'k Kept,
    /// What moving costs.
    pub(crate) weights: &'k Weights,
    /// The pass of each task.
    pub(crate) passes: &'k [PassId],
    /// All passes.
    pub(crate) all: &'k Arena<PassId, Pass>,
    /// Everybody; the hands of the problem in the same order.
    pub(crate) desks: &'k Arena<DeskId, Desk>,
}

/// The schedule, and whether none is less late, nor ends sooner.
pub(crate) fn solve(problem: &Problem, known: &Known<'_>, effort: Effort) -> Answer {
    let free = alone(problem, effort);
    let homes = known.homes(problem);
    if homes.is_empty() {
        return free;
    }
    let steady = Steady { problem, homes, price: known.weights.moved_pass, effort };
    let (bound, proven, least) = (free.bound, free.proven, steady.worth(&free));
    let kept = alone(&steady.held(&steady.homes.keys().copied().collect()), effort);
    let best = if steady.total(&kept) <= steady.total(&free) { kept } else { steady.back(free) };
    let proven = proven && steady.worth(&best) <= least;
    Answer { bound, proven, ..best }
}

impl Known<'_> {
    fn homes(&self, problem: &Problem) -> Homes {
        let home = |(&pass, id): (&PassId, TaskId)| {
            let KeptPass { who, place } = self.kept.passes.get(&self.all[pass].path)?;
            let desk = self.desks.iter().find(|(_, desk)| desk.named.path == *who)?.0;
            let hand = HandId::from_index(desk.index());
            problem.tasks[id].able.contains(&hand).then_some((id, (hand, *place)))
        };
        self.passes.iter().zip(problem.tasks.ids()).filter_map(home).collect()
    }
}

/// A problem whose tasks have homes.
struct Steady<'p> {
    problem: &'p Problem,
    homes: Homes,
    price: i64,
    effort: Effort,
}

impl Steady<'_> {
    /// Puts back what moved, as long as that is worth it.
    fn back(&self, free: Answer) -> Answer {
        let mut best = free;
        let moved = self.moved(&best);
        for id in moved.into_iter().take(self.effort.of(TRIES) as usize) {
            let gone = self.moved(&best);
            if !gone.contains(&id) {
                continue;
            }
            let held = self.homes.keys().copied().filter(|one| *one == id || !gone.contains(one)).collect();
            let next = alone(&self.held(&held), self.effort);
            if self.total(&next) < self.total(&best) {
                best = next;
            }
        }
        best
    }

    /// The problem with some tasks held to their hands, and in their order there.
    fn held(&self, held: &BTreeSet<TaskId>) -> Problem {
        let mut problem = self.problem.clone();
        let mut last: BTreeMap<HandId, TaskId> = BTreeMap::new();
        for id in self.in_order(held) {
            let Some(&(hand, _)) = self.homes.get(&id).filter(|_| held.contains(&id)) else { continue };
            let task = &mut problem.tasks[id];
            task.able = vec![hand];
            if task.urgent {
                continue;
            }
            if let Some(on) = last.insert(hand, id)
                && !task.before.iter().any(|wait| wait.on == on)
            {
                task.before.push(Wait { on, gap: 0 });
            }
        }
        problem
    }

    /// All tasks, none before what it waits for, otherwise in everybody's kept
    /// order: where one cannot come yet, those behind it in its list wait for
    /// it, unless nothing else is left. Tasks in a circle are left out.
    fn in_order(&self, held: &BTreeSet<TaskId>) -> Vec<TaskId> {
        let tasks = &self.problem.tasks;
        let mut open: Arena<TaskId, usize> = filled(tasks.len(), 0);
        let mut after: Arena<TaskId, Vec<TaskId>> = filled(tasks.len(), Vec::new());
        let mut lists: BTreeMap<HandId, BTreeSet<(usize, TaskId)>> = BTreeMap::new();
        let home = |id: TaskId| {
            let listed = held.contains(&id) && !tasks[id].urgent;
            self.homes.get(&id).copied().filter(|_| listed)
        };
        let mut ready = BTreeSet::new();
        for (id, task) in tasks.iter() {
            open[id] = task.before.len();
            task.before.iter().for_each(|wait| after[wait.on].push(id));
            if let Some((hand, place)) = home(id) {
                lists.entry(hand).or_default().insert((place, id));
            }
            if task.before.is_empty() {
                ready.insert(id);
            }
        }
        let mut order = Vec::with_capacity(tasks.len());
        loop {
            let first = |id: &TaskId| match home(*id) {
                Some((hand, _)) => {
                    lists.get(&hand).and_then(|list| list.first()).is_some_and(|one| one.1 == *id)
                }
                None => true,
            };
            let next = ready.iter().copied().find(first);
            let place = |id: &TaskId| (home(*id).map(|(_, place)| place), *id);
            let Some(id) = next.or_else(|| ready.iter().copied().min_by_key(place)) else { return order };
            ready.remove(&id);
            if let Some((hand, place)) = home(id)
                && let Some(list) = lists.get_mut(&hand)
            {
                list.remove(&(place, id));
            }
            for &one in &after[id] {
                open[one] = open[one].saturating_sub(1);
                if open[one] == 0 {
                    ready.insert(one);
                }
            }
            order.push(id);
        }
    }

    /// Tasks that somebody else does, or in another order.
    fn moved(&self, answer: &Answer) -> Vec<TaskId> {
        let mut moved = Vec::new();
        let mut hands: BTreeMap<HandId, Vec<(i64, usize, TaskId)>> = BTreeMap::new();
        for (&id, &(hand, place)) in &self.homes {
            let Some(done) = &answer.tasks[id] else { continue };
            if done.hand != Some(hand) {
                moved.push(id);
            } else if !self.problem.tasks[id].urgent {
                hands.entry(hand).or_default().push((done.start, place, id));
            }
        }
        for mut tasks in hands.into_values() {
            tasks.sort_unstable();
            let places: Vec<usize> = tasks.iter().map(|one| one.1).collect();
            let stays: BTreeSet<usize> = stay(&places).into_iter().collect();
            moved
                .extend(tasks.iter().enumerate().filter(|(at, _)| !stays.contains(at)).map(|(_, one)| one.2));
        }
        moved
    }

    /// What is not done, how late it is, and when all is done.
    fn worth(&self, answer: &Answer) -> (usize, i64, i64) {
        let finish = answer.finish.unwrap_or(0);
        let whole = self.problem.due.map_or(0, |due| (finish - due).max(0));
        let late = self.problem.tasks.iter().filter_map(|(id, task)| {
            let done = answer.tasks[id].as_ref()?;
            Some((done.end - task.due?).max(0))
        });
        (answer.left.len(), late.fold(whole, i64::saturating_add), finish)
    }

    /// The same, with the price of what moved, and with what is wanted soon: a
    /// minute of the first priority counts as one of the whole.
    fn total(&self, answer: &Answer) -> (usize, i64, i64) {
        let (left, late, finish) = self.worth(answer);
        let price = (self.moved(answer).len() as i64).saturating_mul(self.price);
        let wanted = self.problem.tasks.iter().filter_map(|(id, task)| {
            let done = answer.tasks[id].as_ref().filter(|_| task.wanted > 0)?;
            Some(task.wanted.saturating_mul(done.end))
        });
        let wanted = wanted.fold(0, i64::saturating_add) / FIRST;
        (left, late, finish.saturating_add(price).saturating_add(wanted))
    }
}
