//! Runs the shoot's own core on published instances of the problems that it holds in itself.
//!
//! `cargo bench --bench shoot -- FOLDER [--effort N] [--only PREFIX] [--each]`
//! `cargo bench --bench shoot -- --growth [--effort N]`
//!
//! `FOLDER` (or `SEAMSTER_ORDERS`) holds the folders `sop`, `tsptw` and `talent`,
//! each with its instances and a `best.csv` whose lines begin with a file's name
//! and the best cost that is known. What maps to what stands in `published`, at
//! the head of each reader. Nothing is told to the core but the problem, and
//! every order is priced again from the file alone.
//!
//! `--growth` instead of a folder: invented shoots of 30, 120, 480 and 1,920
//! set-ups, as many a day; each in a process of its own, so that the most memory
//! is that of this one shoot.
//!
//! Work is limited, not time; `--effort` sets how much. CPU time is that of the
//! one thread, as the kernel counts it.

#![expect(clippy::disallowed_methods, reason = "a benchmark reads files and the clock")]
#![expect(clippy::unwrap_used, clippy::indexing_slicing, reason = "a benchmark may stop")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]

mod invented;
mod measure;
mod published;

use measure::{cpu, most_memory};
use published::{Instance, sop, talent, tsptw};
use seamster::order::Effort;
use seamster::order::shoot::{Answer, solve};
use std::path::Path;

/// A set: its folder, what a file's name lacks in `best.csv`, and its reader.
type Set = (&'static str, &'static str, fn(&str, &str, i64) -> Instance);

const SETS: [Set; 3] = [("sop", "", sop::read), ("tsptw", "", tsptw::read), ("talent", ".dzn", talent::read)];

/// What came of one set.
#[derive(Default)]
struct Sum {
    count: usize,
    unsolved: usize,
    gap: f64,
    at_best: usize,
    proven: usize,
    bound_gap: f64,
    cpu: f64,
    most_cpu: f64,
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).filter(|arg| arg != "--bench").collect();
    let value = |name: &str| args.iter().position(|arg| arg == name).and_then(|at| args.get(at + 1)).cloned();
    let effort = Effort(value("--effort").map_or(1, |text| text.parse().unwrap()));
    if let Some(setups) = value("--growth-of") {
        return growth_of(setups.parse().unwrap(), effort);
    }
    if args.iter().any(|arg| arg == "--growth") {
        return growth(effort);
    }
    let only = value("--only").unwrap_or_default();
    let flagged = |at: usize| at > 0 && ["--effort", "--only"].contains(&args[at - 1].as_str());
    let folder = args.iter().enumerate().find(|(at, arg)| !arg.starts_with("--") && !flagged(*at));
    let folder = folder.map(|(_, arg)| arg.clone()).or_else(|| std::env::var("SEAMSTER_ORDERS").ok());
    let Some(folder) = folder else {
        println!("cargo bench --bench shoot -- FOLDER [--effort N] [--only PREFIX] [--each]");
        return;
    };
    let each = args.iter().any(|arg| arg == "--each");
    let mut lines = Vec::new();
    for (set, ending, read) in SETS {
        let folder = Path::new(&folder).join(set);
        let best = std::fs::read_to_string(folder.join("best.csv")).unwrap();
        let mut sum = Sum::default();
        for line in best.lines().skip(1).filter(|line| set == only || line.starts_with(&only)) {
            let fields: Vec<&str> = line.split(',').collect();
            let file = format!("{}{ending}", fields[0]);
            let text = std::fs::read_to_string(folder.join(&file)).unwrap();
            sum.add(&read(&file, &text, fields[1].parse().unwrap()), effort, each);
        }
        if sum.count > 0 {
            lines.push(sum.line(set));
        }
    }
    println!("set     instances  unsolved  mean gap  at best  proven  bound below best  CPU s mean  most");
    lines.iter().for_each(|line| println!("{line}"));
}

/// Invented shoots of growing size, each in a process of its own.
fn growth(effort: Effort) {
    println!("set-ups  days  used  left  minutes paid  proven  CPU s  most memory MB");
    for setups in [30, 120, 480, 1920] {
        let mut one = std::process::Command::new(std::env::current_exe().unwrap());
        one.args(["--growth-of", &setups.to_string(), "--effort", &effort.0.to_string()]);
        assert!(one.status().unwrap().success());
    }
}

fn growth_of(setups: usize, effort: Effort) {
    let days = setups.div_ceil(24).max(2);
    let problem = invented::shoot(setups, days);
    let begun = cpu();
    let answer = solve(&problem, effort);
    let took = cpu() - begun;
    invented::verify(&problem, &answer.days);
    let used = answer.days.iter().filter(|day| !day.is_empty()).count();
    // Without the price of days and of what is left out: minutes on the way and what is worth as much.
    let weights = &problem.weights;
    let (left, used_up) = (answer.left.len() as i64, used as i64);
    let minutes = (answer.cost - left * weights.unplanned - used_up * weights.extra_day) / 100;
    println!(
        "{setups:7} {days:5} {used:5} {left:5} {minutes:13} {:7} {took:6.2} {:15}",
        answer.proven,
        most_memory()
    );
}

impl Sum {
    fn add(&mut self, instance: &Instance, effort: Effort, each: bool) {
        let begun = cpu();
        let answer = solve(&instance.problem, effort);
        let took = cpu() - begun;
        self.count += 1;
        self.cpu += took;
        self.most_cpu = self.most_cpu.max(took);
        let found = told(instance, &answer);
        match found {
            Some(found) => {
                self.gap += percent(found - instance.best, instance.best);
                self.at_best += usize::from(found <= instance.best);
                self.proven += usize::from(answer.proven);
                self.bound_gap += percent(instance.best - answer.bound / 100, instance.best);
            }
            None => self.unsolved += 1,
        }
        if each {
            let found =
                found.map_or_else(|| format!("{} left", answer.left.len()), |found| found.to_string());
            let proven = if answer.proven { "proven" } else { "" };
            println!("{:24} {found:>8} best {:6} {took:6.2} s {proven}", instance.name, instance.best);
        }
    }

    fn line(&self, set: &str) -> String {
        let (count, solved) = (self.count as f64, (self.count - self.unsolved).max(1) as f64);
        format!(
            "{set:7} {:9} {:9} {:8.2}% {:8} {:7} {:15.2}% {:11.2} {:5.2}",
            self.count,
            self.unsolved,
            self.gap / solved,
            self.at_best,
            self.proven,
            self.bound_gap / solved,
            self.cpu / count,
            self.most_cpu
        )
    }
}

fn percent(more: i64, of: i64) -> f64 {
    100.0 * more as f64 / of.max(1) as f64
}

/// What the order costs by the words of its set; nothing where a block found no
/// place. Stops where the core thinks otherwise of what it made.
fn told(instance: &Instance, answer: &Answer) -> Option<i64> {
    if !answer.left.is_empty() {
        return None;
    }
    let found = instance.told(&answer.days).unwrap();
    assert_eq!(found * 100, answer.cost, "{}: the core prices its order otherwise", instance.name);
    assert!(answer.bound <= instance.best * 100, "{}: the bound is above the best", instance.name);
    Some(found)
}
