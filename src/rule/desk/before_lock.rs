//! `before-lock`: sound and grade begin when the picture no longer changes.
//!
//! In: the graph, the plan. Out: a finding for each such pass that does not
//! wait for the lock, and when the lock is due.

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::graph::{Node, Work};
use crate::order::Plan;
use crate::recipe::PassId;
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use jiff::tz::TimeZone;
use petgraph::visit::Dfs;
use std::collections::BTreeSet;

/// Sound or grade ahead of the picture lock.
pub(super) const CODE: Code = Code { id: "W04", name: "before-lock", severity: Severity::Warning };

/// The rule.
pub(super) const RULE: Rule = Rule {
    code: CODE,
    family: Family::Desk,
    page: include_str!("before_lock.md"),
    check: Check::Plan(check),
};

/// Departments whose work is thrown away when the picture changes.
const AFTER: [&str; 2] = ["sound", "grade"];

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let lock = subject.breakdown.passes.iter().find(|(_, pass)| pass.lock).map(|(id, _)| id);
    let Some(after) = behind_lock(subject.work, lock) else { return };
    let locked_at = lock.and_then(|id| plan.desk.done.get(&id).copied());
    if let Some(at) = locked_at {
        let zone = TimeZone::get(&subject.model.sequence.zone).unwrap_or(TimeZone::UTC);
        report.instruct(
            About::Sequence,
            CODE.name,
            "picture lock",
            at.civil(&zone).strftime("%a %-d %b").to_string(),
            "every effect and join is done; sound and grade begin after it",
        );
    }
    for (id, pass) in subject.breakdown.passes.iter() {
        if !AFTER.contains(&pass.department.as_str()) || pass.effort.0 <= 0.0 {
            continue;
        }
        let starts = plan.desk.work.iter().find(|work| work.pass == id).map(|work| work.start);
        let ahead = matches!((starts, locked_at), (Some(start), Some(lock)) if start < lock);
        if after.contains(&id) && !ahead {
            continue;
        }
        report.find(
            About::Pass(id),
            Diagnostic::new(
                CODE,
                pass.span,
                format!("pass '{}' does not wait for the picture lock", pass.path),
            )
            .label("may be done twice")
            .help("let it wait for 'picture_lock' in its recipe")
            .note("a change of a few frames moves every sound and every matched shot behind it"),
        );
    }
}

/// Passes that wait for the lock; `None` when nothing is locked.
fn behind_lock(work: &Work, lock: Option<PassId>) -> Option<BTreeSet<PassId>> {
    let lock = lock.map_or(Node::Lock, Node::Pass);
    let lock = work.node_indices().find(|&index| work.node_weight(index) == Some(&lock))?;
    let mut behind = BTreeSet::new();
    let mut walk = Dfs::new(work, lock);
    while let Some(index) = walk.next(work) {
        if let Some(Node::Pass(pass)) = work.node_weight(index) {
            behind.insert(*pass);
        }
    }
    Some(behind)
}
