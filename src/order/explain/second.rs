//! The next best order of a day: what comes where, what it costs more, what it trades.
//!
//! In: the sequence and its plan. Out: for each day the cheapest order of its set-ups
//! but its own, every other day left as it is. Up to six runs of set-ups every order
//! is worked through; beyond, every order in which one run comes elsewhere or one
//! stretch goes the other way round. A limit in work: where it ends before a day is
//! gone through, nothing is said of that day.

use super::traded;
use super::what_if::trades;
use crate::graph::Work;
use crate::model::arena::Id;
use crate::model::{Model, PlateId};
use crate::order::blocks::{Bounds, Built, build};
use crate::order::duration::ARRIVE;
use crate::order::plan::{Minute, PlannedDay, ShootPlan, StepKind};
use crate::order::setting::Setting;
use crate::order::shoot::problem::{BlockId, DayId};
use crate::order::shoot::score::{Effort, Scored};
use crate::order::shooting::price;
use crate::recipe::Breakdown;
use std::collections::BTreeSet;

/// So many blocks may be worked in trial for one plan.
const WORK: i64 = 100_000;
/// Up to so many runs of set-ups every order is worked through.
const EVERY: usize = 6;
/// An order is nearly as good while it costs no more than this, in hundredths of a minute on the
/// way: a quarter of an hour (common practice, no source).
const NEARLY: i64 = 1_500;

/// Another order of a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Second {
    /// Which planned day, by its place in the plan.
    pub day: usize,
    /// What begins each set-up from the first that comes elsewhere to the last, in that order.
    pub order: Vec<PlateId>,
    /// The same stretch as it is planned.
    pub instead_of: Vec<PlateId>,
    /// First call in that order.
    pub call: Minute,
    /// When all is packed in that order.
    pub wrap: Minute,
    /// What it costs more, in hundredths of a minute on the way.
    pub dearer: i64,
    /// What it pays more or less for, in hundredths: (for what, more).
    pub trades: Vec<(&'static str, i64)>,
}

impl Second {
    /// Whether a crew could as well take it.
    pub fn is_nearly_as_good(&self) -> bool {
        self.dearer <= NEARLY
    }

    /// "4 min dearer (on the way 6 min more, people waiting 2 min less)".
    pub fn costs(&self) -> String {
        let dearer = match self.dearer {
            ..50 => "as cheap".to_owned(),
            dearer => format!("{} dearer", super::price(dearer)),
        };
        format!("{dearer}{}", traded(&self.trades))
    }
}

/// The next best order of each day of which one is known, in order of days.
pub fn seconds(model: &Model, breakdown: &Breakdown, work: &Work, plan: &ShootPlan) -> Vec<Second> {
    let setting = Setting::new(model, breakdown, work);
    let plates: BTreeSet<PlateId> = plan.shot.keys().copied().collect();
    let built = build(&setting, &plates, &Bounds::new());
    let orders: Vec<(DayId, Vec<BlockId>)> =
        plan.days.iter().map(|day| (DayId::from_index(day.allowed), blocks(&built, day))).collect();
    let effort = Effort::new(WORK);
    let Some(planned) = Scored::empty(&built.problem).with(&built.problem, orders, Vec::new(), &effort)
    else {
        return Vec::new();
    };
    let search = Search { built, planned, effort };
    plan.days.iter().enumerate().filter_map(|(at, day)| search.second(at, day)).collect()
}

/// The blocks of a day, in order.
fn blocks(built: &Built, day: &PlannedDay) -> Vec<BlockId> {
    let mut order: Vec<BlockId> = Vec::new();
    for step in &day.steps {
        if let StepKind::Shoot(plate) = step.kind
            && let Some(&block) = built.block_of.get(&plate)
            && !order.contains(&block)
        {
            order.push(block);
        }
    }
    order
}

/// What is tried on.
struct Search {
    built: Built,
    planned: Scored,
    effort: Effort,
}

impl Search {
    fn second(&self, at: usize, day: &PlannedDay) -> Option<Second> {
        let problem = &self.built.problem;
        let id = DayId::from_index(day.allowed);
        let runs = self.runs(&self.planned.days[id]);
        let mut best: Option<(Vec<usize>, Scored)> = None;
        for order in orders(runs.len()) {
            let blocks: Vec<BlockId> =
                order.iter().filter_map(|&run| runs.get(run)).flatten().copied().collect();
            let tried = self.planned.with(problem, vec![(id, blocks)], Vec::new(), &self.effort);
            if !self.effort.is_left() {
                return None;
            }
            if let Some(tried) = tried
                && best.as_ref().is_none_or(|(_, known)| tried.cost < known.cost)
            {
                best = Some((order, tried));
            }
        }
        let (order, tried) = best?;
        let begins = |run: usize| {
            let block = runs.get(run)?.first()?;
            self.built.plates[*block].first().copied()
        };
        let same = |places: &mut dyn Iterator<Item = (usize, &usize)>| {
            places.take_while(|(place, run)| place == *run).count()
        };
        let front = same(&mut order.iter().enumerate());
        let back = same(&mut (0..order.len()).rev().zip(order.iter().rev()));
        let stretch = front..order.len().saturating_sub(back);
        let worked = tried.worked[id].as_ref()?;
        Some(Second {
            day: at,
            order: order.get(stretch.clone())?.iter().filter_map(|&run| begins(run)).collect(),
            instead_of: stretch.filter_map(begins).collect(),
            call: Minute(worked.start - ARRIVE),
            wrap: Minute(worked.wrap),
            dearer: (tried.cost - self.planned.cost).max(0),
            trades: trades(&price(&self.built, &tried), &price(&self.built, &self.planned)),
        })
    }

    /// Neighbours of one set-up together.
    fn runs(&self, order: &[BlockId]) -> Vec<Vec<BlockId>> {
        let setup = |block: &BlockId| self.built.problem.blocks[*block].setup;
        order.chunk_by(|one, other| setup(one) == setup(other)).map(<[BlockId]>::to_vec).collect()
    }
}

/// Orders of so many things but the one they are in.
fn orders(many: usize) -> Vec<Vec<usize>> {
    let own: Vec<usize> = (0..many).collect();
    let mut all = Vec::new();
    if many <= EVERY {
        every(&mut Vec::new(), many, &mut all);
    } else {
        for from in 0..many {
            for to in 0..many {
                let mut moved = own.clone();
                let one = moved.remove(from);
                moved.insert(to, one);
                all.push(moved);
                if from < to {
                    let (front, back) = (own.iter().take(from), own.iter().skip(to + 1));
                    let turned = own.iter().take(to + 1).skip(from).rev();
                    all.push(front.chain(turned).chain(back).copied().collect());
                }
            }
        }
    }
    all.sort();
    all.dedup();
    all.retain(|order| *order != own);
    all
}

fn every(begun: &mut Vec<usize>, many: usize, all: &mut Vec<Vec<usize>>) {
    if begun.len() == many {
        all.push(begun.clone());
    }
    for next in 0..many {
        if !begun.contains(&next) {
            begun.push(next);
            every(begun, many, all);
            begun.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_other_order_of_a_few_and_every_move_of_many() {
        assert_eq!((orders(0).len(), orders(1).len(), orders(4).len()), (0, 0, 23));
        // 7 × 6 moves, of which the 6 exchanges of neighbours are told twice; 21 stretches turned, of
        // which 6 are those exchanges again.
        assert_eq!(orders(7).len(), 42 - 6 + 21 - 6);
        assert!(orders(7).iter().all(|order| order.len() == 7));
    }
}
