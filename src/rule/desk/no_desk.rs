//! `no-desk`: every department that has work has a person.
//!
//! In: passes and desks. Out: one finding for each department that nobody does.

use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::order::Plan;
use crate::quantity::Hours;
use crate::recipe::{Pass, PassId};
use crate::rule::{About, Check, Family, Report, Rule, Subject};
use std::collections::BTreeMap;

/// Work that nobody does.
pub(super) const CODE: Code = Code { id: "W01", name: "no-desk", severity: Severity::Error };

/// The rule.
pub(super) const RULE: Rule =
    Rule { code: CODE, family: Family::Desk, page: include_str!("no_desk.md"), check: Check::Plan(check) };

fn check(subject: &Subject<'_>, plan: &Plan, report: &mut Report) {
    let model = subject.model;
    let done: Vec<&str> =
        model.desks.values().flat_map(|desk| &desk.does).map(|does| does.value.as_str()).collect();
    let mut orphans: BTreeMap<&str, Vec<(PassId, &Pass)>> = BTreeMap::new();
    for (id, pass) in subject.breakdown.passes.iter() {
        let can = |department: &str| done.contains(&department);
        let covered = can(&pass.department) || pass.or.iter().any(|other| can(other));
        if pass.effort.0 > 0.0 && !pass.lock && !covered {
            orphans.entry(&pass.department).or_default().push((id, pass));
        }
    }
    if model.desks.is_empty() && !orphans.is_empty() {
        report.find(About::Sequence, nobody_at_all(subject, &orphans));
        return;
    }
    for (department, passes) in orphans {
        let Some(&(id, first)) = passes.first() else { continue };
        let hours: f64 = passes.iter().map(|(_, pass)| pass.effort.0).sum();
        let mut finding =
            Diagnostic::new(CODE, first.span, format!("nobody at any desk does '{department}'"))
                .label(format!("{} of work in {} passes", Hours(hours), passes.len()))
                .help(format!("add 'does {department}' to a desk, or a desk of its own"));
        if let Some(close) = nearest(department, done.iter().copied()) {
            finding = finding.note(format!("a desk does '{close}', which is spelt nearly the same"));
        }
        finding.notes.extend(gives(plan, id));
        for (_, pass) in passes.iter().take(5) {
            finding = finding.note(format!("{}: {}", pass.path, pass.effort));
        }
        if passes.len() > 5 {
            finding = finding.note(format!("and {} more", passes.len() - 5));
        }
        report.find(About::Sequence, finding);
    }
}

/// No desk is written: one finding, with the line to write.
fn nobody_at_all(subject: &Subject<'_>, orphans: &BTreeMap<&str, Vec<(PassId, &Pass)>>) -> Diagnostic {
    let passes = || orphans.values().flatten().map(|(_, pass)| *pass);
    let hours: f64 = passes().map(|pass| pass.effort.0).sum();
    let all: Vec<&str> = orphans.keys().copied().collect();
    let mut finding = Diagnostic::new(
        CODE,
        subject.model.sequence.named.span,
        "there is no desk, so nothing that follows the shoot is planned",
    )
    .label(format!("{} of work in {} passes, and nobody to do it", Hours(hours), passes().count()))
    .help(format!(
        "say who does it, 'desk NAME \"Name\" {{ does {}; hours 6 h per day }}', or as many desks as there are people",
        all.join(", ")
    ));
    for (department, passes) in orphans {
        let hours: f64 = passes.iter().map(|(_, pass)| pass.effort.0).sum();
        finding = finding.note(format!("{department}: {}", Hours(hours)));
    }
    finding
}

/// Who could do it, as the planner found out.
fn gives(plan: &Plan, pass: PassId) -> Option<String> {
    let left = plan.desk.unplanned.iter().find(|left| left.what == pass)?;
    let (text, _) = left.reasons.first()?;
    text.split_once("; ").map(|(_, gives)| gives.to_owned())
}
