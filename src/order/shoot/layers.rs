//! The best order of some blocks on one day, layer by layer.
//!
//! In: a day and the blocks that are all done on it. Out: an order, and whether
//! it is certain that none is cheaper. Layer by layer one more block is done
//! (dynamic programming over sets; Held and Karp 1962). Of two beginnings with
//! the same blocks and the same last one, the one goes that no way to go on makes
//! better; and so does what costs as much as the best order known already. Where
//! a layer grows too wide, only its most hopeful beginnings are kept, and nothing
//! is certain any more.

use super::ground::{Bond, Ground, MOST, Set, bits};
use super::pace::{FINE, Pace};
use super::problem::BlockId;
use super::rest::{Least, Rest};

/// Compared with so many others at most.
const RIVALS: usize = 48;

/// How far the search goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach {
    /// Beginnings kept in a layer.
    pub(crate) width: usize,
    /// Steps in all.
    pub(crate) steps: i64,
    /// Only what costs less is wanted, in hundredths.
    pub(crate) below: i64,
    /// What a minute later counts where a layer is too wide, in hundredths.
    pub(crate) hurry: i64,
}

/// What came of it.
#[derive(Debug)]
pub(crate) struct Found {
    /// The best order that costs less than was known, with its price.
    pub(crate) order: Option<(Vec<BlockId>, i64)>,
    /// Whether no order is cheaper than that, or than what was known.
    pub(crate) certain: bool,
    /// Steps.
    pub(crate) steps: i64,
}

/// A beginning of the day.
#[derive(Debug, Clone, Copy)]
struct Label {
    set: Set,
    last: usize,
    pace: Pace,
    /// Paid in all, with people's waiting and joins.
    cost: i64,
    /// What the whole day then costs at least.
    least: i64,
    /// The beginning that it goes on from.
    from: u32,
    /// When the last block ended, counted from the moved call.
    ended: i64,
}

struct Search<'g, 'm, 'l, 'p> {
    ground: &'g Ground<'m, 'l, 'p>,
    rest: &'g Rest,
    reach: Reach,
    /// Every beginning that was kept: which it goes on from, its block, when that ended.
    kept: Vec<(u32, usize, i64)>,
    steps: i64,
}

/// Looks for the best order.
pub(crate) fn order(ground: &Ground<'_, '_, '_>, rest: &Rest, reach: Reach) -> Found {
    let mut search = Search { ground, rest, reach, kept: Vec::new(), steps: 0 };
    search.run()
}

/// Whether a set of blocks is small enough for layers.
pub(crate) fn fits(blocks: usize) -> bool {
    (1..=MOST).contains(&blocks)
}

impl Search<'_, '_, '_, '_> {
    fn run(&mut self) -> Found {
        let count = self.ground.blocks.len();
        let mut certain = true;
        let mut layer = vec![Label {
            set: 0,
            last: count,
            pace: self.ground.morning.pace(),
            cost: 0,
            least: 0,
            from: u32::MAX,
            ended: 0,
        }];
        for _ in 0..count {
            let mut next = Vec::new();
            for label in &layer {
                self.go_on(label, &mut next);
            }
            layer = self.undominated(next);
            if layer.len() > self.reach.width {
                certain = false;
                self.most_hopeful(&mut layer);
            }
            if self.steps > self.reach.steps || layer.is_empty() {
                certain &= layer.is_empty();
                break;
            }
            for label in &mut layer {
                self.kept.push((label.from, label.last, label.ended));
                label.from = (self.kept.len() - 1) as u32;
            }
        }
        let mut best: Option<(i64, u32)> = None;
        for label in layer.iter().filter(|label| label.set == self.ground.all) {
            for pace in [Some(label.pace), self.eaten(label)].into_iter().flatten() {
                let Ok((cost, _)) = self.ground.morning.close(&pace, label.cost - label.pace.cost) else {
                    continue;
                };
                if cost < best.map_or(self.reach.below, |known| known.0) {
                    best = Some((cost, label.from));
                }
            }
        }
        let order = best.map(|(cost, end)| (self.back_from(end), cost));
        Found { order, certain, steps: self.steps }
    }

    /// The same beginning with the meal after it.
    fn eaten(&self, label: &Label) -> Option<Pace> {
        if label.pace.fed() { None } else { self.ground.morning.eat(&label.pace) }
    }

