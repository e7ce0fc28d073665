//! What the rest of a day costs at least, whatever is done so far.
//!
//! In: a [`Ground`]. Out: for what is done and what was last, a price and a time
//! that no way to go on is below. For few blocks every way to go on is weighed
//! as if nothing ever had to be waited for (Held and Karp 1962): ways, fits,
//! people's waiting, joins and hazards are then exact. For many it is what each
//! open block takes to be come to.

use super::ground::{Ground, Set, bits};
use super::pace::FINE;

/// Up to so many blocks every way to go on is weighed.
const WEIGHED: usize = 16;

/// No way to go on.
const NONE: (i64, i32) = (i64::MAX / 8, i32::MAX / 8);

/// Least price and minutes of the rest.
#[derive(Debug)]
pub(crate) enum Rest {
    /// By what is done and what was last.
    Exact { side: usize, cells: Vec<(i64, i32)> },
    /// By what each open block adds.
    Sum,
}

impl Rest {
    pub(crate) fn new(ground: &Ground<'_, '_, '_>) -> Self {
        let side = ground.blocks.len();
        if side == 0 || side > WEIGHED { Self::Sum } else { exact(ground) }
    }

    /// How many ways were weighed.
    pub(crate) fn steps(&self) -> i64 {
        match self {
            Self::Exact { cells, side } => (cells.len() * side) as i64 / 4,
            Self::Sum => 0,
        }
    }

    /// What the rest costs at least after that, in parts of [`FINE`], without
    /// waits; and its minutes with the way home, without packing.
    pub(crate) fn least(&self, ground: &Ground<'_, '_, '_>, done: Set, last: usize) -> (i64, i64) {
        match self {
            Self::Exact { side, cells } => cells
                .get(done as usize * side + last)
                .map_or((0, 0), |&(cost, minutes)| (cost, i64::from(minutes))),
            Self::Sum => {
                let (mut cost, mut minutes) = (0, 0);
                for tile in bits(ground.all & !done).filter_map(|at| ground.blocks.get(at)) {
                    cost += FINE * tile.least_arc;
                    minutes += tile.least_gap + tile.work;
                }
                (cost, minutes)
            }
        }
    }
}

fn exact(ground: &Ground<'_, '_, '_>) -> Rest {
    let side = ground.blocks.len();
    let travel = ground.morning.lean.problem.weights.travel;
    let mut cells = vec![NONE; side << side];
    for done in (1..1usize << side).rev() {
        let set = done as Set;
        let open = ground.all & !set;
        if open == 0 {
            for last in 0..side {
                let home = ground.blocks.get(last).map_or(0, |tile| ground.morning.home(tile.id));
                if let Some(cell) = cells.get_mut(done * side + last) {
                    *cell = (FINE * home * travel, home as i32);
                }
            }
            continue;
        }
        // What follows is the same whatever was last, but for the way there.
        let (rate, danger) = (ground.rate(set), ground.danger(open));
        let mut next: Vec<(usize, i64, i64)> = Vec::with_capacity(side);
        for at in bits(open) {
            let Some(tile) = ground.blocks.get(at).filter(|tile| tile.before & !set == 0) else { continue };
            let Some(&(cost, minutes)) = cells.get((done | 1 << at) * side + at) else { continue };
            if cost == NONE.0 {
                continue;
            }
            let within = ground.rate_within(set, at) + ground.danger(open & !(1 << at));
            next.push((at, cost + within * tile.work, i64::from(minutes) + tile.work));
        }
        for last in bits(set) {
            let mut best = NONE;
            for &(at, cost, minutes) in &next {
                let gap = ground.gaps.at(last, at);
                let cost = cost + FINE * ground.arcs.at(last, at) + gap * (rate + danger);
                best = (best.0.min(cost), best.1.min((minutes + gap) as i32));
            }
            if let Some(cell) = cells.get_mut(done * side + last) {
                *cell = best;
            }
        }
    }
    Rest::Exact { side, cells }
}
