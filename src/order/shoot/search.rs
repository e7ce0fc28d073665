//! From a problem to the best order that the allowed work finds.

use super::bound::least;
use super::construct::construct;
use super::exchange::{improve, plain};
use super::ground::Ground;
use super::improve::{Dice, descend, fewer_days, place_left, wander};
use super::in_time::in_time;
use super::layers::{Reach, fits, order};
use super::lean::Lean;
use super::pace::Morning;
use super::problem::{BlockId, DayId, Problem};
use super::prove::prove;
use super::rest::Rest;
use super::score::{Effort, Scored};
use super::sketch::{Change, Pencil, Sketch};
use super::within::within;
use crate::order;
use std::collections::BTreeSet;

/// What minutes of slack weigh in the first orders, in hundredths.
const URGENCIES: [i64; 5] = [0, 15, 40, 80, 200];

/// Up to so many blocks every order is gone through where layers say nothing.
const PROVABLE: usize = 10;

/// Blocks that may be worked in trial for that.
const PROOF: i64 = 100_000;

/// What a minute later counts, in hundredths, in the first layers of a day.
const HURRIES: [i64; 3] = [0, 100, 1000];

/// Up to so many blocks the layers of a day are meant to be complete.
pub(super) const LAYERED: usize = 16;

/// Steps through the layers of so few blocks.
const FEW: i64 = 1_000_000;
/// Steps through the layers of more, where windows leave little choice.
const NARROW: i64 = 400_000;
/// Steps through the layers of more, where anything goes.
const WIDE: i64 = 30_000;
/// Steps through the layers of each day of a plan over several.
const DAILY: i64 = 400_000;
/// Exchanges looked at for each pair of blocks, and at most, where every order keeps all windows.
const FREE: (i64, i64) = (48_000, 80_000_000);
/// The same where windows must be looked at.
const BOUND: (i64, i64) = (12_000, 20_000_000);
/// Steps in which room is looked for, for all that found no place.
const ROOM: i64 = 6_000_000;

/// The best order found.
#[derive(Debug)]
pub(crate) struct Solved {
    /// The order.
    pub(crate) scored: Scored,
    /// No order of these blocks costs less, in hundredths.
    pub(crate) bound: i64,
    /// Days of which no order of what they hold costs less.
    pub(crate) sure: BTreeSet<DayId>,
}

impl Solved {
    /// Whether no order costs less.
    pub(crate) fn proven(&self) -> bool {
        self.bound >= self.scored.cost
    }
}

/// How much is looked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Zeal {
    /// Times the usual work.
    pub(crate) effort: order::Effort,
    /// Parts of the usual work, for what is solved many times over.
    pub(crate) parts: i64,
}

impl Zeal {
    /// The usual work, raised.
    pub(crate) fn of(effort: order::Effort) -> Self {
        Self { effort, parts: 1 }
    }

    fn steps(self, usual: i64) -> i64 {
        self.effort.of(usual.max(1) as u64).min(i64::MAX as u64 / 2) as i64 / self.parts.max(1)
    }
}

/// The best order of a problem, and what none is below.
pub(crate) fn solve(problem: &Problem, zeal: Zeal) -> Solved {
    let blocks = problem.blocks.len();
    if blocks == 0 || problem.days.is_empty() {
        let scored = Scored::empty(problem);
        return Solved { bound: scored.cost, sure: BTreeSet::new(), scored };
    }
    let first = begin(problem);
    let lean = Lean::new(problem);
    let mut search = Search {
        zeal,
        pencil: Pencil::new(&lean, 0),
        dice: Dice::new(0x5ea3),
        proven: false,
        settled: false,
    };
    let Some(sketch) = search.pencil.sketch(&first.days) else {
        return Solved { scored: first, bound: 0, sure: BTreeSet::new() };
    };
    let mut sketch = search.run(sketch);
    let proven = search.proven;
    let used = |sketch: &Sketch| problem.days.ids().filter(|&day| !sketch.days[day].is_empty()).collect();
    let mut sure: BTreeSet<DayId> =
        if proven { used(&sketch) } else { within(&mut search.pencil, &mut sketch, zeal.steps(DAILY)) };
    let scored = scored(problem, &sketch).unwrap_or(first);
    if scored.cost != sketch.cost {
        sure.clear();
    } else if proven {
        return Solved { bound: scored.cost, sure, scored };
    }
    let bound = least(&lean, !scored.left.is_empty());
    if blocks > PROVABLE || bound >= scored.cost {
        return Solved { bound: bound.min(scored.cost), sure, scored };
    }
    let cost = scored.cost;
    let (scored, certain) = prove(problem, scored, &Effort::new(PROOF));
    if certain {
        sure = problem.days.ids().filter(|&day| !scored.days[day].is_empty()).collect();
    } else if scored.cost < cost {
        sure.clear();
    }
    Solved { bound: if certain { scored.cost } else { bound.min(scored.cost) }, sure, scored }
}

