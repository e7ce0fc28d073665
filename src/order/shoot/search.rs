//! From a problem to the best order that the allowed work finds.

use super::construct::construct;
use super::improve::{Dice, descend, fewer_days, place_left, wander};
use super::problem::Problem;
use super::prove::prove;
use super::score::{Effort, Scored};

/// What minutes of slack weigh in the first orders, in hundredths.
const URGENCIES: [i64; 5] = [0, 15, 40, 80, 200];

/// Up to so many blocks every order is gone through.
const PROVABLE: usize = 10;

/// Blocks that may be worked in trial for a proof.
const PROOF: i64 = 100_000;

/// The order, and whether it is certain that none is cheaper.
pub(crate) fn solve(problem: &Problem) -> (Scored, bool) {
    let blocks = problem.blocks.len();
    if blocks == 0 || problem.days.is_empty() {
        return (Scored::empty(problem), true);
    }
    let first = Effort::new(2_000_000);
    let mut best: Option<Scored> = None;
    for urgency in URGENCIES {
        if best.is_some() && !first.is_left() {
            break;
        }
        let next = construct(problem, urgency, &first);
        if best.as_ref().is_none_or(|known| next.cost < known.cost) {
            best = Some(next);
        }
    }
    let mut best = best.unwrap_or_else(|| Scored::empty(problem));
    let effort = Effort::new(limit(blocks));
    best = place_left(problem, best, &effort);
    best = fewer_days(problem, best, &effort);
    let mut dice = Dice::new(0x5ea3);
    if blocks <= 60 {
        best = descend(problem, best, &effort);
    }
    best = wander(problem, best, &mut dice, &effort);
    let polish = Effort::new(limit(blocks) / 4);
    best = descend(problem, best, &polish);
    if blocks <= PROVABLE {
        return prove(problem, best, &Effort::new(PROOF));
    }
    (best, false)
}

/// Blocks that may be worked in trial: enough to settle a small shoot in
/// milliseconds, bounded for a large one.
fn limit(blocks: usize) -> i64 {
    (blocks as i64 * 2_000).clamp(10_000, 600_000)
}