    /// All ways to go on by one block, with or without the meal before it.
    fn go_on(&mut self, label: &Label, next: &mut Vec<Label>) {
        let ground = self.ground;
        let open = ground.all & !label.set;
        let rate = ground.rate(label.set);
        for at in bits(open) {
            let Some(tile) = ground.blocks.get(at).filter(|tile| tile.before & !label.set == 0) else {
                continue;
            };
            let within = ground.rate_within(label.set, at);
            let set = label.set | 1 << at;
            let bound = self.rest.least(ground, set, at);
            for pace in [Some(label.pace), self.eaten(label)].into_iter().flatten() {
                self.steps += 1;
                let Some((then, stop)) = ground.morning.step(&pace, tile.id) else { continue };
                let mut cost = label.cost + then.cost - label.pace.cost;
                if label.set != 0 {
                    cost += (stop.begin - label.pace.at()) * rate + (stop.end - stop.begin) * within;
                    cost += self.beyond(label, at, stop.begin);
                }
                let label =
                    Label { set, last: at, pace: then, cost, least: 0, from: label.from, ended: stop.end };
                let least = self.least(&label, bound);
                if least.div_euclid(FINE) < self.reach.below
                    && ground.in_time(at, then.now, open & !(1 << at))
                {
                    next.push(Label { least, ..label });
                }
            }
        }
    }

    /// What every day costs at least that begins so.
    fn least(&self, label: &Label, rest: Least) -> i64 {
        let morning = self.ground.morning;
        let (price, day) = (&morning.lean.problem.weights, &morning.day);
        let (called, pack) = (morning.elapsed(&label.pace), morning.lean.problem.pack);
        let meal =
            if !label.pace.fed() && called + rest.minutes + pack > day.meal_within { day.meal } else { 0 };
        // Minutes beyond the length of a day, and beyond the meal: it is over at the
        // latest so long after the call.
        let over = called + meal + pack - day.long;
        let hunger = if label.pace.fed() {
            label.pace.since_meal() + pack - day.meal_within
        } else {
            called + meal + pack - 2 * day.meal_within - day.meal
        };
        let priced = |over: i64, hunger: i64| FINE * (over * price.overtime + hunger * price.meal);
        let plain = rest.cost + priced((over + rest.minutes).max(0), (hunger + rest.minutes).max(0));
        let mut least = label.cost + plain.max(rest.late + priced(over, hunger)) + self.late_joins(label);
        if price.danger > 0 {
            least += label.pace.worked() * self.ground.danger(self.ground.all & !label.set);
        }
        least
    }

    /// What joins that are open cost already beyond what they cost a minute.
    fn late_joins(&self, label: &Label) -> i64 {
        let late = self.open_joins(label.set).map(|(bond, one)| {
            let gap = label.pace.at() - self.ended(label, one);
            (gap - bond.close).max(0) * bond.beyond
        });
        FINE * late.sum::<i64>()
    }

    /// Joins with one side done, and which, whose later minutes cost more.
    fn open_joins(&self, done: Set) -> impl Iterator<Item = (&Bond, usize)> {
        let bonds = self.ground.bonds.iter();
        bonds
            .filter(move |bond| bond.beyond > 0 && bond.set & done != 0 && bond.set & !done != 0)
            .map(move |bond| (bond, (bond.set & done).trailing_zeros() as usize))
    }

    /// What joins cost that come to their second side too late.
    fn beyond(&self, label: &Label, at: usize, begin: i64) -> i64 {
        let here: Set = 1 << at;
        let bonds = self.ground.bonds.iter().filter(|bond| bond.beyond > 0 && bond.set & here != 0);
        bonds
            .filter(|bond| bond.set & label.set != 0)
            .map(|bond| {
                let other = (bond.set & !here).trailing_zeros() as usize;
                let gap = begin - self.ended(label, other);
                FINE * (gap - bond.close).max(0) * bond.beyond
            })
            .sum()
    }

    /// When a block ended in a beginning whose own block is kept already, or is it.
    fn ended(&self, label: &Label, block: usize) -> i64 {
        if label.last == block {
            return label.ended;
        }
        let mut from = label.from;
        while let Some(&(before, one, ended)) = self.kept.get(from as usize) {
            if one == block {
                return ended;
            }
            from = before;
        }
        label.ended
    }

