//! A better order of one day whose price is that of its ways and fits alone.
//!
//! In: a [`Ground`] of that kind and an order. Out: an order that costs no more.
//! Two runs of blocks that follow each other change places, wherever that is
//! cheaper and nothing comes before what it waits for: the path-preserving
//! exchange of three arcs, whose feasibility is kept along as the runs grow
//! (Gambardella and Dorigo 2000, "An ant colony system hybridized with a new
//! local search for the sequential ordering problem"). From the order in which no
//! exchange helps some are made at random, and it begins anew.

use super::ground::{Ground, Set, Square};
use super::improve::Dice;
use super::pace::{Morning, Pace};
use super::problem::BlockId;

/// Thresholds of a cycle, as divisors of the mean arc; 0 takes nothing dearer.
const THRESHOLDS: [i64; 6] = [1, 2, 4, 8, 16, 0];
/// Kicks at each threshold.
const KICKS: usize = 400;

/// Whether the price of every order of those blocks is that of ways and fits
/// alone; and whether besides every order keeps all windows.
pub(crate) fn plain(morning: &Morning<'_, '_>, blocks: &[BlockId]) -> Option<bool> {
    let lean = morning.lean;
    let (price, day) = (&lean.problem.weights, morning.day);
    let pace = morning.pace();
    let mut longest = 0;
    let mut closes = day.wrap;
    let mut open = true;
    let mut seen = vec![false; lean.persons];
    for &id in blocks {
        let flat = &lean.blocks[id];
        let slots = lean.slots(morning.id, id);
        let [slot] = slots else { return None };
        if flat.linked || flat.has_states() || (flat.danger > 0 && price.danger > 0) {
            return None;
        }
        for &(person, minute) in lean.people(morning.id, id) {
            let seen = seen.get_mut(person)?;
            if *seen && minute > 0 {
                return None;
            }
            *seen = true;
        }
        let ways = blocks.iter().map(|&other| lean.between(Some(other), None, flat));
        let first = lean.between(None, day.base, flat);
        longest += flat.work + ways.chain([first]).map(|(way, fit)| way + fit).max().unwrap_or(0);
        closes = closes.min(slot.window.to).min(day.wrap - morning.home(id) - lean.problem.pack);
        open &= slot.window.from <= pace.now && slot.open <= pace.now;
    }
    let free = open && pace.now + longest <= closes;
    let most = if free { longest + lean.problem.arrive } else { day.wrap - pace.now + lean.problem.arrive };
    let home = blocks.iter().map(|&id| morning.home(id)).max().unwrap_or(0);
    let whole = if free { most + home + lean.problem.pack } else { most };
    let clock = whole <= day.meal_within && (price.overtime == 0 || whole <= day.long);
    let waits = open || price.waiting == 0;
    (clock && waits && !lean.powered && lean.holds(blocks)).then_some(free)
}

/// An order as it is worked on.
struct Path<'g, 'm, 'l, 'p> {
    ground: &'g Ground<'m, 'l, 'p>,
    /// Costs between numbers; the way to the first from one beyond the last number, and home to two beyond.
    arcs: Square,
    /// Numbers in order, with the start before them and the end after.
    order: Vec<usize>,
    /// The day after each place; empty where windows are of no concern.
    paces: Vec<Pace>,
    cost: i64,
    /// Whose surroundings have changed.
    stirred: Vec<bool>,
    steps: i64,
}

/// An exchange: the runs after `from` up to `middle`, and on up to `to`.
#[derive(Debug, Clone, Copy)]
struct Exchange {
    from: usize,
    middle: usize,
    to: usize,
    gain: i64,
}

/// The best order found within so many steps.
pub(crate) fn improve(
    ground: &Ground<'_, '_, '_>,
    order: &[BlockId],
    free: bool,
    dice: &mut Dice,
    steps: i64,
) -> (Vec<BlockId>, i64) {
    let mut path = Path::new(ground, order, free);
    path.settle();
    let mut best = (path.cost, path.order.clone());
    let mean = (path.cost / order.len().max(1) as i64).max(1);
    while path.steps < steps && order.len() > 2 {
        path.go_back(&best.1, best.0);
        let mut here = best.clone();
        for kick in 0..KICKS * THRESHOLDS.len() {
            if path.steps >= steps {
                break;
            }
            path.kick(dice);
            path.settle();
            let threshold = match THRESHOLDS.get(kick / KICKS) {
                Some(&divisor) if divisor > 0 => mean / divisor,
                _ => 0,
            };
            if path.cost <= here.0 + threshold {
                here.0 = path.cost;
                here.1.clone_from(&path.order);
                if here.0 < best.0 {
                    best.clone_from(&here);
                }
            } else {
                path.go_back(&here.1, here.0);
            }
        }
    }
    path.go_back(&best.1, best.0);
    (path.blocks(), path.steps)
}

