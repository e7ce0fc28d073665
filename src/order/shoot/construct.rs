//! A first order: day by day, always the block that fits best next.
//!
//! In: a problem and how much urgency weighs. Out: a feasible order, with what
//! found no place left over.

use super::problem::{Block, BlockId, DayId, Problem, filled};
use super::run::Run;
use super::score::{Effort, Scored};
use crate::model::Arena;
use crate::model::arena::Id;
use std::collections::BTreeSet;

/// How many blocks are weighed at each step; on a larger shoot only the first
/// in story order of each kind are looked at.
const LOOK: usize = 48;

/// Builds an order. `urgency` is what a minute of slack weighs, in hundredths.
pub(crate) fn construct(problem: &Problem, urgency: i64, effort: &Effort) -> Scored {
    let mut scored = Scored::empty(problem);
    let mut waiting: Arena<BlockId, usize> = filled(problem.blocks.len(), 0);
    for (id, block) in problem.blocks.iter() {
        waiting[id] = block.before.len();
    }
    let mut ready: BTreeSet<(i64, BlockId)> = problem
        .blocks
        .iter()
        .filter(|(id, _)| waiting[*id] == 0)
        .map(|(id, block)| (block.rank, id))
        .collect();
    for day in problem.days.ids() {
        let order = fill(problem, day, &scored, &mut ready, &mut waiting, urgency, effort);
        if order.is_empty() {
            continue;
        }
        if let Some(next) = with_most(problem, &scored, day, order.clone(), effort) {
            // What the full check threw out again may come on a later day.
            for &block in &order {
                if next.at[block].is_none() {
                    put_back(problem, block, &next, &mut ready, &mut waiting);
                }
            }
            scored = next;
        }
    }
    scored
}

/// The order on that day, shortened from its end until it stands the full check.
fn with_most(
    problem: &Problem,
    scored: &Scored,
    day: DayId,
    mut order: Vec<BlockId>,
    effort: &Effort,
) -> Option<Scored> {
    while !order.is_empty() {
        let left = scored.left.iter().copied().filter(|block| !order.contains(block)).collect();
        if let Some(next) = scored.with(problem, vec![(day, order.clone())], left, effort) {
            return Some(next);
        }
        order.pop();
    }
    None
}

/// A block is open again: it is ready if all it waits for is planned, and what waits for it is not.
fn put_back(
    problem: &Problem,
    block: BlockId,
    scored: &Scored,
    ready: &mut BTreeSet<(i64, BlockId)>,
    waiting: &mut Arena<BlockId, usize>,
) {
    let open = &problem.blocks[block];
    if open.before.iter().all(|&one| scored.at[one].is_some()) {
        ready.insert((open.rank, block));
    }
    for &one in &open.after {
        waiting[one] += 1;
        ready.remove(&(problem.blocks[one].rank, one));
    }
}

/// Appends to a day until nothing more fits.
fn fill(
    problem: &Problem,
    day: DayId,
    scored: &Scored,
    ready: &mut BTreeSet<(i64, BlockId)>,
    waiting: &mut Arena<BlockId, usize>,
    urgency: i64,
    effort: &Effort,
) -> Vec<BlockId> {
    let carry = scored.carries_into(problem, day);
    let mut run = Run::new(problem, day, &carry, i64::MIN, false);
    let mut order = Vec::new();
    loop {
        let mut best: Option<(i64, i64, BlockId, Run<'_>)> = None;
        for (rank, id) in looked_at(problem, ready) {
            effort.spend(1);
            let Some(tried) = try_next(problem, &run, id) else { continue };
            let block = &problem.blocks[id];
            let cost = tried.spent.cost(problem) - run.spent.cost(problem);
            let slack = slack(problem, day, block, &tried);
            let key = cost + slack.min(600) * urgency;
            if best.as_ref().is_none_or(|(known, known_rank, _, _)| (key, rank) < (*known, *known_rank)) {
                best = Some((key, rank, id, tried));
            }
        }
        let Some((_, rank, id, next)) = best else { return order };
        run = next;
        order.push(id);
        ready.remove(&(rank, id));
        for &after in &problem.blocks[id].after {
            waiting[after] = waiting[after].saturating_sub(1);
            if waiting[after] == 0 {
                ready.insert((problem.blocks[after].rank, after));
            }
        }
    }
}

/// The run after that block, after a meal if one is due before its end.
fn try_next<'p>(problem: &'p Problem, run: &Run<'p>, id: BlockId) -> Option<Run<'p>> {
    let mut tried = run.clone();
    tried.append(id).ok()?;
    let within = tried.meal_within();
    if tried.eaten() || tried.elapsed() + problem.pack <= within {
        return Some(tried);
    }
    let mut fed = run.clone();
    fed.eat().ok()?;
    fed.append(id).ok()?;
    Some(fed)
}

/// Minutes that the block's last chance of the day lies after its end.
fn slack(problem: &Problem, day: DayId, block: &Block, tried: &Run<'_>) -> i64 {
    let last = problem.classes[block.class].days[day].windows.last().map_or(0, |window| window.to);
    let end = tried.times.last().map_or(last, |&(_, _, end)| end);
    (last - end).max(0)
}

/// Ready blocks worth weighing: all of them, or the first of each kind.
fn looked_at(problem: &Problem, ready: &BTreeSet<(i64, BlockId)>) -> Vec<(i64, BlockId)> {
    if ready.len() <= LOOK {
        return ready.iter().copied().collect();
    }
    let mut kinds: BTreeSet<(usize, usize, usize)> = BTreeSet::new();
    ready
        .iter()
        .copied()
        .filter(|(_, id)| {
            let block = &problem.blocks[*id];
            kinds.insert((block.setup, block.class.index(), block.first))
        })
        .take(LOOK)
        .collect()
}
