//! The desk's core against published schedules, and on random problems.

use super::hours::Hours;
use super::problem::{Fault, Hand, HandId, Problem, Task, TaskId, Wait};
use super::{Answer, solve};
use crate::model::arena::Id;
use crate::order::effort::Effort;
use proptest::prelude::*;

mod small;
mod textbook;

fn hand(at: usize) -> HandId {
    HandId::from_index(at)
}

fn task(at: usize) -> TaskId {
    TaskId::from_index(at)
}

fn always() -> Hand {
    Hand::person(Hours::new([(0, 1_000_000)]))
}

fn wait(on: usize) -> Wait {
    Wait { on: task(on), gap: 0 }
}

/// Tasks of (work, predecessors), hands that work without a break, each able to do everything.
fn problem(tasks: &[(i64, &[usize])], hands: usize) -> Problem {
    let mut problem = Problem::default();
    for _ in 0..hands {
        problem.hands.push(always());
    }
    for (work, before) in tasks {
        let able = (0..hands).map(hand).collect();
        let before = before.iter().map(|&one| wait(one)).collect();
        problem.tasks.push(Task { work: *work, able, before, ..Task::default() });
    }
    problem
}

fn plan(problem: &Problem) -> Answer {
    solve(problem, Effort::default())
}

fn spans(answer: &Answer) -> Vec<(i64, i64)> {
    answer.tasks.values().flatten().map(|done| (done.start, done.end)).collect()
}

/// What a schedule breaks. Work that is not urgent stops for work that is.
fn broken(problem: &Problem, answer: &Answer) -> Vec<String> {
    let mut broken = Vec::new();
    let mut urgent: Vec<bool> = Vec::new();
    for task in problem.tasks.values() {
        // Waits point back to tasks listed before.
        urgent.push(task.urgent && task.before.iter().all(|wait| urgent.get(wait.on.index()) == Some(&true)));
    }
    let urgent = |id: TaskId| urgent[id.index()];
    let left: Vec<TaskId> = answer.left.iter().map(|(id, _)| *id).collect();
    for (id, task) in problem.tasks.iter() {
        let Some(done) = answer.tasks[id] else {
            if !left.contains(&id) {
                broken.push(format!("{id:?} is dropped without a reason"));
            }
            continue;
        };
        let early = |wait: &Wait| answer.tasks[wait.on].is_none_or(|one| one.end + wait.gap > done.start);
        if done.start < task.release || task.before.iter().any(early) {
            broken.push(format!("{id:?} starts too early"));
        }
        if done.float < 0
            || (done.critical && done.hand.is_some() && done.end == answer.finish.unwrap() && done.float > 0)
        {
            broken.push(format!("{id:?} has float {}", done.float));
        }
        if task.work == 0 {
            continue;
        }
        let hand = done.hand.unwrap();
        let own = &problem.hands[hand];
        let hours = if urgent(id) { own.hours.with(&own.late_hours) } else { own.hours.clone() };
        let worked = |from: i64, to: i64| hours.worked(to) - hours.worked(from);
        let mut had = worked(done.start, done.end);
        for (other, also) in answer.tasks.iter().filter(|(other, _)| *other != id) {
            let Some(also) = also.filter(|also| also.hand == Some(hand)) else { continue };
            let (from, to) = (also.start.max(done.start), also.end.min(done.end));
            if urgent(other) && !urgent(id) {
                had -= worked(from.min(to), to);
            } else if urgent(other) == urgent(id) && from < to && own.seats == [1] {
                broken.push(format!("{id:?} and {other:?} overlap"));
            }
        }
        if had != task.work || !task.able.contains(&hand) {
            broken.push(format!("{id:?} is worked {had} minutes, not {}", task.work));
        }
    }
    broken
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
    let answer = plan(&problem(&tasks(0), 3));
    assert_eq!((answer.finish, answer.bound, answer.proven), (Some(12), 12, true));
    let shorter = plan(&problem(&tasks(1), 3));
    assert_eq!((shorter.finish, shorter.proven), (Some(10), true));
}

#[test]
fn work_waits_for_footage_and_goes_around_nights() {
    let mut problem = problem(&[(360, &[]), (60, &[0])], 1);
    problem.hands[hand(0)] = Hand::person(Hours::new([(600, 900), (2040, 2340), (3480, 3780)]));
    problem.tasks[task(0)].release = 700;
    let answer = plan(&problem);
    // 200 minutes on the first day, 160 on the second.
    assert_eq!(spans(&answer), [(700, 2200), (2200, 2260)]);
    assert!(answer.proven);
}

#[test]
fn a_render_passes_in_the_night() {
    let mut problem = problem(&[(100, &[]), (60, &[0])], 1);
    problem.hands[hand(0)] = Hand::person(Hours::new([(600, 900), (2040, 2340), (3480, 3780)]));
    problem.tasks[task(1)].before[0].gap = 300;
    assert_eq!(spans(&plan(&problem)), [(600, 700), (2040, 2100)]);
}