impl<'g, 'm, 'l, 'p> Path<'g, 'm, 'l, 'p> {
    fn new(ground: &'g Ground<'m, 'l, 'p>, order: &[BlockId], free: bool) -> Self {
        let count = ground.blocks.len();
        let travel = ground.morning.lean.problem.weights.travel;
        let arcs = Square::new(count + 2, |from, to| match ground.blocks.get(from) {
            Some(tile) if to == count + 1 => ground.morning.home(tile.id) * travel,
            _ if to < count => ground.arcs.at(from, to),
            _ => 0,
        });
        let number = |id: &BlockId| ground.blocks.iter().position(|tile| tile.id == *id);
        let numbers = order.iter().filter_map(number);
        let order: Vec<usize> = std::iter::once(count).chain(numbers).chain([count + 1]).collect();
        let paces = if free { Vec::new() } else { vec![ground.morning.pace(); order.len() - 1] };
        let mut path = Self {
            ground,
            arcs,
            order: Vec::new(),
            paces,
            cost: 0,
            stirred: vec![true; count + 2],
            steps: 0,
        };
        let cost = order.windows(2).map(|pair| match pair {
            &[from, to] => path.arcs.at(from, to),
            _ => 0,
        });
        let cost = cost.sum();
        path.go_back(&order, cost);
        path
    }

    fn node(&self, place: usize) -> usize {
        self.order.get(place).copied().unwrap_or(0)
    }

    fn before(&self, node: usize) -> Set {
        self.ground.blocks.get(node).map_or(0, |tile| tile.before)
    }

    fn blocks(&self) -> Vec<BlockId> {
        self.order.iter().filter_map(|&at| self.ground.blocks.get(at)).map(|tile| tile.id).collect()
    }

    /// Takes an order up again that is known to be possible.
    fn go_back(&mut self, order: &[usize], cost: i64) {
        let same = self.order.iter().zip(order).take_while(|(one, other)| one == other).count();
        self.order.clear();
        self.order.extend_from_slice(order);
        self.cost = cost;
        if !self.paces.is_empty() {
            for place in same.max(1)..self.paces.len() {
                let step = self.paces.get(place - 1).and_then(|pace| self.step(pace, place));
                if let (Some(step), Some(pace)) = (step, self.paces.get_mut(place)) {
                    *pace = step;
                }
            }
        }
    }

    fn step(&self, pace: &Pace, place: usize) -> Option<Pace> {
        let tile = self.ground.blocks.get(self.node(place))?;
        self.ground.morning.step(pace, tile.id).map(|(next, _)| next)
    }

    /// Exchanges as long as that helps, where something has changed.
    fn settle(&mut self) {
        let mut place = 0;
        let mut calm = 0;
        let places = self.order.len();
        while calm < places {
            let node = self.node(place);
            if self.stirred.get(node).copied().unwrap_or(false) {
                if let Some(better) = self.best_at(place) {
                    self.make(better);
                    calm = 0;
                    continue;
                }
                if let Some(stirred) = self.stirred.get_mut(node) {
                    *stirred = false;
                }
            }
            calm += 1;
            place = (place + 1) % places;
        }
    }

    /// The best exchange that begins with the arc after a place: of every exchange
    /// that helps, one of its three arcs can begin it so that already the first new
    /// arc is shorter (Lin and Kernighan 1973).
    fn best_at(&mut self, place: usize) -> Option<Exchange> {
        let mut best: Option<Exchange> = None;
        self.begin_at(place, &mut best);
        self.with_middle_here(place, &mut best);
        self.up_to_here(place, &mut best);
        best
    }

    fn better(&mut self, best: &mut Option<Exchange>, exchange: Exchange) {
        if exchange.gain > best.map_or(0, |known| known.gain) && self.keeps_windows(exchange) {
            *best = Some(exchange);
        }
    }

    fn gain(&self, from: usize, middle: usize, to: usize) -> i64 {
        let [a, b, c, d, e, f] =
            [from, from + 1, middle, middle + 1, to, to + 1].map(|place| self.node(place));
        self.arcs.at(a, b) + self.arcs.at(c, d) + self.arcs.at(e, f)
            - self.arcs.at(a, d)
            - self.arcs.at(e, b)
            - self.arcs.at(c, f)
    }

    /// Runs that begin after a place.
    fn begin_at(&mut self, from: usize, best: &mut Option<Exchange>) {
        let last = self.order.len().saturating_sub(2);
        let here = self.node(from);
        let now = self.arcs.at(here, self.node(from + 1));
        let mut first: Set = 0;
        self.steps += 1 + last.saturating_sub(from) as i64 / 4;
        for middle in from + 1..last {
            first |= 1 << self.node(middle);
            if self.arcs.at(here, self.node(middle + 1)) >= now {
                continue;
            }
            for to in middle + 1..=last {
                if self.before(self.node(to)) & first != 0 {
                    break;
                }
                self.look(from, middle, to, best);
            }
        }
    }