    /// Without those that others make needless, in an order that depends on nothing else.
    fn undominated(&mut self, mut labels: Vec<Label>) -> Vec<Label> {
        let key = |label: &Label| (label.set, label.last, label.pace.fed(), label.pace.marks);
        labels.sort_by_key(|label| (key(label), label.cost, label.pace.now, label.from));
        let mut kept: Vec<Label> = Vec::with_capacity(labels.len());
        let mut group = 0;
        for label in labels {
            if kept.last().is_some_and(|last| key(last) != key(&label)) {
                group = kept.len();
            }
            let rivals = kept.get(group..).unwrap_or_default();
            self.steps += rivals.len().min(RIVALS) as i64 / 4;
            if !rivals.iter().take(RIVALS).any(|rival| self.dominates(rival, &label)) {
                kept.push(label);
            }
        }
        kept
    }

    /// Whether the second is needless: however it goes on, the first goes on so
    /// as well and costs no more. The first costs no more so far.
    ///
    /// The first is there no later. Where something still has to be waited for, it
    /// may wait for longer: by what it comes earlier, less what its call can be
    /// moved. Each such minute costs at most what everybody and everything open costs.
    fn dominates(&self, first: &Label, second: &Label) -> bool {
        let (a, b) = (&first.pace, &second.pace);
        let morning = self.ground.morning;
        let (since_call, other) = (morning.elapsed(a), morning.elapsed(b));
        if first.cost > second.cost || a.now > b.now || (!a.fed() && since_call > other) {
            return false;
        }
        // A day that is too short for its meal cannot be, so the first must be sure to last.
        let lasts = || {
            let rest = self.rest.least(self.ground, first.set, first.last).minutes;
            since_call + rest + morning.lean.problem.pack > morning.day.meal_within
        };
        if a.fed() && a != b && !lasts() {
            return false;
        }
        let cost = first.cost + self.behind(first, second);
        if cost > second.cost {
            return false;
        }
        let open = self.ground.all & !first.set;
        let mut opens = 0;
        let mut choice = false;
        for tile in bits(open).filter_map(|at| self.ground.blocks.get(at)) {
            opens = opens.max(tile.opens);
            choice |= tile.choice && tile.opens > a.now;
        }
        let most = opens - a.now;
        if most <= 0 {
            return true;
        }
        let waits = if choice {
            most
        } else {
            let margin = if a.now < b.now { morning.lean.problem.margin.min(b.now - a.now) } else { 0 };
            ((b.latest() - a.latest()).max(0) + margin).min(most)
        };
        waits == 0
            || ((a.fed() || since_call + waits <= other) && cost + waits * self.dearest(open) <= second.cost)
    }

    /// What a minute of waiting costs at most while those are open.
    fn dearest(&self, open: Set) -> i64 {
        let price = &self.ground.morning.lean.problem.weights;
        let bonds = self.ground.bonds.iter().filter(|bond| bond.set & open != 0);
        let bonds: i64 = bonds.map(|bond| bond.minute + bond.beyond).sum();
        FINE * (price.waiting + price.overtime + price.meal + bonds) + self.ground.danger(open)
    }

    /// What the first may have to pay later for having worked for longer since its
    /// call, its meal or the first sides of joins than the second.
    fn behind(&self, first: &Label, second: &Label) -> i64 {
        let morning = self.ground.morning;
        let price = &morning.lean.problem.weights;
        let (a, b) = (&first.pace, &second.pace);
        let called = (a.worked() - b.worked()).max(0);
        let fed = (a.since_meal() - b.since_meal()).max(0);
        let danger = if called > 0 { called * self.ground.danger(self.ground.all & !first.set) } else { 0 };
        let joins = self.open_joins(first.set).map(|(bond, one)| {
            let gap = |label: &Label| label.pace.at() - self.ended(label, one);
            (gap(first) - gap(second)).max(0) * bond.beyond
        });
        FINE * (called * price.overtime + fed * price.meal + joins.sum::<i64>()) + danger
    }

    /// Only the most hopeful.
    fn most_hopeful(&self, layer: &mut Vec<Label>) {
        let hurry = FINE * self.reach.hurry;
        layer.sort_by_key(|label| (label.least + hurry * label.pace.now, label.set, label.last));
        layer.truncate(self.reach.width);
    }

    /// The blocks up to a kept beginning, in order.
    fn back_from(&self, end: u32) -> Vec<BlockId> {
        let mut order = Vec::new();
        let mut from = end;
        while let Some(&(before, at, _)) = self.kept.get(from as usize) {
            order.extend(self.ground.blocks.get(at).map(|tile| tile.id));
            from = before;
        }
        order.reverse();
        order
    }
}
