//! What a pass goes through after its work, as tasks of the plain problem.
//!
//! In: passes with their tasks. Out: tasks for their renders and reviews, behind
//! those of the passes. Conventions: there are machines enough, so that a render
//! is a moment that comes so long after the work, day and night, and so is a
//! review by the clock; a review in hours of work is a task of its own, which
//! goes on whenever anybody at the desk works and keeps nobody from working.

use super::hours::Hours;
use super::problem::{Hand, HandId, MOST_SEATS, Problem, Task, TaskId, Wait};
use crate::model::{Arena, Pace};
use crate::order::duration;
use crate::order::plan::WaitKind;
use crate::quantity::{self, Seconds};
use crate::recipe::{After, Breakdown, Pass, PassId};
use std::collections::BTreeMap;

/// Tasks that follow passes.
#[derive(Debug, Clone, Default)]
pub(super) struct Stages {
    of: BTreeMap<PassId, Vec<(WaitKind, TaskId)>>,
    whose: BTreeMap<TaskId, (PassId, WaitKind)>,
}

impl Stages {
    /// Adds them to a problem that holds the tasks of the passes.
    pub(super) fn add(
        problem: &mut Problem,
        breakdown: &Breakdown,
        tasks: &BTreeMap<PassId, TaskId>,
    ) -> Self {
        let mut stages = Self::default();
        let mut house: Option<HandId> = None;
        for (&id, &task) in tasks {
            let pass = &breakdown.passes[id];
            let mut last = task;
            for (kind, minutes, by_hands) in steps(&pass.after) {
                let gap = if by_hands { 0 } else { minutes };
                let own = &problem.tasks[task];
                let mut next = Task {
                    before: vec![Wait { on: last, gap }],
                    release: own.release,
                    urgent: own.urgent,
                    ..Task::default()
                };
                if by_hands {
                    let hand = *house.get_or_insert_with(|| problem.hands.push(everybody(&problem.hands)));
                    (next.work, next.able) = (minutes, vec![hand]);
                }
                last = problem.tasks.push(next);
                stages.of.entry(id).or_default().push((kind, last));
                stages.whose.insert(last, (id, kind));
            }
        }
        stages
    }

    /// The task after which what waits for a pass can begin.
    pub(super) fn ready(&self, pass: PassId, own: TaskId) -> TaskId {
        self.of(pass).last().map_or(own, |(_, task)| *task)
    }

    /// What follows a pass, in order of time.
    pub(super) fn of(&self, pass: PassId) -> &[(WaitKind, TaskId)] {
        self.of.get(&pass).map_or(&[], Vec::as_slice)
    }

    /// The pass that a task follows.
    pub(super) fn whose(&self, task: TaskId) -> Option<(PassId, WaitKind)> {
        self.whose.get(&task).copied()
    }
}

/// Minutes that passes keep those who wait for them, by the clock and in hours of work.
pub(super) fn minutes<'p>(passes: impl Iterator<Item = &'p Pass>) -> (i64, i64) {
    passes.flat_map(|pass| steps(&pass.after)).fold((0, 0), |(clock, worked), (_, minutes, by_hands)| {
        if by_hands {
            (clock, i64::saturating_add(worked, minutes))
        } else {
            (i64::saturating_add(clock, minutes), worked)
        }
    })
}

/// Kind, minutes, whether these are hours of work.
fn steps(after: &After) -> impl Iterator<Item = (WaitKind, i64, bool)> {
    let whole = |hours: quantity::Hours| duration::minutes(Seconds(hours.0 * 3600.0));
    let review = (WaitKind::Review, whole(after.review), after.pace == Pace::Worked);
    [(WaitKind::Render, whole(after.render), false), review].into_iter().filter(|step| step.1 > 0)
}

/// A house that is open whenever anybody works.
fn everybody(hands: &Arena<HandId, Hand>) -> Hand {
    let hours = hands.values().fold(Hours::default(), |all, hand| all.with(&hand.hours));
    Hand { hours, late_hours: Hours::default(), seats: vec![MOST_SEATS] }
}
