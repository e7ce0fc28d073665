//! Makes an order better: blocks move, swap, and find a place.
//!
//! In: an order and an amount of work. Out: an order that costs no more.
//! Guaranteed: the same input gives the same order; the numbers that choose the
//! moves come from a fixed start.

use super::problem::{BlockId, DayId};
use super::sketch::{Change, Next, Pencil, Sketch};
use crate::model::arena::Id;

/// Moves at each threshold, for each block.
const ROUNDS: usize = 30;

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

/// Takes blocks out of their days: the changed days.
fn without(sketch: &Sketch, blocks: &[BlockId]) -> Vec<(DayId, Vec<BlockId>)> {
    let mut changed: Vec<(DayId, Vec<BlockId>)> = Vec::new();
    for &block in blocks {
        if let Some((day, _)) = sketch.at[block]
            && !changed.iter().any(|(one, _)| *one == day)
        {
            let order = sketch.days[day].iter().copied().filter(|one| !blocks.contains(one)).collect();
            changed.push((day, order));
        }
    }
    changed
}

/// Blocks moved to a place of a day; places count without the moved ones.
fn moved(sketch: &Sketch, blocks: &[BlockId], day: DayId, place: usize) -> Change {
    let mut days = without(sketch, blocks);
    if !days.iter().any(|(one, _)| *one == day) {
        days.push((day, sketch.days[day].clone()));
    }
    if let Some((_, order)) = days.iter_mut().find(|(one, _)| *one == day) {
        let place = place.min(order.len());
        order.splice(place..place, blocks.iter().copied());
    }
    Change { days, moved: blocks.to_vec() }
}

/// Two blocks in each other's place; one of them may be on no day.
fn swapped(sketch: &Sketch, a: BlockId, b: BlockId) -> Option<Change> {
    let swap = |day: DayId| -> (DayId, Vec<BlockId>) {
        let order = sketch.days[day].iter().map(|&one| match one {
            one if one == a => b,
            one if one == b => a,
            one => one,
        });
        (day, order.collect())
    };
    let day = |block: BlockId| sketch.at[block].map(|(day, _)| day);
    let days = match (day(a), day(b)) {
        (None, None) => return None,
        (Some(one), Some(two)) if one != two => vec![swap(one), swap(two)],
        (Some(one), _) | (None, Some(one)) => vec![swap(one)],
    };
    Some(Change { days, moved: vec![a, b] })
}

/// A run of blocks from one on the other way round.
fn reversed(sketch: &Sketch, first: BlockId, length: usize) -> Option<Change> {
    let (day, at) = sketch.at[first]?;
    let mut order = sketch.days[day].clone();
    let end = (at + length).min(order.len());
    let run = order.get_mut(at..end).filter(|run| run.len() > 1)?;
    run.reverse();
    let moved = run.to_vec();
    Some(Change { days: vec![(day, order)], moved })
}

/// Gives what is left over the cheapest place there is, in story order.
pub(crate) fn place_left(pencil: &mut Pencil<'_, '_>, mut sketch: Sketch) -> Sketch {
    let mut left = sketch.left.clone();
    left.sort_by_key(|&block| (pencil.lean.problem.blocks[block].rank, block));
    for block in left {
        if let Some(next) = best_place(pencil, &sketch, &[block], sketch.cost, |_| true) {
            sketch.take(next);
        }
    }
    sketch
}

/// The cheapest place of some blocks on the days that are allowed, below a price.
fn best_place(
    pencil: &mut Pencil<'_, '_>,
    sketch: &Sketch,
    blocks: &[BlockId],
    below: i64,
    allowed: impl Fn(DayId) -> bool,
) -> Option<Next> {
    let mut best: Option<Next> = None;
    for day in pencil.lean.problem.days.ids().filter(|&day| allowed(day)) {
        if blocks.iter().any(|&block| pencil.lean.slots(day, block).is_empty()) {
            continue;
        }
        let here = blocks.iter().filter(|&&block| sketch.at[block].is_some_and(|(one, _)| one == day));
        let places = sketch.days[day].len() - here.count();
        for place in 0..=places {
            if !pencil.is_left() {
                return best;
            }
            if let Some(next) = pencil.weigh(sketch, moved(sketch, blocks, day, place))
                && next.cost < best.as_ref().map_or(below, |known| known.cost)
            {
                best = Some(next);
            }
        }
    }
    best
}

