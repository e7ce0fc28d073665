//! What a day costs in a given order: with the meal where it costs least, and
//! called as late as nothing suffers.
//!
//! In: a [`Morning`] and an order. Out: its price and what it leaves behind, or
//! nothing where it breaks a hard constraint other than charge. Guaranteed: the
//! price of [`best_day`](super::score::best_day) where charge does not run short.

use super::lean::{Lean, Marks};
use super::pace::{FINE, Morning, Pace};
use super::problem::{BlockId, filled};
use crate::model::Arena;

/// A day as priced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Done {
    /// In hundredths.
    pub(crate) cost: i64,
    /// Back at base.
    pub(crate) wrap: i64,
    /// States in the evening.
    pub(crate) marks: Marks,
    /// How many blocks come before the meal, if there is one.
    pub(crate) meal: Option<usize>,
}

/// What is written down while a day is priced, used again for each.
#[derive(Debug)]
pub(crate) struct Slate {
    round: u64,
    /// In which round each person was last needed, at which place, until when.
    seen: Vec<(u64, usize, i64)>,
    /// In which round each block was worked, at which place, until when.
    done: Arena<BlockId, (u64, usize, i64)>,
    /// Changes of what a minute in each gap costs, and minutes before each gap.
    gaps: Vec<(i64, i64)>,
    tries: Vec<(i64, usize)>,
    /// Steps so far.
    pub(crate) steps: i64,
}

/// A day gone through once.
struct Through {
    pace: Pace,
    /// People's waiting and links.
    besides: i64,
    waited: i64,
    /// Whether a block has several windows, or a join whose minutes do not all cost the same.
    choice: bool,
}

impl Slate {
    /// An empty one.
    pub(crate) fn new(lean: &Lean<'_>) -> Self {
        Self {
            round: 0,
            seen: vec![(0, 0, 0); lean.persons],
            done: filled(lean.problem.blocks.len(), (0, 0, 0)),
            gaps: Vec::new(),
            tries: Vec::new(),
            steps: 0,
        }
    }

    /// Prices a day.
    pub(crate) fn price(&mut self, morning: &Morning<'_, '_>, order: &[BlockId]) -> Option<Done> {
        let plain = self.through(morning, order, None)?;
        let mut best = morning.close(&plain.pace, plain.besides).ok().map(|(cost, wrap)| Done {
            cost,
            wrap,
            marks: plain.pace.marks,
            meal: None,
        });
        // A meal makes nothing cheaper but a wait that it fills.
        if best.is_some() && plain.waited == 0 {
            return best;
        }
        self.tries(morning, order.len(), &plain);
        while let Some(at) = self.next_try(best) {
            let Some(fed) = self.through(morning, order, Some(at)) else { continue };
            let Ok((cost, wrap)) = morning.close(&fed.pace, fed.besides) else { continue };
            // Where it costs the same, no meal, and else the latest.
            let better = best.is_none_or(|known| {
                cost < known.cost || (cost == known.cost && known.meal.is_some_and(|meal| meal < at))
            });
            if better {
                best = Some(Done { cost, wrap, marks: fed.pace.marks, meal: Some(at) });
            }
        }
        best
    }