#[test]
fn urgent_work_is_done_at_once_and_other_work_stops_for_it() {
    let mut problem = problem(&[(300, &[]), (30, &[]), (20, &[1])], 1);
    problem.hands[hand(0)] = Hand {
        late_hours: Hours::new([(1000, 1030)]),
        ..Hand::person(Hours::new([(600, 900), (2040, 4000)]))
    };
    for (id, release) in [(1, 950), (2, 0)] {
        problem.tasks[task(id)].urgent = true;
        problem.tasks[task(id)].release = release;
    }
    let answer = plan(&problem);
    // The first in the late hours, the second first thing on the next day.
    assert_eq!(spans(&answer), [(600, 900), (1000, 1030), (2040, 2060)]);
    problem.tasks[task(1)].release = 700;
    let answer = plan(&problem);
    assert_eq!(spans(&answer), [(600, 2090), (700, 730), (730, 750)]);
    assert_eq!(broken(&problem, &answer), Vec::<String>::new());
    // What does not fit into the evening waits for the morning.
    problem.tasks[task(1)].work = 40;
    problem.tasks[task(1)].release = 950;
    assert_eq!(spans(&plan(&problem)), [(600, 900), (2040, 2080), (2080, 2100)]);
}

#[test]
fn a_house_has_seats_for_several_at_once() {
    let mut problem = problem(&[(10, &[]), (10, &[]), (10, &[])], 1);
    problem.hands[hand(0)].seats = vec![2, 5];
    for id in 0..3 {
        problem.tasks[task(id)].seats = vec![1, 2];
    }
    let answer = plan(&problem);
    assert_eq!((answer.finish, answer.bound, answer.proven), (Some(20), 15, false));
    problem.hands[hand(0)].seats = vec![3, 6];
    assert_eq!(plan(&problem).finish, Some(10));
}

#[test]
fn people_stay_with_one_thing_where_that_costs_nothing() {
    let mut problem = problem(&[(10, &[]), (10, &[]), (10, &[]), (10, &[])], 1);
    for (id, part) in [(0, 1), (1, 2), (2, 1), (3, 2)] {
        problem.tasks[task(id)].part_of = Some(part);
    }
    let mut order: Vec<(i64, usize)> =
        spans(&plan(&problem)).into_iter().enumerate().map(|(at, span)| (span.0, at % 2)).collect();
    order.sort_unstable();
    let changes = order.windows(2).filter(|pair| pair[0].1 != pair[1].1).count();
    assert_eq!(changes, 1);
}

/// What is due goes before what only makes the whole long.
#[test]
fn lateness_comes_before_length() {
    let mut problem = problem(&[(10, &[]), (50, &[0]), (30, &[])], 1);
    problem.hands.push(always());
    problem.tasks[task(1)].able = vec![hand(1)];
    problem.tasks[task(2)].due = Some(30);
    let answer = plan(&problem);
    assert_eq!(spans(&answer).get(2), Some(&(0, 30)));
    problem.tasks[task(2)].due = Some(40);
    assert_eq!(plan(&problem).finish, Some(60));
}

#[test]
fn what_cannot_be_done_is_named_and_the_rest_is_planned() {
    let mut problem = problem(
        &[(10, &[]), (10, &[2]), (10, &[1]), (10, &[2]), (10, &[]), (10, &[4]), (5, &[0]), (10, &[])],
        1,
    );
    problem.hands.push(Hand::person(Hours::new([(0, 20)])));
    problem.tasks[task(4)].able = Vec::new();
    problem.tasks[task(7)].able = vec![hand(1)];
    let answer = plan(&problem);
    let left: Vec<(usize, Fault)> = answer.left.iter().map(|(id, fault)| (id.index(), *fault)).collect();
    assert_eq!(
        left,
        [
            (1, Fault::Circle),
            (2, Fault::Circle),
            (3, Fault::Behind(task(2))),
            (4, Fault::Nobody),
            (5, Fault::Behind(task(4))),
            (7, Fault::Hours),
        ]
    );
    assert_eq!(spans(&answer), [(0, 10), (10, 15)]);
    problem.tasks[task(0)].seats = vec![2];
    assert_eq!(plan(&problem).left.first(), Some(&(task(0), Fault::Nobody)));
    let nothing = plan(&Problem::default());
    assert_eq!((nothing.finish, nothing.left.len()), (None, 0));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn a_schedule_breaks_nothing_and_repeats(
        drafts in proptest::collection::vec((0i64..300, 0usize..6, 0usize..6, 0i64..2000, 0usize..9), 1..20),
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
            problem.hands[hand(at)].hours = Hours::new(shifts);
            problem.hands[hand(at)].late_hours = Hours::new([(1200, 1250), (2640, 2700)]);
        }
        for (at, draft) in drafts.iter().enumerate() {
            let task = &mut problem.tasks[task(at)];
            task.release = draft.3;
            task.urgent = draft.4 == 0;
            task.due = (draft.4 == 1).then_some(2000);
            task.part_of = Some(draft.4 as u32);
            if let Some(wait) = task.before.first_mut() {
                wait.gap = 7 * draft.4 as i64;
            }
        }
        let answer = plan(&problem);
        prop_assert_eq!(broken(&problem, &answer), Vec::<String>::new());
        prop_assert!(answer.finish.unwrap() >= answer.bound);
        prop_assert_eq!(spans(&answer), spans(&plan(&problem)));
    }
}
