//! How much of a kept plan moves when a sequence is edited a little.
//!
//! `cargo bench --bench steady -- [EDITS] [--each]`
//!
//! Draws so many random small edits of each example (a hundred unless said),
//! plans each from the kept plan and afresh, and prints the share of set-ups
//! and passes that moved though the edit does not touch them. `--each` prints
//! every edit with which something moved.

#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![allow(missing_docs, unreachable_pub, clippy::indexing_slicing, reason = "shared with a test")]

#[path = "../edits/mod.rs"]
mod edits;
#[path = "../project/mod.rs"]
mod project;
#[path = "../edits/steady.rs"]
mod steady;

use steady::Sum;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).filter(|arg| arg != "--bench").collect();
    let many = args.iter().find_map(|arg| arg.parse().ok()).unwrap_or(100);
    let each = args.iter().any(|arg| arg == "--each");
    let (mut steady, mut afresh) = (Sum::default(), Sum::default());
    for name in ["night-parcel", "one-look", "table-top"] {
        let mut watch = |what: &str, held: Sum, free: Sum| {
            if each && held.moved_setups + held.moved_passes > 0 {
                println!(
                    "  {what}: {} set-ups and {} passes; afresh {} and {}",
                    held.moved_setups, held.moved_passes, free.moved_setups, free.moved_passes
                );
            }
        };
        let (one, other) = steady::run(name, many, 1, &mut watch);
        tell(name, one, other);
        steady.add(one);
        afresh.add(other);
    }
    tell("all", steady, afresh);
}

fn tell(name: &str, steady: Sum, afresh: Sum) {
    println!(
        "{name}: {} edits; moved {} of {} set-ups and {} of {} passes, {:.2} %; planned afresh {} and {}, {:.2} %",
        steady.edits,
        steady.moved_setups,
        steady.setups,
        steady.moved_passes,
        steady.passes,
        steady.percent(),
        afresh.moved_setups,
        afresh.moved_passes,
        afresh.percent()
    );
}
