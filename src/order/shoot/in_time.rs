//! An order of one day in which everything begins in time.
//!
//! In: a [`Ground`] and an order of all its blocks in which nothing comes before
//! what it waits for. Out: such an order in which everything is in its window,
//! where one is found. What all begins too late in sum is made less, block by
//! block; from where no move helps a few are made at random, more each time that
//! brings nothing (the first phase of da Silva and Urrutia 2010, "A General VNS
//! heuristic for the traveling salesman problem with time windows"). Prices are of
//! no concern, nor is what only the whole day tells: that is for whoever asks.

use super::ground::{Ground, Set};
use super::improve::Dice;

/// Moves at random before the search goes on, at most.
const KICKS: usize = 12;

/// Blocks in order, as numbers of the ground, and what they begin too late.
struct Line<'g, 'm, 'l, 'p> {
    ground: &'g Ground<'m, 'l, 'p>,
    order: Vec<usize>,
    late: i64,
    /// When each place is left, with what was late up to there.
    ends: Vec<(i64, i64)>,
    steps: i64,
}

/// An order in which nothing is late, within so many steps; and the steps taken.
pub(crate) fn in_time(
    ground: &Ground<'_, '_, '_>,
    order: Vec<usize>,
    dice: &mut Dice,
    steps: i64,
) -> (Option<Vec<usize>>, i64) {
    let mut line = Line { ground, order, late: 0, ends: Vec::new(), steps: 0 };
    line.begin(0);
    line.settle(steps);
    let mut best = (line.late, line.order.clone());
    let mut level = 1;
    while best.0 > 0 && line.steps < steps && line.order.len() > 1 {
        for _ in 0..level {
            line.kick(dice);
        }
        line.begin(0);
        line.settle(steps);
        if line.late < best.0 {
            best = (line.late, line.order.clone());
            level = 1;
        } else {
            line.order.clone_from(&best.1);
            level = if level >= KICKS { 1 } else { level + 1 };
        }
    }
    ((best.0 == 0).then_some(best.1), line.steps)
}

impl Line<'_, '_, '_, '_> {
    fn node(&self, place: usize) -> usize {
        self.order.get(place).copied().unwrap_or(0)
    }

    fn before(&self, node: usize) -> Set {
        self.ground.blocks.get(node).map_or(0, |tile| tile.before)
    }

    /// When the place after `last` is left and how much is late by then.
    fn step(&self, (now, late): (i64, i64), last: usize, node: usize) -> (i64, i64) {
        let Some(tile) = self.ground.blocks.get(node) else { return (now, late) };
        let begin = (now + self.ground.gaps.at(last, node)).max(tile.opens);
        (begin + tile.work, late + (begin - tile.due()).max(0))
    }

    /// When the place before one is left, and what is late by then.
    fn up_to(&self, place: usize) -> (i64, i64) {
        let dawn = (self.ground.morning.pace().now, 0);
        place.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or(dawn)
    }

    fn last(&self, place: usize) -> usize {
        place.checked_sub(1).map_or(self.ground.blocks.len(), |before| self.node(before))
    }

    /// Goes through the order from a place on.
    fn begin(&mut self, place: usize) {
        self.ends.truncate(place);
        let (mut state, mut last) = (self.up_to(place), self.last(place));
        for at in place..self.order.len() {
            let node = self.node(at);
            state = self.step(state, last, node);
            self.ends.push(state);
            last = node;
        }
        self.steps += (self.order.len() - place.min(self.order.len())) as i64;
        self.late = state.1;
    }

    /// Moves single blocks as long as less is late.
    fn settle(&mut self, steps: i64) {
        let mut calm = 0;
        let mut from = 0;
        while self.late > 0 && calm < self.order.len() && self.steps < steps {
            match self.best_place(from) {
                Some(to) => {
                    self.shift(from, to);
                    self.begin(from.min(to));
                    calm = 0;
                }
                None => calm += 1,
            }
            from = (from + 1) % self.order.len();
        }
    }

    /// Where a block is to go so that the least is late; nothing where it stands best.
    fn best_place(&mut self, from: usize) -> Option<usize> {
        let node = self.node(from);
        let mut best = (self.late, None);
        for to in (0..from).rev() {
            // What it waits for stays before it.
            if self.before(node) >> self.node(to) & 1 == 1 {
                break;
            }
            let late = self.late_if(from, to, best.0);
            if late < best.0 {
                best = (late, Some(to));
            }
        }
        for to in from + 1..self.order.len() {
            if self.before(self.node(to)) >> node & 1 == 1 {
                break;
            }
            let late = self.late_if(from, to, best.0);
            if late < best.0 {
                best = (late, Some(to));
            }
        }
        best.1
    }

    /// What would be late with a block moved; no less than `below` where it is as much.
    fn late_if(&mut self, from: usize, to: usize, below: i64) -> i64 {
        let first = from.min(to);
        let (mut state, mut last) = (self.up_to(first), self.last(first));
        for place in first..self.order.len() {
            let node = match place {
                _ if place == to => self.node(from),
                _ if from < to && (from..to).contains(&place) => self.node(place + 1),
                _ if to < from && (to + 1..=from).contains(&place) => self.node(place - 1),
                _ => self.node(place),
            };
            state = self.step(state, last, node);
            self.steps += 1;
            if state.1 >= below {
                break;
            }
            // No later than before: the rest is as late as it was.
            if place > from.max(to)
                && let Some(&(now, late)) = self.ends.get(place)
                && state.0 == now
            {
                return state.1 + self.late - late;
            }
            last = node;
        }
        state.1
    }

    fn shift(&mut self, from: usize, to: usize) {
        if from < to {
            if let Some(run) = self.order.get_mut(from..=to) {
                run.rotate_left(1);
            }
        } else if let Some(run) = self.order.get_mut(to..=from) {
            run.rotate_right(1);
        }
    }

    /// One block goes somewhere else that what it waits for allows.
    fn kick(&mut self, dice: &mut Dice) {
        self.steps += 1;
        let from = dice.below(self.order.len());
        let node = self.node(from);
        let mut earliest = from;
        while earliest > 0 && self.before(node) >> self.node(earliest - 1) & 1 == 0 {
            earliest -= 1;
        }
        let mut latest = from;
        while latest + 1 < self.order.len() && self.before(self.node(latest + 1)) >> node & 1 == 0 {
            latest += 1;
        }
        self.shift(from, earliest + dice.below(latest - earliest + 1));
    }
}