/// First orders, block by block; the cheapest of them.
fn begin(problem: &Problem) -> Scored {
    let work = Effort::new(2_000_000);
    let mut best = Scored::empty(problem);
    for urgency in URGENCIES {
        if !work.is_left() {
            break;
        }
        let next = construct(problem, urgency, &work);
        if next.cost < best.cost {
            best = next;
        }
    }
    best
}

/// The order of a sketch, worked again step by step.
fn scored(problem: &Problem, sketch: &Sketch) -> Option<Scored> {
    let days = sketch.days.iter().filter(|(_, order)| !order.is_empty());
    let days = days.map(|(day, order)| (day, order.clone())).collect();
    Scored::empty(problem).with(problem, days, sketch.left.clone(), &Effort::new(i64::MAX))
}

struct Search<'l, 'p> {
    zeal: Zeal,
    pencil: Pencil<'l, 'p>,
    dice: Dice,
    proven: bool,
    /// Whether the price is that of ways and fits alone, and has been worked on as such.
    settled: bool,
}

impl Search<'_, '_> {
    fn run(&mut self, first: Sketch) -> Sketch {
        let blocks = self.pencil.lean.problem.blocks.len() as i64;
        self.pencil.allow(self.zeal.steps((blocks * blocks * 300).clamp(20_000, 10_000_000)));
        let mut best = place_left(&mut self.pencil, first);
        best = self.make_room(best);
        best = fewer_days(&mut self.pencil, best);
        if blocks <= LAYERED as i64 {
            best = descend(&mut self.pencil, best);
            self.pencil.allow(self.zeal.steps(blocks * blocks * 600));
            best = wander(&mut self.pencil, best, &mut self.dice);
        }
        best = self.in_one_day(best);
        if self.proven || self.settled {
            return best;
        }
        self.pencil.allow(self.zeal.steps((blocks * blocks * 1_500).clamp(60_000, 30_000_000)));
        if blocks <= 60 {
            best = descend(&mut self.pencil, best);
        }
        best = wander(&mut self.pencil, best, &mut self.dice);
        self.pencil.allow(self.zeal.steps((blocks * blocks * 300).clamp(20_000, 10_000_000)));
        best = descend(&mut self.pencil, best);
        self.in_one_day(best)
    }

    /// Gives what is left over a place on a day whose order is turned about for it.
    fn make_room(&mut self, mut best: Sketch) -> Sketch {
        let lean = self.pencil.lean;
        let problem = lean.problem;
        let days: Vec<DayId> = problem.days.ids().collect();
        let mut steps = self.zeal.steps(ROOM);
        let mut left = best.left.clone();
        left.sort_by_key(|&block| (problem.blocks[block].rank, block));
        let mut tries = (left.len() * days.len()) as i64;
        for block in left {
            for &day in &days {
                let share = steps / tries.max(1);
                tries -= 1;
                if best.at[block].is_some() || lean.slots(day, block).is_empty() {
                    continue;
                }
                let mut blocks = best.days[day].clone();
                blocks.push(block);
                if !fits(blocks.len()) || !lean.holds(&blocks) {
                    continue;
                }
                let morning = Morning::new(lean, day, self.pencil.dawn_of(&best, day));
                let ground = Ground::new(&morning, &blocks);
                let (order, spent) = in_time(&ground, (0..blocks.len()).collect(), &mut self.dice, share);
                steps -= spent;
                let Some(order) = order else { continue };
                let order = order.into_iter().filter_map(|at| blocks.get(at).copied()).collect();
                let change = Change { days: vec![(day, order)], moved: blocks };
                if let Some(next) = self.pencil.weigh(&best, change).filter(|next| next.cost < best.cost) {
                    best.take(next);
                }
            }
        }
        best
    }