    /// Places for the meal, with what the day then costs at least.
    fn tries(&mut self, morning: &Morning<'_, '_>, blocks: usize, plain: &Through) {
        let price = &morning.lean.problem.weights;
        let meal = morning.day.meal;
        let end = plain.pace.last.map_or(0, |last| morning.home(last)) + morning.lean.problem.pack;
        let whole = morning.elapsed(&plain.pace) + end;
        let filled = plain.waited.min(meal);
        // With a choice of windows what comes later may be another day altogether.
        let unsure = plain.choice && plain.waited > 0;
        // What comes before a wait may move towards it, and what waits between them is then less.
        let rates = self.gaps.iter().scan(0, |rate, &(change, _)| {
            *rate += change;
            Some(*rate)
        });
        let dearest = FINE * price.waiting + rates.max().unwrap_or(0);
        let sure = plain.pace.cost + plain.besides - filled * dearest
            + FINE * (whole + meal - filled - morning.day.long).max(0) * price.overtime;
        self.tries.clear();
        let mut rate = 0;
        for (at, &(change, elapsed)) in self.gaps.iter().enumerate().take(blocks + 1) {
            rate += change;
            if elapsed > morning.day.meal_within {
                break;
            }
            // A meal before the first step is over when the day begins.
            let since = elapsed.max(morning.lean.problem.arrive);
            let hunger = (whole - since - filled - morning.day.meal_within).max(0);
            let gap = if plain.waited == 0 { meal * rate } else { 0 };
            let least = if unsure { 0 } else { sure + gap + FINE * hunger * price.meal };
            self.tries.push((least, at));
        }
        // From the dearest to the cheapest, the latest last among equals.
        self.tries.sort_unstable_by_key(|&(least, at)| (std::cmp::Reverse(least), at));
    }

    fn next_try(&mut self, best: Option<Done>) -> Option<usize> {
        while let Some((least, at)) = self.tries.pop() {
            let Some(best) = best else { return Some(at) };
            let least = least.div_euclid(FINE);
            if least < best.cost || (least == best.cost && best.meal.is_some_and(|meal| meal < at)) {
                return Some(at);
            }
        }
        None
    }

    /// Goes through a day once; without a meal it notes what a minute in each gap costs.
    fn through(
        &mut self,
        morning: &Morning<'_, '_>,
        order: &[BlockId],
        meal: Option<usize>,
    ) -> Option<Through> {
        let lean = morning.lean;
        self.round += 1;
        self.steps += order.len() as i64 + 1;
        let noting = meal.is_none();
        if noting {
            self.gaps.clear();
            self.gaps.resize(order.len() + 2, (0, 0));
        }
        let mut pace = morning.pace();
        let (mut besides, mut waited, mut choice) = (0, 0, false);
        for (at, &id) in order.iter().enumerate() {
            if meal == Some(at) {
                pace = morning.eat(&pace)?;
            }
            if noting && let Some(gap) = self.gaps.get_mut(at) {
                gap.1 = morning.elapsed(&pace);
            }
            let (next, stop) = morning.step(&pace, id)?;
            pace = next;
            waited += stop.waited;
            choice |= lean.slots(morning.id, id).len() > 1;
            for &(person, price) in lean.people(morning.id, id) {
                let Some(seen) = self.seen.get_mut(person) else { continue };
                let (round, since, until) = std::mem::replace(seen, (self.round, at, stop.end));
                if round == self.round {
                    besides += FINE * price * (stop.begin - until);
                    if noting {
                        note(&mut self.gaps, since, at, FINE * price);
                    }
                }
            }
            if lean.blocks[id].linked {
                for link in &lean.problem.blocks[id].links {
                    choice |= link.beyond > 0;
                    let (round, since, until) = self.done[link.to];
                    if round == self.round {
                        besides += FINE * link.cost(stop.begin - until);
                        if noting {
                            note(&mut self.gaps, since, at, FINE * link.minute);
                        }
                    }
                }
                self.done[id] = (self.round, at, stop.end);
            }
        }
        if meal == Some(order.len()) {
            pace = morning.eat(&pace)?;
        }
        if noting && let Some(gap) = self.gaps.get_mut(order.len()) {
            gap.1 = morning.elapsed(&pace);
        }
        Some(Through { pace, besides, waited, choice })
    }
}

/// A minute in any gap after one block and up to another costs that.
fn note(gaps: &mut [(i64, i64)], since: usize, until: usize, price: i64) {
    if let Some(gap) = gaps.get_mut(since + 1) {
        gap.0 += price;
    }
    if let Some(gap) = gaps.get_mut(until + 1) {
        gap.0 -= price;
    }
}
