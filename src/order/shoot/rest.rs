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
const NONE: Least = Least { cost: i64::MAX / 64, late: i64::MAX / 64, minutes: i64::MAX >> 24 };

/// What the rest takes at least, each for itself.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Least {
    /// Its price, in parts of [`FINE`], without waits.
    pub(crate) cost: i64,
    /// The same where each of its minutes costs overtime and hunger besides.
    pub(crate) late: i64,
    /// Its minutes with the way home, without packing.
    pub(crate) minutes: i64,
}

/// Least price and minutes of the rest.
#[derive(Debug)]
pub(crate) enum Rest {
    /// By what is done and what was last.
    Exact { side: usize, cells: Vec<Least> },
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

    /// What the rest takes at least after that.
    pub(crate) fn least(&self, ground: &Ground<'_, '_, '_>, done: Set, last: usize) -> Least {
        match self {
            Self::Exact { side, cells } => cells.get(done as usize * side + last).copied().unwrap_or(NONE),
            Self::Sum => {
                let mut least = Least { cost: 0, late: 0, minutes: 0 };
                for tile in bits(ground.all & !done).filter_map(|at| ground.blocks.get(at)) {
                    least.cost += FINE * tile.least_arc;
                    least.minutes += tile.least_gap + tile.work;
                }
                least.late = least.cost + late(ground) * least.minutes;
                least
            }
        }
    }
}

/// What a minute costs where it is one of overtime, and of hunger.
pub(crate) fn late(ground: &Ground<'_, '_, '_>) -> i64 {
    let price = &ground.morning.lean.problem.weights;
    FINE * (price.overtime + price.meal)
}

fn exact(ground: &Ground<'_, '_, '_>) -> Rest {
    let side = ground.blocks.len();
    let travel = ground.morning.lean.problem.weights.travel;
    let late = late(ground);
    let mut cells = vec![NONE; side << side];
    for done in (1..1usize << side).rev() {
        let set = done as Set;
        let open = ground.all & !set;
        if open == 0 {
            for last in 0..side {
                let home = ground.blocks.get(last).map_or(0, |tile| ground.morning.home(tile.id));
                let cost = FINE * home * travel;
                if let Some(cell) = cells.get_mut(done * side + last) {
                    *cell = Least { cost, late: cost + late * home, minutes: home };
                }
            }
            continue;
        }
        // What follows is the same whatever was last, but for the way there.
        let rate = ground.rate(set) + ground.danger(open);
        let mut next: Vec<(usize, Least)> = Vec::with_capacity(side);
        for at in bits(open) {
            let Some(tile) = ground.blocks.get(at).filter(|tile| tile.before & !set == 0) else { continue };
            let Some(&then) = cells.get((done | 1 << at) * side + at) else { continue };
            if then.cost < NONE.cost {
                let within = ground.rate_within(set, at) + ground.danger(open & !(1 << at));
                next.push((at, then.after(tile.work, within * tile.work, late)));
            }
        }
        for last in bits(set) {
            let mut best = NONE;
            for &(at, then) in &next {
                let gap = ground.gaps.at(last, at);
                let then = then.after(gap, FINE * ground.arcs.at(last, at) + gap * rate, late);
                best.cost = best.cost.min(then.cost);
                best.late = best.late.min(then.late);
                best.minutes = best.minutes.min(then.minutes);
            }
            if let Some(cell) = cells.get_mut(done * side + last) {
                *cell = best;
            }
        }
    }
    Rest::Exact { side, cells }
}

impl Least {
    /// With so many minutes before it, at that price.
    fn after(self, minutes: i64, cost: i64, late: i64) -> Self {
        Self {
            cost: self.cost + cost,
            late: self.late + cost + late * minutes,
            minutes: self.minutes + minutes,
        }
    }
}
