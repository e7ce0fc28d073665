//! The desk, started from a kept plan.
//!
//! In: the problem, the passes of its tasks, and who does what in which order
//! by the kept plan. Out: a schedule. Guaranteed: without a kept plan it is that
//! of the core alone; being late is never preferred to moving.

use super::stay;
use crate::model::arena::Id;
use crate::model::{Arena, Desk, DeskId, Kept, Weights};
use crate::order::desk::problem::{HandId, Problem, TaskId};
use crate::order::desk::schedule::{Schedule, in_order};
use crate::order::desk::search;
use crate::recipe::{Pass, PassId};
use std::collections::{BTreeMap, BTreeSet};

/// So many passes that moved are tried at their former place again.
const TRIES: usize = 24;

/// Who, and the place in the order.
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

/// The schedule, and whether none ends sooner.
pub(crate) fn solve(problem: &Problem, known: &Known<'_>) -> (Schedule, bool) {
    let (free, proven) = search::solve(problem);
    let homes = known.homes(problem);
    if homes.is_empty() {
        return (free, proven);
    }
    let steady = Steady { problem, homes, price: known.weights.moved_pass };
    let least = finish(&free);
    let (kept, _) = search::solve(&steady.held(&steady.homes.keys().copied().collect()));
    let best = if steady.total(&kept) <= steady.total(&free) { kept } else { steady.back(free) };
    let proven = proven && finish(&best) <= least;
    (best, proven)
}

impl Known<'_> {
    fn homes(&self, problem: &Problem) -> Homes {
        let home = |(&pass, id): (&PassId, TaskId)| {
            let kept = self.kept.passes.get(&self.all[pass].path)?;
            let desk = self.desks.iter().find(|(_, desk)| desk.named.path == kept.who)?.0;
            let hand = HandId::from_index(desk.index());
            problem.tasks[id].able.contains(&hand).then_some((id, (hand, kept.place)))
        };
        self.passes.iter().zip(problem.tasks.ids()).filter_map(home).collect()
    }
}

/// When the last task is done.
fn finish(schedule: &Schedule) -> i64 {
    schedule.values().map(|done| done.end).max().unwrap_or(0)
}

/// A problem whose tasks have homes.
struct Steady<'p> {
    problem: &'p Problem,
    homes: Homes,
    price: i64,
}

impl Steady<'_> {
    /// Puts back what moved, as long as that is worth it.
    fn back(&self, free: Schedule) -> Schedule {
        let mut best = free;
        let moved = self.moved(&best);
        for id in moved.into_iter().take(TRIES) {
            let gone = self.moved(&best);
            let held = self.homes.keys().copied().filter(|one| *one == id || !gone.contains(one)).collect();
            let (next, _) = search::solve(&self.held(&held));
            if self.total(&next) < self.total(&best) {
                best = next;
            }
        }
        best
    }

    /// The problem with some tasks held to their hands, and in their order there.
    fn held(&self, held: &BTreeSet<TaskId>) -> Problem {
        let mut problem = self.problem.clone();
        let mut wished: Vec<TaskId> = problem.tasks.ids().collect();
        let home = |id: &TaskId| self.homes.get(id).filter(|_| held.contains(id));
        wished.sort_by_key(|id| (home(id).map(|(_, place)| *place), *id));
        let mut last: BTreeMap<HandId, TaskId> = BTreeMap::new();
        for id in in_order(self.problem, &wished) {
            let Some(&(hand, _)) = home(&id) else { continue };
            problem.tasks[id].able = vec![hand];
            if let Some(before) = last.insert(hand, id)
                && !problem.tasks[id].before.contains(&before)
            {
                problem.tasks[id].before.push(before);
                problem.tasks[before].after.push(id);
            }
        }
        problem
    }

    /// Tasks that somebody else does, or in another order.
    fn moved(&self, schedule: &Schedule) -> Vec<TaskId> {
        let mut moved = Vec::new();
        let mut hands: BTreeMap<HandId, Vec<(i64, usize, TaskId)>> = BTreeMap::new();
        for (&id, &(hand, place)) in &self.homes {
            if schedule[id].hand == Some(hand) {
                hands.entry(hand).or_default().push((schedule[id].start, place, id));
            } else {
                moved.push(id);
            }
        }
        for mut tasks in hands.into_values() {
            tasks.sort_unstable();
            let places: Vec<usize> = tasks.iter().map(|one| one.1).collect();
            let stays: BTreeSet<usize> = stay(&places).into_iter().collect();
            moved.extend(tasks.iter().enumerate().filter(|(at, _)| !stays.contains(at)).map(|(_, one)| one.2));
        }
        moved
    }

    /// How late it is; then when all is done, with the price of what moved.
    fn total(&self, schedule: &Schedule) -> (i64, i64) {
        let finish = finish(schedule);
        let late = self.problem.due.map_or(0, |due| (finish - due).max(0));
        (late, finish.saturating_add(self.moved(schedule).len() as i64 * self.price))
    }
}
