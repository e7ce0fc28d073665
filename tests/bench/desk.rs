//! Runs the desk's own core on published project scheduling instances.
//!
//! `cargo bench --bench desk -- FOLDER [--effort N] [--only PREFIX] [--each]`
//! `cargo bench --bench desk -- --growth [--effort N]`
//!
//! `FOLDER` (or `SEAMSTER_RCPSP`) holds `.sm` files of PSPLIB (R. Kolisch and
//! A. Sprecher, "PSPLIB – a project scheduling problem library", EJOR 96, 1997)
//! and `best.csv` with a line `instance,best,lower,proven` for each. What maps
//! to what: the project is one house that never closes, with a kind of seat for
//! each renewable resource; a job is a task that this house alone can do; jobs
//! without a duration are moments. Nothing is told to the core but the problem.
//!
//! `--growth` instead of a folder: invented desks of 500, 2,000 and 8,000 passes
//! with 12 people of four departments, with nights, weekends, waits, footage that
//! comes in over two weeks and a finish date; the most memory is that of the
//! process so far, as the kernel counts it.
//!
//! Work is limited, not time; `--effort` sets how much. CPU time is that of the
//! one thread, as the kernel counts it.

#![expect(clippy::disallowed_methods, reason = "a benchmark reads files and the clock")]
#![expect(clippy::unwrap_used, clippy::indexing_slicing, reason = "a benchmark may stop")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]

mod measure;

use measure::{cpu, most_memory};
use seamster::model::arena::Id;
use seamster::order::Effort;
use seamster::order::desk::hours::Hours;
use seamster::order::desk::problem::{Hand, HandId, Problem, Task, TaskId, Wait};
use seamster::order::desk::{Answer, solve};
use std::path::Path;

/// What came of the instances whose names begin alike.
#[derive(Default)]
struct Sum {
    count: usize,
    gap: f64,
    bound_gap: f64,
    at_best: usize,
    proven: usize,
    cpu: f64,
    most_cpu: f64,
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).filter(|arg| arg != "--bench").collect();
    let value = |name: &str| args.iter().position(|arg| arg == name).and_then(|at| args.get(at + 1)).cloned();
    let effort = Effort(value("--effort").map_or(1, |text| text.parse().unwrap()));
    if args.iter().any(|arg| arg == "--growth") {
        return growth(effort);
    }
    let only = value("--only").unwrap_or_default();
    let flagged = |at: usize| at > 0 && ["--effort", "--only"].contains(&args[at - 1].as_str());
    let folder = args.iter().enumerate().find(|(at, arg)| !arg.starts_with("--") && !flagged(*at));
    let folder = folder.map(|(_, arg)| arg.clone()).or_else(|| std::env::var("SEAMSTER_RCPSP").ok());
    let Some(folder) = folder else {
        println!("cargo bench --bench desk -- FOLDER [--effort N] [--only PREFIX] [--each]");
        return;
    };
    let folder = Path::new(&folder);
    let best = std::fs::read_to_string(folder.join("best.csv")).unwrap();
    let mut sums: Vec<(String, Sum)> = Vec::new();
    for line in best.lines().skip(1).filter(|line| line.starts_with(&only)) {
        let fields: Vec<&str> = line.split(',').collect();
        let known: i64 = fields[1].parse().unwrap();
        let problem = read(&std::fs::read_to_string(folder.join(fields[0])).unwrap());
        let begun = cpu();
        let answer = solve(&problem, effort);
        let took = cpu() - begun;
        verify(&problem, &answer, fields[0]);
        let set = set_of(fields[0]);
        if sums.last().is_none_or(|(name, _)| *name != set) {
            sums.push((set, Sum::default()));
        }
        let found = answer.finish.unwrap();
        let sum = &mut sums.last_mut().unwrap().1;
        add(sum, &answer, known, took);
        if args.iter().any(|arg| arg == "--each") {
            let proven = if answer.proven { "proven" } else { "" };
            println!(
                "{:14} {found:4} best {known:4} bound {:4} {took:6.2} s {proven}",
                fields[0], answer.bound
            );
        }
    }
    println!("set   instances  mean gap  at best  proven  bound below best  CPU s mean  most");
    for (set, sum) in sums {
        let count = sum.count as f64;
        println!(
            "{set:5} {:9} {:8.2}% {:8} {:7} {:16.2}% {:11.2} {:5.2}",
            sum.count,
            sum.gap / count,
            sum.at_best,
            sum.proven,
            sum.bound_gap / count,
            sum.cpu / count,
            sum.most_cpu
        );
    }
}

fn add(sum: &mut Sum, answer: &Answer, known: i64, took: f64) {
    let found = answer.finish.unwrap();
    let percent = |more: i64| 100.0 * more as f64 / known as f64;
    sum.count += 1;
    sum.gap += percent(found - known);
    sum.bound_gap += percent(known - answer.bound);
    sum.at_best += usize::from(found <= known);
    sum.proven += usize::from(answer.proven);
    sum.cpu += took;
    sum.most_cpu = sum.most_cpu.max(took);
}

