//! Tries starts, and learns.

use super::super::net::Net;
use super::super::problem::TaskId;
use super::bounds::{Bounds, Fact, Half, Reason};
use super::clauses::{Clause, Clauses};
use super::conflict::Analysis;
use super::model::Model;
use super::room::Clash;
use crate::model::Arena;
use crate::model::arena::Id;
use crate::order::shoot::problem::filled;

/// Clashes between two fresh starts, times the sequence of Luby, Sinclair and Zuckerman (1993).
const RUN: u64 = 100;

/// What came of trying.
#[derive(Debug, PartialEq, Eq)]
pub(in super::super) enum Outcome {
    /// Starts at which all can be done.
    Found(Vec<i32>),
    /// There are none.
    Impossible,
    /// The work ran out.
    Open,
}

/// A search that keeps what it has learned.
pub(in super::super) struct Trials {
    model: Model,
    bounds: Bounds,
    clauses: Clauses,
    analysis: Analysis,
    followed: usize,
    /// Whether no wait was followed yet.
    fresh: bool,
    /// Rooms in which something changed.
    changed: Vec<bool>,
    activity: Arena<TaskId, f64>,
    bump: f64,
    /// Where each start was last.
    liked: Vec<i32>,
    clashes: u64,
    room_for: usize,
    /// Steps done.
    pub(in super::super) work: u64,
}

impl Trials {
    /// Begins with bounds; `liked` starts are tried first.
    pub(in super::super) fn new(model: Model, bounds: Bounds, liked: Vec<i32>) -> Self {
        let tasks = model.work.len();
        Self {
            bounds,
            clauses: Clauses::new(2 * tasks),
            analysis: Analysis::new(2 * tasks),
            followed: 0,
            fresh: true,
            changed: vec![true; model.rooms.len()],
            activity: filled(tasks, 0.0),
            bump: 1.0,
            liked,
            clashes: 0,
            room_for: 3000,
            work: 0,
            model,
        }
    }

    /// Tries until something is found, nothing is left, or the work is done.
    pub(in super::super) fn run(&mut self, limit: u64) -> Outcome {
        let mut run = 1;
        let mut until = self.clashes + RUN;
        loop {
            match self.follow() {
                Err(clash) => {
                    self.clashes += 1;
                    let latest = clash.iter().map(|&fact| self.bounds.trial_of(fact)).max().unwrap_or(0);
                    if latest == 0 {
                        return Outcome::Impossible;
                    }
                    if !self.learn(&clash, latest) {
                        return Outcome::Open;
                    }
                }
                Ok(()) if self.work > limit => {
                    self.bounds.back_to(0);
                    self.followed = self.followed.min(self.bounds.steps.len());
                    return Outcome::Open;
                }
                Ok(()) if self.clashes >= until && !self.bounds.trials.is_empty() => {
                    run += 1;
                    until = self.clashes + RUN * luby(run);
                    self.back_to(0);
                    if self.clauses.len() > self.room_for {
                        self.clauses.forget();
                        self.room_for += 300;
                    }
                }
                Ok(()) => match self.choose() {
                    Some(fact) => {
                        self.bounds.trials.push(self.bounds.steps.len());
                        self.bounds.set(fact, Reason::None);
                    }
                    None => {
                        let starts = (0..self.model.work.len()).map(|task| self.bounds.range(task).0);
                        return Outcome::Found(starts.collect());
                    }
                },
            }
        }
    }

    /// The problem as it is searched.
    pub(in super::super) fn model(&self) -> &Model {
        &self.model
    }

    /// Asks for an earlier end from now on; false where that cannot be.
    pub(in super::super) fn sooner(&mut self, net: &Net, end: i64, liked: Vec<i32>) -> bool {
        self.back_to(0);
        self.liked = liked;
        for id in self.activity.ids() {
            let fact = Fact { half: Half::start(id.index()).other(), least: -self.model.last(net, id, end) };
            if self.bounds.is_false(fact) {
                return false;
            }
            if !self.bounds.is_true(fact) {
                self.bounds.set(fact, Reason::None);
            }
        }
        true
    }

