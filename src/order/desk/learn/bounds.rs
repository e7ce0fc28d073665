//! What is known of every start, step by step, with the reason of each step.
//!
//! Each task has a start, and each start two halves: that it is at least so
//! much, and that its negative is. All that search ever states is that a half is
//! at least a value; what holds of one half has its opposite in the other.

use crate::model::{Arena, arena};
use crate::order::shoot::problem::filled;

/// Half of a start: the start itself, or its negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) struct Half(u32);

impl arena::Id for Half {
    fn from_index(index: usize) -> Self {
        Self(index as u32)
    }

    fn index(self) -> usize {
        self.0 as usize
    }
}

impl Half {
    /// The start of the task at a place, as least value.
    pub(super) fn start(task: usize) -> Self {
        arena::Id::from_index(2 * task)
    }

    /// The other half of the same start.
    pub(super) fn other(self) -> Self {
        arena::Id::from_index(arena::Id::index(self) ^ 1)
    }

    /// The place of the task.
    pub(super) fn task(self) -> usize {
        arena::Id::index(self) / 2
    }

    /// Whether it is the negative of the start.
    pub(super) fn is_negative(self) -> bool {
        arena::Id::index(self) % 2 == 1
    }
}

/// That a half is at least a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Fact {
    /// Of what.
    pub(super) half: Half,
    /// The least value.
    pub(super) least: i32,
}

impl Fact {
    /// That it is less.
    pub(super) fn not(self) -> Self {
        Self { half: self.half.other(), least: 1 - self.least }
    }
}

/// Where a step came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Reason {
    /// Tried, or given.
    None,
    /// A clause that was learned.
    Clause(u32),
    /// What a task waits for, or what waits for it: the place of the wait.
    Wait(u32),
    /// No seat is free: at which kind, and at which minute.
    Seats(u32, i32),
}

/// A half grew.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Which, and to what.
    pub(super) fact: Fact,
    /// Where from.
    pub(super) before: i32,
    /// The step of the same half before.
    last: u32,
    /// Why.
    pub(super) reason: Reason,
}

/// No step before.
const NONE: u32 = u32::MAX;

/// All that is known, and how it came to be known.
#[derive(Debug)]
pub(in super::super) struct Bounds {
    least: Arena<Half, i32>,
    last: Arena<Half, u32>,
    /// Every step since the beginning.
    pub(super) steps: Vec<Step>,
    /// How many steps there were when each trial began.
    pub(super) trials: Vec<usize>,
}

impl Bounds {
    /// Starts between two values each.
    pub(super) fn new(ranges: impl IntoIterator<Item = (i32, i32)>) -> Self {
        let mut least = Arena::default();
        for (from, to) in ranges {
            least.push(from);
            least.push(-to);
        }
        let last = filled(least.len(), NONE);
        Self { least, last, steps: Vec::new(), trials: Vec::new() }
    }

    /// The least value of a half.
    pub(super) fn least(&self, half: Half) -> i32 {
        self.least[half]
    }

    /// First and last possible start of a task.
    pub(super) fn range(&self, task: usize) -> (i32, i32) {
        let half = Half::start(task);
        (self.least[half], -self.least[half.other()])
    }

    /// Whether it is known.
    pub(super) fn is_true(&self, fact: Fact) -> bool {
        self.least[fact.half] >= fact.least
    }

    /// Whether its opposite is known.
    pub(super) fn is_false(&self, fact: Fact) -> bool {
        self.is_true(fact.not())
    }

    /// Makes a fact known that is neither known nor false.
    pub(super) fn set(&mut self, fact: Fact, reason: Reason) {
        let step = Step { fact, before: self.least[fact.half], last: self.last[fact.half], reason };
        self.last[fact.half] = self.steps.len() as u32;
        self.least[fact.half] = fact.least;
        self.steps.push(step);
    }

    /// Takes the last step back.
    pub(super) fn pop(&mut self) -> Option<Step> {
        let step = self.steps.pop()?;
        self.least[step.fact.half] = step.before;
        self.last[step.fact.half] = step.last;
        Some(step)
    }

    /// The trial in which a known fact became known; 0 is before all trials.
    pub(super) fn trial_of(&self, fact: Fact) -> usize {
        debug_assert!(self.is_true(fact), "only what is known has a trial");
        let mut at = self.last[fact.half];
        while let Some(step) = self.steps.get(at as usize) {
            if step.before < fact.least {
                return self.trials.partition_point(|&begun| begun <= at as usize);
            }
            at = step.last;
        }
        0
    }

    /// Takes back every trial after a number of them.
    pub(super) fn back_to(&mut self, trial: usize) {
        let Some(&begun) = self.trials.get(trial) else { return };
        while self.steps.len() > begun {
            self.pop();
        }
        self.trials.truncate(trial);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fact(least: i32) -> Fact {
        Fact { half: Half::start(0), least }
    }

    #[test]
    fn a_fact_belongs_to_the_trial_in_which_it_became_known() {
        let mut bounds = Bounds::new([(5, 20)]);
        for (least, trial) in [(7, 1), (9, 1), (12, 2)] {
            bounds.trials.resize(trial, bounds.steps.len());
            bounds.set(fact(least), Reason::None);
        }
        let trials = [4, 5, 6, 7, 8, 9, 10, 12].map(|least| bounds.trial_of(fact(least)));
        // Given from the beginning; by the first trial; by the second.
        assert_eq!(trials, [0, 0, 1, 1, 1, 1, 2, 2]);
        bounds.back_to(1);
        assert_eq!((bounds.range(0), bounds.trial_of(fact(8))), ((9, 20), 1));
    }
}
