//! Finds a good schedule and says how good it is.
//!
//! In: a problem and how hard to try. Out: the schedule, and a moment before
//! which no schedule ends. Urgent work is settled first; then orders are bred,
//! and what is found is polished.

use super::breed::{Made, Maker};
use super::net::Net;
use super::problem::{Problem, TaskId};
use super::schedule::{Schedule, alone, blank, finish};
use super::urgent::split;
use super::value::{Terms, Worth};
use super::{bound, fault, polish, prove, slack};
use crate::model::Arena;
use crate::order::effort::Effort;
use crate::order::shoot::problem::collected;

/// Tasks timed to breed orders, a quarter of it to polish what was bred.
const TIMED: u64 = 400_000;
/// Tasks timed to breed orders between two populations.
const SWUNG: u64 = 1_000_000;
/// Steps tried to find something sooner, or to prove that there is nothing.
const STEPS: u64 = 160_000;

/// A schedule, and how good it can be at best.
pub(super) struct Found {
    /// How far each task can slip, and whether it cannot.
    pub(super) slack: Arena<TaskId, (i64, bool)>,
    /// Who does what when.
    pub(super) schedule: Schedule,
    /// What could be wished for at best.
    pub(super) least: Worth,
    /// What was found.
    pub(super) worth: Worth,
}

/// The best schedule found. Every task must be one that can be done.
pub(super) fn search(problem: &Problem, effort: Effort) -> Found {
    let enough = fault::with_hours(problem);
    let mut problem = problem.clone();
    for id in problem.tasks.ids() {
        problem.tasks[id].able = fault::able(&problem, &enough, &problem.tasks[id]);
    }
    let (urgent, rest) = split(&problem);
    let (net, terms) = (Net::new(&rest), Terms::new(&rest));
    let back = net.mirrored();
    let soonest = alone(&net, i64::MIN);
    let least = terms.least(&soonest, bound::least_finish(&net, &back));
    let mut maker = Maker::new(&net, &back, &terms, least);
    let found = maker.breed(&latest(&back, finish(&soonest)), (effort.of(TIMED), effort.of(SWUNG)));
    let (mut schedule, worth, least) = match found {
        Some(made) => {
            let (made, least) = proved(&net, &mut maker, (made, least), effort.of(STEPS));
            let Made { schedule, worth, .. } = polish::polish(&net, &terms, made, effort.of(TIMED) / 4);
            (schedule, worth, least)
        }
        None => (blank(&net), least, least),
    };
    for (&id, &done) in &urgent {
        schedule[id] = done;
    }
    let slack = slack::slack(&problem, &schedule, (&net, &back), &urgent);
    Found { slack, schedule, least, worth }
}

/// When each task must be done at the latest for an end, were it alone.
fn latest(back: &Net, end: i64) -> Arena<TaskId, i64> {
    collected(alone(back, -end).values().map(|done| -done.start))
}

/// Something sooner where it can be, and what can be at best once that is known.
/// A task that is due by itself may be worth a later end: there nothing is tried.
fn proved(net: &Net, maker: &mut Maker<'_>, (made, least): (Made, Worth), limit: u64) -> (Made, Worth) {
    if maker.has_dues() || made.worth.finish <= least.finish {
        return (made, least);
    }
    let (made, none_sooner) = prove::prove(net, maker, made, limit);
    // Other hands may do it sooner.
    let all = none_sooner && net.able.values().all(|able| able.len() <= 1);
    let least = if all { Worth { late: made.worth.late, finish: made.worth.finish, ..least } } else { least };
    (made, least)
}
