//! Goes through every order of a small shoot, leaving out what cannot be better.
//!
//! In: a problem and the best order known. Out: the best there is and whether
//! that is certain. An order is left out when it breaks a hard constraint, or
//! when what is already sure of it (ways, fits, resets, days, gaps that stay,
//! one fit for each rig that is still to come, the way back) costs as much as
//! the best.

use super::problem::{BlockId, DayId, Problem, SpotId};
use super::run::Run;
use super::score::{Effort, Scored};
use crate::model::Arena;
use crate::model::arena::Id;
use std::collections::BTreeMap;

/// The search as it stands.
struct Search<'p> {
    problem: &'p Problem,
    effort: &'p Effort,
    best: Scored,
    /// Minutes between places by the shortest way, however it goes.
    shortest: Arena<SpotId, Arena<SpotId, i64>>,
}

/// The best order, and whether no other can be cheaper.
pub(crate) fn prove(problem: &Problem, known: Scored, effort: &Effort) -> (Scored, bool) {
    let mut search = Search { problem, effort, best: known, shortest: shortest(problem) };
    let empty = Scored::empty(problem);
    let complete = search.go_on_at(&empty, 0);
    (search.best, complete)
}

impl Search<'_> {
    /// All ways to go on from a day on; `false` when the work ran out.
    fn go_on_at(&mut self, so_far: &Scored, day: usize) -> bool {
        if so_far.cost < self.best.cost {
            self.best = so_far.clone();
        }
        if day >= self.problem.days.len() || so_far.left.is_empty() {
            return true;
        }
        let id = DayId::from_index(day);
        let carry = so_far.carries_into(self.problem, id);
        let run = Run::new(self.problem, id, &carry, i64::MIN, false);
        self.on_day(so_far, id, &run, &mut Vec::new())
    }

    /// All ways to go on within a day.
    fn on_day(&mut self, so_far: &Scored, day: DayId, run: &Run<'_>, order: &mut Vec<BlockId>) -> bool {
        if !self.effort.spend(1) {
            return false;
        }
        let next: Vec<BlockId> = so_far.left.iter().copied().filter(|one| !order.contains(one)).collect();
        for &block in &next {
            let waits = &self.problem.blocks[block].before;
            if !waits.iter().all(|one| order.contains(one) || so_far.at[*one].is_some()) {
                continue;
            }
            let mut longer = run.clone();
            self.effort.spend(1);
            if longer.append(block).is_err() {
                continue;
            }
            order.push(block);
            let open: Vec<BlockId> = next.iter().copied().filter(|one| *one != block).collect();
            let hopeful = self.least(so_far, &longer, day, &open) < self.best.cost;
            let complete = !hopeful || self.on_day(so_far, day, &longer, order);
            order.pop();
            if !complete {
                return false;
            }
        }
        let closed = if order.is_empty() {
            Some(so_far.clone())
        } else {
            so_far.with(self.problem, vec![(day, order.clone())], next, self.effort)
        };
        match closed {
            Some(closed) if self.least_after(&closed, day) < self.best.cost => {
                self.go_on_at(&closed, day.index() + 1)
            }
            Some(closed) => {
                if closed.cost < self.best.cost {
                    self.best = closed;
                }
                true
            }
            None => true,
        }
    }

    /// What every order that begins so costs at least.
    fn least(&self, so_far: &Scored, run: &Run<'_>, day: DayId, open: &[BlockId]) -> i64 {
        let price = &self.problem.weights;
        let sure = planned(so_far, self.problem) + price.extra_day;
        // With plates left over an order may still be better than one that fits them by force.
        if !self.best.left.is_empty() {
            return sure + run.least(&[], true);
        }
        // Where one more day already costs too much, all that is open comes today.
        let elsewhere = sure + price.extra_day < self.best.cost;
        sure + run.least(open, elsewhere) + self.fits(run, open) + self.ways(run, day, open, elsewhere)
    }

    /// One fit for each rig that is still to come.
    fn fits(&self, run: &Run<'_>, open: &[BlockId]) -> i64 {
        let mut fits: BTreeMap<usize, i64> = BTreeMap::new();
        for &one in open {
            let block = &self.problem.blocks[one];
            if run.fitted() != Some(block.fit) {
                let least = fits.entry(block.fit).or_insert(block.fitting);
                *least = (*least).min(block.fitting);
            }
        }
        fits.values().sum::<i64>() * self.problem.weights.fitting
    }

    /// The way back, by the farthest place that is still to come today.
    fn ways(&self, run: &Run<'_>, day: DayId, open: &[BlockId], elsewhere: bool) -> i64 {
        let Some(here) = run.spot() else { return 0 };
        let base = self.problem.days[day].base;
        let back = |spot: SpotId| base.map_or(0, |base| self.shortest[spot][base]);
        let by = |spot: SpotId| self.shortest[here][spot] + back(spot);
        let spots = open.iter().map(|&one| self.problem.blocks[one].spot);
        let farthest = spots.filter(|_| !elsewhere).map(by).max();
        farthest.unwrap_or(0).max(back(here)) * self.problem.weights.travel
    }

    /// What every order that closes a day so costs at least.
    fn least_after(&self, closed: &Scored, day: DayId) -> i64 {
        let more = !closed.left.is_empty() && day.index() + 1 < self.problem.days.len();
        let sure = planned(closed, self.problem);
        if !more {
            return closed.cost;
        }
        if self.best.left.is_empty() { sure + self.problem.weights.extra_day } else { sure }
    }
}

/// All pairs by way of each place (Floyd 1962).
fn shortest(problem: &Problem) -> Arena<SpotId, Arena<SpotId, i64>> {
    let mut way = problem.travel.clone();
    for by in problem.travel.ids() {
        for from in problem.travel.ids() {
            for to in problem.travel.ids() {
                way[from][to] = way[from][to].min(way[from][by] + way[by][to]);
            }
        }
    }
    way
}

/// Cost of what is planned, without what is left over.
fn planned(scored: &Scored, problem: &Problem) -> i64 {
    let parts: usize = scored.left.iter().map(|&block| problem.blocks[block].parts.len()).sum();
    scored.cost - parts as i64 * problem.weights.unplanned
}