    /// Two runs that meet after a place.
    fn with_middle_here(&mut self, middle: usize, best: &mut Option<Exchange>) {
        let last = self.order.len().saturating_sub(2);
        if middle == 0 || middle >= last {
            return;
        }
        let here = self.node(middle);
        let now = self.arcs.at(here, self.node(middle + 1));
        let mut before: Set = 0;
        self.steps += 1 + (last - middle) as i64 / 4;
        for to in middle + 1..=last {
            before |= self.before(self.node(to));
            if before >> here & 1 == 1 {
                break;
            }
            if self.arcs.at(here, self.node(to + 1)) >= now {
                continue;
            }
            for from in (0..middle).rev() {
                if before >> self.node(from + 1) & 1 == 1 {
                    break;
                }
                self.look(from, middle, to, best);
            }
        }
    }

    /// Runs that end at a place.
    fn up_to_here(&mut self, to: usize, best: &mut Option<Exchange>) {
        if to + 1 >= self.order.len() || to < 2 {
            return;
        }
        let here = self.node(to);
        let now = self.arcs.at(here, self.node(to + 1));
        let mut run: Set = 0;
        self.steps += 1 + to as i64 / 4;
        for from in (0..to - 1).rev() {
            run |= 1 << self.node(from + 2);
            if self.arcs.at(here, self.node(from + 1)) >= now {
                continue;
            }
            let mut before: Set = 0;
            let opening = self.node(from + 1);
            let mut first = run | 1 << opening;
            for middle in (from + 1..to).rev() {
                let node = self.node(middle + 1);
                before |= self.before(node);
                // What begins the first run comes before the second, however short the first is.
                if before >> opening & 1 == 1 {
                    break;
                }
                first &= !(1 << node);
                if before & first == 0 {
                    self.look(from, middle, to, best);
                }
            }
        }
    }

    fn look(&mut self, from: usize, middle: usize, to: usize, best: &mut Option<Exchange>) {
        self.steps += 1;
        let gain = self.gain(from, middle, to);
        self.better(best, Exchange { from, middle, to, gain });
    }

    /// Whether everything is still in its window.
    fn keeps_windows(&mut self, exchange: Exchange) -> bool {
        if self.paces.is_empty() {
            return true;
        }
        let Exchange { from, middle, to, .. } = exchange;
        let Some(&before) = self.paces.get(from) else { return false };
        let mut pace = before;
        let places = (middle + 1..=to).chain(from + 1..=middle).chain(to + 1..self.paces.len());
        for place in places {
            self.steps += 1;
            match self.step(&pace, place) {
                Some(next) => pace = next,
                None => return false,
            }
            // No later than before: the rest is as possible as it was.
            if place > to && self.paces.get(place).is_some_and(|known| pace.now <= known.now) {
                break;
            }
        }
        true
    }

    fn make(&mut self, exchange: Exchange) {
        let Exchange { from, middle, to, gain } = exchange;
        for place in [from, from + 1, middle, middle + 1, to, to + 1] {
            let node = self.node(place);
            if let Some(stirred) = self.stirred.get_mut(node) {
                *stirred = true;
            }
        }
        if let Some(run) = self.order.get_mut(from + 1..=to) {
            run.rotate_left(middle - from);
        }
        self.cost -= gain;
        if !self.paces.is_empty() {
            for place in from + 1..self.paces.len() {
                let step = self.paces.get(place - 1).and_then(|pace| self.step(pace, place));
                if let (Some(step), Some(pace)) = (step, self.paces.get_mut(place)) {
                    let same = *pace == step;
                    *pace = step;
                    if same && place > to {
                        break;
                    }
                }
            }
        }
    }

    /// Some exchanges at random that are possible.
    fn kick(&mut self, dice: &mut Dice) {
        let last = self.order.len().saturating_sub(2);
        let mut made = 0;
        for _ in 0..40 {
            self.steps += 1;
            let from = dice.below(last.saturating_sub(1));
            let middle = from + 1 + dice.below(8.min(last - from - 1).max(1));
            let to = middle + 1 + dice.below(8.min(last.saturating_sub(middle)).max(1));
            if to > last || !self.may(from, middle, to) {
                continue;
            }
            let exchange = Exchange { from, middle, to, gain: self.gain(from, middle, to) };
            if self.keeps_windows(exchange) {
                self.make(exchange);
                made += 1;
                if made == 2 {
                    return;
                }
            }
        }
    }

    fn may(&self, from: usize, middle: usize, to: usize) -> bool {
        let first = (from + 1..=middle).fold(0, |set: Set, place| set | 1 << self.node(place));
        (middle + 1..=to).all(|place| self.before(self.node(place)) & first == 0)
    }
}
