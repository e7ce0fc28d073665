//! In what order things are shot.
//!
//! Set-ups are worked one after another by one unit. The core knows nothing of
//! film: [`problem`] is plain data, `search` puts it in order, `run` says
//! what an order costs and why one cannot be.

pub mod problem;

mod assign;
mod bound;
mod construct;
pub(crate) mod event;
mod exchange;
mod ground;
pub(crate) mod improve;
mod in_time;
mod layers;
mod lean;
mod pace;
mod prove;
mod rest;
pub(crate) mod run;
pub(crate) mod score;
pub(crate) mod search;
mod sketch;
mod slate;
pub(crate) mod spent;
pub(crate) mod state;
pub(crate) mod store;
#[cfg(test)]
mod tests;
mod within;

use super::Effort;
use problem::{BlockId, Problem};
use search::Zeal;

/// An order of blocks on days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// For each day its blocks in order, with start and end of the work.
    pub days: Vec<Vec<(BlockId, i64, i64)>>,
    /// Blocks that found no place.
    pub left: Vec<BlockId>,
    /// What it costs in all, in hundredths of a minute of the price.
    pub cost: i64,
    /// No order of these blocks costs less than this.
    pub bound: i64,
    /// Whether no order of these blocks costs less than this one.
    pub proven: bool,
}

/// Orders the blocks of any problem, whether it came from a sequence or not.
/// The links of a problem must name each other, and so must `before` and `after`.
pub fn solve(problem: &Problem, effort: Effort) -> Answer {
    let solved = search::solve(problem, Zeal::of(effort));
    let (bound, proven) = (solved.bound, solved.proven());
    let times = |worked: &Option<std::rc::Rc<score::Worked>>| {
        worked.as_ref().map_or_else(Vec::new, |worked| worked.times.clone())
    };
    let scored = solved.scored;
    let days = scored.worked.values().map(times).collect();
    Answer { days, left: scored.left, cost: scored.cost, bound, proven }
}
