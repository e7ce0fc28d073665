//! Makes an order better: blocks move, swap, and find a place.
//!
//! In: an order and an amount of work. Out: an order that costs no more.
//! Guaranteed: the same input gives the same order; the numbers that choose the
//! moves come from a fixed start.

use super::problem::{BlockId, DayId, Problem};
use super::score::{Effort, Scored};
use crate::model::arena::Id;

/// Numbers that look random and are always the same: SplitMix64 (Steele, Lea,
/// Flood 2014, "Fast splittable pseudorandom number generators").
#[derive(Debug, Clone)]
pub(crate) struct Dice(u64);

impl Dice {
    /// Begins at a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 to one below `many`; 0 where `many` is 0.
    pub(crate) fn below(&mut self, many: usize) -> usize {
        // The bias of a remainder is below one in 2⁴⁰ here and harms no search.
        if many == 0 { 0 } else { (self.next() % many as u64) as usize }
    }
}

/// Takes blocks out of their days: the changed days and the blocks.
fn without(scored: &Scored, blocks: &[BlockId]) -> Vec<(DayId, Vec<BlockId>)> {
    let mut changed: Vec<(DayId, Vec<BlockId>)> = Vec::new();
    for &block in blocks {
        if let Some((day, _)) = scored.at[block]
            && !changed.iter().any(|(one, _)| *one == day)
        {
            let order = scored.days[day].iter().copied().filter(|one| !blocks.contains(one)).collect();
            changed.push((day, order));
        }
    }
    changed
}

/// The order with blocks moved to a place of a day; places count without the moved ones.
pub(crate) fn moved(
    problem: &Problem,
    scored: &Scored,
    blocks: &[BlockId],
    day: DayId,
    place: usize,
    effort: &Effort,
) -> Option<Scored> {
    let mut changed = without(scored, blocks);
    if !changed.iter().any(|(one, _)| *one == day) {
        changed.push((day, scored.days[day].clone()));
    }
    let (_, order) = changed.iter_mut().find(|(one, _)| *one == day)?;
    let place = place.min(order.len());
    order.splice(place..place, blocks.iter().copied());
    let left = scored.left.iter().copied().filter(|one| !blocks.contains(one)).collect();
    scored.with(problem, changed, left, effort)
}

/// The order with two blocks in each other's place.
fn swapped(problem: &Problem, scored: &Scored, a: BlockId, b: BlockId, effort: &Effort) -> Option<Scored> {
    let ((day_a, _), (day_b, _)) = (scored.at[a]?, scored.at[b]?);
    let swap = |day: DayId| -> (DayId, Vec<BlockId>) {
        let order = scored.days[day].iter().map(|&one| match one {
            one if one == a => b,
            one if one == b => a,
            one => one,
        });
        (day, order.collect())
    };
    let changed = if day_a == day_b { vec![swap(day_a)] } else { vec![swap(day_a), swap(day_b)] };
    scored.with(problem, changed, scored.left.clone(), effort)
}

/// The order with a run of blocks from one on the other way round.
fn reversed(
    problem: &Problem,
    scored: &Scored,
    first: BlockId,
    length: usize,
    effort: &Effort,
) -> Option<Scored> {
    let (day, at) = scored.at[first]?;
    let mut order = scored.days[day].clone();
    let end = (at + length).min(order.len());
    order.get_mut(at..end).filter(|run| run.len() > 1)?.reverse();
    scored.with(problem, vec![(day, order)], scored.left.clone(), effort)
}

/// Gives what is left over the cheapest place there is, in story order.
pub(crate) fn place_left(problem: &Problem, mut scored: Scored, effort: &Effort) -> Scored {
    let mut left = scored.left.clone();
    left.sort_by_key(|&block| (problem.blocks[block].rank, block));
    for block in left {
        let mut best: Option<Scored> = None;
        for day in problem.days.ids() {
            let class = problem.blocks[block].class;
            if problem.classes[class].days[day].windows.is_empty() {
                continue;
            }
            for place in 0..=scored.days[day].len() {
                if !effort.is_left() {
                    return best.unwrap_or(scored);
                }
                if let Some(next) = moved(problem, &scored, &[block], day, place, effort)
                    && best.as_ref().is_none_or(|known| next.cost < known.cost)
                {
                    best = Some(next);
                }
            }
        }
        if let Some(next) = best.filter(|next| next.cost < scored.cost) {
            scored = next;
        }
    }
    scored
}