/// Invented desks of growing size.
fn growth(effort: Effort) {
    println!("passes  people  finish, days  bound, days  proven  CPU s  most memory MB");
    for passes in [500, 2000, 8000] {
        let problem = desk(passes);
        let begun = cpu();
        let answer = solve(&problem, effort);
        let took = cpu() - begun;
        assert!(answer.left.is_empty() && answer.tasks.values().all(Option::is_some));
        let days = |at: i64| at as f64 / 1440.0;
        println!(
            "{passes:6} {:7} {:13.2} {:12.2} {:7} {took:6.2} {:15}",
            problem.hands.len(),
            days(answer.finish.unwrap()),
            days(answer.bound),
            answer.proven,
            most_memory()
        );
    }
}

/// Effects of five passes in a row; every tenth pass could be done by another department too.
fn desk(passes: usize) -> Problem {
    let mut problem = Problem { due: Some(20 * 1440), ..Problem::default() };
    for at in 0..12 {
        // Five days a week; two of each department begin at 10:00, one works longer and is away for a week.
        let days = (0..passes as i64).filter(|day| day % 7 < 5 && (at % 3 != 2 || !(14..21).contains(day)));
        let shifts = days.map(|day| (day * 1440 + 600, day * 1440 + 1080 + 60 * (at % 3)));
        problem.hands.push(Hand::person(Hours::new(shifts)));
    }
    let mut state = 1u64;
    let mut below = |many: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) % many) as i64
    };
    for at in 0..passes {
        let (effect, step) = (at / 5, at % 5);
        let department = if step == 4 { 3 } else { step % 3 };
        let mut able: Vec<HandId> = (0..3).map(|one| HandId::from_index(3 * department + one)).collect();
        if at % 10 == 7 {
            able.extend((0..3).map(|one| HandId::from_index(3 * ((department + 1) % 4) + one)));
        }
        let gap = if step == 3 { 120 } else { 0 };
        let before = (step > 0).then(|| Wait { on: TaskId::from_index(at - 1), gap });
        problem.tasks.push(Task {
            work: 15 * (1 + below(24)),
            able,
            before: before.into_iter().collect(),
            release: if step == 0 { 1440 * below(14) } else { 0 },
            part_of: Some(effect as u32),
            ..Task::default()
        });
    }
    problem
}

/// `j30`, `j60`, `j120`: a name holds set, parameter and instance, as in `j12010_1.sm`.
fn set_of(name: &str) -> String {
    let set = ["j120", "j30", "j60", "j90"].into_iter().find(|set| name.starts_with(set));
    set.map_or_else(|| name.to_owned(), str::to_owned)
}

fn read(text: &str) -> Problem {
    let numbers =
        |line: &str| -> Vec<i64> { line.split_whitespace().map(|word| word.parse().unwrap()).collect() };
    let after = |heading: &str, skip: usize| {
        let at = text.lines().position(|line| line.starts_with(heading)).unwrap();
        text.lines().skip(at + skip)
    };
    let jobs = text.lines().find(|line| line.starts_with("jobs")).unwrap();
    let jobs: usize = jobs.split(':').nth(1).unwrap().trim().parse().unwrap();
    let mut problem = Problem::default();
    for line in after("REQUESTS/DURATIONS", 3).take(jobs) {
        let row = numbers(line);
        let seats = row[3..].iter().map(|&seats| u16::try_from(seats).unwrap()).collect();
        problem.tasks.push(Task {
            work: row[2],
            seats,
            able: vec![HandId::from_index(0)],
            ..Task::default()
        });
    }
    for (at, line) in after("PRECEDENCE RELATIONS", 2).take(jobs).enumerate() {
        for &later in &numbers(line)[3..] {
            let wait = Wait { on: TaskId::from_index(at), gap: 0 };
            problem.tasks[TaskId::from_index(later as usize - 1)].before.push(wait);
        }
    }
    let seats = numbers(after("RESOURCEAVAILABILITIES", 2).next().unwrap());
    problem.hands.push(Hand {
        hours: Hours::new([(0, 1_000_000)]),
        seats: seats.iter().map(|&seats| u16::try_from(seats).unwrap()).collect(),
        ..Hand::default()
    });
    problem
}

/// Stops where the answer is no schedule of the problem.
fn verify(problem: &Problem, answer: &Answer, name: &str) {
    let done = |id: TaskId| answer.tasks[id].unwrap();
    let finish = answer.finish.unwrap();
    let hand = problem.hands.values().next().unwrap();
    let mut used = vec![vec![0u32; hand.seats.len()]; finish as usize];
    for (id, task) in problem.tasks.iter() {
        let own = done(id);
        assert_eq!(own.end - own.start, task.work, "{name}");
        assert!(own.start >= 0 && own.end <= finish, "{name}");
        assert!(task.before.iter().all(|wait| done(wait.on).end <= own.start), "{name}");
        for row in &mut used[own.start as usize..own.end as usize] {
            row.iter_mut().zip(&task.seats).for_each(|(used, &seats)| *used += u32::from(seats));
        }
    }
    let held = |row: &Vec<u32>| row.iter().zip(&hand.seats).all(|(used, &seats)| *used <= u32::from(seats));
    assert!(used.iter().all(held), "{name} takes more than there is");
    assert!(answer.bound <= finish, "{name}");
}
