//! What an order of blocks on days is worth.
//!
//! In: which block comes on which day in which order. Out: a [`Scored`] order,
//! or nothing where it breaks a hard constraint. Pure: the same order always
//! has the same score.

use super::problem::{BlockId, DayId, Problem, filled};
use super::run::{Carry, Clash, Run};
use super::spent::Spent;
use super::state::States;
use crate::model::Arena;
use crate::model::arena::Id;
use std::cell::Cell;
use std::rc::Rc;

/// A count of blocks worked in trial, so that the search is limited by work and not by time.
#[derive(Debug)]
pub(crate) struct Effort {
    limit: i64,
    left: Cell<i64>,
}

impl Effort {
    /// So many blocks may be tried.
    pub(crate) fn new(blocks: i64) -> Self {
        Self { limit: blocks, left: Cell::new(blocks) }
    }

    /// Uses up some; whether there was any.
    pub(crate) fn spend(&self, blocks: usize) -> bool {
        self.left.set(self.left.get() - blocks as i64);
        self.left.get() >= 0
    }

    /// What has been used up.
    pub(crate) fn spent(&self) -> i64 {
        self.limit - self.left.get()
    }

    /// Whether there is any.
    pub(crate) fn is_left(&self) -> bool {
        self.left.get() > 0
    }
}

/// A worked day.
#[derive(Debug)]
pub(crate) struct Worked {
    /// Of the whole day.
    pub(crate) cost: i64,
    /// For what.
    pub(crate) spent: Spent,
    /// First step.
    pub(crate) start: i64,
    /// Back at base.
    pub(crate) wrap: i64,
    /// How many blocks come before the meal, if there is one.
    pub(crate) meal: Option<usize>,
    /// States in the evening.
    pub(crate) states: States,
    /// When each block is worked.
    pub(crate) times: Vec<(BlockId, i64, i64)>,
}

/// Works a day with the meal at a given place, or without.
pub(crate) fn work_day<'p>(
    problem: &'p Problem,
    day: DayId,
    order: &[BlockId],
    carry: &Carry,
    (start, meal, record): (i64, Option<usize>, bool),
) -> Result<(Run<'p>, Worked), Clash> {
    let mut run = Run::new(problem, day, carry, start, record);
    for (at, &block) in order.iter().enumerate() {
        if meal == Some(at) {
            run.eat()?;
        }
        run.append(block)?;
    }
    if meal == Some(order.len()) {
        run.eat()?;
    }
    finish(run, meal)
}

fn finish(mut run: Run<'_>, meal: Option<usize>) -> Result<(Run<'_>, Worked), Clash> {
    let (_, wrap) = run.close()?;
    let worked = Worked {
        cost: 0,
        spent: run.spent,
        start: run.start().unwrap_or(wrap),
        wrap,
        meal,
        states: run.states.clone(),
        times: run.times.clone(),
    };
    Ok((run, worked))
}

/// Works a day as well as its order allows: the meal where it costs least, if
/// there must be one or it fills a wait, and the call as late as nothing suffers.
pub(crate) fn best_day(
    problem: &Problem,
    day: DayId,
    order: &[BlockId],
    carry: &Carry,
    effort: &Effort,
) -> Result<Worked, Clash> {
    effort.spend(order.len());
    let mut run = Run::new(problem, day, carry, i64::MIN, false);
    order.iter().try_for_each(|&block| run.append(block))?;
    let mut best = called_late(problem, day, order, carry, (run, None, effort));
    let waits = best.as_ref().map_or(1, |worked| worked.spent.waiting + worked.spent.charging);
    if waits == 0 {
        return best;
    }
    let mut before = Run::new(problem, day, carry, i64::MIN, false);
    for at in 0..=order.len() {
        if before.elapsed() > problem.days[day].meal_within {
            break;
        }
        let mut run = before.clone();
        let rest = order.get(at..).unwrap_or_default();
        effort.spend(rest.len());
        let worked = run.eat().and_then(|()| rest.iter().try_for_each(|&block| run.append(block)));
        let worked = worked.and_then(|()| called_late(problem, day, order, carry, (run, Some(at), effort)));
        best = cheaper(best, worked);
        if let Some(&block) = order.get(at)
            && before.append(block).is_err()
        {
            break;
        }
    }
    best
}