/// Moves runs of one to three blocks anywhere while that helps.
pub(crate) fn descend(problem: &Problem, mut scored: Scored, effort: &Effort) -> Scored {
    loop {
        let before = scored.cost;
        for length in [1usize, 2, 3] {
            for start in problem.blocks.ids() {
                let Some((day, at)) = scored.at[start] else { continue };
                let Some(blocks) = scored.days[day].get(at..at + length).map(<[BlockId]>::to_vec) else {
                    continue;
                };
                if let Some(next) = best_move(problem, &scored, &blocks, effort) {
                    scored = next;
                }
                if !effort.is_left() {
                    return scored;
                }
            }
        }
        scored = place_left(problem, scored, effort);
        if scored.cost >= before {
            return scored;
        }
    }
}

fn best_move(problem: &Problem, scored: &Scored, blocks: &[BlockId], effort: &Effort) -> Option<Scored> {
    let mut best: Option<Scored> = None;
    for day in problem.days.ids() {
        for place in 0..=scored.days[day].len() {
            if !effort.is_left() {
                return best;
            }
            let bound = best.as_ref().map_or(scored.cost, |known| known.cost);
            if let Some(next) = moved(problem, scored, blocks, day, place, effort)
                && next.cost < bound
            {
                best = Some(next);
            }
        }
    }
    best
}

/// Wanders: takes moves that cost a little more, less and less willingly
/// (threshold accepting; Dueck and Scheuer 1990), and keeps the best seen.
pub(crate) fn wander(problem: &Problem, start: Scored, dice: &mut Dice, effort: &Effort) -> Scored {
    let mut best = start.clone();
    let mut here = start;
    let placed: Vec<BlockId> = problem.blocks.ids().collect();
    // In hundredths of a minute: from half an hour down to nothing.
    let steps = [3000, 1500, 800, 400, 200, 100, 50, 0];
    let rounds = placed.len().clamp(8, 200) * 4;
    while effort.is_left() {
        for round in 0..rounds * steps.len() {
            if !effort.is_left() {
                break;
            }
            let threshold = steps.get(round / rounds).copied().unwrap_or(0);
            let Some(next) = any_move(problem, &here, &placed, dice, effort) else { continue };
            if next.cost <= here.cost + threshold {
                here = next;
                if here.cost < best.cost {
                    best = here.clone();
                }
            }
        }
        here = best.clone();
    }
    best
}

fn any_move(
    problem: &Problem,
    here: &Scored,
    placed: &[BlockId],
    dice: &mut Dice,
    effort: &Effort,
) -> Option<Scored> {
    let block = *placed.get(dice.below(placed.len()))?;
    // Even a move that breaks an order costs a little work, so that the search always ends.
    effort.spend(1);
    let kind = dice.below(6);
    if kind == 0 {
        return reversed(problem, here, block, 2 + dice.below(6), effort);
    }
    if kind < 3 {
        let other = *placed.get(dice.below(placed.len()))?;
        return if other == block { None } else { swapped(problem, here, block, other, effort) };
    }
    let blocks = match here.at[block] {
        Some((day, at)) => {
            let length = 1 + dice.below(3);
            let order = &here.days[day];
            order.get(at..(at + length).min(order.len()))?.to_vec()
        }
        None => vec![block],
    };
    // Half the moves stay on the day or next to a linked block; the others go anywhere.
    let day = match here.at[block] {
        Some((day, _)) if dice.below(2) == 0 => day,
        _ => DayId::from_index(dice.below(problem.days.len())),
    };
    let place = dice.below(here.days[day].len() + 1);
    moved(problem, here, &blocks, day, place, effort)
}

/// Tries to empty each day into the others.
pub(crate) fn fewer_days(problem: &Problem, mut scored: Scored, effort: &Effort) -> Scored {
    for day in problem.days.ids().rev() {
        let moving = scored.days[day].clone();
        if moving.is_empty() {
            continue;
        }
        let mut emptied = scored.clone();
        for block in moving {
            // A day that is not yet empty still costs its price, so any place elsewhere is welcome.
            let mut best: Option<Scored> = None;
            for to in problem.days.ids().filter(|&to| to != day && !scored.days[to].is_empty()) {
                for place in 0..=emptied.days[to].len() {
                    if !effort.is_left() {
                        return scored;
                    }
                    if let Some(next) = moved(problem, &emptied, &[block], to, place, effort)
                        && best.as_ref().is_none_or(|known| next.cost < known.cost)
                    {
                        best = Some(next);
                    }
                }
            }
            match best {
                Some(next) => emptied = next,
                None => break,
            }
        }
        if emptied.cost < scored.cost {
            scored = emptied;
        }
    }
    scored
}