    fn back_to(&mut self, trial: usize) {
        self.bounds.back_to(trial);
        self.followed = self.followed.min(self.bounds.steps.len());
    }

    /// Follows everything that must be.
    fn follow(&mut self) -> Result<(), Clash> {
        if std::mem::take(&mut self.fresh) {
            for task in 0..self.model.work.len() {
                self.model.follow(Half::start(task), &mut self.bounds)?;
                self.model.follow(Half::start(task).other(), &mut self.bounds)?;
            }
        }
        loop {
            while let Some(step) = self.bounds.steps.get(self.followed) {
                let half = step.fact.half;
                self.followed += 1;
                self.work += 1;
                if let Some(broken) = self.clauses.follow(half, &mut self.bounds) {
                    let facts =
                        self.clauses.get(broken).map(|clause| clause.facts.iter().map(|fact| fact.not()));
                    return Err(facts.into_iter().flatten().collect());
                }
                self.model.follow(half, &mut self.bounds)?;
                for &room in &self.model.rooms_of[TaskId::from_index(half.task())] {
                    if let Some(changed) = self.changed.get_mut(room as usize) {
                        *changed = true;
                    }
                }
            }
            let Some(place) = self.changed.iter().position(|&changed| changed) else { return Ok(()) };
            if let (Some(room), Some(changed)) =
                (self.model.rooms.get_mut(place), self.changed.get_mut(place))
            {
                *changed = false;
                self.work += 1 + room.tasks.len() as u64 / 4;
                room.follow(&mut self.bounds)?;
            }
        }
    }

    /// Learns from a clash that lies in a trial, which may be an earlier one than
    /// the last; false where nothing new follows, which proves nothing.
    fn learn(&mut self, clash: &Clash, latest: usize) -> bool {
        // All was followed when the trial began to which this goes back.
        self.changed.fill(false);
        let clash = (clash, latest);
        let Some(lesson) = self.analysis.learn(clash, &mut self.bounds, &self.clauses, &self.model) else {
            return false;
        };
        for &half in &self.analysis.seen {
            let activity = &mut self.activity[TaskId::from_index(half.task())];
            *activity += self.bump;
        }
        self.bump /= 0.95;
        if self.bump > 1e100 {
            for task in self.activity.ids() {
                self.activity[task] /= 1e100;
            }
            self.bump /= 1e100;
        }
        self.work += lesson.facts.len() as u64;
        self.back_to(lesson.trial);
        let Some(&first) = lesson.facts.first() else { return false };
        let reason = if lesson.facts.len() > 1 {
            Reason::Clause(self.clauses.add(Clause { facts: lesson.facts, spread: lesson.spread }))
        } else {
            Reason::None
        };
        let is_new = !self.bounds.is_false(first) && !self.bounds.is_true(first);
        if is_new {
            self.bounds.set(first, reason);
        }
        is_new
    }

    /// What to try next: the start that took part in most of the latest clashes.
    fn choose(&self) -> Option<Fact> {
        let open = (0..self.model.work.len()).filter(|&task| {
            let (first, last) = self.bounds.range(task);
            first < last
        });
        let task = open.max_by(|&one, &other| {
            let of = |task: usize| self.activity[TaskId::from_index(task)];
            of(one).total_cmp(&of(other)).then(self.bounds.range(other).0.cmp(&self.bounds.range(one).0))
        })?;
        let (first, last) = self.bounds.range(task);
        let liked = self.liked.get(task).copied().unwrap_or(first);
        let half = Half::start(task);
        Some(if liked <= first {
            Fact { half: half.other(), least: -first }
        } else if liked > last {
            Fact { half, least: first + 1 + (last - first) / 2 }
        } else {
            // Between: first no later than liked, then no sooner.
            if liked < last {
                Fact { half: half.other(), least: -liked }
            } else {
                Fact { half, least: liked }
            }
        })
    }
}

/// The sequence 1 1 2 1 1 2 4 1 1 2 …
fn luby(at: u64) -> u64 {
    let mut at = at;
    loop {
        let bits = 64 - at.leading_zeros();
        if at + 1 == 1 << bits {
            return 1 << (bits - 1);
        }
        at -= (1 << (bits - 1)) - 1;
    }
}
