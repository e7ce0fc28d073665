//! Who does what at the desk, and when.
//!
//! The core knows nothing of film: [`problem`] is plain data, `schedule`
//! times it in a given order, `search` finds the order, `slack` says what
//! can slip. `passes` turns the breakdown into such a problem and back.

pub mod problem;

pub(crate) mod passes;
pub(crate) mod schedule;
pub(crate) mod search;
mod slack;
#[cfg(test)]
mod tests;

use problem::{HandId, Problem};

/// A schedule of all tasks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// For each task in order: who does it (nobody for a moment), start, end.
    pub tasks: Vec<(Option<HandId>, i64, i64)>,
    /// Whether none ends sooner.
    pub proven: bool,
}

/// Schedules the tasks of any problem, whether it came from a sequence or not.
/// `before` and `after` must name each other and close no circle; every task
/// with work needs a hand whose hours are enough for all.
pub fn solve(problem: &Problem) -> Answer {
    let (schedule, proven) = search::solve(problem);
    Answer { tasks: schedule.values().map(|done| (done.hand, done.start, done.end)).collect(), proven }
}
