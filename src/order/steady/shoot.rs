//! The shoot, started from a kept plan.
//!
//! In: the problem, and where the kept plan has its blocks. Out: an order.
//! Guaranteed: without a kept plan it is that of the core alone, and no order
//! that was met has a smaller sum of cost and price of what moved.

use super::stay;
use crate::model::arena::Id;
use crate::model::{Arena, KeptPlate, PersonId, PlateId};
use crate::order::blocks::Built;
use crate::order::setting::Setting;
use crate::order::shoot::problem::{BlockId, DayId, Problem, filled};
use crate::order::shoot::score::Scored;
use crate::order::shoot::search::{self, Solved, Zeal};
use std::collections::{BTreeMap, BTreeSet};

/// So many set-ups that moved are tried at their former place again.
const TRIES: u64 = 12;
/// So often is tried to plan what found no room beside what stays.
const ROUNDS: usize = 4;
/// Where much is held, so small a part of the usual work is enough.
const PARTS: i64 = 8;

/// Day and place in it by the kept plan.
type Homes = BTreeMap<BlockId, (DayId, usize)>;

/// The order, and what no order costs less than: its own cost where it is proven
/// to be the cheapest, and less where it is not.
pub(crate) fn solve(setting: &Setting<'_>, built: &Built) -> Solved {
    let homes = homes(setting, built);
    let zeal = Zeal::of(setting.effort);
    let solved = search::solve(&built.problem, zeal);
    if homes.is_empty() {
        return solved;
    }
    let proven = solved.proven();
    let Solved { scored: free, bound, sure } = solved;
    let steady = Steady { problem: &built.problem, homes, zeal: Zeal { parts: PARTS, ..zeal } };
    let least = free.cost;
    let orders = free.days.clone();
    let kept = steady.everything(free.left.len());
    let (moved, stays) = (steady.total(&free), steady.total(&kept));
    let (best, total) = if stays <= moved {
        (kept, stays)
    } else {
        let tries = setting.effort.of(TRIES) as usize;
        steady.back(free, tries)
    };
    // With the price of what moved, no order is cheaper than the cheapest without it.
    let bound = if proven && total <= least { best.cost } else { bound.min(best.cost - 1) };
    // A day that begins and goes as in the free order is as sure as it.
    let mut same = true;
    let goes_so = |day: &DayId| {
        same &= best.days[*day] == orders[*day];
        same
    };
    let sure = built.problem.days.ids().filter(goes_so).filter(|day| sure.contains(day)).collect();
    Solved { scored: best, bound, sure }
}

/// Where the kept plan has each block.
fn homes(setting: &Setting<'_>, built: &Built) -> Homes {
    let kept = &setting.model.kept.plates;
    if kept.is_empty() {
        return Homes::new();
    }
    let home = |(id, plates): (BlockId, &Vec<PlateId>)| {
        let path = |plate: &PlateId| &setting.breakdown.plates[*plate].named.path;
        let known: Vec<&KeptPlate> = plates.iter().filter_map(|plate| kept.get(path(plate))).collect();
        let first = known.iter().min_by_key(|one| (one.date, one.place))?;
        let day = setting.days.iter().position(|day| day.date == first.date)?;
        Some((id, (built.problem.days.ids().nth(day)?, first.place)))
    };
    built.plates.iter().filter_map(home).collect()
}

/// A problem whose blocks have homes.
struct Steady<'p> {
    problem: &'p Problem,
    homes: Homes,
    zeal: Zeal,
}