    /// Whether everything comes on one day in every order that could be cheaper.
    fn one_day_only(&self, best: &Sketch) -> bool {
        let problem = self.pencil.lean.problem;
        let weights = &problem.weights;
        let fewest = problem.blocks.values().map(|block| block.parts.len()).min().unwrap_or(1) as i64;
        let two = weights.extra_day.saturating_mul(2);
        best.left.is_empty()
            && best.cost <= fewest.saturating_mul(weights.unplanned)
            && (problem.days.len() == 1 || best.cost <= two)
    }

    /// Each day that could hold everything alone, layer by layer.
    fn in_one_day(&mut self, mut best: Sketch) -> Sketch {
        let problem = self.pencil.lean.problem;
        let blocks: Vec<BlockId> = problem.blocks.ids().collect();
        if !fits(blocks.len()) {
            return best;
        }
        let only = self.one_day_only(&best);
        let used = problem.days.ids().filter(|&day| !best.days[day].is_empty()).count();
        if !only && (problem.days.len() > 1 || used > 1) {
            return best;
        }
        let mut certain = true;
        for day in problem.days.ids() {
            if blocks.iter().any(|&block| self.pencil.lean.slots(day, block).is_empty()) {
                continue;
            }
            certain &= self.whole_day(day, &blocks, &mut best);
        }
        self.proven = certain && self.one_day_only(&best);
        best
    }

    /// Everything on that day; whether nothing on that day is cheaper than the best.
    fn whole_day(&mut self, day: DayId, blocks: &[BlockId], best: &mut Sketch) -> bool {
        let lean = self.pencil.lean;
        if !lean.holds(blocks) {
            return true;
        }
        let empty = self.pencil.empty();
        let dawn = self.pencil.dawn_of(&empty, day);
        let morning = Morning::new(lean, day, dawn);
        let ground = Ground::new(&morning, blocks);
        let rest = Rest::new(&ground);
        self.pencil.spend(rest.steps());
        let few = blocks.len() <= LAYERED;
        let plain = plain(&morning, blocks);
        let all = self.zeal.steps(if few {
            FEW
        } else if plain == Some(false) {
            NARROW
        } else {
            WIDE
        });
        let mut spent = 0;
        let mut width = if few { 300 } else { 16 };
        let mut turn = 0;
        loop {
            let hurry = HURRIES.get(turn % HURRIES.len()).copied().unwrap_or(0);
            let below = if best.left.is_empty() {
                best.cost - lean.problem.weights.extra_day
            } else {
                i64::MAX / 128
            };
            let found = order(&ground, &rest, Reach { width, steps: all - spent, below, hurry });
            spent += found.steps;
            if let Some((order, cost)) = found.order {
                let mut days = empty.days.clone();
                days[day] = order;
                if let Some(next) = self.pencil.sketch(&days).filter(|next| next.cost < best.cost) {
                    *best = next;
                }
                // With charge it may cost more than the layers think.
                if found.certain {
                    return best.cost <= cost + lean.problem.weights.extra_day;
                }
            } else if found.certain {
                return true;
            }
            turn += 1;
            if turn % HURRIES.len() == 0 {
                // Few blocks are then gone through whole.
                width = if few { usize::MAX } else { width * 4 };
            }
            if spent >= all || width == usize::MAX && turn > HURRIES.len() {
                break;
            }
        }
        let count = blocks.len() as i64;
        if let Some(free) = plain
            && best.left.is_empty()
            && !best.days[day].is_empty()
        {
            let (pair, most) = if free { FREE } else { BOUND };
            let steps = self.zeal.steps((count * count * pair).clamp(50_000, most));
            self.settled = true;
            let (order, _) = improve(&ground, &best.days[day], free, &mut self.dice, steps);
            let mut days = empty.days.clone();
            days[day] = order;
            if let Some(next) = self.pencil.sketch(&days).filter(|next| next.cost < best.cost) {
                *best = next;
            }
        }
        false
    }
}
