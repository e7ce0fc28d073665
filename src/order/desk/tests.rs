//! The desk's core against published schedules, and on random problems.

use super::problem::{Hand, HandId, Problem, Task, TaskId};
use super::schedule::{Schedule, forward, in_order};
use super::search::solve;
use super::slack::slack;
use crate::model::arena::Id;
use crate::order::shoot::problem::collected;
use proptest::prelude::*;

fn hand(at: usize) -> HandId {
    HandId::from_index(at)
}

/// Tasks of (work, predecessors), hands that work without a break, each able to do everything.
fn problem(tasks: &[(i64, &[usize])], hands: usize) -> Problem {
    let always = || Hand::new([(0, 1_000_000)]);
    let mut problem = Problem { hands: collected((0..hands).map(|_| always())), ..Problem::default() };
    for (work, _) in tasks {
        let able = (0..hands).map(hand).collect();
        problem.tasks.push(Task { work: *work, able, ..Task::default() });
    }
    for (at, (_, before)) in tasks.iter().enumerate() {
        let here = TaskId::from_index(at);
        for &one in *before {
            let there = TaskId::from_index(one);
            problem.tasks[here].before.push(there);
            problem.tasks[there].after.push(here);
        }
    }
    problem
}

fn finish(schedule: &Schedule) -> i64 {
    schedule.values().map(|done| done.end).max().unwrap()
}

fn broken(problem: &Problem, schedule: &Schedule) -> Vec<String> {
    let mut broken = Vec::new();
    for (id, task) in problem.tasks.iter() {
        let done = schedule[id];
        if done.start < task.release || task.before.iter().any(|&one| schedule[one].end > done.start) {
            broken.push(format!("{id:?} starts too early"));
        }
        if task.work > 0 {
            let hours = &problem.hands[done.hand.unwrap()];
            if hours.worked(done.end) - hours.worked(done.start) != task.work
                || !task.able.contains(&done.hand.unwrap())
            {
                broken.push(format!("{id:?} is not worked"));
            }
        }
        for (other, also) in schedule.iter().filter(|(other, _)| *other > id) {
            let apart = also.start >= done.end || done.start >= also.end;
            let works = task.work > 0 && problem.tasks[other].work > 0;
            if works && also.hand == done.hand && !apart {
                broken.push(format!("{id:?} and {other:?} overlap"));
            }
        }
    }
    broken
}

/// Heizer and Render, Operations Management, "Milwaukee Paper Manufacturing":
/// 15 weeks, critical A C E G H, floats as in the table.
#[test]
fn the_paper_mill_takes_fifteen_weeks() {
    let tasks: [(i64, &[usize]); 8] =
        [(2, &[]), (3, &[]), (2, &[0]), (4, &[0, 1]), (4, &[2]), (3, &[2]), (5, &[3, 4]), (2, &[5, 6])];
    let problem = problem(&tasks, 8);
    let (schedule, proven) = solve(&problem);
    assert!(proven);
    assert_eq!(finish(&schedule), 15);
    let floats: Vec<i64> = float_by_logic(&tasks);
    assert_eq!(floats, [0, 1, 0, 1, 0, 6, 0, 0]);
}

/// H. A. Taha, Operations Research, Example 6.5-2: 25 days, critical A D (dummy) H.
#[test]
fn a_dummy_is_a_moment_on_the_critical_path() {
    let tasks: [(i64, &[usize]); 9] = [
        (5, &[]),
        (6, &[]),
        (3, &[0]),
        (8, &[0]),
        (2, &[1, 2]),
        (11, &[1, 2]),
        (0, &[3]),
        (1, &[3]),
        (12, &[4, 6]),
    ];
    assert_eq!(float_by_logic(&tasks), [0, 5, 3, 0, 3, 6, 0, 11, 0]);
}

/// Floats when every task has a hand of its own, so that logic alone binds.
fn float_by_logic(tasks: &[(i64, &[usize])]) -> Vec<i64> {
    let mut own = problem(tasks, tasks.len());
    let ids: Vec<TaskId> = own.tasks.ids().collect();
    for &id in &ids {
        own.tasks[id].able = vec![hand(id.index())];
    }
    let schedule = forward(&own, &in_order(&own, &ids));
    let slack = slack(&own, &schedule);
    let critical: Vec<bool> = slack.values().map(|one| one.1).collect();
    let floats: Vec<i64> = slack.values().map(|one| one.0).collect();
    assert_eq!(critical, floats.iter().map(|&float| float == 0).collect::<Vec<_>>());
    floats
}

/// R. L. Graham, "Bounds on multiprocessing timing anomalies" (1969), from
/// memory: nine tasks on three machines take 12; with every task one shorter
/// the list as written takes 13, though 10 are enough.
#[test]
fn shorter_tasks_do_not_make_a_longer_plan() {
    let after_four: &[usize] = &[3];
    let tasks = |less: i64| -> [(i64, &[usize]); 9] {
        [
            (3 - less, &[]),
            (2 - less, &[]),
            (2 - less, &[]),
            (2 - less, &[]),
            (4 - less, after_four),
            (4 - less, after_four),
            (4 - less, after_four),
            (4 - less, after_four),
            (9 - less, &[0]),
        ]
    };
    let (schedule, _) = solve(&problem(&tasks(0), 3));
    assert_eq!(finish(&schedule), 12);
    let shorter = problem(&tasks(1), 3);
    let (schedule, _) = solve(&shorter);
    assert_eq!(finish(&schedule), 10);
}

#[test]
fn work_waits_for_footage_and_goes_around_nights() {
    let mut problem = problem(&[(360, &[]), (60, &[0])], 1);
    problem.hands[hand(0)] = Hand::new([(600, 900), (2040, 2340)]);
    problem.tasks[TaskId::from_index(0)].release = 700;
    let (schedule, _) = solve(&problem);
    let ends: Vec<(i64, i64)> = schedule.values().map(|done| (done.start, done.end)).collect();
    // 200 minutes on the first day, 160 on the second.
    assert_eq!(ends, [(700, 2200), (2200, 2260)]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_schedule_breaks_nothing_and_repeats(
        drafts in proptest::collection::vec((0i64..300, 0usize..6, 0usize..6, 0i64..2000), 1..20),
        hands in 1usize..4,
    ) {
        let before: Vec<Vec<usize>> = drafts.iter().enumerate().map(|(at, draft)| {
            let mut before: Vec<usize> = [draft.1, draft.2].into_iter().filter(|one| one + 3 < at).collect();
            before.dedup();
            before
        }).collect();
        let tasks: Vec<(i64, &[usize])> =
            drafts.iter().zip(&before).map(|(draft, before)| (draft.0, before.as_slice())).collect();
        let mut problem = problem(&tasks, hands);
        for at in 0..hands {
            let shifts = (0..200).map(|day| (day * 1440 + 600, day * 1440 + 800 + 60 * at as i64));
            problem.hands[hand(at)] = Hand::new(shifts);
        }
        for (at, draft) in drafts.iter().enumerate() {
            problem.tasks[TaskId::from_index(at)].release = draft.3;
        }
        let (schedule, _) = solve(&problem);
        prop_assert_eq!(broken(&problem, &schedule), Vec::<String>::new());
        let (again, _) = solve(&problem);
        prop_assert_eq!(
            schedule.values().collect::<Vec<_>>(),
            again.values().collect::<Vec<_>>()
        );
        for (id, (slack, _)) in slack(&problem, &schedule).iter() {
            prop_assert!(*slack >= 0, "{:?}", id);
        }
    }
}