impl Steady<'_> {
    /// Everything at home, but for what finds no room so. `few` is how many
    /// blocks are left over at best.
    fn everything(&self, few: usize) -> Scored {
        let mut held: BTreeSet<BlockId> = self.homes.keys().copied().collect();
        let mut best = search::solve(&self.held(&held), self.zeal).scored;
        for _ in 0..ROUNDS {
            if best.left.len() <= few {
                break;
            }
            held.retain(|block| !best.left.contains(block));
            let rivals: Vec<DayId> = best.left.iter().flat_map(|&left| self.open(left)).collect();
            let next = search::solve(&self.held(&held), self.zeal).scored;
            let stuck = next.left.len() >= best.left.len();
            if self.total(&next) < self.total(&best) {
                best = next;
            }
            if stuck {
                // It is not enough to let go of what finds no room: its days are open as well.
                held.retain(|block| self.homes.get(block).is_none_or(|(day, _)| !rivals.contains(day)));
            }
        }
        best
    }

    /// Puts back what moved, as long as that is cheaper on the whole.
    fn back(&self, free: Scored, tries: usize) -> (Scored, i64) {
        let mut total = self.total(&free);
        let mut best = free;
        let setup = |block: BlockId| self.problem.blocks[block].setup;
        let moved: BTreeSet<usize> = self.moved(&best).into_iter().map(|(block, _)| setup(block)).collect();
        for home in moved.into_iter().take(tries) {
            let gone: BTreeSet<BlockId> = self.moved(&best).into_iter().map(|(block, _)| block).collect();
            let held = self.homes.keys().copied();
            let held = held.filter(|block| !gone.contains(block) || setup(*block) == home).collect();
            let next = search::solve(&self.held(&held), self.zeal).scored;
            let worth = self.total(&next);
            if worth < total {
                (best, total) = (next, worth);
            }
        }
        (best, total)
    }

    /// Days on which a block has any window.
    fn open(&self, block: BlockId) -> Vec<DayId> {
        let class = &self.problem.classes[self.problem.blocks[block].class];
        class.days.iter().filter(|(_, chance)| !chance.windows.is_empty()).map(|(day, _)| day).collect()
    }

    /// The problem with some blocks held on their days and in their order there.
    fn held(&self, held: &BTreeSet<BlockId>) -> Problem {
        let mut problem = self.problem.clone();
        let mut last: BTreeMap<DayId, BlockId> = BTreeMap::new();
        let mut earliest: Arena<BlockId, usize> = filled(problem.blocks.len(), 0);
        for id in self.in_order(held) {
            let block = &self.problem.blocks[id];
            let waits = block.before.iter().map(|&one| earliest[one]).max().unwrap_or(0);
            earliest[id] = waits.max(block.first);
            let Some((day, _)) = self.homes.get(&id).filter(|_| held.contains(&id)) else { continue };
            let at = day.index();
            let windows = &self.problem.classes[block.class].days[*day].windows;
            if at < earliest[id] || at > block.last || windows.is_empty() {
                continue;
            }
            earliest[id] = at;
            (problem.blocks[id].first, problem.blocks[id].last) = (at, at);
            if let Some(before) = last.insert(*day, id)
                && !block.before.contains(&before)
            {
                problem.blocks[id].before.push(before);
                problem.blocks[before].after.push(id);
            }
        }
        problem
    }

    /// All blocks, none before what it waits for, otherwise as the kept plan
    /// has them; what it does not have comes as soon as it can.
    fn in_order(&self, held: &BTreeSet<BlockId>) -> Vec<BlockId> {
        let blocks = &self.problem.blocks;
        let key = |id: BlockId| (self.homes.get(&id).filter(|_| held.contains(&id)).copied(), id);
        let mut open: Arena<BlockId, usize> = filled(blocks.len(), 0);
        let mut ready = BTreeSet::new();
        for (id, block) in blocks.iter() {
            open[id] = block.before.len();
            if block.before.is_empty() {
                ready.insert(key(id));
            }
        }
        let mut order = Vec::with_capacity(blocks.len());
        while let Some((_, id)) = ready.pop_first() {
            order.push(id);
            for &after in &blocks[id].after {
                open[after] = open[after].saturating_sub(1);
                if open[after] == 0 {
                    ready.insert(key(after));
                }
            }
        }
        order
    }

    /// Blocks that are not where the kept plan has them, and whether they are on another day.
    fn moved(&self, scored: &Scored) -> Vec<(BlockId, bool)> {
        let mut moved = Vec::new();
        let mut days: BTreeMap<DayId, Vec<(usize, usize, BlockId)>> = BTreeMap::new();
        for (&id, &(day, place)) in &self.homes {
            match scored.at[id] {
                Some((now, at)) if now == day => days.entry(day).or_default().push((at, place, id)),
                Some(_) => moved.push((id, true)),
                None => {}
            }
        }
        for mut day in days.into_values() {
            day.sort_unstable();
            let places: Vec<usize> = day.iter().map(|one| one.1).collect();
            let stays: BTreeSet<usize> = stay(&places).into_iter().collect();
            let gone = day.iter().enumerate().filter(|(at, _)| !stays.contains(at));
            moved.extend(gone.map(|(_, one)| (one.2, false)));
        }
        moved
    }

    /// What an order costs, with the price of what moved.
    fn total(&self, scored: &Scored) -> i64 {
        let weights = &self.problem.weights;
        let moved = self.moved(scored);
        let setups = |other_day: bool| {
            let of = moved.iter().filter(|(_, other)| *other == other_day);
            of.map(|(id, _)| self.problem.blocks[*id].setup).collect::<BTreeSet<_>>().len() as i64
        };
        let price = setups(false) * weights.moved
            + setups(true) * weights.moved_day
            + self.recalled(scored) * weights.recalled;
        scored.cost.saturating_add(price)
    }

    /// How many people are called on a day for which the kept plan has no work for them.
    fn recalled(&self, scored: &Scored) -> i64 {
        let needed = |id: BlockId, day: DayId| {
            let class = &self.problem.classes[self.problem.blocks[id].class];
            class.days[day].people.iter().map(move |&person| (day, person))
        };
        let kept: BTreeSet<(DayId, PersonId)> =
            self.homes.iter().flat_map(|(&id, &(day, _))| needed(id, day)).collect();
        let placed = self.problem.blocks.ids().filter_map(|id| Some((id, scored.at[id]?.0)));
        let now: BTreeSet<(DayId, PersonId)> = placed.flat_map(|(id, day)| needed(id, day)).collect();
        now.difference(&kept).count() as i64
    }
}