/// Ends a day, called as late as it can be. Only where charge runs short may
/// the earliest call be the cheaper one.
fn called_late(
    problem: &Problem,
    day: DayId,
    order: &[BlockId],
    carry: &Carry,
    (run, meal, effort): (Run<'_>, Option<usize>, &Effort),
) -> Result<Worked, Clash> {
    let (start, later) = (run.start().unwrap_or(i64::MIN), run.later());
    let (run, mut early) = finish(run, meal)?;
    early.cost = early.spent.cost(problem);
    if later <= 0 {
        return Ok(early);
    }
    effort.spend(order.len());
    let late = work_day(problem, day, order, carry, (start + later, meal, false)).map(|(_, mut late)| {
        late.cost = late.spent.cost(problem);
        late
    });
    match late {
        Ok(late) if late.cost <= early.cost || run.must_move() => Ok(late),
        Err(clash) if run.must_move() => Err(clash),
        _ => Ok(early),
    }
}

/// The cheaper of two days. Where both cost the same it is the one without a
/// meal, or else the second. What cannot be is never cheaper.
fn cheaper(one: Result<Worked, Clash>, two: Result<Worked, Clash>) -> Result<Worked, Clash> {
    match (one, two) {
        (Ok(one), Ok(two)) if one.cost < two.cost || (one.cost == two.cost && one.meal.is_none()) => Ok(one),
        (Ok(_), Ok(two)) => Ok(two),
        (Err(_), Ok(two)) => Ok(two),
        (one, Err(_)) => one,
    }
}

/// An order of all blocks with what it is worth.
#[derive(Debug, Clone)]
pub(crate) struct Scored {
    /// Blocks of each day, in order.
    pub(crate) days: Arena<DayId, Vec<BlockId>>,
    /// Blocks on no day.
    pub(crate) left: Vec<BlockId>,
    /// Each day as worked; nothing on an empty one.
    pub(crate) worked: Arena<DayId, Option<Rc<Worked>>>,
    /// What each day begins with.
    pub(crate) carries: Arena<DayId, Rc<Carry>>,
    /// The day and the place in it of each block.
    pub(crate) at: Arena<BlockId, Option<(DayId, usize)>>,
    /// What it costs in all, in hundredths.
    pub(crate) cost: i64,
}

impl Scored {
    /// Nothing planned.
    pub(crate) fn empty(problem: &Problem) -> Self {
        let carry = Rc::new(Carry { states: States::first(&problem.vars), rested: i64::MIN });
        let mut empty = Self {
            days: filled(problem.days.len(), Vec::new()),
            left: problem.blocks.ids().collect(),
            worked: filled(problem.days.len(), None),
            carries: filled(problem.days.len(), carry),
            at: filled(problem.blocks.len(), None),
            cost: 0,
        };
        empty.cost = empty.total(problem);
        empty
    }

    fn total(&self, problem: &Problem) -> i64 {
        let price = &problem.weights;
        let days: i64 = self.worked.values().flatten().map(|day| day.cost + price.extra_day).sum();
        let parts: usize = self.left.iter().map(|&block| problem.blocks[block].parts.len()).sum();
        days + parts as i64 * price.unplanned + self.apart(problem)
    }

    /// What links over different days cost, in hundredths.
    pub(crate) fn apart(&self, problem: &Problem) -> i64 {
        let mut cost = 0;
        for (id, block) in problem.blocks.iter() {
            let Some((day, _)) = self.at[id] else { continue };
            for link in &block.links {
                if link.to > id && self.at[link.to].is_some_and(|(one, _)| one != day) {
                    cost += link.cost(problem.weights.join_apart);
                }
            }
        }
        cost
    }

    /// The same with other orders on some days; `None` where that breaks something.
    pub(crate) fn with(
        &self,
        problem: &Problem,
        changes: Vec<(DayId, Vec<BlockId>)>,
        left: Vec<BlockId>,
        effort: &Effort,
    ) -> Option<Self> {
        let mut next = self.clone();
        next.left = left;
        for &block in next.left.iter() {
            next.at[block] = None;
        }
        let touched: Vec<DayId> = changes.iter().map(|(day, _)| *day).collect();
        for (day, order) in changes {
            for (place, &block) in order.iter().enumerate() {
                next.at[block] = Some((day, place));
            }
            next.days[day] = order;
        }
        if !touched.iter().all(|&day| next.in_order(problem, day)) {
            return None;
        }
        next.rework(problem, &touched, effort)?;
        next.cost = next.total(problem);
        Some(next)
    }

    /// Whether everything on a day comes after what it waits for, and before what waits for it.
    fn in_order(&self, problem: &Problem, day: DayId) -> bool {
        self.days[day].iter().all(|&id| {
            let here = self.at[id];
            let block = &problem.blocks[id];
            block.before.iter().all(|&one| self.at[one].is_some() && self.at[one] < here)
                && block.after.iter().all(|&one| self.at[one].is_none_or(|there| Some(there) > here))
        })
    }

    /// Works the touched days again, and those after them for which something changes.
    fn rework(&mut self, problem: &Problem, touched: &[DayId], effort: &Effort) -> Option<()> {
        let first = touched.iter().min().copied()?;
        let last = touched.iter().max().copied()?;
        let ids: Vec<DayId> = problem.days.ids().skip(first.index()).collect();
        for day in ids {
            let carry = self.carries_into(problem, day);
            let same = *self.carries[day] == carry;
            if !same {
                self.carries[day] = Rc::new(carry);
            }
            if same && day > last {
                break;
            }
            if same && !touched.contains(&day) {
                continue;
            }
            self.worked[day] = match self.days[day].as_slice() {
                [] => None,
                order => {
                    let carry = Rc::clone(&self.carries[day]);
                    Some(Rc::new(best_day(problem, day, order, &carry, effort).ok()?))
                }
            };
        }
        Some(())
    }

    /// What a day begins with, given the days before it.
    pub(crate) fn carries_into(&self, problem: &Problem, day: DayId) -> Carry {
        let Some(before) = day.index().checked_sub(1).map(DayId::from_index) else {
            return (*self.carries[day]).clone();
        };
        let known = &self.carries[before];
        let rest = problem.days[day].rest;
        let (states, wrap) = match &self.worked[before] {
            Some(worked) => (worked.states.rested(&problem.vars, rest), worked.wrap + rest),
            None => (known.states.clone(), known.rested),
        };
        // A rest that ends before the day's own call holds nobody back.
        let rested = if wrap > problem.days[day].call { wrap } else { i64::MIN };
        Carry { states, rested }
    }
}
