//! Small desks against every order and every choice of hands.

use super::{broken, hand, plan, task, wait};
use crate::model::arena::Id;
use crate::order::desk::hours::Hours;
use crate::order::desk::problem::{Hand, HandId, Problem, Task};
use proptest::prelude::*;

/// Lateness and end of the best schedule, by trying all: minute by minute, so
/// that it shares nothing with what it checks.
struct Exhaustive<'a> {
    problem: &'a Problem,
    best: (i64, i64),
}

/// Far enough for the problems below.
const FAR: i64 = 600;

impl Exhaustive<'_> {
    fn best(problem: &Problem) -> (i64, i64) {
        let mut all = Exhaustive { problem, best: (i64::MAX, i64::MAX) };
        let busy = vec![vec![false; FAR as usize]; problem.hands.len()];
        all.go(&mut vec![None; problem.tasks.len()], &busy);
        all.best
    }

    fn go(&mut self, ends: &mut Vec<Option<i64>>, busy: &[Vec<bool>]) {
        if ends.iter().all(Option::is_some) {
            let finish = ends.iter().flatten().copied().max().unwrap();
            let own = self
                .problem
                .tasks
                .iter()
                .filter_map(|(id, task)| Some((ends[id.index()]? - task.due?).max(0)));
            let late = own.sum::<i64>() + self.problem.due.map_or(0, |due| (finish - due).max(0));
            self.best = self.best.min((late, finish));
            return;
        }
        for (id, task) in self.problem.tasks.iter() {
            let ready = task.before.iter().map(|wait| Some(ends[wait.on.index()]? + wait.gap));
            let Some(from) = ready.chain([Some(task.release)]).collect::<Option<Vec<i64>>>() else {
                continue;
            };
            if ends[id.index()].is_some() {
                continue;
            }
            let from = from.into_iter().max().unwrap();
            for &one in &task.able {
                let mut next = busy.to_vec();
                ends[id.index()] = Some(self.work(one, from, task.work, &mut next[one.index()]));
                self.go(ends, &next);
                ends[id.index()] = None;
            }
        }
    }

    /// Works as soon as there is a stretch free that is long enough, nights left out; when it ends.
    fn work(&self, one: HandId, from: i64, work: i64, busy: &mut [bool]) -> i64 {
        let open: Vec<i64> = (from..FAR)
            .filter(|at| self.problem.hands[one].hours.shifts().any(|(start, end)| (start..end).contains(at)))
            .collect();
        let free = |minutes: &&[i64]| minutes.iter().all(|&at| !busy[at as usize]);
        let minutes = open.windows(work as usize).find(free).unwrap().to_vec();
        for &at in &minutes {
            busy[at as usize] = true;
        }
        minutes.last().unwrap() + 1
    }
}

/// (work, first predecessor, second, release, who can do it, due)
type Draft = (i64, usize, usize, i64, usize, i64);

fn small(drafts: &[Draft], hands: usize, due: i64) -> Problem {
    let mut problem = Problem { due: Some(due), ..Problem::default() };
    for at in 0..hands as i64 {
        let shifts = (0..30).map(|day| (day * 20 + at, day * 20 + 8 + 2 * at));
        problem.hands.push(Hand::person(Hours::new(shifts)));
    }
    for (at, draft) in drafts.iter().enumerate() {
        let able: Vec<HandId> = (0..hands).filter(|one| draft.4 & (1 << one) != 0).map(hand).collect();
        let able = if able.is_empty() { vec![hand(0)] } else { able };
        let mut before: Vec<_> = [draft.1, draft.2].into_iter().filter(|&one| one < at).map(wait).collect();
        before.dedup();
        if let Some(wait) = before.first_mut() {
            wait.gap = draft.3 / 3;
        }
        let due = (draft.5 < 40).then_some(draft.5);
        problem.tasks.push(Task { work: draft.0, able, before, release: draft.3, due, ..Task::default() });
    }
    problem
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn no_order_and_no_choice_of_hands_is_better(
        drafts in proptest::collection::vec(
            (1i64..14, 0usize..9, 0usize..9, 0i64..20, 1usize..8, 5i64..100), 1..6),
        hands in 1usize..4,
        due in 10i64..60,
    ) {
        let problem = small(&drafts, hands, due);
        let answer = plan(&problem);
        prop_assert_eq!(broken(&problem, &answer), Vec::<String>::new());
        let best = Exhaustive::best(&problem);
        let finish = answer.finish.unwrap();
        let late = |id: usize| answer.tasks[task(id)].unwrap().end - problem.tasks[task(id)].due.unwrap_or(i64::MAX);
        let late: i64 = (0..drafts.len()).map(|id| late(id).max(0)).sum();
        let found = (late + (finish - due).max(0), finish);
        prop_assert!(found >= best && answer.bound <= finish);
        prop_assert!(!answer.proven || found == best);
    }
}