/// Moves runs of one to three blocks anywhere while that helps.
pub(crate) fn descend(pencil: &mut Pencil<'_, '_>, mut sketch: Sketch) -> Sketch {
    loop {
        let before = sketch.cost;
        for length in [1usize, 2, 3] {
            for start in pencil.lean.problem.blocks.ids() {
                let Some((day, at)) = sketch.at[start] else { continue };
                let Some(blocks) = sketch.days[day].get(at..at + length).map(<[BlockId]>::to_vec) else {
                    continue;
                };
                if let Some(next) = best_place(pencil, &sketch, &blocks, sketch.cost, |_| true) {
                    sketch.take(next);
                }
                if !pencil.is_left() {
                    return sketch;
                }
            }
        }
        sketch = place_left(pencil, sketch);
        if sketch.cost >= before {
            return sketch;
        }
    }
}

/// Wanders: takes moves that cost a little more, less and less willingly
/// (threshold accepting; Dueck and Scheuer 1990), and keeps the best seen.
pub(crate) fn wander(pencil: &mut Pencil<'_, '_>, start: Sketch, dice: &mut Dice) -> Sketch {
    let mut best = start.clone();
    let mut here = start;
    let blocks: Vec<BlockId> = pencil.lean.problem.blocks.ids().collect();
    // In hundredths of a minute: from half an hour down to nothing.
    let steps = [3000, 1500, 800, 400, 200, 100, 50, 0];
    let rounds = blocks.len().clamp(8, 200) * ROUNDS;
    while pencil.is_left() {
        for round in 0..rounds * steps.len() {
            if !pencil.is_left() {
                break;
            }
            let threshold = steps.get(round / rounds).copied().unwrap_or(0);
            // Even a move that breaks an order costs a little work, so that the search always ends.
            pencil.spend(1);
            let Some(change) = any_move(&here, &blocks, dice) else { continue };
            let Some(next) = pencil.weigh(&here, change) else { continue };
            if next.cost <= here.cost + threshold {
                here.take(next);
                if here.cost < best.cost {
                    best = here.clone();
                }
            }
        }
        here = best.clone();
    }
    best
}

fn any_move(here: &Sketch, blocks: &[BlockId], dice: &mut Dice) -> Option<Change> {
    let block = *blocks.get(dice.below(blocks.len()))?;
    let kind = dice.below(6);
    if kind == 0 {
        return reversed(here, block, 2 + dice.below(6));
    }
    if kind < 3 {
        let other = *blocks.get(dice.below(blocks.len()))?;
        return if other == block { None } else { swapped(here, block, other) };
    }
    let run = match here.at[block] {
        Some((day, at)) => {
            let length = 1 + dice.below(3);
            let order = &here.days[day];
            order.get(at..(at + length).min(order.len()))?.to_vec()
        }
        None => vec![block],
    };
    // Half the moves stay on the day; the others go anywhere.
    let day = match here.at[block] {
        Some((day, _)) if dice.below(2) == 0 => day,
        _ => DayId::from_index(dice.below(here.days.len())),
    };
    let place = dice.below(here.days[day].len() + 1);
    Some(moved(here, &run, day, place))
}

/// Tries to empty each day into the others.
pub(crate) fn fewer_days(pencil: &mut Pencil<'_, '_>, mut sketch: Sketch) -> Sketch {
    for day in pencil.lean.problem.days.ids().rev() {
        let moving = sketch.days[day].clone();
        if moving.is_empty() {
            continue;
        }
        let mut emptied = sketch.clone();
        for block in moving {
            // A day that is not yet empty still costs its price, so any place elsewhere is welcome.
            let used = |to: DayId| to != day && !sketch.days[to].is_empty();
            let Some(next) = best_place(pencil, &emptied, &[block], i64::MAX, used) else { break };
            emptied.take(next);
        }
        if emptied.cost < sketch.cost {
            sketch = emptied;
        }
    }
    sketch
}
