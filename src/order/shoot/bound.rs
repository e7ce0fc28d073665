//! What every order costs at least.
//!
//! In: a problem laid out flat. Out: a price in hundredths that no order of its
//! blocks is below. Every block that is worked is come to from exactly one other
//! or from the start of a day, and left for exactly one other or for home: the
//! cheapest such assignment (Kuhn 1955) is part of every order's price. What
//! waits, meals, resets and joins add is not counted.

use super::assign::assign;
use super::ground::Square;
use super::lean::Lean;
use super::problem::{BlockId, DayId};
use std::collections::BTreeSet;

/// Up to so many blocks are assigned; more are only come to.
const ASSIGNED: usize = 200;
/// What cannot be, in hundredths.
const NEVER: i64 = 1 << 50;

/// The least price of every order of all blocks, and of every order that leaves
/// some out where `some_left` says that the best one known does.
pub(crate) fn least(lean: &Lean<'_>, some_left: bool) -> i64 {
    let problem = lean.problem;
    let fewest = problem.blocks.ids().map(|id| unplanned(lean, id)).min().unwrap_or(0);
    let pairs = Pairs::new(lean);
    if some_left {
        return pairs.least(true).max(0);
    }
    let days = needed_days(lean) * problem.weights.extra_day;
    pairs.least(false).saturating_add(days).min(fewest)
}

fn unplanned(lean: &Lean<'_>, block: BlockId) -> i64 {
    let parts = lean.problem.blocks[block].parts.len() as i64;
    parts.saturating_mul(lean.problem.weights.unplanned)
}

/// Days without which not everything is worked.
fn needed_days(lean: &Lean<'_>) -> i64 {
    let problem = lean.problem;
    let mut only: BTreeSet<DayId> = BTreeSet::new();
    for id in problem.blocks.ids() {
        let mut open = problem.days.ids().filter(|&day| !lean.slots(day, id).is_empty());
        if let (Some(day), None) = (open.next(), open.next()) {
            only.insert(day);
        }
    }
    let mut long: Vec<i64> =
        problem.days.values().map(|day| day.wrap - day.call - problem.arrive - problem.pack).collect();
    long.sort_unstable_by_key(|&long| std::cmp::Reverse(long));
    let work: i64 = problem.blocks.values().map(super::problem::Block::work).sum();
    let room = long.iter().scan(0, |sum, &long| {
        *sum += long;
        Some(*sum)
    });
    let by_work = room.take_while(|&room| room < work).count() as i64 + 1;
    by_work.max(only.len() as i64).min(long.len() as i64)
}

/// Which block may come right after which.
struct Pairs<'l, 'p> {
    lean: &'l Lean<'p>,
    blocks: Vec<BlockId>,
    days: Vec<DayId>,
    before: Vec<BTreeSet<usize>>,
}

impl<'l, 'p> Pairs<'l, 'p> {
    fn new(lean: &'l Lean<'p>) -> Self {
        let blocks: Vec<BlockId> = lean.problem.blocks.ids().collect();
        let days: Vec<DayId> = lean.problem.days.ids().collect();
        let direct = |id: &BlockId| {
            lean.problem.blocks[*id].before.iter().map(|&one| crate::model::arena::Id::index(one)).collect()
        };
        let before = blocks.iter().map(direct).collect();
        Self { lean, blocks, days, before }
    }

    /// Whether one may come right after another: on one day, not before what it
    /// waits for, and with nothing that must lie between them.
    fn may_follow(&self, from: usize, to: usize) -> bool {
        let (Some(earlier), Some(later)) = (self.before.get(from), self.before.get(to)) else { return false };
        let between = |at: &usize| self.before.get(*at).is_some_and(|before| before.contains(&from));
        let (Some(&from_id), Some(&to_id)) = (self.blocks.get(from), self.blocks.get(to)) else {
            return false;
        };
        let one_day = self
            .days
            .iter()
            .any(|&day| !self.lean.slots(day, from_id).is_empty() && !self.lean.slots(day, to_id).is_empty());
        from != to && one_day && !earlier.contains(&to) && !later.iter().any(between)
    }

    fn arc(&self, from: usize, to: usize) -> i64 {
        match (self.blocks.get(from), self.blocks.get(to)) {
            (Some(&one), Some(&other)) if self.may_follow(from, to) => self.lean.arc(Some(one), None, other),
            _ => NEVER,
        }
    }

    fn first(&self, day: Option<&DayId>, to: usize) -> i64 {
        let (Some(&day), Some(&to)) = (day, self.blocks.get(to)) else { return NEVER };
        if self.lean.slots(day, to).is_empty() {
            return NEVER;
        }
        self.lean.arc(None, self.lean.problem.days[day].base, to)
    }

    fn home(&self, day: Option<&DayId>, from: usize) -> i64 {
        let (Some(&day), Some(&from)) = (day, self.blocks.get(from)) else { return NEVER };
        if self.lean.slots(day, from).is_empty() {
            return NEVER;
        }
        let (problem, spot) = (self.lean.problem, self.lean.blocks[from].spot);
        problem.days[day].base.map_or(0, |base| problem.way(spot, base)) * problem.weights.travel
    }

    /// The least price of the ways and fits; with what is left out, its price and that of the days.
    fn least(&self, leave: bool) -> i64 {
        let count = self.blocks.len();
        if count > ASSIGNED {
            return self.by_coming(leave);
        }
        let extra = if leave { self.lean.problem.weights.extra_day } else { 0 };
        let cost = Square::new(count + self.days.len(), |from, to| match (from < count, to < count) {
            (true, true) if from == to && leave => {
                self.blocks.get(from).map_or(NEVER, |&id| unplanned(self.lean, id))
            }
            (true, true) => self.arc(from, to),
            (false, true) => self.first(self.days.get(from - count), to).saturating_add(extra),
            (true, false) => self.home(self.days.get(to - count), from),
            // A day on which nothing is shot.
            (false, false) if from == to => 0,
            (false, false) => NEVER,
        });
        assign(&cost)
    }

    /// Each block is come to from whatever is nearest, and as many as there are days come first.
    fn by_coming(&self, leave: bool) -> i64 {
        let mut sum = 0i64;
        let mut firsts = Vec::with_capacity(self.blocks.len());
        for (to, &id) in self.blocks.iter().enumerate() {
            let from = (0..self.blocks.len()).filter(|&from| from != to);
            let from = from.filter_map(|from| self.blocks.get(from));
            let near = from.map(|&from| self.lean.arc(Some(from), None, id)).min().unwrap_or(0);
            let first = self.days.iter().map(|day| self.first(Some(day), to)).min().unwrap_or(NEVER);
            let out = if leave { unplanned(self.lean, id) } else { i64::MAX };
            sum = sum.saturating_add(near.min(out));
            firsts.push((first.min(out) - near.min(out)).min(0));
        }
        firsts.sort_unstable();
        sum + firsts.iter().take(self.days.len()).sum::<i64>()
    }
}
